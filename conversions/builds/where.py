"""What may be told of where a day is: the house number only to those who need it, and only while they need it."""

import datetime
import re
from collections.abc import Collection

from django.utils.translation import gettext as _

from conversions.groups.models import Member

from .models import Day, SignUp

NUMBER = re.compile(r"^\W*\d+\w?(?:\s*[-/]\s*\d+\w?)?[\s,]+|[\s,]+\d+\w?(?:\s*[-/]\s*\d+\w?)?\W*$")
AFTERWARDS = datetime.timedelta(days=2)  # a lost glove is asked after by then
SURE = ("confirmed", "moved", "under way", "closed")


def street(address: str) -> str:
    """An address without its house number: what a stranger may read.

    >>> street("14 Tansy Row"), street("Tansy Row 14b"), street("12-14, Elder Lane")
    ('Tansy Row', 'Tansy Row', 'Elder Lane')
    """
    return NUMBER.sub("", address.strip()) or address


def streets(day: Day) -> list[str]:
    return list(dict.fromkeys(street(yard.place.address) for yard in day.yards))


def is_told(day: Day, today: datetime.date) -> bool:
    """Whether those who come are told the house number: from the day being sure until two days after it."""
    return day.state in SURE and today <= day.held_on + AFTERWARDS


def days_of(member: Member) -> set[int]:
    """The days this member comes to; one called off is not theirs any more."""
    rows = SignUp.of(member.group_id).filter(person__member=member, state__in=["coming", "came"])
    return set(rows.values_list("day", flat=True))


def title(day: Day, member: Member, today: datetime.date, own: Collection[int]) -> str:
    """The name of a day for this member: whose yard it is for whoever plans or runs it, else where as far as it is told.

    `own` are the days they come to.
    """
    if "visitor" in member.roles or day.may_run(member):
        return day.title
    is_theirs = day.pk in own and is_told(day, today)
    places = [str(yard.place) for yard in day.yards] if is_theirs else streets(day)
    first, more = (places[0] if places else ""), len(places) - 1
    return _("%(first)s and %(n)s more") % {"first": first, "n": more} if more > 0 else first
