"""Pictures after the build: for each patch of a day the same spots as before."""

import datetime
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from conversions.groups.models import Member
from conversions.visits import again
from conversions.yards import pictures
from conversions.yards.models import Photo

from .models import Day, DayPatch


@dataclass(frozen=True)
class Lawn:
    row: DayPatch
    wants_none: bool
    spots: list[again.Spot]


def may_take(day: Day, member: Member, today: datetime.date) -> bool:
    """From the day on, and after closing too: a garden looks best a week later."""
    return day.may_run(member) and day.state != "cancelled" and day.on <= today


def of_day(day: Day) -> list[Photo]:
    """Every picture of the places of this day, in one query."""
    places = {yard.place_id for yard in day.yards}
    return list(Photo.of(day.group_id).filter(place__in=places).select_related("patch").order_by("pk"))


def lawns(day: Day, photos: list[Photo], errors: dict[str, str]) -> list[Lawn]:
    """Each patch of the day with its spots."""
    out, refused = [], {yard.pk: again.wants_none(yard) for yard in day.yards}
    for row in day.day_patches.all():
        here = [photo for photo in photos if photo.place_id == row.conversion.place_id]
        after = [photo for photo in here if photo.taken_for == "day"]
        out.append(Lawn(row, refused[row.conversion_id], again.spots(row.patch, here, after, errors)))
    return out


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
    rows = [(row.conversion, row.patch) for row in day.day_patches.all()]
    return again.keep_all(request, rows, taken_for="day", taken_for_id=day.pk)
