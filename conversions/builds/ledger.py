"""The one writer of the ledger of square metres: no metre twice, none beyond the ground there is, nothing overwritten."""

import datetime
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Sum
from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.groups.models import Group, Member
from conversions.yards.models import Patch

from .agreed import beds_m2
from .models import AsBuilt, Day, Ground

CENT = Decimal("0.01")
NOTHING = Decimal("0.00")


class NoRoom(ValidationError):
    """More ground than the patch has left; `room` is what is left."""

    def __init__(self, message: str, room: Decimal):
        super().__init__(message, code="no room")
        self.room = room


def _total(rows, field: str = "m2") -> Decimal:
    """SQLite adds decimals as floats, so the sum is brought back to the hundredth it was made of."""
    return (rows.aggregate(total=Sum(field))["total"] or NOTHING).quantize(CENT)


def standing_m2(patch: Patch) -> Decimal:
    """What the ledger says of this patch today: its rows and their corrections."""
    return _total(Ground.of(patch.group_id).filter(patch=patch))


def room_m2(patch: Patch) -> Decimal:
    """What can still be converted here."""
    return patch.coverable_m2 - standing_m2(patch)


def count_on(group: Group, complete_on: datetime.date) -> datetime.date:
    """The day a row counts on: the day the ground was finished. (A published period will answer "today".)"""
    return complete_on


def _lock(patch: Patch) -> Patch:
    return Patch.of(patch.group_id).select_for_update(of=("self",)).select_related("place").get(pk=patch.pk)


def no_room(patch: Patch, m2: Decimal, room: Decimal) -> NoRoom:
    """The refusal in words, with a way on."""
    units = patch.group.units
    values = {
        "patch": patch.label,
        "m2": measures.area(m2, units, 2),
        "room": measures.area(max(room, NOTHING), units, 2),
    }
    words = _(
        "%(patch)s has only %(room)s left to convert, so %(m2)s cannot be right. "
        "If the ground is bigger than it was drawn, measure the whole of it again and say why."
    )
    return NoRoom(words % values, room)


def _kind(patch: Patch) -> str:
    """An extension is new ground on a patch that once stood complete; the parts of a part build are not."""
    if patch.ground_before != "lawn":
        return "other ground"
    finished = Ground.of(patch.group_id).filter(patch=patch, as_built__is_complete=True, corrects=None)
    return "extension" if finished.exists() else "converted"


def _growing_m2(day: Day, patch: Patch, as_built: AsBuilt) -> Decimal:
    """Beds count with the row that finishes the patch, and never more than the ground they stand on."""
    if not as_built.is_complete:
        return NOTHING
    before = _total(Ground.of(patch.group_id).filter(patch=patch), "growing_m2")
    ceiling = standing_m2(patch) + as_built.area_m2
    return max(NOTHING, min(beds_m2(day, patch), ceiling) - before)


def write(*, day: Day, patch: Patch, as_built: AsBuilt, by: Member) -> Ground | None:
    """Put what was made complete on one day into the ledger. Nothing new to count is no row: None.

    A rescue, a rebuild of ground already counted, and ground that is another place's count nothing. Asking
    twice for one day and patch gives the same row. Raises NoRoom when the patch has less left than that.
    """
    with transaction.atomic():
        patch = _lock(patch)
        if day.kind == "rescue" or patch.place.same_ground_as_id or not as_built.area_m2:
            return None
        written = Ground.of(day.group_id).filter(day=day, patch=patch, corrects=None).first()
        if written:
            return written
        room = room_m2(patch)
        if not room:
            return None
        if as_built.area_m2 > room:
            raise no_room(patch, as_built.area_m2, room)
        complete_on = as_built.complete_on or day.held_on
        return _append(
            patch,
            complete_on,
            day=day,
            as_built=as_built,
            kind=_kind(patch),
            m2=as_built.area_m2,
            growing_m2=_growing_m2(day, patch, as_built),
            reason=as_built.why_different,
            by=by,
        )


def stands(ground: Ground) -> Decimal:
    """What one row counts today, with its corrections."""
    rows = Ground.of(ground.group_id)
    return _total(rows.filter(pk=ground.pk) | rows.filter(corrects=ground))


