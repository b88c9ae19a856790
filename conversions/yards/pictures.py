"""What holds for pictures: which two make a pair, who may be shown one, which yard it is of, how long it stays as sent."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.groups.models import Group, Member
from conversions.people.consents import answers
from conversions.people.history import note_event

from .models import Conversion, Patch, Photo, Place

PAIRED = ("left", "middle", "right", "close")
STAND = {
    "left": gettext_lazy("Stand far left, with the corner of the house in view."),
    "middle": gettext_lazy("Stand in the middle, with the whole front of the house in view."),
    "right": gettext_lazy("Stand far right, with the corner of the house in view."),
    "close": gettext_lazy("Go near, with the edge of the bed along the bottom of the picture."),
}


def where_to_stand(slot: str, is_known: bool) -> str:
    """The sentence beside the field; `is_known` when the picture from before stands above it."""
    if not is_known:
        return str(STAND[slot])
    return _("%(stand)s Same spot, same height, the same things at the edges as above.") % {"stand": STAND[slot]}


@dataclass(frozen=True)
class Pair:
    """The ground from one spot, before and after."""

    slot: str
    before: Photo
    after: Photo

    @property
    def words(self) -> str:
        return self.after.get_slot_display()


def latest(photos: Iterable[Photo], slot: str, patch_id: int | None) -> Photo | None:
    """The last picture from this spot: of this patch, or else of the ground as a whole."""
    here = [photo for photo in photos if photo.slot == slot]
    exact = [photo for photo in here if photo.patch_id == patch_id]
    return (exact or [photo for photo in here if photo.patch_id is None] or [None])[-1]


def pairs(photos: Iterable[Photo], after: str = "day") -> list[Pair]:
    """Before and after out of the pictures of one place, the newest of each spot; nothing where one of the two lacks.

    `after` is what the second ones were taken for: the build day, or a follow-up.
    """
    photos = sorted(photos, key=lambda photo: (photo.received_at, photo.pk))  # a blurred copy goes for its own picture
    before = [photo for photo in photos if photo.taken_for == "visit"]
    later = [photo for photo in photos if photo.taken_for == after]
    out = []
    for patch_id in dict.fromkeys(photo.patch_id for photo in later):
        for slot in PAIRED:
            then = [photo for photo in later if (photo.patch_id, photo.slot) == (patch_id, slot)]
            first = latest(before, slot, patch_id)
            if then and first:
                out.append(Pair(slot, first, then[-1]))
    return out


# ---- who may be shown it


def came_on(photo: Photo) -> datetime.date:
    """The date on the wall where the group lives: it says who lived there then."""
    return photo.received_at.astimezone(ZoneInfo(photo.group.zone)).date()


def may_be_shared(photo: Photo) -> bool:
    """Whether anybody outside the group may see this picture: the one rule for pages, papers and reports."""
    return why_private(photo) == ""


def why_private(photo: Photo) -> str:
    """What still keeps a picture inside the group, in a sentence; empty when nothing does.

    Nobody asked is no. A picture in which somebody may be seen needs their yes too, a child's beside the parent's own.
    """
    if photo.people == "unsure":
        return _("Nobody has said yet whether someone is in it.")
    on = came_on(photo)
    there = Q(place=photo.place_id, from_on__lte=on) & (Q(until_on=None) | Q(until_on__gte=on))
    contacts = set(photo.place.households.filter(there).values_list("contact", flat=True))
    said = answers(photo.group_id, contacts, ["photo public", "people in photo"])
    if not contacts or not all(said.get((person, "photo public", None)) for person in contacts):
        return _("The household has not said that pictures of their ground may be shown.")
    if photo.people == "none":
        return ""
    if not photo.only_household:
        return _("Somebody in it does not live here, and was not asked.")
    if not all(said.get((person, "people in photo", None)) for person in contacts):
        return _("The household has not said that pictures with them in it may be shown.")
    if photo.people == "child":
        of_children = [yes for (_who, kind, child), yes in said.items() if kind == "people in photo" and child]
        if not of_children or not all(of_children):
            return _("A child is in it, and has not been asked.")
    return ""


# ---- putting it right


def say_who_is_in_it(*, photo: Photo, people: str, only_household: bool = False) -> Photo:
    with transaction.atomic():
        photo = Photo.of(photo.group_id).select_for_update().get(pk=photo.pk)
        photo.people = people
        photo.only_household = only_household and people in ("adult", "child")
        photo.full_clean()
        photo.save(update_fields=["people", "only_household"])
    return photo


def say_where(*, photo: Photo, slot: str, patch: Patch | None) -> Photo:
    """From which spot it was taken, and of which patch: that is what makes two pictures a pair."""
    with transaction.atomic():
        photo = Photo.of(photo.group_id).select_for_update().get(pk=photo.pk)
        photo.slot, photo.patch = slot, patch
        photo.full_clean()
        photo.save(update_fields=["slot", "patch"])
    return photo


def move_to(*, photo: Photo, conversion: Conversion, by: Member) -> Photo:
    """A picture that was filed under the wrong yard goes to the right one; both histories tell it. Twice is once."""
    with transaction.atomic():
        photo = Photo.of(photo.group_id).select_for_update().select_related("place").get(pk=photo.pk)
        if photo.place_id == conversion.place_id:
            return photo
        left = photo.place
        photo.place, photo.patch = conversion.place, None
        photo.taken_for_id = _taken_on(conversion, photo.taken_for)
        photo.full_clean()
        photo.save(update_fields=["place", "patch", "taken_for_id"])
        _tell(photo, left, conversion, by)
    return photo


def _taken_on(conversion: Conversion, taken_for: str) -> int:
    """The visit, the day or the follow-up of the right yard that it belongs to now; 0 where there was none."""
    rows = {
        "visit": conversion.visits.order_by("due_at", "pk").values_list("pk", flat=True),
        "day": conversion.day_patches.order_by("day__on", "day").values_list("day", flat=True),
        "follow-up": conversion.follow_ups.exclude(done_on=None).order_by("done_on").values_list("pk", flat=True),
    }.get(taken_for)
    return (rows.last() if rows is not None else conversion.pk) or 0


def _tell(photo: Photo, left: Place, conversion: Conversion, by: Member) -> None:
    given: dict[str, Any] = {"group": photo.group, "verb": "photo-moved", "by": by}
    words = _("Picture moved to %(place)s: it had been filed here by mistake.") % {"place": conversion.place}
    for other in Conversion.of(photo.group_id).filter(place=left):
        note_event(conversion=other, words=words, **given)
    words = _("Picture moved here from %(place)s, where it had been filed by mistake.") % {"place": left}
    note_event(conversion=conversion, words=words, **given)


# ---- the files


def stored(photo: Photo, files: dict[str, bytes]) -> Photo:
    """The files first, then the row; where either fails nothing of it stays."""
    try:
        for key, content in files.items():
            default_storage.save(key, ContentFile(content))
        with transaction.atomic():
            photo.save()
    except Exception:
        for key in files:
            default_storage.delete(key)
        raise
    return photo


def drop_originals(group: Group, today: datetime.date) -> int:
    """Take away the files as they came, position and all, whose time has run out; how many. The shrunk ones stay."""
    dropped = 0
    for photo in Photo.of(group).filter(original_until_on__lt=today).exclude(original_key=""):
        default_storage.delete(photo.original_key)
        photo.original_key = ""
        photo.save(update_fields=["original_key"])
        dropped += 1
    return dropped
