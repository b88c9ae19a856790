"""A drawing as a browser sends it: read with care, on the depths and numbers that stand."""

import json
import re
import uuid

from conversions import sizing

from . import sketch
from .kinds import FEW
from .limits import LONGEST_LABEL

DRAWN = ("patches", "beds", "north_deg")  # what a board may change; the rest of a document has pages of its own
FARTHEST_M = 1000  # farther than any tape
LONGEST_NAME = 12  # letters of a corner's name
UNKEPT = re.compile("[\0\ud800-\udfff]")  # NUL, and half of a sign of two parts: no database keeps them
LARGEST = 500_000  # characters; a yard with as many things as limits.py allows a list takes far fewer


def read(text: str, before: dict) -> dict | None:
    """The document `before` with what was drawn in place of what it had; nothing where `text` is no drawing."""
    try:
        sent = json.loads(text) if len(text) <= LARGEST else None
        if not isinstance(sent, dict):
            return None
        document = {**before, **{key: kept_words(sent[key]) for key in DRAWN if key in sent}}
        document = _with_short_words(document)
        out = sizing.write_site(sizing.read_site(document))
        return _with_typed(_with_source(out, document), before) if _can_be_shown(out) else None
    except (ValueError, RecursionError, AttributeError, TypeError):  # a SiteError is a ValueError too
        return None


def kept_words(node: object) -> object:
    """The same with nothing in its words that no database keeps; a browser sends such where an emoji is cut in half."""
    if isinstance(node, str):
        return UNKEPT.sub("", node)
    if isinstance(node, list):
        return [kept_words(row) for row in node]
    if isinstance(node, dict):
        return {kept_words(key): kept_words(value) for key, value in node.items()}
    return node


def _with_short_words(document: dict) -> dict:
    """Names and labels no longer than the list has room for."""
    patches = [{**patch, "label": str(patch.get("label") or "")[:LONGEST_LABEL]} for patch in document["patches"]]
    for patch in patches:
        for key in ("features", "marks"):
            if patch.get(key):
                patch[key] = [
                    {**row, "label": str(row["label"])[:LONGEST_LABEL]} if row.get("label") else row
                    for row in patch[key]
                ]
    return {**document, "patches": patches}


def _can_be_shown(document: dict) -> bool:
    """Patches have an outline or a rim, not both; they and beds are known by a UUID and corners by a short word, as addresses of pages."""
    if any(bool(patch["circle"]) == bool(patch["corners"]) for patch in document["patches"]):
        return False
    if any(0 < len(patch["corners"]) < FEW["corners"] for patch in document["patches"]):
        return False
    if any(str(uuid.UUID(row["uid"])) != row["uid"] for row in document["patches"] + document["beds"]):
        return False
    corners = [corner["id"] for patch in document["patches"] for corner in patch["corners"]]
    return all(len(name) <= LONGEST_NAME and re.fullmatch(r"[A-Za-z0-9_-]+", name) for name in corners)


def _with_source(document: dict, sent: dict) -> dict:
    """A tree that an answer of the visit put there is still that answer's, and follows it."""
    for patch, came in zip(document["patches"], sent["patches"], strict=True):
        for feature, row in zip(patch["features"], came.get("features") or (), strict=True):
            if row.get("by") == "visit":
                feature["by"] = "visit"
    return document


def _with_typed(document: dict, before: dict) -> dict:
    """What was typed in the walk is not the board's to change; it may add what was measured across."""
    for patch in document["patches"]:
        rows = [_across(row) for row in patch["typed"].get("measured") or ()]
        old = sketch.patch_in(before, patch["uid"])
        patch["typed"] = {key: value for key, value in (old["typed"] if old else {}).items() if key != "measured"}
        if rows:
            patch["typed"]["measured"] = rows
    return document


def _across(row: dict) -> dict:
    """Raises ValueError or TypeError for what is no measure from one corner to another."""
    tape = row.get("tape_m")
    is_number = isinstance(tape, (int, float)) and not isinstance(tape, bool)
    if tape is not None and not (is_number and 0 < tape < FARTHEST_M):
        raise ValueError("no length")
    if any(not isinstance(row.get(end), str) or len(row[end]) > LONGEST_NAME for end in ("from", "to")):
        raise ValueError("no corner")
    return {"from": row["from"], "to": row["to"], "tape_m": tape}
