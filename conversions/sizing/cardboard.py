"""Cardboard: sheets laid course by course on the real outline, in the direction that needs fewest."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import accumulate

from .shapes import polygons

EPSILON = 1e-9

Interval = tuple[float, float]


@dataclass(frozen=True)
class Course:
    """A row of sheets `low_m` to `low_m + height_m` up, over one or more stretches of the outline."""

    low_m: float
    height_m: float
    along_m: float
    stretches: tuple[tuple[float, float, int], ...]  # from, to, sheets

    @property
    def sheets(self) -> int:
        return sum(count for _, _, count in self.stretches)


@dataclass(frozen=True)
class Laying:
    direction_deg: float
    courses: tuple[Course, ...]
    rectangles: tuple[tuple[tuple[float, float], ...], ...]

    @property
    def sheets(self) -> int:
        return sum(course.sheets for course in self.courses)


def sheets_in(width_m: float, along_m: float, lap_m: float) -> int:
    """Sheets in a row over a width.

    >>> sheets_in(10, 1.2, 0.15), sheets_in(5.4, 1.2, 0.15), sheets_in(0.7, 1.2, 0.15)
    (10, 5, 1)
    """
    return max(1, math.ceil((width_m - lap_m) / (along_m - lap_m) - EPSILON))


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


def rings_of(shape) -> list[list[tuple[float, float]]]:
    return [list(ring.coords) for part in polygons(shape) for ring in (part.exterior, *part.interiors)]


def turned(rings, angle_deg: float) -> list[list[tuple[float, float]]]:
    """The rings turned by an angle about the origin."""
    if not angle_deg:
        return rings
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return [[(x * cos - y * sin, x * sin + y * cos) for x, y in ring] for ring in rings]


def merged(intervals: Iterable[Interval]) -> list[Interval]:
    """
    >>> merged([(3, 4), (0, 1), (1, 2)])
    [(0, 2), (3, 4)]
    """
    out: list[Interval] = []
    for start, end in sorted(intervals):
        if out and start <= out[-1][1] + EPSILON:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((start, end))
    return out


def bands_of(rings, lows: list[float], height_m: float) -> list[list[Interval]]:
    """Where the outline reaches into each open band, as merged stretches along the course; lows in rising order."""
    found: list[list[Interval]] = [[] for _ in lows]
    crossings: list[list[float]] = [[] for _ in lows]
    for ring in rings:
        for (x1, y1), (x2, y2) in zip(ring, ring[1:], strict=False):
            low, high = (y1, y2) if y1 < y2 else (y2, y1)
            is_level = high - low <= EPSILON
            slope = 0.0 if is_level else (x2 - x1) / (y2 - y1)
            first, last = bisect_right(lows, low + EPSILON - height_m), bisect_left(lows, high - EPSILON)
            for i in range(first, last):
                if is_level:
                    found[i].append((min(x1, x2), max(x1, x2)))
                    continue
                floor = lows[i]
                a = x1 + (max(low, floor) - y1) * slope
                b = x1 + (min(high, floor + height_m) - y1) * slope
                found[i].append((a, b) if a < b else (b, a))
                middle = floor + height_m / 2
                if (y1 > middle) != (y2 > middle):
                    crossings[i].append(x1 + (middle - y1) * slope)
    for i, xs in enumerate(crossings):
        xs.sort()
        found[i] += list(zip(xs[::2], xs[1::2], strict=False))
    return [merged(intervals) for intervals in found]


def _courses(rings, lows: list[float], along_m: float, across_m: float, lap_m: float) -> list[Course]:
    bands = bands_of(rings, lows, across_m)
    return [
        Course(low, across_m, along_m, tuple((a, b, sheets_in(b - a, along_m, lap_m)) for a, b in band))
        for low, band in zip(lows, bands, strict=True)
    ]


def _stack(rings, low: float, high: float, along: float, across: float, lap: float, from_top: bool) -> list[Course]:
    """Courses of one height over the whole outline, counted from the bottom or from the top."""
    pitch, count = across - lap, sheets_in(high - low, across, lap)
    if from_top:
        lows = [high - across - i * pitch for i in reversed(range(count))]
        return _courses(rings, lows, along, across, lap)[::-1]
    return _courses(rings, [low + i * pitch for i in range(count)], along, across, lap)


def _pairs(bottom: list[Course], top: list[Course], height_m: float, lap_m: float) -> list[tuple[int, int, int, int]]:
    """Every way to start with courses of one stack and end with courses of the other: (sheets, courses, i, k)."""
    step_low, step_high = bottom[0].height_m - lap_m, top[0].height_m - lap_m
    cost_low = [0, *accumulate(course.sheets for course in bottom)]
    cost_high = [0, *accumulate(course.sheets for course in top)]
    out = []
    for i in range(len(bottom) + 1):
        k = max(0, math.ceil((height_m - lap_m - i * step_low) / step_high - EPSILON))
        if i + k and k <= len(top):
            out.append((cost_low[i] + cost_high[k], i + k, i, k))
    return out


def layings_along(rings, sheet_m: tuple[float, float], lap_m: float, most: int = 1) -> list[list[Course]]:
    """The cheapest ways, equally cheap, to lay courses parallel to x: long or short side along, mixed where that saves."""
    low = min(y for ring in rings for _, y in ring)
    high = max(y for ring in rings for _, y in ring)
    long, short = max(sheet_m), min(sheet_m)
    stacks = {
        (across, from_top): _stack(rings, low, high, along, across, lap_m, from_top)
        for along, across in ((long, short), (short, long))
        for from_top in (False, True)
    }
    ways = [
        (way, stacks[a, False], stacks[b, True])
        for a, b in ((short, short), (long, long), (short, long), (long, short))
        for way in _pairs(stacks[a, False], stacks[b, True], high - low, lap_m)
    ]
    best = min(way[:2] for way, _, _ in ways)
    cheapest = [entry for entry in ways if entry[0][:2] == best][:most]
    return [bottom[:i] + top[:k][::-1] for (_, _, i, k), bottom, top in cheapest]


def directions(shape, rings) -> list[float]:
    """The angles worth trying, 0 to 90: those along which much of the outline runs, and that of its tightest box."""
    found: dict[float, list] = {}  # tenth of a degree: [length, exact angle]
    for ring in rings:
        for (x1, y1), (x2, y2) in zip(ring, ring[1:], strict=False):
            angle = math.degrees(math.atan2(y2 - y1, x2 - x1)) % 90
            found.setdefault(round(angle, 1) % 90, [0.0, angle])[0] += math.hypot(x2 - x1, y2 - y1)
    total = sum(length for length, _ in found.values())
    strong = sorted((row for row in found.values() if row[0] > total / 10), key=lambda row: (-row[0], row[1]))
    angles = [angle for _, angle in strong[:3]]
    if sum(length for length, _ in strong) < total / 2:
        (x1, y1), (x2, y2) = list(shape.minimum_rotated_rectangle.exterior.coords)[:2]
        angles.append(math.degrees(math.atan2(y2 - y1, x2 - x1)) % 90)
    return sorted({0.0, *(round(angle, 6) % 90 for angle in angles)})


def sheet_places(course: Course, lap_m: float, to_right: bool) -> list[tuple[float, float]]:
    """Where each sheet of a course starts and ends; slack goes into one lap, at the right or the left end."""
    out = []
    for start, end, count in course.stretches:
        pitch, last = course.along_m - lap_m, max(start, end - course.along_m)
        if to_right:
            starts = [max(start, end - course.along_m - i * pitch) for i in reversed(range(count))]
        else:
            starts = [min(last, start + i * pitch) for i in range(count)]
        out += [(x, x + course.along_m) for x in starts]
    return out


def placed(courses: list[Course], lap_m: float, angle_deg: float, start_right: bool = False) -> Laying:
    """Courses with their sheets: every second course starts from the other end, so that end joints are staggered."""
    out = []
    for n, course in enumerate(courses):
        for x1, x2 in sheet_places(course, lap_m, bool(n % 2) != start_right):
            y1, y2 = course.low_m, course.low_m + course.height_m
            corners = turned([[(x1, y1), (x2, y1), (x2, y2), (x1, y2)]], angle_deg)[0]
            out.append(tuple((round(x, 3), round(y, 3)) for x, y in corners))
    return Laying(angle_deg % 360, tuple(courses), tuple(out))


def search(shape, sheet_m: tuple[float, float], lap_m: float, most: int = 1) -> tuple[float, dict[int, list]]:
    """The best direction, and the cheapest ways in it (0) and a quarter turn from it (1 or -1)."""
    rings = rings_of(shape)
    best = None
    for angle in directions(shape, rings):
        ways = {quarter: layings_along(turned(rings, -angle - quarter), sheet_m, lap_m, most) for quarter in (0, 90)}
        for quarter, found in ways.items():
            key = (sum(course.sheets for course in found[0]), len(found[0]))
            if best is None or key < best[0]:
                other = ways[90 - quarter]
                best = (key, angle + quarter, {0: found, (-1 if quarter else 1): other})
    return best[1], best[2]


def lay(shape, sheet_m: tuple[float, float], lap_m: float) -> Laying:
    """One layer over a shape, in the best of several directions; joints staggered by the slack there is."""
    if not polygons(shape):
        return Laying(0.0, (), ())
    angle, ways = search(shape, sheet_m, lap_m)
    return placed(ways[0][0], lap_m, angle)
