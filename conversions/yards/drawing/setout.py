"""Setting out: two tape distances to a peg for every bed, from two corners that nobody can mistake."""

import math
from dataclasses import dataclass
from itertools import combinations

from django.utils.translation import gettext as _
from shapely.geometry import LineString, Point

from .bedding import pocket_numbers
from .frame import at_m, beds_of, centre_line_m, is_drawable, is_round, outline_m, size

FIXED = ("house", "path", "drive", "pavement", "kerb", "garden wall", "fence")
GOOD_ANGLE = math.sin(math.radians(30))  # tapes that meet flatter than this place a peg badly
Spot = tuple[float, float]


@dataclass(frozen=True)
class Peg:
    """A point to mark: its letter (a pocket keeps its number), the bed it belongs to, and where it is in metres."""

    mark: str
    bed: str
    label: str
    at: Spot


@dataclass(frozen=True)
class SetOut:
    """One row: distances in metres from the two corners named in `corners`."""

    label: str
    first_m: float
    second_m: float
    corners: tuple[str, str]
    patch: str
    patch_label: str
    bed: str
    mark: str


def set_out(site: dict, takeoff: dict | None = None) -> list[SetOut]:
    """A row for every peg of every bed, patch by patch, in the order of the site document."""
    rows = []
    for patch, pegs in pegs_of(site):
        two = reference_corners(patch, pegs)
        for peg in pegs:
            first, second = (math.dist(peg.at, at) for _id, at in two)
            rows.append(
                SetOut(
                    peg.label, round(first, 2), round(second, 2), (two[0][0], two[1][0]),
                    patch["uid"], patch.get("label", ""), peg.bed, peg.mark,
                )
            )  # fmt: skip
    return rows


def pegs_of(site: dict) -> list[tuple[dict, list[Peg]]]:
    """The pegs of each patch, lettered through the whole yard."""
    out, used = [], 0
    for patch in site.get("patches") or ():
        if is_drawable(patch):
            pegs = _patch_pegs(site, patch, used)
            used += sum(1 for peg in pegs if not peg.mark.isdigit())
            out.append((patch, pegs))
    return out


def _letter(i: int) -> str:
    """a, b … z, aa, ab …"""
    return ("" if i < 26 else _letter(i // 26 - 1)) + "abcdefghijklmnopqrstuvwxyz"[i % 26]


def _patch_pegs(site: dict, patch: dict, used: int) -> list[Peg]:
    pegs, numbers = [], pocket_numbers(site)
    for bed in sorted(beds_of(site, patch), key=lambda bed: bed["kind"] == "pocket"):
        if bed["kind"] == "pocket":
            number = str(numbers[bed["uid"]])
            pegs.append(
                Peg(number, bed["uid"], _("Pocket %(number)s, middle") % {"number": number}, (bed["x"], bed["y"]))
            )
            continue
        for words, spot in _framed(bed) if bed["kind"] == "framed" else _mounded(bed):
            mark = _letter(used)
            used += 1
            pegs.append(Peg(mark, bed["uid"], words % {"peg": mark}, spot))
    return pegs


def _framed(bed: dict) -> list[tuple[str, Spot]]:
    """Two corners of one long side; the other two follow from the width and the square."""
    half, deep = size(bed, "length_m") / 2, size(bed, "width_m") / 2
    words = _("Framed bed, corner %(peg)s")
    return [(words, at_m(bed, -half, deep)), (words, at_m(bed, half, deep))]


def _mounded(bed: dict) -> list[tuple[str, Spot]]:
    """The middles of the round ends, round which a string of half the width is swung; the bends of a curved bed too."""
    line = centre_line_m(bed)
    ends = _("Mounded bed, middle of round end %(peg)s") if is_round(bed) else _("Mounded bed, middle of end %(peg)s")
    if len(line) == 2 and math.dist(*line) < 0.05:
        return [(_("Mounded bed, middle %(peg)s"), line[0])]
    bend = _("Mounded bed, bend %(peg)s")
    return [(ends if spot in (line[0], line[-1]) else bend, spot) for spot in line]


# --- the two corners ------------------------------------------------------------------------------------------------
def reference_corners(patch: dict, pegs: list[Peg]) -> tuple[tuple[str, Spot], tuple[str, Spot]]:
    """The two corners from which every peg is in sight and the tapes meet at a good angle; fixed corners first.

    A circle has no corners: the two ends of the line across it, A on the left and B on the right.
    """
    if around := patch.get("circle"):
        r = around["diameter"] / 2
        return (("A", (around["x"] - r, around["y"])), ("B", (around["x"] + r, around["y"])))
    ground = outline_m(patch).buffer(0.01)
    corners = [(corner["id"], (corner["x"], corner["y"])) for corner in patch["corners"]]
    solid = [_solid(patch["corners"], i) for i in range(len(corners))]
    best = None
    for i, j in combinations(range(len(corners)), 2):
        score = _score(ground, corners[i][1], corners[j][1], pegs)
        next_door = 0.2 if j - i in (1, len(corners) - 1) else 0.0
        score = round(score + 0.1 * (solid[i] + solid[j]) + next_door, 6)
        if best is None or score > best[0]:
            best = (score, corners[i], corners[j])
    return best[1], best[2]


def _solid(corners: list[dict], i: int) -> int:
    """How many of the two sides at a corner end at something that stays where it is."""
    return sum((corners[k].get("beyond") or "open") in FIXED for k in (i - 1, i))


def _score(ground, a: Spot, b: Spot, pegs: list[Peg]) -> float:
    angle, hidden = GOOD_ANGLE, 0
    for peg in pegs:
        angle = min(angle, _sine(a, peg.at, b))
        for corner in (a, b):
            sight = LineString([corner, peg.at]) if corner != peg.at else Point(corner)
            hidden += not ground.covers(sight)
    return 2 * angle - hidden


def _sine(a: Spot, peg: Spot, b: Spot) -> float:
    (ax, ay), (bx, by) = (a[0] - peg[0], a[1] - peg[1]), (b[0] - peg[0], b[1] - peg[1])
    product = math.hypot(ax, ay) * math.hypot(bx, by)
    return abs(ax * by - ay * bx) / product if product else 0.0
