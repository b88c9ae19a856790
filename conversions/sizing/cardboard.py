"""Cardboard: sheets laid course by course on the real outline, in the direction that needs fewest.

Whole sheets first. Where rounding up to whole courses and whole sheets costs much (large sheets, a narrow or a small
lawn), sheets are cut and every part laid: in half for the ends of courses, in two or three for one narrow course.
Cutting boxes and using the off-cut is common practice, no source.
"""

import math
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import NamedTuple

from .courses import (
    EPSILON,
    Course,
    Rings,
    Row,
    can_cut,
    count_of,
    courses_at,
    rings_of,
    sheet_places,
    sheets_in,
    staggered,
    turned,
)
from .shapes import polygons

CUT_ABOVE = 1.2  # sheets are cut only where whole ones would take more than this times the overlap bound


@dataclass(frozen=True)
class Laying:
    direction_deg: float
    courses: tuple[Course, ...]
    rectangles: tuple[tuple[tuple[float, float], ...], ...]  # as many as pieces; more than sheets where some are cut

    @property
    def sheets(self) -> int:
        return count_of(self.courses)


def rectangle_sheets(length_m: float, width_m: float, along_m: float, across_m: float, lap_m: float) -> int:
    """One layer on a rectangle.

    >>> rectangle_sheets(10, 5, 1.2, 0.8, 0.15)
    80
    """
    return sheets_in(length_m, along_m, lap_m) * sheets_in(width_m, across_m, lap_m)


def area_bound(area_m2: float, sheet_m: tuple[float, float]) -> int:
    """No laying needs fewer: area over the area of a sheet.

    >>> area_bound(50, (1.2, 0.8))
    53
    """
    return math.ceil(area_m2 / (sheet_m[0] * sheet_m[1]) - EPSILON)


def overlap_estimate(area_m2: float, sheet_m: tuple[float, float], lap_m: float) -> float:
    """Area over what a sheet adds once it is lapped: the bound that a laying is judged against."""
    return area_m2 / ((sheet_m[0] - lap_m) * (sheet_m[1] - lap_m))


def _stack(
    rings: Rings, low: float, high: float, along: float, across: float, lap: float, from_top: bool, is_cut=False
):
    """Courses of one height over the whole outline, counted from the bottom or from the top."""
    pitch, count = across - lap, sheets_in(high - low, across, lap)
    lows = [high - across - i * pitch if from_top else low + i * pitch for i in range(count)]
    return courses_at(rings, [Row(at, across, along) for at in lows], lap, is_cut)


def _pairs(bottom: list[Course], top: list[Course], height_m: float, lap_m: float, slit_m: float = 0.0):
    """Every way to start with courses of one stack and end with courses of the other: (sheets, courses, i, k).

    With `slit_m`, the height of a slit course between them, only those ways that it saves a course.
    """
    step_low, step_high = bottom[0].height_m - lap_m, top[0].height_m - lap_m
    cost_low = [0, *accumulate(course.sheets for course in bottom)]
    cost_high = [0, *accumulate(course.sheets for course in top)]
    out = []
    for i in range(len(bottom) + 1):
        need = height_m - lap_m - i * step_low
        k = max(0, math.ceil(need / step_high - EPSILON))
        if slit_m:
            saved, k = k, max(0, math.ceil((need - slit_m + lap_m) / step_high - EPSILON))
            if k == saved:
                continue
        if i + k and k <= len(top):
            out.append((cost_low[i] + cost_high[k], i + k, i, k))
    return out


