"""What needs somebody on a day: visits, and build days that come, miss something, or are over and not closed."""

import datetime
from collections.abc import Iterable
from zoneinfo import ZoneInfo

from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.builds import where
from conversions.builds.gates import Gate, ready
from conversions.builds.models import Day
from conversions.common.dates import date_format
from conversions.visits.models import Visit

from .need import EACH, LATER, SOON, URGENT, WEEK, Look, Need
from .not_out import not_out

AHEAD = datetime.timedelta(days=14)  # how far we look for days that miss something
CHECKED_DAYS = 3  # whose gates are worked out: each costs a few queries


def visits(look: Look) -> Iterable[Need]:
    """Overdue and today's at once; the coming week's can wait."""
    zone = ZoneInfo(look.group.zone)
    end = datetime.datetime.combine(look.today + WEEK, datetime.time.max, zone)
    rows = Visit.of(look.group).filter(state__in=["planned", "under way"], due_at__lte=end, conversion__outcome="")
    rows = rows.prefetch_related("goers__member__user", "goers__member__person")
    for visit in rows.select_related("conversion__place", "conversion__household__contact")[:EACH]:
        due = visit.due_at.astimezone(zone)
        late = due.date() < look.today
        words = _("The visit was on %s. Was it done?") % date_format(due, "j F") if late else _("Visit")
        if look.may() and (alarm := not_out(visit, look.member, zone)):
            late, words = True, alarm
        yield Need(
            URGENT if due.date() <= look.today else LATER,
            due.date(),
            str(visit.conversion),
            look.url("visit", pk=visit.pk),
            words,
            _("Open the form"),
            look.url("visit", pk=visit.pk),
            at=date_format(due, "H:i"),
            tag="late" if late else "",
            kind="visit",
        )


def days_over(look: Look) -> Iterable[Need]:
    """Held and not closed: its ground counts nowhere until it is."""
    for day in Day.of(look.group).open().filter(on__lt=look.today).for_lists()[:EACH]:
        yield over(look, day)


def over(look: Look, day: Day) -> Need:
    return Need(
        URGENT,
        day.on,
        day.title,
        look.url("day", pk=day.pk),
        _("The day is over and not closed yet."),
        _("Close the day"),
        look.url("day-close", pk=day.pk),
        kind="build",
    )


def days_ahead(look: Look) -> Iterable[Need]:
    """Coming days: what stops one, what is missing, or simply that it comes."""
    rows = Day.of(look.group).open().filter(on__range=(look.today, look.today + AHEAD)).for_lists()
    for place, day in enumerate(rows[:EACH]):
        gates = [gate for gate in ready(day) if gate.state != "ok"] if place < CHECKED_DAYS else []
        url = look.url("day", pk=day.pk)
        at = date_format(day.starts, "H:i")
        if not gates:
            urgency = URGENT if day.on == look.today else LATER
            yield Need(urgency, day.on, day.title, url, _("Build day"), _("Open the day"), url, at=at, kind="build")
            continue
        first = gates[0]
        tag = "stop" if first.state == "stop" else "missing"
        words = gate_words(first, len(gates) - 1)
        urgency = URGENT if day.on - look.today <= WEEK else SOON
        yield Need(urgency, day.on, day.title, url, words, _("See what is missing"), url, at=at, tag=tag, kind="build")


def gate_words(gate: Gate, more: int) -> str:
    words = f"{gate.words}."
    if more:
        words += " " + ngettext("And %s thing more.", "And %s things more.", more) % more
    return words


def own_days(look: Look) -> Iterable[Need]:
    """For who leads no days by role: those they come to, and those they ran that are not closed yet."""
    comes = where.days_of(look.member)
    ran, ahead = Q(lead=look.member) | Q(deputy=look.member), Q(on__gte=look.today)
    rows = Day.of(look.group).open().filter(ran | ahead & Q(pk__in=comes)).for_lists()
    for day in rows[:EACH]:
        if day.on < look.today:
            yield over(look, day)
            continue
        hours = {"starts": date_format(day.starts, "G:i"), "ends": date_format(day.ends, "G:i")}
        words = _("%(starts)s to %(ends)s") % hours
        url = look.url("day", pk=day.pk)
        title = where.title(day, look.member, look.today, comes)
        yield Need(SOON, day.on, title, url, words, _("Open the day"), url, kind="build")