def set_right(
    *, ground: Ground, to_m2: Decimal, seen_m2: Decimal, reason: str, by: Member, lawn_m2: Decimal | None = None
) -> Ground:
    """Correct a row to what is true, as seen from `seen_m2`; `lawn_m2` is the whole patch measured again.

    Refuses when somebody else corrected the row meanwhile, so that no difference is taken off twice.
    """
    with transaction.atomic():
        patch = _lock(ground.patch)
        now = stands(ground)
        if now != seen_m2:
            shown = measures.area(now, patch.group.units, 2)
            raise ValidationError(_("Somebody corrected this meanwhile: it stands at %s now.") % shown, code="stale")
        if lawn_m2:
            measure_again(patch=patch, lawn_m2=lawn_m2, why=reason, by=by)
        return correct(ground=ground, m2=to_m2 - now, reason=reason, by=by)


def correct(*, ground: Ground, m2: Decimal, reason: str, by: Member) -> Ground:
    """Append the difference, negative or positive, to a row that turned out wrong; the row itself stays."""
    if not reason.strip():
        raise ValidationError({"reason": _("Say why, so that whoever reads the tally next year understands.")})
    if not m2:
        raise ValidationError({"m2": _("A correction of nothing changes nothing.")})
    if ground.corrects_id:
        raise ValidationError(_("Correct the row itself, not its correction."))
    with transaction.atomic():
        patch = _lock(ground.patch)
        own = Ground.of(ground.group_id).filter(pk=ground.pk) | Ground.of(ground.group_id).filter(corrects=ground)
        left = _total(own) + m2
        if left < 0:
            raise ValidationError({"m2": _("That takes away more than this row ever counted.")})
        room = room_m2(patch)
        if m2 > room:
            raise no_room(patch, m2, room)
        growing = min(NOTHING, left - _total(own, "growing_m2"))
        return _append(
            patch,
            ground.complete_on,
            day=ground.day,
            as_built=ground.as_built,
            corrects=ground,
            kind="correction",
            m2=m2,
            growing_m2=growing,
            reason=reason.strip(),
            by=by,
        )


def take_back(*, day: Day, reason: str, by: Member) -> list[Ground]:
    """The day is opened again: a correction brings each of its rows to nothing, so that closing can count afresh."""
    rows = Ground.of(day.group_id).filter(day=day, corrects=None).select_related("patch").order_by("patch")
    return [correct(ground=row, m2=-left, reason=reason, by=by) for row in rows if (left := stands(row))]


def count_again(*, ground: Ground, as_built: AsBuilt, by: Member) -> Ground | None:
    """What a day that was opened again counts when it is closed; the row it had stays the one it corrects."""
    if not as_built.area_m2:
        return None
    with transaction.atomic():
        patch, day = _lock(ground.patch), ground.day
        if patch.place.same_ground_as_id:
            return None
        if stands(ground):
            return ground
        if as_built.area_m2 > room_m2(patch):
            raise no_room(patch, as_built.area_m2, room_m2(patch))
        return _append(
            patch,
            as_built.complete_on or day.held_on,
            day=day,
            as_built=as_built,
            corrects=ground,
            kind="correction",
            m2=as_built.area_m2,
            growing_m2=_growing_m2(day, patch, as_built),
            reason=_("Counted again after the day was opened again."),
            by=by,
        )


def measure_again(*, patch: Patch, lawn_m2: Decimal, why: str, by: Member) -> Patch:
    """A second measure of a whole patch, with its reason; never smaller than what is already counted."""
    if not why.strip():
        raise ValidationError({"why": _("Say how it was measured, or why the drawing was wrong.")})
    with transaction.atomic():
        patch = _lock(patch)
        least = standing_m2(patch) + patch.kept_m2 + patch.excluded_m2
        if lawn_m2 < least:
            shown = measures.area(least, patch.group.units, 2)
            raise ValidationError({"lawn_m2": _("%s of it is already converted or kept as lawn.") % shown})
        patch.lawn_m2, patch.measured_from, patch.why_measured = lawn_m2, "second measure", why.strip()
        patch.full_clean()
        patch.save(update_fields=["lawn_m2", "measured_from", "why_measured"])
    return patch


def _append(patch: Patch, complete_on: datetime.date, **values) -> Ground:
    counts = count_on(patch.group, complete_on)
    row = Ground(
        group=patch.group,
        patch=patch,
        complete_on=complete_on,
        count_on=counts,
        year=counts.year,
        month=counts.month,
        **values,
    )
    row.full_clean(validate_constraints=False)  # the database asks them anyway, and the lock is held meanwhile
    row.save()
    return row
