"""The pictures of a household's own ground, from before, that its paper may show."""

import datetime
from typing import Any

from django.core.files.storage import default_storage
from django.utils.translation import gettext_lazy

from conversions.common.dates import date_format
from conversions.people.consents import answers
from conversions.yards.models import Photo
from conversions.yards.pictures import came_on, latest, may_be_shared

MOST = 6
SLOTS = ("middle", "left", "right", "close", "other")
KINDS = ("photo record", "photo public")
FROM = {
    "middle": gettext_lazy("%(patch)s from the middle, %(on)s"),
    "left": gettext_lazy("%(patch)s from the left, %(on)s"),
    "right": gettext_lazy("%(patch)s from the right, %(on)s"),
    "close": gettext_lazy("%(patch)s close up, %(on)s"),
    "other": gettext_lazy("%(patch)s on %(on)s"),
}
YOUR_GROUND = gettext_lazy("Your ground")


def before(conversion: Any) -> list[dict[str, Any]]:
    """At most six, the newest of each spot, and the words under each; the bytes come from `contents`."""
    chosen, is_kept = [], _let_us_keep(conversion)
    photos = [photo for photo in _of_household(conversion) if _may_be_printed(photo, is_kept)]
    for slot in SLOTS:
        for patch in dict.fromkeys(photo.patch_id for photo in photos if photo.slot == slot):
            chosen.append(latest([photo for photo in photos if photo.patch_id == patch], slot, patch))
    return [_shown(photo) for photo in chosen[:MOST]]


def _of_household(conversion: Any) -> list[Photo]:
    """Of this ground, taken on a visit since these people live there."""
    household = conversion.household
    rows = Photo.of(conversion.group_id).filter(place=conversion.place_id, taken_for="visit")
    rows = rows.select_related("patch", "place", "group").order_by("pk")
    until = household.until_on or datetime.date.max
    return [photo for photo in rows if household.from_on <= came_on(photo) <= until]


def _let_us_keep(conversion: Any) -> bool:
    """Whether they said that we may keep or show pictures of their ground; not asked is no."""
    contact = conversion.household.contact_id
    said = answers(conversion.group_id, [contact], KINDS)
    return any(said.get((contact, kind, None)) for kind in KINDS)


def _may_be_printed(photo: Photo, is_kept: bool) -> bool:
    """Their own ground with nobody in it goes on their own paper; somebody in it only as for everybody else."""
    return is_kept if photo.people == "none" else may_be_shared(photo)


def _shown(photo: Photo) -> dict[str, Any]:
    words = {
        "patch": photo.patch.label if photo.patch else str(YOUR_GROUND),
        "on": date_format(came_on(photo), "j F"),
    }
    return {"pk": photo.pk, "key": photo.view_key, "words": str(FROM[photo.slot]) % words}


def contents(pictures: list[dict[str, Any]]) -> dict[int, bytes]:
    """Their bytes by key; a file that is gone is left out."""
    found = {}
    for picture in pictures:
        if default_storage.exists(picture["key"]):
            with default_storage.open(picture["key"]) as file:
                found[picture["pk"]] = file.read()
    return found
