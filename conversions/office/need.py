"""One thing that needs somebody, as a line of This week; and who looks, where and when."""

import datetime
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from conversions.groups.models import Group, Member

EACH = 40  # of one kind; a group with more has another problem than this page
WEEK = datetime.timedelta(days=7)
URGENT, SOON, NEXT, LATER = range(4)


@dataclass(frozen=True)
class Need:
    urgency: int
    on: datetime.date | None  # sorts within its urgency; drawn as a date block when `is_dated`
    title: str
    url: str
    words: str
    action: str
    action_url: str
    stack: int = 0  # the glyph of the yard's stage where there is no date
    at: str = ""  # a time of day under the date
    tag: str = ""  # missing, stop or late: drawn before the words
    kind: str = ""

    @property
    def is_dated(self) -> bool:
        return self.on is not None and not self.stack


@dataclass(frozen=True)
class Look:
    """Who looks, where and when."""

    group: Group
    member: Member
    today: datetime.date

    def url(self, name: str, **kwargs: Any) -> str:
        return reverse(name, kwargs={"group": self.group.slug, **kwargs})

    def may(self, *roles: str) -> bool:
        return bool(self.member.roles & {"organiser", *roles})
