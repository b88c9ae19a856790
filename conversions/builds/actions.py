"""What people do with a build day: set it, change it, move or call it off, and write down what was built."""

import datetime
from collections.abc import Sequence
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from conversions.groups.models import Group, Member
from conversions.groups.tenancy import Stale, change, move
from conversions.people import links
from conversions.people.history import differences, note_event
from conversions.yards import holds
from conversions.yards.hold_kinds import BOOKING
from conversions.yards.models import Conversion, Planned

from . import notices
from .agreed import quote_of
from .asbuilt import record_as_built
from .gates import MARKS, TICKS, ready
from .models import Day, DayPatch
from .roster import call_off, mark_came, sign_up

__all__ = [
    "call_off", "change_day", "mark_came", "note_marks", "plan_day", "record_as_built", "set_state", "sign_up", "tick",
]  # fmt: skip

MOVES = {  # state wanted -> the states it may come from
    "confirmed": ("planned", "moved"),
    "planned": ("confirmed", "cancelled"),
    "moved": ("planned", "confirmed"),
    "cancelled": ("planned", "confirmed", "moved"),
}
FIELDS = ("on", "starts", "ends", "rain_on", "lead", "deputy", "helpers_wanted", "meeting_point", "notes")


def plan_day(
    *,
    group: Group,
    by: Member,
    on: datetime.date,
    starts: datetime.time,
    ends: datetime.time,
    lead: Member,
    conversions: Sequence[Conversion],
    rain_on: datetime.date | None = None,
    helpers_wanted: int = 4,
    deputy: Member | None = None,
    kind: str = "build",
    meeting_point: str = "",
    notes: str = "",
) -> Day:
    """Set a day for one or more yards. Pressing twice gives the same day."""
    with transaction.atomic():
        ids = sorted(conversion.pk for conversion in conversions)
        list(Conversion.of(group).select_for_update(of=("self",)).filter(pk__in=ids).order_by("pk"))
        if kind == "build":
            refuse_held(conversions, on, rain_on)
        same = Day.of(group).open().filter(on=on, starts=starts, ends=ends, kind=kind)
        for day in same:
            if sorted(set(day.day_patches.values_list("conversion", flat=True))) == ids:
                return day
        day = Day(
            group=group, on=on, starts=starts, ends=ends, rain_on=rain_on, kind=kind, lead=lead, deputy=deputy,
            helpers_wanted=helpers_wanted, meeting_point=meeting_point, notes=notes,
        )  # fmt: skip
        check_dates(day)
        day.full_clean()
        day.save()
        rows = [row for conversion in conversions for row in _patches(day, conversion)]
        if not rows:
            raise ValidationError({"conversions": _("Choose a yard with ground still to do.")})
        for order, row in enumerate(rows, start=1):
            row.order = order
            row.full_clean()
        DayPatch.of(group).bulk_create(rows)
        links.make("sign-up", "day", day)
        for conversion in conversions:
            note_event(group=group, verb="day-set", by=by, conversion=conversion, day=day)
    return day


def _patches(day: Day, conversion: Conversion) -> list[DayPatch]:
    """What of a yard is still to do; of a rescue, everything that was done."""
    planned = Planned.of(day.group_id).select_related("patch")
    if day.kind == "build":
        planned = planned.filter(conversion=conversion, complete_on=None)
    else:
        planned = planned.filter(conversion=conversion.built_by, complete_on__isnull=False)
    quote, planned = quote_of(conversion), list(planned)
    stays = holds.patches_held(conversion) if day.kind == "build" else set()
    free = [row for row in planned if row.patch_id not in stays]
    planned = free or planned  # where nothing is free the gates of the day say why
    return [
        DayPatch(
            group=day.group, day=day, conversion=conversion, quote=quote, patch=row.patch, planned_m2=row.planned_m2
        )
        for row in planned
    ]


def refuse_held(conversions: Sequence[Conversion], on: datetime.date, rain_on: datetime.date | None) -> None:
    """No day is fixed for a yard that has to wait: which one, and for what."""
    days = [("build", on), ("rain", rain_on)]
    told = [f"{row.place.address}: {words}" for row in conversions for words in holds.why_not(row, BOOKING, days)]
    if told:
        raise ValidationError({"conversions": told})


def check_dates(day: Day) -> None:
    if day.rain_on and day.rain_on <= day.on:
        raise ValidationError({"rain_on": _("The rain date must come after the day itself.")})
    if day.ends <= day.starts:
        raise ValidationError({"ends": _("The end must come after the start.")})
    today = day.group.today()
    if abs((day.on - today).days) > 730:
        raise ValidationError({"on": _("That is more than two years away. Check the year.")})


