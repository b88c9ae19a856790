"""Dates in the order of the reader's place: "9 May" here, "May 9" there."""

import datetime

from django.utils import formats
from django.utils.translation import pgettext


def date_format(value: datetime.date | datetime.time, pattern: str) -> str:
    """A date or time after one of our patterns; a place's word list may turn it round."""
    return formats.date_format(value, pgettext("date", pattern))


def time_format(value: datetime.time, pattern: str) -> str:
    return formats.time_format(value, pgettext("date", pattern))
