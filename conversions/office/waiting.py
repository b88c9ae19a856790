"""What waits for somebody's yes or for an answer, as lines of This week; and what one person set aside alone."""

import datetime
from collections.abc import Callable, Iterator
from typing import Any

from django.db.models import Q
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.common.dates import date_format
from conversions.groups.models import Group, Member
from conversions.yards import holds
from conversions.yards.hold_kinds import RULES
from conversions.yards.hold_override import BANNER
from conversions.yards.models import Conversion, Hold
from conversions.yards.models.hold import WAITING

from .need import NEXT, SOON, URGENT

MOST = 60


def waiting(member: Member, url: Callable[..., str], today: datetime.date) -> Iterator[dict[str, Any]]:
    """One line for each yard: whom we wait for, who sees to it and by when; leases that end; a second word asked for."""
    ends = Q(kind="owner", valid_until__lte=today + holds.LEASE_NOTICE)
    rows = Hold.of(member.group_id).in_force().filter(Q(state__in=[*WAITING, "refused"]) | ends)
    yards: dict[int, list[Hold]] = {}
    for row in rows.for_lists().order_by("due_on", "pk")[:MOST]:
        if holds.lease_ends(row, today):
            yield _lease(row, url, today)
        if row.override_waits and member.is_organiser and row.by_id != member.pk:
            yield _second(row, url)
        elif (row.is_waiting or RULES[row.kind].stands_refused) and row.conversion.continues_id is None:
            yards.setdefault(row.conversion_id, []).append(row)
    for some in yards.values():
        if waits := [row for row in some if row.is_waiting]:
            yield _to_do(waits, member, url, today)
    yield from to_ask_again(member.group, url, today)


def to_ask_again(group: Group, url: Callable[..., str], today: datetime.date) -> Iterator[dict[str, Any]]:
    """Yards that said "not now", and named a month that has come."""
    rows = Conversion.of(group).filter(outcome__in=["waiting", "declined"], ask_again_on__lte=today)
    for row in rows.select_related("place", "household__contact").order_by("ask_again_on", "pk")[:MOST]:
        to, words = url("yard", pk=row.pk), _("Not now, they said. Ask again from %s.")
        yield {
            "urgency": NEXT, "on": row.ask_again_on, "title": str(row), "url": to, "action": _("Open the yard"),
            "words": words % date_format(row.ask_again_on, "F"), "action_url": to, "kind": "wait",
        }  # fmt: skip


def _to_do(some: list[Hold], member: Member, url: Callable[..., str], today: datetime.date) -> dict[str, Any]:
    first = next((row for row in some if row.who_id == member.pk), some[0])
    rule, more = RULES[first.kind], len(some) - 1
    words = [str(rule.waits), str(rule.to_do)]
    if first.who and first.due_on:
        words.append(_("%(who)s, by %(on)s.") % {"who": first.who, "on": date_format(first.due_on, "j M")})
    if more:
        words.append(ngettext("And %s thing more.", "And %s things more.", more) % more)
    late = bool(first.due_on) and first.due_on < today
    urgency = SOON if late or first.who_id == member.pk else NEXT
    on = first.due_on or timezone.localtime(first.opened_at).date()
    return _line(first, urgency, on, url, " ".join(words), _("Write it down"), "late" if late else "")


def _lease(row: Hold, url: Callable[..., str], today: datetime.date) -> dict[str, Any]:
    words = _("They rent until %s. Ask what becomes of the garden: it stays, it moves, or grass again.")
    if row.valid_until < today:
        words = _("They rented until %s. Ask whether they stay, and write down until when.")
    return _line(row, SOON, row.valid_until, url, words % date_format(row.valid_until, "j F"), _("Open it"), "")


def _second(row: Hold, url: Callable[..., str]) -> dict[str, Any]:
    words = _("%(who)s asks to go on without %(what)s. It takes a second organiser.") % {"who": row.by, "what": row}
    return _line(row, URGENT, row.due_on, url, words, _("Read why"), "")


def _line(
    row: Hold, urgency: int, on: Any, url: Callable[..., str], words: str, action: str, tag: str
) -> dict[str, Any]:
    to = url("hold", pk=row.pk)
    return {
        "urgency": urgency, "on": on or timezone.localdate(), "title": str(row.conversion), "url": to, "words": words,
        "action": action, "action_url": to, "tag": tag, "kind": "wait",
    }  # fmt: skip


def set_aside_alone(group: Group) -> list[dict[str, Any]]:
    """Holds that one organiser set aside without a second one, for a week in everybody's sight."""
    since = timezone.now() - BANNER
    rows = Hold.of(group).filter(state="overridden", second_by=None, overridden_at__gte=since).for_lists()
    return [{"hold": row, "what": capfirst(str(row))} for row in rows]
