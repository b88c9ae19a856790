"""Names and ground: a name drawn again on the same place is the same ground, and names may change hands.

A patch is known by its uid, in drawings and in the ledger; people know it by its name.
"""

from collections.abc import Mapping

from .models import Patch, Place
from .walk import unlike


def known_again(place: Place, document: dict) -> dict:
    """The document with a new patch that bears the name of ground kept here before, and off this drawing now, taken for
    that ground: what is converted there already counts for it."""
    kept = {patch.label: str(patch.uid) for patch in place.patches.all()}
    drawn = {patch["uid"] for patch in document["patches"]}
    same = {
        patch["uid"]: kept[patch["label"]]
        for patch in document["patches"]
        if patch["uid"] not in kept.values() and kept.get(patch["label"], patch["uid"]) not in drawn
    }
    if not same:
        return document
    patches = [{**patch, "uid": same.get(patch["uid"], patch["uid"])} for patch in document["patches"]]
    beds = [{**bed, "patch": same.get(bed["patch"], bed["patch"])} for bed in document.get("beds") or ()]
    return {**document, "patches": patches, "beds": beds}


def free_names(place: Place, names: Mapping[str, str]) -> None:
    """Make way for the names about to be written, by uid: they may have been exchanged, and ground that is off the
    drawing gives up its name to what is on it."""
    rows = list(place.patches.select_for_update())
    taken = {*names.values(), *(row.label for row in rows if str(row.uid) not in names)}
    for row in rows:
        wanted = names.get(str(row.uid))
        if wanted is None and row.label in names.values():
            _rename(row, unlike(row.label, taken))
            taken.add(row.label)
        elif wanted not in (None, row.label):
            _rename(row, str(row.uid))  # nobody else's; its own is written next


def _rename(row: Patch, label: str) -> None:
    row.label = label
    row.save(update_fields=["label"])
