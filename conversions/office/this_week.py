"""What needs somebody: one line and one next action each, the most pressing first, for the roles of whoever looks."""

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.builds import where
from conversions.builds.agreed import yards_to_build
from conversions.builds.gates import Gate, ready
from conversions.builds.models import Day, DayPatch
from conversions.care.models import CareSheet, FollowUp
from conversions.common.dates import date_format
from conversions.groups.models import Group, Member
from conversions.quotes.models import Quote, Reply
from conversions.visits.models import Visit
from conversions.yards.models import Conversion, Draft, Hold
from conversions.yards.models.hold import WAITING
from conversions.yards.models.living import STAGES

from .not_out import not_out
from .to_tell import to_tell, untold_quotes
from .waiting import waiting

SHOWN = 5  # more than five things are a list nobody reads
EACH = 40  # of one kind; a group with more has another problem than this page
AHEAD = datetime.timedelta(days=14)  # how far we look for days that miss something
CHECKED_DAYS = 3  # whose gates are worked out: each costs a few queries
WEEK = datetime.timedelta(days=7)
PATIENCE = datetime.timedelta(days=4)  # how long a quote may lie before we ring
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


def needs(group: Group, member: Member) -> list[Need]:
    """Everything that needs this member, the most pressing first."""
    look = Look(group, member, group.today())
    found = [need for roles, source in SOURCES if look.may(*roles) for need in source(look)]
    if not look.may("lead"):
        found += own_days(look)
    far = datetime.date.max
    return sorted(found, key=lambda need: (need.urgency, need.on or far, need.title))


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


def replies(look: Look) -> Iterable[Need]:
    """Quotes out with a household: let's talk, no answer yet, or run out."""
    talk = Reply.of(look.group).filter(quote=OuterRef("pk"), answer="talk")
    rows = Quote.of(look.group).filter(Q(state="sent") | Q(state="expired"), conversion__closed_on=None)
    rows = rows.annotate(wants_talk=Exists(talk)).select_related("conversion__place", "conversion__household__contact")
    untold = set(untold_quotes(look.group))
    for quote in rows.defer("frozen").order_by("sent_at")[:EACH]:
        if quote.pk in untold and not quote.is_expired(look.today):
            continue  # it stands on the list as somebody to be told
        sent_on = quote.sent_at.astimezone(ZoneInfo(look.group.zone)).date()
        ago = (look.today - sent_on).days
        urgency, words, action = SOON, _("They would like to talk."), _("Ring and answer")
        if quote.is_expired(look.today):
            words, action = _("The quote ran out on %s.") % date_format(quote.valid_until, "j F"), _("Look at it again")
        elif not quote.wants_talk:
            urgency = NEXT if look.today - sent_on >= PATIENCE else LATER
            words = ngettext("No answer for %s day.", "No answer for %s days.", ago) % ago if ago else _("Sent today.")
            action = _("Ring")
        url = look.url("quote", pk=quote.pk)
        yield Need(urgency, sent_on, str(quote.conversion), url, words, action, url, stack=3, kind="quote")


def agreed(look: Look) -> Iterable[Need]:
    begun = DayPatch.of(look.group).filter(conversion=OuterRef("pk"), day__state="closed", patch__ground__isnull=False)
    held = Hold.of(look.group).filter(conversion=OuterRef("pk"), blocks_booking=True, patch=None, state__in=WAITING)
    rows = yards_to_build(look.group).filter(~Exists(held), has_day=False).annotate(is_begun=Exists(begun))
    for yard in rows[:EACH]:
        new = look.url("day-new") + f"?yard={yard.pk}"
        words = _("Ground is left to do, and no day for it.") if yard.is_begun else _("Agreed, no day yet.")
        own = look.url("yard", pk=yard.pk)
        yield Need(SOON, yard.opened_on, str(yard), own, words, _("Fix a day"), new, stack=4, kind="day")


def unquoted(look: Look) -> Iterable[Need]:
    """Yards between the enquiry and the first quote, each with its next step."""
    rows = (
        open_yards(look.group)
        .filter(is_quoted=False, is_agreed=False, continues=None)  # a run of care has its garden already
        .annotate(
            has_visit=Exists(
                Visit.of(look.group).filter(conversion=OuterRef("pk"), state__in=["planned", "under way"])
            ),
            has_unsent=Exists(Quote.of(look.group).filter(conversion=OuterRef("pk"), state="draft")),
            has_kept=Exists(Draft.of(look.group).filter(conversion=OuterRef("pk"), state="kept")),
        )
    )
    for yard in rows.select_related("place", "household__contact").order_by("opened_on", "pk")[:EACH]:
        step = next_step(look, yard)
        if step:
            urgency, words, action, url, stack = step
            title, own = str(yard), look.url("yard", pk=yard.pk)
            yield Need(urgency, yard.opened_on, title, own, words, action, url, stack=stack, kind="yard")


def next_step(look: Look, yard: Conversion) -> tuple[int, str, str, str, int] | None:
    stack = 2 if yard.is_visited else 1
    is_organiser = look.may()
    if yard.has_unsent or yard.has_kept:
        words = _("The quote is made and not sent.") if yard.has_unsent else _("The plan is kept, no quote yet.")
        return (NEXT, words, _("Open the yard"), look.url("yard", pk=yard.pk), stack) if is_organiser else None
    if not yard.is_visited and not yard.has_visit:
        since = date_format(yard.opened_on, "j F")
        words = _("Asked on %s, no visit yet.") % since
        return NEXT, words, _("Book the visit"), look.url("visit-book", pk=yard.pk), stack
    if yard.is_visited:
        return NEXT, _("Visited, no plan yet."), _("Lay it out"), look.url("plan", pk=yard.pk), stack
    return None  # the visit itself stands on the list


def follow_ups(look: Look) -> Iterable[Need]:
    rows = FollowUp.of(look.group).due().filter(due_on__lte=look.today + WEEK)
    for row in rows[:EACH]:
        url = look.url("follow-up", pk=row.pk)
        late = (look.today - row.due_on).days
        urgency = LATER if late < 0 else SOON
        tag = "late" if late > 7 else ""
        action = _("Ring and write down") if late >= 0 else _("Open it")
        yield Need(
            urgency,
            row.due_on,
            str(row.conversion),
            url,
            _("%s: how is it growing?") % row.words,
            action,
            url,
            tag=tag,
            kind="care",
        )


def sheets(look: Look) -> Iterable[Need]:
    for sheet in CareSheet.of(look.group).to_hand_over()[:EACH]:
        words = _("The care sheet is made and not handed over.")
        url = look.url("aftercare")
        on = sheet.day.on
        yield Need(SOON, on, str(sheet.conversion), url, words, _("Print or note it"), url, stack=6, kind="sheet")


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


def open_yards(group: Group) -> Any:
    """Conversions that go on, each with the facts its stage is read from."""
    return Conversion.of(group).filter(closed_on=None, outcome="").with_facts()


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
