"""Pictures at a follow-up: for each finished patch the same spots as before the build."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from conversions.visits import again
from conversions.yards import pictures
from conversions.yards.models import Patch, Photo, Planned

from .models import FollowUp


@dataclass(frozen=True)
class Lawn:
    patch: Patch
    spots: list[again.Spot]


def patches(row: FollowUp) -> list[Patch]:
    """What is finished of the garden, whoever lived there when it was built."""
    built = Planned.of(row.group_id).filter(conversion=row.conversion.built_by).exclude(complete_on=None)
    return [planned.patch for planned in built.select_related("patch").order_by("pk")]


def context(row: FollowUp, errors: dict[str, str] | None = None) -> dict[str, Any]:
    """The spots to stand at, and the pairs of this follow-up with the first pictures."""
    here = list(Photo.of(row.group_id).filter(place=row.conversion.place_id).select_related("patch").order_by("pk"))
    now = [photo for photo in here if (photo.taken_for, photo.taken_for_id) == ("follow-up", row.pk)]
    first = [photo for photo in here if photo.taken_for == "visit"]
    return {
        "wants_no_pictures": again.wants_none(row.conversion),
        "lawns": [Lawn(patch, again.spots(patch, here, now, errors or {})) for patch in patches(row)],
        "pairs": pictures.pairs([*first, *now], after="follow-up"),
        "people_choices": Photo.PEOPLE,
        "photo_errors": errors,
    }


def keep_all(request: HttpRequest, row: FollowUp) -> tuple[int, dict[str, str]]:
    """Every picture that was chosen goes to its spot: how many, and by field why one was not kept."""
    lawns = [(row.conversion, patch) for patch in patches(row)]
    return again.keep_all(request, lawns, taken_for="follow-up", taken_for_id=row.pk)
