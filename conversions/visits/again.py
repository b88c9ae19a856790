"""Pictures from the same spots again, after the build and at a follow-up: the first one above, and where to stand."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest
from django.utils.translation import gettext as _

from conversions.common.asked import uid_of
from conversions.common.photos import PhotoRefused
from conversions.yards import pictures
from conversions.yards.models import Conversion, Patch, Photo

from .actions import Conflict, keep_photo
from .no_pictures import refuse_unwanted, wants_none
from .saving import who_is_in_it

__all__ = ["Spot", "keep_all", "spots", "wants_none"]

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


def spots(patch: Patch, here: Iterable[Photo], after: list[Photo], errors: dict[str, str]) -> list[Spot]:
    """The spots of one patch out of the pictures of its place; `after` are those this page has taken already."""
    before = [photo for photo in here if photo.taken_for == "visit"]
    seen = {slot: pictures.latest(before, slot, patch.pk) for slot in pictures.PAIRED}
    slots = [slot for slot, photo in seen.items() if photo] or list(USUAL)
    return [_spot(patch, slot, seen[slot], after, errors) for slot in slots]


def _spot(patch: Patch, slot: str, before: Photo | None, after: list[Photo], errors: dict[str, str]) -> Spot:
    name = f"photo-{patch.pk}-{slot}"
    taken = [photo for photo in after if (photo.patch_id, photo.slot) == (patch.pk, slot)]
    words, stand = str(dict(Photo.SLOTS)[slot]), pictures.where_to_stand(slot, is_known=before is not None)
    return Spot(name, slot, words, stand, before, taken, uuid.uuid4(), errors.get(name, ""))


def keep_all(
    request: HttpRequest, lawns: Iterable[tuple[Conversion, Patch]], **taken: Any
) -> tuple[int, dict[str, str]]:
    """Every picture that was chosen goes to its spot: how many, and by field why one was not kept.

    `taken` says what for: taken_for and taken_for_id.
    """
    kept, errors = 0, {}
    for conversion, patch in lawns:
        for slot in pictures.PAIRED:
            name = f"photo-{patch.pk}-{slot}"
            if name not in request.FILES:
                continue
            try:
                _keep(request, conversion, patch, slot, **taken)
                kept += 1
            except PhotoRefused as refused:
                errors[name] = str(refused)
            except (Conflict, ValidationError, IntegrityError):
                errors[name] = _("This picture could not be kept. Choose it once more.")
    return kept, errors


def _keep(request: HttpRequest, conversion: Conversion, patch: Patch, slot: str, **taken: Any) -> Photo:
    refuse_unwanted(conversion)
    name = f"photo-{patch.pk}-{slot}"
    known = uid_of(request.POST.get(f"{name}-uid"))
    people = who_is_in_it(request.POST.get("photo-people", ""))
    return keep_photo(
        place=conversion.place, patch=patch, by=request.member, file=request.FILES[name], slot=slot, people=people,
        uid=known, **taken,
    )  # fmt: skip
