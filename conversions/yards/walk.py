"""A walk round the edge: what was typed for a shape, turned into one patch of the plan's document.

The words typed stay in the patch (`typed`), so that the form can be shown again as it was written.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from conversions import sizing

from .limits import LONGEST_LABEL

LETTERS = "ABCDEF"


@dataclass(frozen=True)
class Shape:
    """One kind of outline: how many sides it has, and which lengths are typed for it."""

    code: str
    words: object
    sides: int
    typed: tuple[str, ...]  # names of the lengths that are asked for
    follows: Mapping[str, str]  # a side that is as long as another one
    texture: str = "lawn"


SHAPES = {
    shape.code: shape
    for shape in (
        Shape("rectangle", _("Rectangle"), 4, ("A", "B"), {"C": "A", "D": "B"}),
        Shape("L", _("L"), 6, tuple(LETTERS), {}),
        Shape("triangle", _("Triangle"), 3, ("A", "B", "C"), {}),
        Shape("trapezium", _("Trapezium"), 4, ("A", "C", "distance", "offset"), {}),
        Shape("circle", _("Circle"), 0, ("across",), {}),
    )
}
FIRST_LEFT = "C"  # where the usual L turns left
BEYOND = {
    "house": _("House wall"),
    "path": _("Path"),
    "drive": _("Drive"),
    "pavement": _("Pavement"),
    "kerb": _("Kerb"),
    "garden wall": _("Garden wall"),
    "fence": _("Fence"),
    "lawn": _("Neighbour's lawn"),
    "bed": _("Bed"),
    "open": _("Open ground"),
}
BEYOND_TEXTURE = {
    "house": "timber", "path": "hard", "drive": "hard", "pavement": "hard", "kerb": "hard", "garden wall": "hard",
    "fence": "timber", "lawn": "lawn", "bed": "compost", "open": "todo",
}  # fmt: skip
HARD = ("path", "drive", "pavement", "kerb", "garden wall")  # what gets a trench
ZONES = {"front": _("Front lawn"), "back": _("Back lawn"), "side": _("Side lawn"), "other": _("Lawn")}
ROUND = "round"


def corners_of(shape: str) -> tuple[str, ...]:
    """The corners that own a side; a circle's one side is called round."""
    return tuple(LETTERS[: SHAPES[shape].sides]) or (ROUND,)


def side_words(shape: str, name: str) -> str:
    """`side_words("rectangle", "A") == "A to B"`."""
    corners = corners_of(shape)
    if name not in corners or name == ROUND:
        return name
    return between(name, corners[(corners.index(name) + 1) % len(corners)])


def between(one: str, other: str) -> str:
    """The side from one corner to the other, in the reader's words: `between("A", "B") == "A to B"`."""
    return _("%(one)s to %(other)s") % {"one": one, "other": other}


def outline(shape: str, metres: Mapping[str, Decimal | None], turns: Mapping[str, str]) -> dict:
    """The corners, or the circle, of a typed shape. Raises sizing.SiteError when the walk does not close."""
    m = {name: None if value is None else float(value) for name, value in metres.items()}
    if shape == "circle":
        around = sizing.circle(m["across"])
        return {"corners": [], "circle": {"x": around.x_m, "y": around.y_m, "diameter": around.diameter_m}}
    if shape == "rectangle":
        points = sizing.rectangle(m["A"], m["B"])
    elif shape == "L":
        points = sizing.l_shape([m[c] for c in LETTERS], [turns.get(c, "right") for c in LETTERS])
    elif shape == "triangle":
        points = sizing.triangle(m["A"], m["B"], m["C"])
    else:
        points = sizing.trapezium(m["A"], m["C"], m["distance"], m["offset"] or 0.0)
    return {"corners": [{"id": c, "x": x, "y": y} for c, (x, y) in zip(LETTERS, points, strict=False)], "circle": None}


def patch_document(
    *,
    uid: str,
    label: str,
    zone: str,
    shape: str,
    metres: Mapping[str, Decimal | None],
    raw: Mapping[str, str],
    beyond: Mapping[str, str],
    turns: Mapping[str, str] | None = None,
    units: str = "metric",
    why_long: str = "",
    ground_before: str = "lawn",
    features: list | None = None,
) -> dict:
    """One patch as the plan's document keeps it, raw words and all."""
    turns = dict(turns or {})
    drawn = outline(shape, metres, turns)
    for corner in drawn["corners"]:
        followed = SHAPES[shape].follows.get(corner["id"], corner["id"])
        corner["beyond"], corner["typed"] = beyond.get(corner["id"], "open"), raw.get(followed, "")
    if drawn["circle"]:
        drawn["circle"] |= {"beyond": beyond.get(ROUND, "open"), "typed": raw["across"]}
    typed = {"lengths": dict(raw), "units": units}
    if turns:
        typed["turns"] = turns
    if why_long:
        typed["why_long"] = why_long
    return {
        "uid": uid, "label": label, "zone": zone, "ground_before": ground_before, "shape": shape, "typed": typed,
        **drawn, "features": list(features or []),
    }  # fmt: skip


def unlike(label: str, others: Collection[str]) -> str:
    """The label, numbered where another patch has it: "Front lawn 2"."""
    name, number = label, 2
    while name in others:
        name, number = f"{label[: LONGEST_LABEL - 4]} {number}", number + 1
    return name


def beyond_of(patch: Mapping) -> dict[str, str]:
    """What lies beyond each side of a patch document, by corner."""
    if patch.get("circle"):
        return {ROUND: patch["circle"].get("beyond", "open")}
    return {corner["id"]: corner.get("beyond", "open") for corner in patch["corners"]}
