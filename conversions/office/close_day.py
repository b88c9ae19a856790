"""Closing a build day, the one act across parts: square metres, care sheets and follow-ups in one stroke."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.builds import ledger
from conversions.builds.asbuilt import latest_as_built
from conversions.builds.models import OPEN, AsBuilt, Day, DayPatch, Ground
from conversions.care import sheet as paper
from conversions.care.actions import write_follow_ups, write_sheet
from conversions.common.dates import date_format
from conversions.groups.models import Member
from conversions.groups.tenancy import Stale
from conversions.people.history import note_event
from conversions.yards.models import Conversion, Patch, Planned

from . import learn


@dataclass(frozen=True)
class Written:
    """One patch of the day with what was written down for it; None where nothing was."""

    row: DayPatch
    as_built: AsBuilt | None

    @property
    def is_left(self) -> bool:
        return bool(self.as_built) and not self.as_built.area_m2 and not self.as_built.is_complete


@dataclass(frozen=True)
class SheetDue:
    """A garden that gets a care sheet when the day is closed."""

    conversion: Conversion
    first_on: datetime.date  # the first patch finished: all dates count from it
    why_again: str
    patches: frozenset[int]  # all that are finished by then: the sheet speaks of no other beds


def written(day: Day) -> list[Written]:
    """Every patch of the day, in its order."""
    held = latest_as_built(day)
    rows = DayPatch.of(day.group_id).filter(day=day)
    rows = rows.select_related(
        "patch__place", "conversion__group", "conversion__place", "conversion__household__contact"
    )
    return [Written(row, held.get(row.patch_id)) for row in rows]


def sheets_due(day: Day, rows: list[Written]) -> list[SheetDue]:
    """One sheet for each garden with a patch newly finished that day."""
    if day.kind == "rescue":
        return []
    before: dict[int, dict[int, datetime.date | None]] = {}
    for row in Planned.of(day.group_id).filter(conversion__in=[one.row.conversion_id for one in rows]):
        before.setdefault(row.conversion_id, {})[row.patch_id] = row.complete_on
    due = []
    for conversion in {one.row.conversion_id: one.row.conversion for one in rows}.values():
        planned = before.get(conversion.pk, {})
        finished = [
            one
            for one in rows
            if one.row.conversion_id == conversion.pk
            and one.as_built
            and one.as_built.is_complete
            and planned.get(one.row.patch_id, day.held_on) is None
        ]
        if finished:
            ends = [on for on in planned.values() if on] + [complete_on(day, one.as_built) for one in finished]
            done = {patch for patch, on in planned.items() if on} | {one.row.patch_id for one in finished}
            due.append(SheetDue(conversion, min(ends), why(day, finished), frozenset(done)))
    return due


def complete_on(day: Day, as_built: AsBuilt) -> datetime.date:
    return as_built.complete_on or day.held_on


def why(day: Day, finished: list[Written]) -> str:
    labels = ", ".join(one.row.patch.label for one in finished)
    return _("%(patches)s finished on %(on)s") % {"patches": labels, "on": date_format(day.held_on, "j F Y")}


def papers(day: Day) -> dict[int, bytes]:
    """The care sheets as PDF, by conversion; drawn before the transaction, because drawing is slow."""
    today = day.group.today()
    return {
        due.conversion.pk: paper.pdf(
            due.conversion, first_on=due.first_on, today=min(today, day.held_on), patches=due.patches
        )
        for due in sheets_due(day, written(day))
    }


def check(day: Day, rows: list[Written]) -> None:
    """What must be written before a day can close."""
    if day.held_on > day.group.today():
        raise ValidationError(_("This day is still to come. Close it when it is over."))
    missing = [one.row.patch.label for one in rows if one.as_built is None]
    if missing:
        words = _("Not written down yet: %s. Write what was built, or that it was left for another day.")
        raise ValidationError(words % ", ".join(missing), code="not written")


def close_day(*, day: Day, by: Member, revision: int, sheets: Mapping[int, bytes]) -> Day:
    """Count the ground, keep the care sheets, set the follow-ups, and close. A second press changes nothing.

    `sheets` are the papers of `papers(day)`. Raises Stale when the day was changed meanwhile, ValidationError
    when something is not written yet, and the ledger's NoRoom when a patch has less ground left than that.
    """
    by_the_book = _by_the_book(written(day))
    with transaction.atomic():
        # patches before the day, as recording an as-built does: neither then waits for the other in a circle
        patches = DayPatch.of(day.group_id).filter(day=day).values("patch")
        list(Patch.of(day.group_id).select_for_update().filter(pk__in=patches).order_by("pk"))
        if not _enter(day, revision):
            return day
        rows = written(day)
        check(day, rows)
        due = sheets_due(day, rows)
        for one in rows:
            _count(day, one, by)
            _finish(day, one)
        for garden in due:
            _care_for(day, garden, sheets, by)
        learn.note_hours(day, sum(_known(by_the_book, done.key) for done in _done(rows)))
        learn.learn(day.group)
        note_event(group=day.group, verb="day-closed", by=by, day=day)
    return day


def _done(rows: list[Written]) -> list[learn.Done]:
    return learn.done_by_yard([(one.row, one.as_built) for one in rows])


def _by_the_book(rows: list[Written]) -> dict[tuple, float]:
    """The hours each yard's part should have taken; worked out before the transaction, because it is slow."""
    return {done.key: learn.book_hours(done) for done in _done(rows)}


