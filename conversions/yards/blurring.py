"""Copies of pictures in which somebody cannot be made out; the picture itself stays as restricted as it was."""

import uuid as uuids
from collections.abc import Collection

from django.core.files.storage import default_storage

from conversions.common import photos
from conversions.groups.models import Member

from .models import Photo
from .pictures import stored


def make_copy(*, photo: Photo, cells: Collection[tuple[int, int]], by: Member, uid: uuids.UUID | None = None) -> Photo:
    """A blurred copy, standing where its picture stands. The same uid gives the copy that was made before.

    Whether anybody can still be made out in it is asked anew: until somebody looked, it stays inside the group.
    Raises OSError where the picture's file is gone.
    """
    stands = Photo.of(photo.group_id).filter(uid=uid, blurred_from=photo).first() if uid else None
    if stands:
        return stands
    with default_storage.open(photo.view_key) as file:
        made = photos.blur(file.read(), cells)
    folder = f"{photo.group_id}/{uuids.uuid4().hex}"
    copy = Photo(
        group=photo.group,
        uid=uid or uuids.uuid4(),
        place=photo.place,
        patch=photo.patch,
        slot=photo.slot,
        taken_for=photo.taken_for,
        taken_for_id=photo.taken_for_id,
        original_sha256=made.sha256,
        original_bytes=len(made.view_bytes),
        view_key=f"{folder}/view.jpg",
        thumb_key=f"{folder}/thumb.jpg",
        width=made.width,
        height=made.height,
        taken_at=photo.taken_at,
        received_at=photo.received_at,  # whose consent counts is whoever lived there then
        by=by,
        people="unsure",
        blurred_from=photo,
        is_blurred=True,
    )
    copy.full_clean()
    return stored(copy, {copy.view_key: made.view_bytes, copy.thumb_key: made.thumb_bytes})
