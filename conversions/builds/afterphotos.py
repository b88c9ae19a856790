"""Pictures after the build: for each patch the same spots as before, with the first picture above and where to stand."""

import datetime
import uuid
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest
from django.utils.translation import gettext as _

from conversions.common.photos import PhotoRefused
from conversions.groups.models import Member
from conversions.visits.actions import Conflict, keep_photo
from conversions.visits.checklist import read_answers
from conversions.visits.saving import who_is_in_it
from conversions.yards import pictures
from conversions.yards.models import Conversion, Photo

from .models import Day, DayPatch

USUAL = ("left", "middle", "right")  # where nobody took a picture before


@dataclass(frozen=True)
class Spot:
    """One place to stand: the picture taken from there before, those taken after, and a field for the next."""

    name: str  # of the field
    slot: str
    words: str
    stand: str
    before: Photo | None
    after: list[Photo]
    uid: uuid.UUID
    error: str


@dataclass(frozen=True)
class Lawn:
    row: DayPatch
    wants_none: bool
    spots: list[Spot]


def may_take(day: Day, member: Member, today: datetime.date) -> bool:
    """From the day on, and after closing too: a garden looks best a week later."""
    return day.may_run(member) and day.state != "cancelled" and day.on <= today


def of_day(day: Day) -> list[Photo]:
    """Every picture of the places of this day, in one query."""
    places = {yard.place_id for yard in day.yards}
    return list(Photo.of(day.group_id).filter(place__in=places).select_related("patch").order_by("pk"))


def wants_none(conversion: Conversion) -> bool:
    return read_answers(conversion).pick("pictures", "pictures") == "none"


def lawns(day: Day, photos: list[Photo], errors: dict[str, str]) -> list[Lawn]:
    """Each patch of the day with its spots."""
    out, refused = [], {yard.pk: wants_none(yard) for yard in day.yards}
    for row in day.day_patches.all():
        here = [photo for photo in photos if photo.place_id == row.conversion.place_id]
        before = [photo for photo in here if photo.taken_for == "visit"]
        after = [photo for photo in here if (photo.taken_for, photo.patch_id) == ("day", row.patch_id)]
        seen = {slot: pictures.latest(before, slot, row.patch_id) for slot in pictures.PAIRED}
        slots = [slot for slot, photo in seen.items() if photo] or list(USUAL)
        spots = [_spot(row, slot, seen[slot], after, errors) for slot in slots]
        out.append(Lawn(row, refused[row.conversion_id], spots))
    return out


def _spot(row: DayPatch, slot: str, before: Photo | None, after: list[Photo], errors: dict[str, str]) -> Spot:
    name = f"photo-{row.patch_id}-{slot}"
    taken = [photo for photo in after if photo.slot == slot]
    words, stand = str(dict(Photo.SLOTS)[slot]), pictures.where_to_stand(slot, is_known=before is not None)
    return Spot(name, slot, words, stand, before, taken, uuid.uuid4(), errors.get(name, ""))


def context(request: HttpRequest, day: Day, errors: dict[str, str] | None = None) -> dict[str, Any]:
    """What the two pages of the day itself and of afterwards show."""
    photos = of_day(day)
    by_place: dict[int, list[Photo]] = {}
    for photo in photos:
        by_place.setdefault(photo.place_id, []).append(photo)
    takes = may_take(day, request.member, request.group.today())
    return {
        "takes_photos": takes,
        "lawns": lawns(day, photos, errors or {}) if takes else [],
        "pairs": [pair for some in by_place.values() for pair in pictures.pairs(some)],
        "people_choices": Photo.PEOPLE,
        "photo_errors": errors,
    }


def keep_all(request: HttpRequest, day: Day) -> tuple[int, dict[str, str]]:
    """Every picture that was chosen goes to its spot: how many, and by field why one was not kept."""
    kept, errors = 0, {}
    for row in day.day_patches.all():
        for slot in pictures.PAIRED:
            name = f"photo-{row.patch_id}-{slot}"
            file = request.FILES.get(name)
            if file is None:
                continue
            try:
                _keep(request, day, row, slot, file, request.POST.get(f"{name}-uid", ""))
                kept += 1
            except PhotoRefused as refused:
                errors[name] = str(refused)
            except (Conflict, ValidationError, IntegrityError):
                errors[name] = _("This picture could not be kept. Choose it once more.")
    return kept, errors


def _keep(request: HttpRequest, day: Day, row: DayPatch, slot: str, file: Any, uid: str) -> Photo:
    if wants_none(row.conversion):
        raise PhotoRefused(_("They asked for no pictures."))
    try:
        known = uuid.UUID(uid)
    except ValueError:
        known = None
    people = who_is_in_it(request.POST.get("photo-people", ""))
    return keep_photo(
        place=row.conversion.place, patch=row.patch, by=request.member, file=file, slot=slot,
        taken_for="day", taken_for_id=day.pk, people=people, uid=known,
    )  # fmt: skip
