"""A drawing as a browser sends it: read with care, on the depths and numbers that stand."""

import json
import re
import uuid

from conversions import sizing

DRAWN = ("patches", "beds", "north_deg")  # what a board may change; the rest of a document has pages of its own
LARGEST = 500_000  # characters; 300 beds take fewer


def read(text: str, before: dict) -> dict | None:
    """The document `before` with what was drawn in place of what it had; nothing where `text` is no drawing."""
    try:
        sent = json.loads(text) if len(text) <= LARGEST else None
        if not isinstance(sent, dict):
            return None
        document = {**before, **{key: sent[key] for key in DRAWN if key in sent}}
        out = sizing.write_site(sizing.read_site(document))
        return _with_source(out, document) if _has_good_names(out) else None
    except (ValueError, RecursionError, AttributeError, TypeError):  # a SiteError is a ValueError too
        return None


def _has_good_names(document: dict) -> bool:
    """Patches and beds are known by a UUID and corners by a short word: both stand in addresses of pages."""
    for row in document["patches"] + document["beds"]:
        uuid.UUID(row["uid"])
    corners = [corner["id"] for patch in document["patches"] for corner in patch["corners"]]
    return all(re.fullmatch(r"[A-Za-z0-9_-]{1,12}", name) for name in corners)


def _with_source(document: dict, sent: dict) -> dict:
    """A tree that an answer of the visit put there is still that answer's, and follows it."""
    for patch, came in zip(document["patches"], sent["patches"], strict=True):
        for feature, row in zip(patch["features"], came.get("features") or (), strict=True):
            if row.get("by") == "visit":
                feature["by"] = "visit"
    return document
