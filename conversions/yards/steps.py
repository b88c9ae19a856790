"""What a yard needs next, computed from its facts; rows that stand to the right are reached by their reverse names."""

import datetime
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import Prefetch, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.common import measures
from conversions.common.dates import date_format
from conversions.groups.models import Group

from .models import Conversion, Draft, Planned

DRAWERS = frozenset({"organiser", "visitor"})
LEADERS = frozenset({"organiser", "lead"})
ORGANISERS = frozenset({"organiser"})


@dataclass(frozen=True)
class Way:
    """A button: where it goes, and who may press it."""

    words: str
    url: str
    roles: frozenset[str]
    kwargs: dict = field(default_factory=dict)
    query: str = ""
    is_post: bool = False


@dataclass(frozen=True)
class Step:
    words: str
    ways: tuple[Way, ...] = ()

    def for_roles(self, roles: frozenset[str]) -> tuple[Way, ...]:
        return tuple(way for way in self.ways if way.roles & roles)


def with_rows(rows: QuerySet[Conversion], group: Group) -> QuerySet[Conversion]:
    """Everything that `next_step` looks at, in a fixed number of queries."""
    drafts = Prefetch("drafts", Draft.of(group).defer("site", "takeoff"))
    planned = Prefetch("planned", Planned.of(group).select_related("patch"))
    return rows.select_related("group").prefetch_related(
        drafts, planned, "planned__patch__ground", "visits", "quotes__replies", "day_patches__day", "follow_ups"
    )


def short(on: datetime.date) -> str:
    """A day as it stands in a sentence; the year only where it is another one.

    >>> short(datetime.date(1999, 5, 8))
    'Sat 8 May 1999'
    """
    return date_format(on, "D j M" if on.year == timezone.localdate().year else "D j M Y")


def at(when: datetime.datetime) -> str:
    local = timezone.localtime(when)
    return f"{short(local.date())}, {date_format(local, 'H:i')}"


def next_step(yard: Conversion, today: datetime.date) -> Step:
    """One sentence and its buttons, the main one first."""
    stage = yard.stage
    if stage == "ended":
        return Step(_("Nothing to do. Other people live here now.") if yard.outcome == "done" else _("Nothing to do."))
    if stage == "not now":
        return _not_now(yard)
    return {
        "enquiry": _enquiry,
        "visited": _visited,
        "quoted": _quoted,
        "agreed": _agreed,
        "booked": _booked,
        "built": _growing,
        "growing": _growing,
    }[stage](yard, today)


def _draw(yard: Conversion) -> Way:
    return Way(_("Draw the plan"), "plan", DRAWERS, {"pk": yard.pk})


def _sized(yard: Conversion) -> bool:
    """Whether the newest drawing has figures; an engine version is written only with them."""
    drafts = sorted(yard.drafts.all(), key=lambda draft: draft.number)
    return bool(drafts) and bool(drafts[-1].engine_version)


def _unsent(yard: Conversion):
    quotes = [quote for quote in yard.quotes.all() if quote.state == "draft"]
    return max(quotes, key=lambda quote: quote.version, default=None)


def _to_quote(yard: Conversion) -> Step:
    if quote := _unsent(yard):
        return Step(
            _("Look the quote over and send it"), (Way(_("Open the quote"), "quote", ORGANISERS, {"pk": quote.pk}),)
        )
    if _sized(yard):
        quote = Way(_("Quote it"), "quote-draft", ORGANISERS, {"pk": yard.pk}, is_post=True)
        return Step(_("Quote the plan"), (quote, Way(_("Open the plan"), "plan", DRAWERS, {"pk": yard.pk})))
    return Step(_("Draw the plan"), (_draw(yard),))


def _not_now(yard: Conversion) -> Step:
    """Nothing is asked of anybody; a yard they said no to is taken up again by a new plan, or by their yes after all."""
    declined = [quote for quote in yard.quotes.all() if quote.state == "declined"]
    if yard.outcome != "declined" or not declined:
        return Step(_("Not now. Ask again when they are ready."))
    quote = max(declined, key=lambda quote: quote.version)
    plan = Way(_("Change the plan"), "plan", DRAWERS, {"pk": yard.pk})
    return Step(_("They said no to this plan"), (Way(_("Open the quote"), "quote", ORGANISERS, {"pk": quote.pk}), plan))