def layings_along(rings: Rings, sheet_m: tuple[float, float], lap_m: float, most: int = 1, is_cut: bool = False):
    """The cheapest ways, equally cheap, to lay courses parallel to x: long or short side along, mixed where that saves."""
    low = min(y for ring in rings for _, y in ring)
    high = max(y for ring in rings for _, y in ring)
    lying, standing = (max(sheet_m), min(sheet_m)), (min(sheet_m), max(sheet_m))
    stacks = {
        (side, from_top): _stack(rings, low, high, *side, lap_m, from_top, is_cut)
        for side in (lying, standing)
        for from_top in (False, True)
    }
    ways = []
    for a, b in ((lying, lying), (standing, standing), (lying, standing), (standing, lying)):
        bottom, top = stacks[a, False], stacks[b, True]
        found = _pairs(bottom, top, high - low, lap_m)
        ways += [(cost, count, bottom[:i], [], top[:k]) for cost, count, i, k in found]
        if is_cut:
            ways += _slit_ways(rings, bottom, top, high - low, lap_m)
    least = math.ceil(min(way[0] for way in ways) - EPSILON)
    judged = []
    for cost, count, below, between, above in ways:
        if cost <= least + 1:  # parts of sheets that do not pair up may make it one more
            courses = [*below, *between, *above[::-1]]
            judged.append(((count_of(courses), count), courses))
    best = min(key for key, _ in judged)
    return [courses for key, courses in judged if key == best][:most]


def _slit_ways(rings: Rings, bottom: list[Course], top: list[Course], height_m: float, lap_m: float):
    """Ways with one course of sheets slit in two or three between the two stacks, where that saves a whole course."""
    low, step, out = bottom[0].low_m, bottom[0].height_m - lap_m, []
    for along, across in sorted({(course.along_m, course.height_m) for course in (bottom[0], top[0])}):
        for parts in (2, 3):
            if not can_cut(across, lap_m, parts):
                continue
            high = across / parts
            found = _pairs(bottom, top, height_m, lap_m, high)
            strips = courses_at(rings, [Row(low + i * step, high, along, parts) for _, _, i, _ in found], lap_m)
            for (cost, count, i, k), course in zip(found, strips, strict=True):
                out.append((cost + course.sheets, count + 1, bottom[:i], [course], top[:k]))
    return out


def directions(shape, rings) -> list[float]:
    """The angles worth trying, 0 to 90: those along which much of the outline runs, and that of its tightest box.

    All is rounded before it is compared, so that the same ground drawn elsewhere, or turned, gives the same angles.
    """
    found: dict[float, list] = {}  # tenth of a degree: [length, longest edge, its angle]
    for ring in rings:
        for (x1, y1), (x2, y2) in zip(ring, ring[1:], strict=False):
            angle, length = _steepness(x1, y1, x2, y2), round(math.hypot(x2 - x1, y2 - y1), 3)
            row = found.setdefault(round(angle, 1) % 90, [0.0, 0.0, angle])
            row[0] += length
            if (length, -angle) > (row[1], -row[2]):
                row[1:] = length, angle
    total = sum(length for length, _, _ in found.values())
    strong = sorted(
        (row for row in found.values() if row[0] > total / 10), key=lambda row: (-round(row[0], 3), -row[1], row[2])
    )
    angles = [angle for _, _, angle in strong[:3]]
    if sum(length for length, _, _ in strong) < total / 2:
        (x1, y1), (x2, y2) = list(shape.minimum_rotated_rectangle.exterior.coords)[:2]
        angles.append(_steepness(x1, y1, x2, y2))
    return sorted({0.0, *angles})


def _steepness(x1: float, y1: float, x2: float, y2: float) -> float:
    """The angle of an edge, 0 to 90 degrees, alike after a quarter turn."""
    return round(math.degrees(math.atan2(y2 - y1, x2 - x1)) % 90, 6) % 90


def placed(courses: list[Course], lap_m: float, frame: "Frame") -> Laying:
    """Courses of a frame put back on the ground, with the corners of every sheet."""
    out, back = [], [_put_back(course, *frame.corner_m) for course in courses]
    for course in back:
        y1, y2 = course.low_m, course.low_m + course.height_m
        for x1, x2 in (place for places in sheet_places(course, lap_m) for place in places):
            corners = turned([[(x1, y1), (x2, y1), (x2, y2), (x1, y2)]], frame.angle_deg)[0]
            out.append(tuple((round(x, 3), round(y, 3)) for x, y in corners))
    return Laying(frame.angle_deg % 360, tuple(back), tuple(out))


