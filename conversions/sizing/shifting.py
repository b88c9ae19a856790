"""Shifting joints: moving the courses of a layer up or down, and the sheets along, clear of the layer below.

Moving is free as far as the sheets reach over the outline. Where they do not, a course or a row that starts with half a
sheet moves every joint after it, as in brickwork (common practice, no source).
"""

import math
from bisect import bisect_left
from dataclasses import replace

from .courses import EPSILON, Course, Row, Stretch, can_cut, slack_m
from .joints import Run, clash, close_m, run_of

STEPS = 4  # moves tried between none and as far as the sheets reach

Lines = list[float]


def heights_of(courses: list[Course]) -> list[Row]:
    return [Row(0.0, course.height_m, course.along_m, course.parts) for course in courses]


def moved_rows(rows: list[Row], low_m: float, lap_m: float) -> list[Row]:
    """Rows one on the other from a height up, every lap alike."""
    out = []
    for row in rows:
        out.append(row._replace(low_m=low_m))
        low_m += row.height_m - lap_m
    return out


def distance_m(lines: Lines, at: float) -> float:
    """How far the nearest line is.

    >>> distance_m([1, 2, 4], 3.5), distance_m([], 1)
    (0.5, inf)
    """
    n = bisect_left(lines, at)
    return min((abs(line - at) for line in lines[max(0, n - 1) : n + 1]), default=math.inf)


def moves(reach_m: float, pitch_m: float, lap_m: float) -> set[float]:
    """How far sheets may be moved over an edge, of what they reach: evenly spaced, and the halves and laps that matter."""
    reach = min(reach_m, pitch_m)
    if reach < lap_m / STEPS:
        return {0.0}
    wanted = (pitch_m / 4, pitch_m / 2, 3 * pitch_m / 4, lap_m, reach - lap_m)
    return {reach * n / STEPS for n in range(STEPS + 1)} | {move for move in wanted if 0 < move < reach}


def row_orders(ways: list[list[Course]], sheet_m: tuple[float, float], lap_m: float, is_dear: bool) -> list[list[Row]]:
    """The orders of courses for a second layer: those equally cheap and their reverse; dear ones start with half a course."""
    out = []
    for way in ways:
        rows = heights_of(way)
        out += [rows] if rows == rows[::-1] else [rows, rows[::-1]]
    if not is_dear:
        return out
    along, across = max(sheet_m), min(sheet_m)
    first = Row(0.0, across / 2, along, 2) if can_cut(across, lap_m) else Row(0.0, across, along)
    return [[first, *rows] for rows in out]


def clear_rows(orders: list[list[Row]], levels: Lines, span: tuple[float, float], lap_m: float):
    """Each order of courses moved to where the fewest of its level joints lie along `levels`: (how many do, rows)."""
    low, high = span
    judged = []
    for order, rows in enumerate(orders):
        reach = max(0.0, sum(row.height_m - lap_m for row in rows) + lap_m - (high - low))
        for move in sorted(moves(reach, rows[0].height_m - lap_m, lap_m)):
            there = moved_rows(rows, low - move, lap_m)
            apart = [distance_m(levels, row.low_m + lap_m / 2) for row in there[1:]]
            close = sum(distance < close_m(lap_m) for distance in apart)
            judged.append((close, -round(min(apart, default=0.0), 6), order, move, there))
    best: dict[int, tuple] = {}
    for entry in judged:
        if entry[2] not in best or entry[:2] < best[entry[2]][:2]:
            best[entry[2]] = entry
    return [(entry[0], entry[-1]) for entry in sorted(best.values(), key=lambda entry: entry[:4])]


def moved_along(laid: list[Course], below: list[Course], lap_m: float, may_add: bool) -> list[Course]:
    """Sheets of each course moved along, clear of the joints across the courses that lie below it.

    With `may_add`, a stretch takes half a sheet more where that frees most of its joints.
    """
    spots = []
    for course in below:
        runs = [run_of(course, stretch, lap_m) for stretch in course.stretches]
        spots.append((course.low_m, course.low_m + course.height_m, [run for run in runs if run.count]))
    out = []
    for course in laid:
        low, top = course.low_m, course.low_m + course.height_m
        near = [
            (min(top, high) - max(low, floor), run)
            for floor, high, runs in spots
            if min(top, high) - max(low, floor) > EPSILON
            for run in runs
        ]
        stretches = [_clearest(course, stretch, near, lap_m, may_add) for stretch in course.stretches]
        out.append(replace(course, stretches=tuple(stretches)))
    return out


def _clearest(course: Course, stretch: Stretch, near: list[tuple[float, Run]], lap_m: float, may_add: bool) -> Stretch:
    key, best = _judged(course, stretch, near, lap_m)
    if may_add and key[0] > 0 and course.parts == 1 and can_cut(course.along_m, lap_m):
        other, more = _judged(course, stretch._replace(sheets=stretch.sheets + 0.5), near, lap_m)
        return more if other[0] < key[0] / 2 else best
    return best


def _judged(course: Course, stretch: Stretch, near: list[tuple[float, Run]], lap_m: float):
    """((length of joints along joints, nearest), the stretch moved): the clearest of its moves."""
    best, close, good = None, close_m(lap_m), min((course.along_m - lap_m) / 4, 1.5 * lap_m)
    for option in _options(course, stretch, lap_m):
        mine, bad, least = run_of(course, option, lap_m), 0.0, math.inf
        for height, theirs in near:
            count, apart = clash(mine, theirs, close)
            bad, least = bad + height * count, min(least, apart)
        if best is None or (bad, -least) < best[0]:
            best = (bad, -least), option
        if not bad and least >= good:
            break
    return best


def _options(course: Course, stretch: Stretch, lap_m: float) -> list[Stretch]:
    """A stretch with its sheets moved along by what they reach, its half sheet at either end."""
    has_half = course.parts == 1 and stretch.sheets % 1 > 0
    reach = slack_m(course, stretch, lap_m)
    overs = sorted(moves(reach, course.along_m - lap_m, lap_m))
    ends = (False, True) if has_half else (False,)
    return [stretch._replace(over_m=over, half_first=half) for half in ends for over in overs]
