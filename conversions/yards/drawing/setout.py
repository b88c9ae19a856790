"""Setting out: two tape distances to every corner of a bed, from two corners that nobody can mistake."""

import math
from dataclasses import dataclass
from itertools import combinations, product

from django.utils.translation import gettext as _
from shapely import prepare
from shapely.geometry import LineString, Point
from shapely.geometry import Polygon as Shape

from .bedding import pocket_numbers
from .frame import at_m, beds_of, centre_line_m, is_drawable, is_round, outline_m, size

FIXED = ("house", "path", "drive", "pavement", "kerb", "garden wall", "fence")
GOOD_ANGLE = math.sin(math.radians(30))  # tapes that meet flatter than this place a peg badly
USELESS_ANGLE = 0.1  # and flatter than this, within several centimetres only
Spot = tuple[float, float]


@dataclass(frozen=True)
class Peg:
    """A point to mark: its letter (a pocket keeps its number), the bed it belongs to, and where it is in metres.

    `string_m`: the string to swing round it, which draws a round end or the edge of a curved bed.
    """

    mark: str
    bed: str
    label: str
    at: Spot
    string_m: float | None = None


@dataclass(frozen=True)
class SetOut:
    """One row: distances in metres, to the millimetre, from the two corners named in `corners`."""

    label: str
    first_m: float
    second_m: float
    corners: tuple[str, str]
    patch: str
    patch_label: str
    bed: str
    mark: str
    string_m: float | None = None
    base_m: float = 0.0  # from one of the two corners to the other


