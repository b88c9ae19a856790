"""What was built on a day, patch by patch: as drawn in one tap, measured, or only a part of it."""

import uuid as uuids
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from conversions.groups.models import Member
from conversions.groups.tenancy import move
from conversions.yards.models import Patch

from . import ledger
from .models import OPEN, AsBuilt, Day, DayPatch, Ground


def made_elsewhere(day: Day, patch: Patch) -> Decimal:
    """What is counted on this patch, with what other days have built but not closed yet."""
    total = ledger.standing_m2(patch)
    written = Ground.of(day.group_id).filter(patch=patch, corrects=None).values("day")
    rows = AsBuilt.of(day.group_id).filter(patch=patch, day__state__in=OPEN, day__kind="build").exclude(day=day)
    latest = {row.day_id: row.area_m2 for row in rows.exclude(day__in=written).order_by("n")}
    return total + sum(latest.values(), Decimal("0.00"))


def as_drawn_m2(day: Day, row: DayPatch) -> Decimal:
    """What "As drawn" means today: what was planned, or what is left of the patch if that is less."""
    if day.kind == "rescue":
        return Decimal("0.00")
    left = row.patch.coverable_m2 - made_elsewhere(day, row.patch)
    return max(Decimal("0.00"), min(row.planned_m2, left))


def record_as_built(
    *,
    day: Day,
    patch: Patch,
    by: Member,
    area_m2: Decimal | None = None,
    how: str = "as drawn",
    is_complete: bool = True,
    why_different: str = "",
    layers: int | None = None,
    depth_mm: int | None = None,
    checked_by: str = "",
    lawn_m2: Decimal | None = None,
    uid: uuids.UUID | None = None,
) -> AsBuilt:
    """One more row of what was made complete that day; the last one holds, so recording again undoes.

    `area_m2` left out means as drawn. `lawn_m2` is the whole patch measured again.
    """
    with transaction.atomic():
        patch = Patch.of(day.group_id).select_for_update().get(pk=patch.pk)
        row = DayPatch.of(day.group_id).select_related("patch").filter(day=day, patch=patch).first()
        _may_record(day, row)
        known = AsBuilt.of(day.group_id).filter(uid=uid).first() if uid else None
        if known:
            return known
        if lawn_m2:
            row.patch = patch = ledger.measure_again(patch=patch, lawn_m2=lawn_m2, why=why_different, by=by)
        drawn = as_drawn_m2(day, row)
        area = drawn if area_m2 is None else area_m2
        _check_area(day, patch, area, drawn, is_complete, why_different)
        last = AsBuilt.of(day.group_id).filter(day=day, patch=patch).order_by("-n").first()
        built = AsBuilt(
            group=day.group, uid=uid or uuids.uuid4(), day=day, patch=patch, n=last.n + 1 if last else 1, area_m2=area,
            how=how, measured_by=by, checked_by=checked_by, layers=layers, depth_mm=depth_mm, is_complete=is_complete,
            complete_on=day.held_on if is_complete else None, why_different=why_different.strip(),
        )  # fmt: skip
        if last and _says_the_same(last, built):
            return last
        built.full_clean()
        built.save()
        move(day, ("planned", "confirmed", "moved"), state="under way")
    return built


def _may_record(day: Day, row: DayPatch | None) -> None:
    if row is None:
        raise ValidationError(_("This patch does not belong to this day."))
    day.refresh_from_db()
    if day.state == "closed":
        raise ValidationError(_("This day is closed. Square metres now change only by a correction with its reason."))
    if day.state == "cancelled":
        raise ValidationError(_("This day was called off. Take that back first."))
    if day.held_on > day.group.today():
        raise ValidationError(_("This day is still to come. Write down what was built once it is."))


def _check_area(day: Day, patch: Patch, area: Decimal, drawn: Decimal, is_complete: bool, why: str) -> None:
    if area < 0:
        raise ValidationError({"area_m2": _("An area cannot be less than nothing.")})
    errors = {}
    if is_complete and area != drawn and not why.strip():
        errors["why_different"] = _("Say in a few words why it differs from the drawing.")
    room = patch.coverable_m2 - made_elsewhere(day, patch)
    if area > room and day.kind == "build":
        errors["area_m2"] = ledger.no_room(patch, area, room).messages
    if errors:
        raise ValidationError(errors)


def _says_the_same(last: AsBuilt, new: AsBuilt) -> bool:
    same = ("area_m2", "how", "layers", "depth_mm", "is_complete", "complete_on", "why_different", "checked_by")
    return all(getattr(last, name) == getattr(new, name) for name in same)


def latest_as_built(day: Day) -> dict[int, AsBuilt]:
    """The row that holds for each patch of a day, by patch key."""
    rows = AsBuilt.of(day.group_id).filter(day=day).select_related("measured_by__user", "patch").order_by("n")
    return {row.patch_id: row for row in rows}
