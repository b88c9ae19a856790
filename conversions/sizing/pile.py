"""A mixed pile of boxes: what it covers, course by course, and how much paper must stand in when it runs out."""

import math
from dataclasses import dataclass, replace

from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from . import cardboard
from .cardboard import overlap_estimate
from .courses import EPSILON, Course, Row, courses_at, sheet_places, staggered
from .joints import joints, share_over
from .shifting import moved_along

# Sheets of paper that stand in for one layer of card: common practice, no source. Published advice disagrees (3-4, 4-6,
# 18 sheets); these lie in between.
PAPER_SHEETS = {"newspaper": 6, "kraft paper": 3}

Sheet = tuple[float, float]


@dataclass(frozen=True)
class PileLaying:
    """One or more layers out of a pile: what was used of each size, what stayed bare, what is left over."""

    used: tuple[int, ...]
    left: tuple[int, ...]
    covered_m2: float
    bare_m2: float  # over all layers
    courses: tuple[tuple[Course, ...], ...]  # per layer, as they lie once the ground is turned by -direction_deg
    direction_deg: float = 0.0


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
    return math.ceil(overlap_estimate(area_m2, sheet, lap_m) * (1.2 if curved else 1.1) - EPSILON)


def lay_pile(shape, pile: tuple[tuple[Sheet, int], ...], lap_m: float, layers: int = 1) -> PileLaying:
    """Lay a pile largest sheets first, in the direction that leaves least bare; the first layer before the next.

    Courses are of one size, long side along: the largest size that can fill the next course whole is taken. When none
    can, sheets go as far as they reach, and the rest of that course stays bare. Later layers begin where least stays bare
    and fewest of their joints lie along joints of the layer below: from either side, up to three quarters of a course over.
    Largest first, one size to a course, and paper for the rest are common practice, no source.
    """
    rings = cardboard.rings_of(shape)
    turns = [angle + quarter for angle in cardboard.directions(shape, rings) for quarter in (0, 90)] if rings else [0.0]
    return min((_laid(rings, shape.area, pile, lap_m, layers, angle) for angle in turns), key=_bare_and_used)


def _bare_and_used(laid: PileLaying) -> tuple[float, int]:
    return laid.bare_m2, sum(laid.used)


def _laid(rings, area_m2: float, pile, lap_m: float, layers: int, angle_deg: float) -> PileLaying:
    """The pile laid in one direction."""
    left = [count for _, count in pile]
    order = [
        n for n in sorted(range(len(pile)), key=lambda n: -usable_m2(pile[n][0], lap_m)) if min(pile[n][0]) > lap_m
    ]
    there = cardboard.turned(rings, -angle_deg)
    ground = _ground(there)
    all_courses, bare_m2 = [], 0.0
    for _layer in range(layers if rings else 0):
        below = all_courses[-1] if all_courses else ()
        tries = _starts(pile, order, lap_m) if below else [(0.0, False)]
        found = [_tried(there, ground, pile, order, left, lap_m, below, layers, *start) for start in tries]
        _, bare, courses, left = min(found, key=lambda entry: entry[0])
        all_courses.append(tuple(courses))
        bare_m2 += bare
    used = tuple(count - rest for (_, count), rest in zip(pile, left, strict=True))
    bare_m2 = round(bare_m2, 3)
    covered_m2 = round(area_m2 * layers - bare_m2, 3)
    return PileLaying(used, tuple(left), covered_m2, bare_m2, tuple(all_courses), angle_deg)


def _starts(pile, order: list[int], lap_m: float) -> list[tuple[float, bool]]:
    """Where a layer may begin, so that its joints lie clear of those below: (how far over the edge, from the top)."""
    course = max((min(pile[n][0]) - lap_m for n in order), default=0.0)
    return [(course * part / 4, is_down) for is_down in (True, False) for part in range(4)]


