"""Layers of cardboard: the second layer is laid so that its joints do not lie over the joints of the first."""

import math
from dataclasses import dataclass

from . import cardboard
from .cardboard import Course, Laying

CLOSE_SHARE = 0.9  # joints nearer than this share of a lap count as one over the other
ALLOWED_SHARE = 0.5  # more joints over joints than this, and the second layer is turned a quarter
ALLOWED_EXTRA = 0.10  # as long as that costs no more than this share of the sheets
MOST_WAYS = 3  # equally cheap orders of the courses that are compared, in each direction
MANY_SHEETS = 300  # above this only a few ways are compared
LAID_UP_TO = 20_000  # sheets a layer; no yard needs more, and a slip of the finger must not take minutes

ESTIMATE_FACTOR = 1.1  # laid rectangles take up to this much more than the bound

Joint = tuple[float, float, float]  # position across, from, to
Way = tuple[list[Course], int, bool]  # courses, quarter turns from the first layer, first course starts at the right


@dataclass(frozen=True)
class Layers:
    """What is laid: odd layers like the first, even layers like the second."""

    first: Laying
    second: Laying
    count: int
    joints_over_joints: float  # share of the second layer's joints that lie over joints of the first
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


def joints(courses: list[Course], lap_m: float, start_right: bool, turn: int) -> tuple[list[Joint], list[Joint]]:
    """Middle lines of all laps: those parallel to x, those parallel to y, turned by `turn` quarters (-1, 0, 1)."""
    level = [
        (upper.low_m + lap_m / 2, start, end)
        for upper in sorted(courses, key=lambda course: course.low_m)[1:]
        for start, end, _ in upper.stretches
    ]
    upright = []
    for n, course in enumerate(courses):
        places = cardboard.sheet_places(course, lap_m, bool(n % 2) != start_right)
        for (_, end), (start, _) in zip(places, places[1:], strict=False):
            if start < end:
                upright.append(((start + end) / 2, course.low_m, course.low_m + course.height_m))
    if turn > 0:  # (x, y) becomes (-y, x)
        return [(x, -top, -low) for x, low, top in upright], [(-y, start, end) for y, start, end in level]
    if turn < 0:  # (x, y) becomes (y, -x)
        return [(-x, low, top) for x, low, top in upright], [(y, -end, -start) for y, start, end in level]
    return level, upright


def share_over(above: tuple[list[Joint], ...], below: tuple[list[Joint], ...], lap_m: float) -> float:
    """Share of the length of one layer's joints that lies over a parallel joint of the layer below."""
    total = covered = 0.0
    close = lap_m * CLOSE_SHARE or 0.01
    for mine, theirs in zip(above, below, strict=True):
        shelf: dict[int, list[Joint]] = {}
        for joint in theirs:
            shelf.setdefault(int(joint[0] // close), []).append(joint)
        for at, start, end in mine:
            total += end - start
            here = int(at // close)
            near = [joint for place in (here - 1, here, here + 1) for joint in shelf.get(place, ())]
            spans = cardboard.merged(
                (a, b) for other, a, b in near if abs(other - at) < close and b > start and a < end
            )
            covered += sum(max(0.0, min(end, b) - max(start, a)) for a, b in spans)
    return covered / total if total else 0.0


def stagger_extra(laying: Laying, lap_m: float) -> int:
    """Sheets more when every second course starts half a sheet over.

    Worked: 10 m, 1.2 m sheets lapped 0.15: (10 + 0.525 - 0.15) / 1.05 = 9.88, still 10 sheets, so nothing more.
    """
    extra = 0
    for course in laying.courses[1::2]:
        half = (course.along_m - lap_m) / 2
        for start, end, count in course.stretches:
            extra += cardboard.sheets_in(end - start + half, course.along_m, lap_m) - count
    return extra


def lay_layers(shape, sheet_m: tuple[float, float], lap_m: float, count: int) -> Layers:
    """All layers over a shape; joints are shifted for nothing where that can be done, else by a quarter turn."""
    x1, y1, x2, y2 = shape.bounds if not shape.is_empty else (0, 0, 0, 0)
    if cardboard.overlap_estimate((x2 - x1) * (y2 - y1), sheet_m, lap_m) > LAID_UP_TO:
        nothing = Laying(0.0, (), ())
        guess = math.ceil(cardboard.overlap_estimate(shape.area, sheet_m, lap_m) * ESTIMATE_FACTOR)
        return Layers(nothing, nothing, count, 0.0, 0, guess)
    if not cardboard.polygons(shape):
        nothing = Laying(0.0, (), ())
        return Layers(nothing, nothing, count, 0.0, 0)
    angle, found = cardboard.search(shape, sheet_m, lap_m, MOST_WAYS)
    first = cardboard.placed(found[0][0], lap_m, angle)
    if count < 2:
        return Layers(first, first, count, 0.0, stagger_extra(first, lap_m))
    most = MOST_WAYS if first.sheets <= MANY_SHEETS else 1
    ways = [(way, turn, right) for turn, some in found.items() for way in some[:most] for right in (True, False)]
    (courses, turn, start_right), share = _choose(ways, first, lap_m)
    second = cardboard.placed(courses, lap_m, angle + 90 * turn, start_right)
    return Layers(first, second, count, share, stagger_extra(first, lap_m))


def _choose(ways: list[Way], first: Laying, lap_m: float) -> tuple[Way, float]:
    """The way whose joints lie least over those of the first layer, for nothing if that is good enough."""
    below = joints(list(first.courses), lap_m, False, 0)
    judged = []
    for n, (courses, turn, start_right) in enumerate(ways):
        share = share_over(joints(courses, lap_m, start_right, turn), below, lap_m)
        judged.append((sum(course.sheets for course in courses) - first.sheets, round(share, 4), n))
    free = min((row for row in judged if row[0] <= 0), key=lambda row: row[1:])
    dear = [row for row in judged if 0 < row[0] <= first.sheets * ALLOWED_EXTRA and row[1] < free[1]]
    _, share, n = min(dear) if dear and free[1] > ALLOWED_SHARE else free
    return ways[n], share