def change_day(*, day: Day, revision: int, by: Member, **values: Any) -> Day:
    """Change date, times, people or words. Raises Stale when somebody saved the day meanwhile."""
    unknown = set(values) - set(FIELDS)
    assert not unknown, f"not for change_day: {unknown}"
    trial = Day.of(day.group_id).get(pk=day.pk)
    if not trial.is_open:
        raise ValidationError(_("This day is over. What is written stays as it is."))
    if trial.revision != revision:
        raise Stale(trial)
    for name, value in values.items():
        setattr(trial, name, value)
    check_dates(trial)
    trial.full_clean()
    was = Day.of(day.group_id).get(pk=day.pk)
    with transaction.atomic():
        row = change(trial, revision, **values)
        if (was.on, was.starts, was.ends) != (row.on, row.starts, row.ends):
            notices.moved(day=row, was_on=was.on, by=by)
        note_event(group=row.group, verb="day-changed", by=by, day=row, changed=_told(differences(was, values)))
        return row


def _told(changed: dict[str, list]) -> dict[str, list]:
    return {name: [str(value) for value in pair] for name, pair in changed.items()}


def set_state(*, day: Day, to: str, by: Member) -> Day:
    """Confirm, move to the rain date, call off, or take it back; only one of two people makes the change."""
    words = _("Somebody was faster: look at what stands now.")
    if to not in MOVES:
        raise ValidationError(_("We cannot do that with a day."))
    if to == "confirmed":
        refuse_stops(day)
    with transaction.atomic():
        row = Day.of(day.group_id).select_for_update().get(pk=day.pk)
        values: dict[str, Any] = {"state": to, "revision": row.revision + 1}
        if to == "moved":
            if not row.rain_on:
                raise ValidationError(_("There is no rain date yet. Change the day and give it one."))
            values |= {"on": row.rain_on, "rain_on": None, "facts": row.facts | {"moved_from": row.on.isoformat()}}
        was_on, was = row.on, row.state
        if not move(row, MOVES[to], **values):
            raise ValidationError(words)
        if to == "moved":
            notices.moved(day=row, was_on=was_on, by=by)
        elif to == "cancelled":
            notices.off(day=row, by=by)
        elif was == "cancelled":
            notices.on_after_all(day=row, by=by)
        note_event(group=row.group, verb=f"day-{to}", by=by, day=row)
    return row


def refuse_stops(day: Day) -> None:
    stops = [gate for gate in ready(day) if gate.state == "stop"]
    if stops:
        raise ValidationError(_("Not yet: %s") % " ".join(str(gate.why) for gate in stops))


def tick(*, day: Day, fact: str, is_ready: bool, by: Member) -> Day:
    """Note that a supply is there, or take that back. Facts ticked by two people at once both stay."""
    if fact not in TICKS:
        raise ValidationError(_("We do not know this item."))
    entry = {"ready": is_ready, "by": str(by), "on": day.group.today().isoformat()}
    return _note(day, fact, entry)


def note_marks(*, day: Day, by: Member, state: str, until: datetime.date | None = None, ticket: str = "") -> Day:
    """What the locating service said: asked, marked until a date, or nothing runs here."""
    if state not in MARKS:
        raise ValidationError({"state": _("Choose one of the three.")})
    if state == "marked" and not until:
        raise ValidationError({"until": _("Write the last day the marks are good for; it stands on the ticket.")})
    if state == "none" and not ticket.strip():
        raise ValidationError({"ticket": _("Write the ticket or the name of who told you.")})
    entry = {
        "state": state,
        "until": until.isoformat() if until and state == "marked" else "",
        "ticket": ticket.strip()[:60],
        "by": str(by),
        "on": day.group.today().isoformat(),
    }
    with transaction.atomic():
        for yard in day.yards:
            holds.note_marks(conversion=yard, by=by, state=state, until=until, ticket=entry["ticket"])
        return _note(day, "marks", entry)


def _note(day: Day, fact: str, entry: dict) -> Day:
    with transaction.atomic():
        row = Day.of(day.group_id).select_for_update().get(pk=day.pk)
        if not row.is_open:
            raise ValidationError(_("This day is over. What is written stays as it is."))
        row.facts = row.facts | {fact: entry}
        row.save(update_fields=["facts"])
    return row