def _enquiry(yard: Conversion, today: datetime.date) -> Step:
    if _unsent(yard) or _sized(yard):
        return _to_quote(yard)
    planned = [visit for visit in yard.visits.all() if visit.state in ("planned", "under way")]
    if planned:
        visit = min(planned, key=lambda visit: visit.due_at)
        words = _("Visit on %(when)s") % {"when": at(visit.due_at)}
        return Step(words, (Way(_("Open the visit"), "visit", DRAWERS, {"pk": visit.pk}), _draw(yard)))
    return Step(_("Book a visit"), (Way(_("Book a visit"), "visit-book", DRAWERS, {"pk": yard.pk}), _draw(yard)))


def _visited(yard: Conversion, today: datetime.date) -> Step:
    return _to_quote(yard)


def _quoted(yard: Conversion, today: datetime.date) -> Step:
    if _unsent(yard):
        return _to_quote(yard)
    sent = [quote for quote in yard.quotes.all() if quote.state != "withdrawn" and quote.sent_at]
    quote = max(sent, key=lambda quote: quote.version)
    way = Way(_("Open the quote"), "quote", ORGANISERS, {"pk": quote.pk})
    if quote.state == "declined":
        return Step(_("They said no to this plan"), (way,))
    if quote.is_expired(today):
        return Step(_("The quote has run out. Ring them, then send it anew"), (way,))
    days = (today - timezone.localtime(quote.sent_at).date()).days
    waited = ngettext("No answer for %(days)d day", "No answer for %(days)d days", days) % {"days": days}
    words = waited if days else _("Quote sent today")
    said = max(quote.replies.all(), key=lambda reply: reply.pk, default=None)
    if said and said.answer == "talk":
        words = _("They want to talk. Ring them")
    answer = Way(_("Write down their answer"), "quote-reply", ORGANISERS, {"pk": quote.pk})
    return Step(words, (answer, way))


def built_m2(yard: Conversion) -> Decimal:
    """What the days of this run have put into the ledger, with its corrections, on the patches it plans."""
    days = {part.day_id for part in yard.day_patches.all()}
    ground = [row for part in yard.planned.all() for row in part.patch.ground.all() if row.day_id in days]
    return sum((row.m2 for row in ground), Decimal(0))


def _agreed(yard: Conversion, today: datetime.date) -> Step:
    way = Way(_("Pick a build day"), "day-new", ORGANISERS, query=f"?yard={yard.pk}")
    built, units = built_m2(yard), yard.group.units
    if not built:
        return Step(_("Pick a build day with them"), (way,))
    whole = sum((part.planned_m2 for part in yard.planned.all()), Decimal(0))
    words = _("%(built)s of %(whole)s built, the rest has no day")
    return Step(words % {"built": measures.area(built, units), "whole": measures.area(whole, units)}, (way,))


def _booked(yard: Conversion, today: datetime.date) -> Step:
    days = {part.day for part in yard.day_patches.all() if part.day.state != "cancelled" and part.day.kind == "build"}
    waiting = sorted((day for day in days if day.state != "closed"), key=lambda day: (day.held_on, day.pk))
    if not waiting:
        return _agreed(yard, today)
    day = waiting[0]
    words = _("Build the rest on %(on)s") if built_m2(yard) else _("Build on %(on)s")
    words = words if day.held_on >= today else _("Close the build day of %(on)s")
    return Step(words % {"on": short(day.held_on)}, (Way(_("Open the build day"), "day", LEADERS, {"pk": day.pk}),))


def _growing(yard: Conversion, today: datetime.date) -> Step:
    due = sorted((f for f in yard.follow_ups.all() if f.state == "due"), key=lambda f: (f.due_on, f.pk))
    if not due:
        return Step(_("Nothing due"))
    first = due[0]
    words = _("%(what)s: late, was due %(on)s") if first.due_on < today else _("%(what)s: %(on)s")
    named = {"what": first.get_kind_display().capitalize(), "on": short(first.due_on)}
    return Step(words % named, (Way(_("Open the follow-up"), "follow-up", LEADERS, {"pk": first.pk}),))
