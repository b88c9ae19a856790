"""Courses of sheets over an outline: which stretches a course covers, how many sheets they take, where each lies."""

import math
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

from .shapes import polygons

EPSILON = 1e-9

Interval = tuple[float, float]
Rings = list[list[tuple[float, float]]]


class Stretch(NamedTuple):
    """What one course covers in one go. `sheets` is a whole number, or a half more where the last sheet is cut across.

    The first sheet hangs over the start by `over_m`; `half_first` puts the half sheet at the start.
    """

    start_m: float
    end_m: float
    sheets: float
    over_m: float = 0.0
    half_first: bool = False


@dataclass(frozen=True)
class Course:
    """A row of sheets `low_m` to `low_m + height_m` up, over one or more stretches of the outline.

    A slit course is laid of strips: sheets cut into `parts` along the course, so many pieces to the sheet.
    """

    low_m: float
    height_m: float
    along_m: float
    stretches: tuple[Stretch, ...]
    parts: int = 1

    @property
    def sheets(self) -> float:
        """Whole sheets and parts of sheets."""
        return sum(stretch.sheets for stretch in self.stretches)


class Row(NamedTuple):
    """A course before it is laid."""

    low_m: float
    height_m: float
    along_m: float
    parts: int = 1


def sheets_in(width_m: float, along_m: float, lap_m: float) -> int:
    """Sheets in a row over a width.

    >>> sheets_in(10, 1.2, 0.15), sheets_in(5.4, 1.2, 0.15), sheets_in(0.7, 1.2, 0.15)
    (10, 5, 1)
    """
    return max(1, math.ceil((width_m - lap_m) / (along_m - lap_m) - EPSILON))


def sheets_for(width_m: float, along_m: float, lap_m: float, is_cut: bool = False) -> float:
    """Sheets in a row over a width, in halves where sheets may be cut across and the half does it.

    >>> sheets_for(10, 1.2, 0.15), sheets_for(9.9, 1.2, 0.15, True), sheets_for(10.5, 1.2, 0.15, True)
    (10, 9.5, 10)
    """
    count = sheets_in(width_m, along_m, lap_m)
    if is_cut and can_cut(along_m, lap_m) and width_m <= (count - 1) * (along_m - lap_m) + along_m / 2 + EPSILON:
        return count - 0.5
    return count


def can_cut(side_m: float, lap_m: float, parts: int = 2) -> bool:
    """A part of a sheet is worth laying while it is two laps long."""
    return side_m / parts >= 2 * lap_m - EPSILON


def count_of(courses: Iterable[Course]) -> int:
    """Sheets to bring. Pieces of one size come out of one sheet; the rest of a sheet that is cut otherwise is lost.

    >>> half_end = Course(0, 0.8, 1.2, (Stretch(0, 2, 1.5),))
    >>> count_of([half_end, half_end]), count_of([half_end, Course(1, 0.4, 1.2, (Stretch(0, 2, 1),), 2)])
    (3, 3)
    """
    whole, cut = 0, Counter()
    for course in courses:
        for stretch in course.stretches:
            if course.parts > 1:
                size = (course.along_m, course.height_m)
                cut[max(size), min(size), course.parts] += round(course.parts * stretch.sheets)
                continue
            full, half = divmod(round(2 * stretch.sheets), 2)
            whole += full
            if half:
                size = (course.along_m / 2, course.height_m)
                cut[max(size), min(size), 2] += 1
    return whole + sum(math.ceil(count / parts) for (_, _, parts), count in cut.items())


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


def courses_at(rings: Rings, rows: list[Row], lap_m: float, is_cut: bool = False) -> list[Course]:
    """Rows laid over the outline, in the order given; rows of one height are measured together."""
    found: list[Course | None] = [None] * len(rows)
    for height in {row.height_m for row in rows}:
        order = sorted((n for n, row in enumerate(rows) if row.height_m == height), key=lambda n: rows[n].low_m)
        for n, band in zip(order, bands_of(rings, [rows[n].low_m for n in order], height), strict=True):
            row, ends = rows[n], is_cut and rows[n].parts == 1
            stretches = (Stretch(a, b, sheets_for(b - a, row.along_m, lap_m, ends) / row.parts) for a, b in band)
            found[n] = Course(row.low_m, height, row.along_m, tuple(stretches), row.parts)
    return found


def pieces(course: Course, stretch: Stretch) -> list[float]:
    """How long each piece of a stretch is, from its start."""
    if course.parts > 1:
        return [course.along_m] * round(course.parts * stretch.sheets)
    whole, half = divmod(round(2 * stretch.sheets), 2)
    lengths = [course.along_m] * whole
    if not half:
        return lengths
    return [course.along_m / 2, *lengths] if stretch.half_first else [*lengths, course.along_m / 2]


def slack_m(course: Course, stretch: Stretch, lap_m: float) -> float:
    """What a stretch's sheets reach beyond it."""
    lengths = pieces(course, stretch)
    return max(0.0, sum(lengths) - (len(lengths) - 1) * lap_m - (stretch.end_m - stretch.start_m))


def sheet_places(course: Course, lap_m: float) -> list[list[Interval]]:
    """Where each sheet starts and ends, stretch by stretch; what hangs over the ends is folded back or trimmed."""
    out = []
    for stretch in course.stretches:
        at, places = stretch.start_m - stretch.over_m, []
        for length in pieces(course, stretch):
            places.append((at, at + length))
            at += length - lap_m
        out.append(places)
    return out


def staggered(courses: list[Course], lap_m: float, is_single: bool = True) -> list[Course]:
    """Every second course moved along by up to half a sheet, as far as its sheets reach; a half sheet goes first.

    With layers to follow, only where two laps and more can be had and two are left: there the joints of the next layer
    lie between those of both courses. Else the joints of a layer stay in line, and the next layer is moved.
    """
    return [
        _moved(course, lap_m, 0.0 if is_single else 2 * lap_m) if n % 2 else course for n, course in enumerate(courses)
    ]


def _moved(course: Course, lap_m: float, least_m: float) -> Course:
    half = (course.along_m - lap_m) / 2
    stretches = []
    for stretch in course.stretches:
        is_half = course.parts == 1 and stretch.sheets % 1 > 0
        over = 0.0 if is_half else min(half, slack_m(course, stretch, lap_m))
        if min(over, half) >= least_m - EPSILON or is_half:
            stretch = stretch._replace(over_m=over, half_first=is_half)
        stretches.append(stretch)
    return replace(course, stretches=tuple(stretches))
