"""What needs somebody: one line and one next action each, the most pressing first, for the roles of whoever looks."""

import datetime
from collections.abc import Callable, Iterable
from typing import Any

from django.utils.translation import gettext as _

from conversions.groups.models import Group, Member
from conversions.yards.models import Conversion
from conversions.yards.models.living import STAGES

from .day_needs import days_ahead, days_over, own_days, visits
from .need import Look, Need
from .to_tell import to_tell
from .waiting import waiting
from .yard_needs import agreed, follow_ups, replies, sheets, unquoted

SHOWN = 5  # more than five things are a list nobody reads


def needs(group: Group, member: Member) -> list[Need]:
    """Everything that needs this member, the most pressing first."""
    look = Look(group, member, group.today())
    found = [need for roles, source in SOURCES if look.may(*roles) for need in source(look)]
    if not look.may("lead"):
        found += own_days(look)
    far = datetime.date.max
    return sorted(found, key=lambda need: (need.urgency, need.on or far, need.title))


def told(look: Look) -> Iterable[Need]:
    """What somebody must still be told by hand."""
    return (Need(**line) for line in to_tell(look.member, look.url))


def waits(look: Look) -> Iterable[Need]:
    """Whose yes, or which answer, keeps a yard from going on."""
    return (Need(**line) for line in waiting(look.member, look.url, look.today))


SOURCES: list[tuple[tuple[str, ...], Callable[[Look], Iterable[Need]]]] = [
    (("visitor",), visits),
    (("lead",), days_over),
    (("lead",), days_ahead),
    ((), replies),
    ((), agreed),
    (("visitor",), unquoted),
    (("lead",), follow_ups),
    (("lead",), sheets),
    (("lead",), told),
    (("visitor",), waits),
]


def first_yards(group: Group) -> Any:
    """At most two yards, enough to know whether there are none, one or more."""
    return Conversion.of(group).with_facts().select_related("place", "household__contact").order_by("pk")[:2]


def week(look_from: datetime.date, found: list[Need]) -> list[dict[str, Any]]:
    """Monday to Sunday with what falls on each day."""
    monday = look_from - datetime.timedelta(days=look_from.weekday())
    days = [monday + datetime.timedelta(days=n) for n in range(7)]
    kinds = {"visit": _("visit"), "build": _("build"), "care": _("care")}
    icons = {"visit": "pin", "build": "build", "care": "care"}
    out = []
    for day in days:
        here = dict.fromkeys(need.kind for need in found if need.on == day and need.kind in kinds)
        marks = [{"icon": icons[kind], "word": kinds[kind]} for kind in here]
        out.append({"on": day, "is_today": day == look_from, "marks": marks})
    return out


def lesson() -> list[dict[str, Any]]:
    """The seven layers, for a group without a yard."""
    words = [
        _("A name, a number, a street. Twenty seconds."),
        _("Walk the edge of the lawn, answer fifteen questions, take three photos."),
        _("The plan works itself out. You look, and send it."),
        _("One page in plain words; they say yes, no, or let’s talk."),
        _("A Saturday, a load of chips, helpers."),
        _("One morning."),
        _("We tell you when to look in."),
    ]
    return [{"word": word, "words": told} for (_code, word), told in zip(STAGES, words, strict=True)]