def _tried(there, ground, pile, order, left, lap_m: float, below, layers: int, start_m: float, is_down: bool):
    """One way to lay a layer: (what decides, what stays bare, its courses, what is left of the pile)."""
    rest, rings = list(left), [[(x, -y) for x, y in ring] for ring in there] if is_down else there
    courses = _lay_layer(rings, pile, order, rest, lap_m, start_m)
    if is_down:
        courses = [replace(course, low_m=-course.low_m - course.height_m) for course in courses]
    courses = moved_along(courses, below, lap_m, may_add=False) if below else staggered(courses, lap_m, layers < 2)
    bare = ground.difference(_covered(courses, lap_m)).area
    share = share_over(joints(courses, lap_m), joints(list(below), lap_m), lap_m) if below and courses else 0.0
    used = sum(left) - sum(rest)
    return (round(bare, 3), round(share + used / max(1, sum(left)), 4), used), bare, courses, rest


def _ground(rings):
    """The rings as ground again: outlines cover, holes in them do not (even and odd)."""
    shape = Polygon()
    for ring in rings:
        shape = shape.symmetric_difference(Polygon(ring))
    return shape


def _lay_layer(rings, pile, order: list[int], left: list[int], lap_m: float, start_m: float = 0.0) -> list[Course]:
    """Courses from the lowest point up, the first hanging over it by `start_m`; takes its sheets out of `left`."""
    floor = min(y for ring in rings for _, y in ring) - start_m
    high = max(y for ring in rings for _, y in ring)
    courses: list[Course] = []
    while floor < high - EPSILON and any(left[n] for n in order):
        n, course = _next_course(rings, pile, order, left, lap_m, floor)
        left[n] -= round(course.sheets)
        courses.append(course)
        top = course.low_m + course.height_m
        floor = top - (0 if top >= high - EPSILON else lap_m)
    return courses


def _next_course(rings, pile, order: list[int], left: list[int], lap_m: float, floor: float) -> tuple[int, Course]:
    """The largest size that fills the next course whole; else as much of it as one size can."""
    part = None
    for n in order:
        if not left[n]:
            continue
        along, across = max(pile[n][0]), min(pile[n][0])
        (course,) = courses_at(rings, [Row(floor, across, along)], lap_m)
        if course.sheets <= left[n]:
            return n, course
        worth = left[n] * usable_m2(pile[n][0], lap_m)
        if part is None or worth > part[0]:
            part = worth, n, course
    _, n, course = part
    return n, replace(course, stretches=tuple(_as_far_as(course, left[n], lap_m)))


def _as_far_as(course: Course, sheets: int, lap_m: float):
    """Stretches from the first on, until the sheets are used up; the last ends where its last sheet does."""
    for stretch in course.stretches:
        count = min(sheets, stretch.sheets)
        sheets -= count
        if count:
            reach = stretch.start_m + count * (course.along_m - lap_m) + lap_m
            yield stretch._replace(sheets=count, end_m=min(stretch.end_m, reach))


def _covered(courses, lap_m: float):
    return unary_union(
        [
            box(start, course.low_m, end, course.low_m + course.height_m)
            for course in courses
            for places in sheet_places(course, lap_m)
            for start, end in places
        ]
    )


def paper_m2(bare_m2: float, kind: str = "newspaper") -> float:
    """Paper, counted in single sheets, for ground that card did not reach; laps come on top (`paper_sheets`).

    >>> paper_m2(4.0, "newspaper")
    24.0
    """
    return bare_m2 * PAPER_SHEETS[kind]


def paper_sheets(bare_m2: float, sheet: Sheet, lap_m: float, kind: str = "newspaper") -> int:
    """Sheets of paper for bare ground, lapped like card. By area: with torn edges to fill, bring some more.

    >>> paper_sheets(4.0, (0.75, 0.55), 0.15, "newspaper")
    100
    """
    return math.ceil(overlap_estimate(paper_m2(bare_m2, kind), sheet, lap_m) - EPSILON)
