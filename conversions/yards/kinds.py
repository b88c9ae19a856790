"""What can stand on the drawing board: each kind of thing, what is typed of it, and how large it is at first."""

from dataclasses import dataclass, field

from django.utils.translation import gettext_lazy

from . import walk
from .drawing.marks import WORDS as MARK

FEW = {"corners": 3, "path": 2, "points": 2, "hole": 3}  # corners or points that a line or an outline cannot do without

# The public marking code: American Public Works Association, Uniform Color Code. Colours in drawing/textures.py.
SERVICES = {
    "": gettext_lazy("Not known"),  # what runs there is never answered by a default
    "electric": gettext_lazy("Electric (red)"),
    "gas": gettext_lazy("Gas, oil, steam (yellow)"),
    "communications": gettext_lazy("Phone, cable (orange)"),
    "water": gettext_lazy("Drinking water (blue)"),
    "sewer": gettext_lazy("Sewer, drain (green)"),
    "reclaimed": gettext_lazy("Reclaimed water (purple)"),
    "survey": gettext_lazy("Survey mark (pink)"),
    "proposed": gettext_lazy("Proposed digging (white)"),
}
ENDS = {"round": gettext_lazy("Round"), "square": gettext_lazy("Square")}
WHERE_IT_IS = {
    "front": gettext_lazy("Front"),
    "back": gettext_lazy("Back"),
    "side": gettext_lazy("Side"),
    "other": gettext_lazy("Elsewhere"),
}
BEFORE = {"lawn": gettext_lazy("Lawn"), "other": gettext_lazy("Not lawn: it is drawn, never counted")}
PICKS = {"beyond": walk.BEYOND, "service": SERVICES, "ends": ENDS, "zone": WHERE_IT_IS, "ground": BEFORE}


@dataclass(frozen=True)
class Cell:
    """One thing to type. how: place, length, small (mm or inches), degrees, words, or the name of a row of picks."""

    key: str
    words: object
    how: str


@dataclass(frozen=True)
class Kind:
    """One kind of thing: its name, what is typed of it, how large it is at first, and its list of points if any."""

    words: object
    cells: tuple[Cell, ...] = ()
    usual: dict = field(default_factory=dict)
    points: str = ""  # the key of its list of points, if it has one
    texture: str = ""


X = Cell("x", gettext_lazy("To the right"), "place")
Y = Cell("y", gettext_lazy("Up"), "place")
WIDE = Cell("width_m", gettext_lazy("Wide"), "length")
LONG = Cell("length_m", gettext_lazy("Long"), "length")
HIGH = Cell("height_m", gettext_lazy("High, settled"), "small")
TURN = Cell("turn_deg", gettext_lazy("Turned, degrees"), "degrees")
BEYOND = Cell("beyond", gettext_lazy("Beyond this side"), "beyond")
LABEL = Cell("label", gettext_lazy("Words beside it"), "words")

KINDS = {
    "patch": Kind(
        gettext_lazy("Patch"),
        (
            Cell("label", gettext_lazy("Name of this patch"), "words"),
            Cell("zone", gettext_lazy("Where is it?"), "zone"),
            Cell("ground_before", gettext_lazy("What is there now?"), "ground"),
        ),
    ),
    "corner": Kind(gettext_lazy("Corner"), (X, Y, BEYOND), texture="lawn"),
    "circle": Kind(gettext_lazy("Circle"), (X, Y, Cell("diameter", gettext_lazy("Across"), "length"), BEYOND)),
    "mounded": Kind(
        gettext_lazy("Mounded bed"),
        (X, Y, LONG, WIDE, HIGH, TURN, Cell("ends", gettext_lazy("Ends"), "ends")),
        {"length_m": 3.0, "width_m": 1.2, "height_m": 0.15, "turn_deg": 0.0, "ends": "round"},
        texture="compost",
    ),
    "along": Kind(
        gettext_lazy("Curved bed"), (WIDE, HIGH), {"width_m": 1.2, "height_m": 0.15}, points="path", texture="soil"
    ),
    "framed": Kind(
        gettext_lazy("Framed bed"),
        (X, Y, LONG, WIDE, HIGH, Cell("board_m", gettext_lazy("Board, thick"), "small"), TURN),
        {"length_m": 2.4, "width_m": 1.2, "height_m": 0.2, "board_m": 0.038, "turn_deg": 0.0},
        texture="timber",
    ),
    "pocket": Kind(
        gettext_lazy("Planting pocket"),
        (
            X,
            Y,
            Cell("top_m", gettext_lazy("Across at the top"), "small"),
            Cell("bottom_m", gettext_lazy("Across below"), "small"),
            HIGH,
        ),
        {"top_m": 0.4, "bottom_m": 0.2, "height_m": 0.2},
        texture="chip",
    ),
    "tree": Kind(
        gettext_lazy("Tree"),
        (X, Y, Cell("trunk_m", gettext_lazy("Trunk, across"), "small"), LABEL),
        {"trunk_m": 0.2},
        texture="plant",
    ),
    "line": Kind(
        gettext_lazy("Marked line"), (Cell("service", gettext_lazy("What runs there"), "service"),),
        {"service": ""}, points="points", texture="stop",
    ),
    "tap": Kind(MARK["tap"], (X, Y), texture="water"),
    "heap": Kind(MARK["heap"], (X, Y), texture="chip"),
    "downspout": Kind(MARK["downspout"], (X, Y), texture="neutral"),
    "north": Kind(gettext_lazy("North"), texture="todo"),
    "hole": Kind(gettext_lazy("Not lawn"), (BEYOND, LABEL), {"beyond": "open"}, points="points", texture="hard"),
    "painted wall": Kind(gettext_lazy("Old paint")),
    "right of way": Kind(gettext_lazy("Right of way")),
    "building": Kind(gettext_lazy("Building")),
    "across": Kind(
        gettext_lazy("Measured across"),
        (
            Cell("from", gettext_lazy("From corner"), "letter"),
            Cell("to", gettext_lazy("To corner"), "letter"),
            Cell("tape_m", gettext_lazy("The tape says"), "length"),
        ),
        {"tape_m": None},
        texture="card",
    ),
}  # fmt: skip
BEDS = ("mounded", "along", "framed", "pocket")
MARKS = tuple(MARK)
PUT = (
    "corner",
    "mounded",
    "along",
    "framed",
    "pocket",
    "tree",
    "line",
    "hole",
    *MARKS,
    "north",
)  # the row of materials
WHERE = {**dict.fromkeys(("tree", "line", "hole"), "features"), **dict.fromkeys(MARKS, "marks")}


def few(kind: str) -> int:
    """How many points a thing of this kind cannot do without; 0 where it has none."""
    return FEW.get(kind, FEW.get(KINDS[kind].points, 0))
