"""Changes to a plan's document: each function takes one and returns a new one, so that nothing typed is lost."""

import copy
from collections.abc import Iterable
from dataclasses import replace

from conversions import sizing


def new_document(**defaults: object) -> dict:
    return sizing.write_site(sizing.new_site(**defaults))


def patch_in(document: dict, uid: str) -> dict | None:
    return next((patch for patch in document.get("patches", []) if patch["uid"] == uid), None)


def bed_in(document: dict, uid: str) -> dict | None:
    return next((bed for bed in document.get("beds", []) if bed["uid"] == uid), None)


def beds_of(document: dict, patch_uid: str) -> list[dict]:
    return [bed for bed in document.get("beds", []) if bed["patch"] == patch_uid]


def standing_on(document: dict, patch: dict) -> list[dict]:
    """Everything that stands on a patch: its beds, features and marks."""
    return [*beds_of(document, patch["uid"]), *(patch.get("features") or ()), *(patch.get("marks") or ())]


def _put(rows: list[dict], row: dict) -> list[dict]:
    if any(old["uid"] == row["uid"] for old in rows):
        return [row if old["uid"] == row["uid"] else old for old in rows]
    return [*rows, row]


def top_of(patch: dict) -> float:
    """How high the patch reaches in its own frame, whose box starts at 0, 0."""
    if patch.get("circle"):
        return patch["circle"]["y"] + patch["circle"]["diameter"] / 2
    return max(corner["y"] for corner in patch["corners"])


def right_of(patch: dict) -> float:
    if patch.get("circle"):
        return patch["circle"]["x"] + patch["circle"]["diameter"] / 2
    return max(corner["x"] for corner in patch["corners"])


def with_patch(document: dict, patch: dict) -> dict:
    """The document with this patch put in or exchanged; what stands on it keeps its distance from the top left corner."""
    out, before = copy.deepcopy(document), patch_in(document, patch["uid"])
    patch = copy.deepcopy(patch)
    if before:
        if before.get("marks"):
            patch.setdefault("marks", copy.deepcopy(before["marks"]))
        if measured := (before.get("typed") or {}).get("measured"):
            patch["typed"] = {"measured": measured, **(patch.get("typed") or {})}
        up = top_of(patch) - top_of(before)
        for thing in standing_on(out, patch):
            shift(thing, 0.0, up)
    out["patches"] = _put(out.get("patches", []), patch)
    return out


def shift(thing: dict, right: float, up: float) -> None:
    """Move a corner, a bed, a feature or a mark, in place."""
    if "y" in thing:
        thing["x"], thing["y"] = round(thing["x"] + right, 3), round(thing["y"] + up, 3)
    for key in ("path", "points"):
        if thing.get(key):
            thing[key] = [[round(x + right, 3), round(y + up, 3)] for x, y in thing[key]]


def without_patch(document: dict, uid: str) -> dict:
    out = copy.deepcopy(document)
    out["patches"] = [patch for patch in out["patches"] if patch["uid"] != uid]
    out["beds"] = [bed for bed in out["beds"] if bed["patch"] != uid]
    return out


def with_bed(document: dict, bed: dict) -> dict:
    return {**copy.deepcopy(document), "beds": _put(document.get("beds", []), bed)}


def without_bed(document: dict, uid: str) -> dict:
    out = copy.deepcopy(document)
    out["beds"] = [bed for bed in out["beds"] if bed["uid"] != uid]
    return out


def with_settings(document: dict, settings: dict) -> dict:
    """Depths, layers, soil and distance exchanged; `settings` has the document's own keys."""
    out = copy.deepcopy(document)
    for key, value in settings.items():
        out[key] = {**out.get(key, {}), **value} if isinstance(value, dict) else value
    return out


def laid_out(
    document: dict, patch_uid: str, most_m2: float | None = None, frame_only: bool = False, pockets: bool = False
) -> dict:
    """The document with a first layout of beds in one patch, in place of the beds that were there; see the engine's."""
    bare = copy.deepcopy(document)
    bare["beds"] = [bed for bed in bare["beds"] if bed["patch"] != patch_uid]
    beds = sizing.first_layout(sizing.read_site(bare), patch_uid, most_m2, frame_only, pockets)
    site = replace(sizing.new_site(), beds=tuple(beds))
    return {**bare, "beds": bare["beds"] + sizing.write_site(site)["beds"]}


def only(document: dict, patch_uids: Iterable[str], bed_uids: Iterable[str]) -> dict:
    """The part of a document that the named patches and beds make."""
    patches, beds = set(patch_uids), set(bed_uids)
    out = copy.deepcopy(document)
    out["patches"] = [patch for patch in out["patches"] if patch["uid"] in patches]
    out["beds"] = [bed for bed in out["beds"] if bed["uid"] in beds and bed["patch"] in patches]
    return out
