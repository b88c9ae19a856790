"""A mixed pile of boxes: what it covers, course by course, and how much paper must stand in when it runs out."""

import math
from dataclasses import dataclass

from shapely.geometry import box
from shapely.ops import unary_union

from . import cardboard
from .cardboard import Course

# Sheets of paper that stand in for one layer of card; sources disagree (3-4, 4-6, 18 sheets), so the group may choose.
PAPER_SHEETS = {"newspaper": 6, "kraft paper": 3}

Sheet = tuple[float, float]


@dataclass(frozen=True)
class PileLaying:
    """One or more layers out of a pile: what was used of each size, what stayed bare, what is left over."""

    used: tuple[int, ...]
    left: tuple[int, ...]
    covered_m2: float
    bare_m2: float  # over all layers
    courses: tuple[tuple[Course, ...], ...]  # per layer


def flat_blank_m(length_m: float, width_m: float, height_m: float) -> Sheet:
    """A regular slotted box, slit and opened flat (formula from memory).

    >>> flat_blank_m(18, 18, 16)
    (72, 34)
    """
    return 2 * (length_m + width_m), height_m + width_m


def usable_m2(sheet: Sheet, lap_m: float) -> float:
    """What a sheet adds once it is lapped both ways."""
    return max(0.0, sheet[0] - lap_m) * max(0.0, sheet[1] - lap_m)


def boxes_per_10_m2(sheet: Sheet, lap_m: float) -> float:
    """
    >>> round(boxes_per_10_m2((1.8288, 0.8636), 0.15), 4)
    8.3473
    """
    return 10 / usable_m2(sheet, lap_m)


def estimate_sheets(area_m2: float, sheet: Sheet, lap_m: float, curved: bool = False) -> int:
    """A quick guess without laying: the overlap bound and a tenth more, a fifth on curved outlines.

    >>> estimate_sheets(50, (1.2, 0.8), 0.15)
    81
    """
    return math.ceil(cardboard.overlap_estimate(area_m2, sheet, lap_m) * (1.2 if curved else 1.1) - cardboard.EPSILON)


def lay_pile(shape, pile: tuple[tuple[Sheet, int], ...], lap_m: float, layers: int = 1) -> PileLaying:
    """Lay a pile largest sheets first, whole courses of one size; what no course can be made for stays bare.

    Courses run along x from the bottom; the largest size that can fill the next course whole is taken.
    """
    left = [count for _, count in pile]
    order = sorted(range(len(pile)), key=lambda n: -usable_m2(pile[n][0], lap_m))
    rings = cardboard.rings_of(shape)
    all_courses, bare_m2 = [], 0.0
    for _ in range(layers):
        courses = _lay_layer(rings, pile, order, left, lap_m) if rings else []
        all_courses.append(tuple(courses))
        bare_m2 += shape.difference(_covered(courses, lap_m)).area
    used = tuple(count - rest for (_, count), rest in zip(pile, left, strict=True))
    covered_m2 = shape.area * layers - bare_m2
    return PileLaying(used, tuple(left), round(covered_m2, 3), round(bare_m2, 3), tuple(all_courses))


def _lay_layer(rings, pile, order: list[int], left: list[int], lap_m: float) -> list[Course]:
    low = min(y for ring in rings for _, y in ring)
    high = max(y for ring in rings for _, y in ring)
    courses: list[Course] = []
    floor = low
    while floor < high - cardboard.EPSILON:
        chosen = None
        for n in order:
            along, across = max(pile[n][0]), min(pile[n][0])
            if across <= lap_m:
                continue
            (band,) = cardboard.bands_of(rings, [floor], across)
            stretches = tuple((a, b, cardboard.sheets_in(b - a, along, lap_m)) for a, b in band)
            if sum(count for _, _, count in stretches) <= left[n]:
                chosen = n, Course(floor, across, along, stretches)
                break
        if chosen is None:
            break
        n, course = chosen
        left[n] -= course.sheets
        courses.append(course)
        floor = course.low_m + course.height_m - (0 if course.low_m + course.height_m >= high else lap_m)
    return courses


def _covered(courses: list[Course], lap_m: float):
    sheets = [
        box(start, course.low_m, end, course.low_m + course.height_m)
        for course in courses
        for start, end in cardboard.sheet_places(course, lap_m, False)
    ]
    return unary_union(sheets)


def paper_m2(bare_m2: float, kind: str = "newspaper") -> float:
    """Paper, counted in single sheets, for ground that card did not reach.

    >>> paper_m2(4.0, "newspaper")
    24.0
    """
    return bare_m2 * PAPER_SHEETS[kind]
