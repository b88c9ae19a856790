"""Layers of cardboard: the second layer is laid so that no joint of it lies along a joint of the first, where it can."""

import math
from dataclasses import dataclass

from . import cardboard, courses
from .cardboard import Laying
from .courses import Course, Rings
from .joints import joints, level_lines, share_over
from .shifting import clear_rows, heights_of, moved_along, moved_rows, row_orders

GOOD_SHARE = 0.02  # so few joints over joints need no sheet more
ALLOWED_EXTRA = 0.20  # sheets more, as a share of a layer, that shifting the joints may cost
MOST_WAYS = 3  # equally cheap orders of the courses that are compared
MANY_SHEETS = 300  # above this only the most promising order of the courses is laid out
LAID_UP_TO = 20_000  # sheets a layer; no yard needs more, and a slip of the finger must not take minutes

ESTIMATE_FACTOR = 1.1  # laid rectangles take up to this much more than the bound

NOTHING = Laying(0.0, (), ())


@dataclass(frozen=True)
class Layers:
    """What is laid: odd layers like the first, even layers like the second."""

    first: Laying
    second: Laying
    count: int
    joints_over_joints: float  # share of the second layer's joints that lie along joints of the first
    stagger_extra: int  # sheets more in a layer whose odd courses start half a sheet over; not counted in
    estimated: int = 0  # sheets a layer where there are too many to lay one by one

    @property
    def sheets(self) -> int:
        if self.estimated:
            return self.estimated * self.count
        return self.first.sheets * (self.count - self.count // 2) + self.second.sheets * (self.count // 2)

    @property
    def shift_extra(self) -> int:
        """Sheets that shifting the joints costs over all layers."""
        return 0 if self.estimated else self.sheets - self.first.sheets * self.count


def stagger_extra(laying: Laying, lap_m: float) -> int:
    """Sheets more when every second course starts half a sheet over.

    Worked: 10 m, 1.2 m sheets lapped 0.15: (10 + 0.525 - 0.15) / 1.05 = 9.88, still 10 sheets, so nothing more.
    """
    extra = 0
    for course in laying.courses[1::2]:
        half = (course.along_m - lap_m) / 2
        for stretch in course.stretches:
            over = stretch.end_m - stretch.start_m + half
            extra += max(0, courses.sheets_in(over, course.along_m, lap_m) - math.ceil(stretch.sheets * course.parts))
    return extra


def lay_layers(shape, sheet_m: tuple[float, float], lap_m: float, count: int) -> Layers:
    """All layers over a shape; joints are shifted for nothing where that can be done, else for a few sheets more."""
    x1, y1, x2, y2 = shape.bounds if not shape.is_empty else (0, 0, 0, 0)
    if cardboard.overlap_estimate((x2 - x1) * (y2 - y1), sheet_m, lap_m) > LAID_UP_TO:
        guess = math.ceil(cardboard.overlap_estimate(shape.area, sheet_m, lap_m) * ESTIMATE_FACTOR)
        return Layers(NOTHING, NOTHING, count, 0.0, 0, guess)
    if not cardboard.polygons(shape):
        return Layers(NOTHING, NOTHING, count, 0.0, 0)
    frame, ways, is_cut = cardboard.search(shape, sheet_m, lap_m, MOST_WAYS)
    below = _evenly(frame.rings, ways[0], lap_m, is_cut, count)
    first = cardboard.placed(below, lap_m, frame)
    extra = stagger_extra(first, lap_m)
    if count < 2:
        return Layers(first, first, count, 0.0, extra)
    above, share = _second(frame.rings, ways, below, sheet_m, lap_m, is_cut)
    return Layers(first, cardboard.placed(above, lap_m, frame), count, share, extra)


def _evenly(rings: Rings, way: list[Course], lap_m: float, is_cut: bool, count: int) -> list[Course]:
    """The courses with equal laps from the bottom up, where that takes no sheet more; else as found."""
    rows = moved_rows(heights_of(way), way[0].low_m, lap_m)
    if all(abs(row.low_m - course.low_m) < courses.EPSILON for row, course in zip(rows, way, strict=True)):
        return courses.staggered(way, lap_m, count < 2)
    even = courses.courses_at(rings, rows, lap_m, is_cut)
    fewer = courses.count_of(even) <= courses.count_of(way)
    return courses.staggered(even if fewer else way, lap_m, count < 2)


def _second(rings: Rings, ways, below: list[Course], sheet_m, lap_m: float, is_cut: bool) -> tuple[list[Course], float]:
    """Courses of the second layer, and the share of its joints that lie along joints of the first."""
    sheets, lines, levels = courses.count_of(below), joints(below, lap_m), level_lines(below, lap_m)
    allowed = max(2, int(sheets * ALLOWED_EXTRA))
    span = min(y for ring in rings for _, y in ring), max(y for ring in rings for _, y in ring)
    plain = clear_rows(row_orders(ways, sheet_m, lap_m, False), levels, span, lap_m)
    tries = [(plain[0][1], False), (plain[0][1], True)]
    if plain[0][0]:  # level joints along level joints, wherever these courses are moved
        dear = clear_rows(row_orders(ways[:1], sheet_m, lap_m, True), levels, span, lap_m)
        tries += [(dear[0][1], False), (dear[0][1], True)]
    elif len(plain) > 1 and sheets <= MANY_SHEETS:
        tries[1:1] = [(plain[1][1], False)]
    best = None
    for rows, may_add in tries:
        above = moved_along(courses.courses_at(rings, rows, lap_m, is_cut), below, lap_m, may_add)
        extra = courses.count_of(above) - sheets
        if best is None or extra <= allowed:
            share = share_over(joints(above, lap_m), lines, lap_m)
            key = round(extra / sheets + share, 4), extra
            best = (key, above, share) if best is None or key < best[0] else best
        if best[2] <= GOOD_SHARE:
            break
    return best[1], best[2]
