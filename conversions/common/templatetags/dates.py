"""The filters date and time as templates know them, in the order of the reader's place."""

from typing import Any

from django import template
from django.template.defaultfilters import date as plain_date
from django.template.defaultfilters import time as plain_time
from django.utils.translation import pgettext

register = template.Library()


@register.filter(expects_localtime=True, is_safe=False)
def date(value: Any, pattern: str | None = None) -> str:
    return plain_date(value, pattern and pgettext("date", pattern))


@register.filter(is_safe=False)
def time(value: Any, pattern: str | None = None) -> str:
    return plain_time(value, pattern and pgettext("date", pattern))