def _put_back(course: Course, right_m: float, up_m: float) -> Course:
    stretches = (row._replace(start_m=row.start_m + right_m, end_m=row.end_m + right_m) for row in course.stretches)
    return replace(course, low_m=course.low_m + up_m, stretches=tuple(stretches))


class Frame(NamedTuple):
    """The ground turned by -angle, the corner of its box at 0, 0, to a thousandth of a millimetre: the same ground drawn
    elsewhere, or turned, is laid from the very same numbers."""

    angle_deg: float
    corner_m: tuple[float, float]
    rings: Rings
    tie: tuple[float, ...]  # what decides between directions that take the same


def search(shape, sheet_m: tuple[float, float], lap_m: float, most: int = 1) -> tuple[Frame, list[list[Course]], bool]:
    """The best direction, the cheapest ways to lay in it, and whether sheets are cut. Courses lie in the frame."""
    frames = _frames(shape)
    whole = _best(frames, sheet_m, lap_m, most, is_cut=False)
    if whole[0][0] <= CUT_ABOVE * overlap_estimate(shape.area, sheet_m, lap_m):
        return *whole[1:], False
    cut = _best(frames, sheet_m, lap_m, most, is_cut=True)
    return (*cut[1:], True) if cut[0][0] < whole[0][0] else (*whole[1:], False)


def _frames(shape) -> list[Frame]:
    """Directions to try. Each lies with the heavier end of the ground at the bottom, so that a yard that is drawn
    turned is laid the same."""
    rings, out = rings_of(shape), []
    for angle in (start + quarter for start in directions(shape, rings) for quarter in (0, 90)):
        there, [[(x, y)]] = turned(rings, -angle), turned([list(shape.centroid.coords)], -angle)
        xs, ys = [at for ring in there for at, _ in ring], [at for ring in there for _, at in ring]
        right, up = round(x - (min(xs) + max(xs)) / 2, 3), round(y - (min(ys) + max(ys)) / 2, 3)
        left, low = min(xs), min(ys)
        if (up, right) > (0, 0):
            angle, up, right, left, low = angle + 180, -up, -right, -max(xs), -max(ys)
            there = [[(-x, -y) for x, y in ring] for ring in there]
        moved = [_begun([(round(x - left, 6), round(y - low, 6)) for x, y in ring[:-1]]) for ring in there]
        # the side of the heavier end tells a shape from its mirror image, which is laid otherwise
        tie = round(max(ys) - min(ys), 2), round(up, 2), round(right, 2)
        out.append(Frame(angle, (left, low), sorted(moved), tie))
    return out


def _begun(corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """A ring that begins, and ends, at its first corner from the left, wherever it was begun."""
    first = corners.index(min(corners))
    return [*corners[first:], *corners[: first + 1]]


def _best(frames: list[Frame], sheet_m: tuple[float, float], lap_m: float, most: int, is_cut: bool):
    """((sheets, courses, ...), frame, ways) of the direction that takes fewest sheets."""
    best = None
    for frame in frames:
        ways = layings_along(frame.rings, sheet_m, lap_m, most, is_cut)
        key = (count_of(ways[0]), len(ways[0]), *frame.tie)
        if best is None or key < best[0]:
            best = (key, frame, ways)
    return best


def lay(shape, sheet_m: tuple[float, float], lap_m: float) -> Laying:
    """One layer over a shape, in the best of several directions; joints staggered by the slack there is."""
    if not polygons(shape):
        return Laying(0.0, (), ())
    frame, ways, _ = search(shape, sheet_m, lap_m)
    return placed(staggered(ways[0], lap_m), lap_m, frame)