def _known(by_the_book: Mapping[tuple, float], key: tuple) -> float:
    if key not in by_the_book:
        raise ValidationError(_("Something changed while the day was being closed. Press once more."), code="changed")
    return by_the_book[key]


def _enter(day: Day, revision: int) -> bool:
    """Close the day's state first, so that only one of two people goes on to write."""
    now = timezone.now()
    mine = Day.of(day.group_id).filter(pk=day.pk, revision=revision, state__in=OPEN)
    changed = mine.update(state="closed", closed_at=now, revision=F("revision") + 1)
    day.refresh_from_db()
    if changed or day.state == "closed":
        return bool(changed)
    if day.state == "cancelled":
        raise ValidationError(_("This day was called off. Take that back first."))
    raise Stale(day)


def _count(day: Day, one: Written, by: Member) -> None:
    """A day that was opened again has its rows already; they are counted afresh, never twice."""
    before = Ground.of(day.group_id).filter(day=day, patch=one.row.patch_id, corrects=None).first()
    if before:
        ledger.count_again(ground=before, as_built=one.as_built, by=by)
    else:
        ledger.write(day=day, patch=one.row.patch, as_built=one.as_built, by=by)


def _finish(day: Day, one: Written) -> None:
    if day.kind == "rescue" or not one.as_built.is_complete:
        return
    planned = Planned.of(day.group_id).filter(conversion=one.row.conversion_id, patch=one.row.patch_id)
    planned.filter(complete_on=None).update(complete_on=complete_on(day, one.as_built))


def _care_for(day: Day, garden: SheetDue, sheets: Mapping[int, bytes], by: Member) -> None:
    content = sheets.get(garden.conversion.pk)
    if content is None:
        raise ValidationError(_("Something changed while the care sheet was made. Press once more."), code="changed")
    title = paper.title(garden.conversion)
    again = garden.why_again
    write_sheet(conversion=garden.conversion, day=day, paper=content, title=title, why_again=again, by=by)
    note_event(group=day.group, verb="care-sheet", by=by, conversion=garden.conversion, day=day)
    write_follow_ups(conversion=garden.conversion, complete_on=garden.first_on)


def counted(day: Day) -> list[Ground]:
    """What a closed day put into the ledger."""
    rows = Ground.of(day.group_id).filter(day=day, corrects=None)
    return list(rows.select_related("patch__place").prefetch_related("corrections").order_by("pk"))