def set_out(site: dict, takeoff: dict | None = None) -> list[SetOut]:
    """A row for every peg of every bed, patch by patch, in the order of the site document."""
    rows = []
    for patch, pegs in pegs_of(site):
        two = reference_corners(patch, pegs)
        base = round(math.dist(two[0][1], two[1][1]), 3)
        for peg in pegs:
            first, second = (math.dist(peg.at, at) for _id, at in two)
            rows.append(
                SetOut(
                    peg.label, round(first, 3), round(second, 3), (two[0][0], two[1][0]),
                    patch["uid"], patch.get("label", ""), peg.bed, peg.mark, peg.string_m, base,
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


def letter(i: int) -> str:
    """a, b … z, aa, ab …"""
    return ("" if i < 26 else letter(i // 26 - 1)) + "abcdefghijklmnopqrstuvwxyz"[i % 26]


def _patch_pegs(site: dict, patch: dict, used: int) -> list[Peg]:
    pegs, numbers = [], pocket_numbers(site)
    for bed in sorted(beds_of(site, patch), key=lambda bed: bed["kind"] == "pocket"):
        if bed["kind"] == "pocket":
            number = str(numbers[bed["uid"]])
            pegs.append(
                Peg(number, bed["uid"], _("Pocket %(number)s, middle") % {"number": number}, (bed["x"], bed["y"]))
            )
            continue
        for words, spot, string_m in _points(bed):
            mark = letter(used)
            used += 1
            pegs.append(Peg(mark, bed["uid"], words % {"peg": mark}, spot, string_m))
    return pegs


def _points(bed: dict) -> list[tuple[str, Spot, float | None]]:
    """Four corners of a bed with square ends; else its middle line, round which a string of half the width is swung."""
    if bed["kind"] == "framed":
        return _corners(bed, _("Framed bed, corner %(peg)s"))
    if not bed.get("path") and not is_round(bed):
        return _corners(bed, _("Mounded bed, corner %(peg)s"))
    line, string = centre_line_m(bed), round(size(bed, "width_m") / 2, 3)
    if len(line) == 2 and math.dist(*line) < 0.05:
        return [(_("Mounded bed, middle %(peg)s"), line[0], string)]
    end, bend = _("Mounded bed, middle of round end %(peg)s"), _("Mounded bed, bend %(peg)s")
    if line[0] == line[-1]:  # a bed that runs round in a ring has no ends
        return [(bend, spot, string) for spot in line[:-1]]
    return [(bend if 0 < i < len(line) - 1 else end, spot, string) for i, spot in enumerate(line)]


def _corners(bed: dict, words: str) -> list[tuple[str, Spot, None]]:
    """Round the bed, so that a string from peg to peg runs along its edge."""
    half, deep = size(bed, "length_m") / 2, size(bed, "width_m") / 2
    return [(words, at_m(bed, x, y), None) for x, y in ((-half, deep), (half, deep), (half, -deep), (-half, -deep))]


# --- the two corners ------------------------------------------------------------------------------------------------
def reference_corners(patch: dict, pegs: list[Peg]) -> tuple[tuple[str, Spot], tuple[str, Spot]]:
    """The two corners from which every peg is in sight and the tapes meet at a good angle; fixed corners first.

    A circle has no corners: two points on its edge take their place, A and B.
    """
    if around := patch.get("circle"):
        return _rim_points(outline_m(patch).buffer(0.01), around, pegs)
    ground = outline_m(patch).buffer(0.01)
    corners = [(corner["id"], (corner["x"], corner["y"])) for corner in patch["corners"]]
    solid = [_solid(patch["corners"], i) for i in range(len(corners))]
    hidden, best = [_hidden(ground, at, pegs) for _id, at in corners], None
    for i, j in combinations(range(len(corners)), 2):
        score = _angles(corners[i][1], corners[j][1], pegs) - hidden[i] - hidden[j]
        next_door = 0.2 if j - i in (1, len(corners) - 1) else 0.0
        score = round(score + 0.1 * (solid[i] + solid[j]) + next_door, 6)
        if best is None or score > best[0]:
            best = (score, corners[i], corners[j])
    return best[1], best[2]


def _rim_points(ground, around: dict, pegs: list[Peg]) -> tuple[tuple[str, Spot], tuple[str, Spot]]:
    """Left and right end of the line across; where tapes from there meet too flat, points a quarter round, or others."""
    r, best = around["diameter"] / 2, None
    for step, start in product((4, 2), range(8)):  # eighths of the way round: opposite each other, then a quarter apart
        at = [math.radians(180 - 45 * start), math.radians(180 - 45 * (start + step))]
        a, b = ((round(around["x"] + r * math.cos(t), 4), round(around["y"] + r * math.sin(t), 4)) for t in at)
        score = round(_angles(a, b, pegs) - _hidden(ground, a, pegs) - _hidden(ground, b, pegs), 6)
        if best is None or score > best[0] + 0.2:  # the line across is the easiest to find
            best = (score, ("A", a), ("B", b))
    return best[1], best[2]


def _solid(corners: list[dict], i: int) -> int:
    """How many of the two sides at a corner end at something that stays where it is."""
    return sum((corners[k].get("beyond") or "open") in FIXED for k in (i - 1, i))


def _angles(a: Spot, b: Spot, pegs: list[Peg]) -> float:
    """How well the tapes from two corners meet: by the flattest, less one for each peg at which they say nothing."""
    sines = [_sine(a, peg.at, b) for peg in pegs]
    return 2 * min([GOOD_ANGLE, *sines]) - sum(sine < USELESS_ANGLE for sine in sines)


def _hidden(ground: Shape, corner: Spot, pegs: list[Peg]) -> int:
    """How many pegs no tape reaches from a corner without leaving the ground."""
    prepare(ground)
    sights = [LineString([corner, peg.at]) if corner != peg.at else Point(corner) for peg in pegs]
    return sum(not ground.covers(sight) for sight in sights)


def _sine(a: Spot, peg: Spot, b: Spot) -> float:
    (ax, ay), (bx, by) = (a[0] - peg[0], a[1] - peg[1]), (b[0] - peg[0], b[1] - peg[1])
    product = math.hypot(ax, ay) * math.hypot(bx, by)
    return abs(ax * by - ay * bx) / product if product else 0.0
