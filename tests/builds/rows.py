"""Rows for build days: agreed yards, days, patches with no drawing, as-built rows."""

from datetime import time, timedelta
from decimal import Decimal

from django.utils import timezone

from conversions.builds.actions import plan_day
from conversions.builds.models import AsBuilt, Day
from conversions.quotes.models import Quote
from conversions.visits.actions import add_entries, book_visit
from conversions.visits.questions import NOT_SURE, QUESTIONS
from conversions.yards.models import Conversion, Patch, Place
from tests.rows import make_kept


def made(row):
    """A row written directly, checked as an action would."""
    row.full_clean()
    row.save()
    return row


def make_agreed(world, conversion=None, *patches: dict, **quote) -> Conversion:
    """A yard whose household said yes: the kept drawing and an accepted quote, written directly."""
    draft = make_kept(world, conversion, *patches)
    values = {
        "state": "accepted",
        "version": 1,
        "sent_at": timezone.now(),
        "valid_until": world.today + timedelta(days=20),
        "made_by": world.organiser,
        "frozen": {"site": draft.site, "takeoff": draft.takeoff},
    }
    made(Quote(group=world.group, conversion=draft.conversion, draft=draft, **(values | quote)))
    return draft.conversion


def make_day(world, *conversions: Conversion, on=None, **values) -> Day:
    """A build day today, 9:30 to 14:00, led by the lead, for these yards (one agreed yard if none)."""
    values = {"starts": time(9, 30), "ends": time(14), "lead": world.lead} | values
    yards = conversions or (make_agreed(world),)
    return plan_day(group=world.group, by=world.organiser, on=on or world.today, conversions=yards, **values)


def make_patch(world, lawn="20.00", place=None, **values) -> Patch:
    """A patch with no drawing behind it, for what only counts square metres."""
    place = place or made(Place(group=world.group, address="2 Millrace Lane"))
    label = values.pop("label", None) or f"Patch {place.patches.count() + 1}"
    return made(Patch(group=world.group, place=place, label=label, lawn_m2=Decimal(lawn), **values))


def make_bare_day(world, on=None, **values) -> Day:
    """A day without yards, for the ledger."""
    values = {"starts": time(9, 30), "ends": time(14), "lead": world.lead, "on": on or world.today} | values
    return made(Day(group=world.group, **values))


def make_built(day, patch, area, is_complete=True, **values) -> AsBuilt:
    """An as-built row written directly, without asking whether there is room for it."""
    n = AsBuilt.of(day.group).filter(day=day, patch=patch).count() + 1
    values = {"how": "measured", "measured_by": day.lead, "complete_on": day.on if is_complete else None} | values
    row = AsBuilt(group=day.group, day=day, patch=patch, n=n, area_m2=Decimal(area), is_complete=is_complete, **values)
    return made(row)


SAFE = {"public": "marked", "septic": "no", "past": "none", "soil": "none"}


def answer_all(world, conversion, **answers):
    """A visit where every question has an answer that lets the spade in; `answers` puts others in their place."""
    visit = book_visit(conversion=conversion, by=world.visitor, due_at=timezone.now())
    entries = []
    for question in QUESTIONS:
        value = {ask.code: SAFE.get(ask.code) or safe_choice(ask) for ask in question.asks}
        if question.code == "pipes":
            value |= {"until": (world.today + timedelta(days=40)).isoformat(), "ticket": "T-0420"}
        value |= answers.get(question.code, {})
        entries.append({"question": question.code, "value": value, "as_typed": ""})
    add_entries(visit=visit, by=world.visitor, entries=entries)
    return visit


def safe_choice(ask) -> str:
    fine = [choice.code for choice in ask.choices if not choice.stops and not choice.raises and choice.code != NOT_SURE]
    return ask.usual or fine[0]
