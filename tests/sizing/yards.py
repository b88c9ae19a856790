"""Small sites for the tests, and the worked yards of fixtures/yards."""

import json
import re
from pathlib import Path

from conversions.sizing import read_site, rectangle

YARDS = Path(__file__).parents[2] / "fixtures" / "yards"


def corners(points, beyond=()):
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    sides = list(beyond) + ["open"] * (len(points) - len(beyond))
    return [{"id": letters[i], "x": x, "y": y, "beyond": sides[i]} for i, (x, y) in enumerate(points)]


def patch(points, beyond=(), uid="front", **more):
    return {"uid": uid, "label": uid.title(), "shape": "outline", "corners": corners(points, beyond), **more}


def document(*patches, beds=(), **more):
    return {"schema": 1, "patches": list(patches), "beds": list(beds), **more}


def site(*patches, beds=(), **more):
    return read_site(document(*patches, beds=beds, **more))


def plain(width=8, depth=6, beyond=("house", "drive", "pavement", "path"), **more):
    return site(patch(rectangle(width, depth), beyond), **more)


def worked(name):
    """A yard's document and the figures worked by hand: [(key, 'value' | 'low' | 'high', number as written)]."""
    text = (YARDS / f"{name}.md").read_text(encoding="utf-8")
    rows = re.findall(r"^= (\w+)(?: (low|high))? (-?[\d.]+)$", text, re.MULTILINE)
    return json.loads((YARDS / f"{name}.json").read_text()), [(k, part or "value", number) for k, part, number in rows]
