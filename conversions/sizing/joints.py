"""Joints of a layer: where its laps lie, and how much of one layer's joints lies along joints of the next."""

import math
from typing import NamedTuple

from .courses import EPSILON, Course, Stretch, merged, pieces

Joint = tuple[float, float, float]  # position across, from, to


def close_m(lap_m: float) -> float:
    """Parallel joints nearer than this lie one along the other: their laps overlap."""
    return max(lap_m - 1e-6, 0.01)


def level_lines(courses: list[Course], lap_m: float) -> list[float]:
    """Heights of the joints between courses, rising; a lap that is wider than it must be has one at each edge."""
    rising, out = sorted(courses, key=lambda course: course.low_m), []
    for lower, upper in zip(rising, rising[1:], strict=False):
        out.append(upper.low_m + lap_m / 2)
        top = lower.low_m + lower.height_m - lap_m / 2
        if top > out[-1] + EPSILON:
            out.append(top)
    return sorted(out)


class Run(NamedTuple):
    """Joints at equal distances: within a stretch they always are, also where a half sheet lies at an end."""

    first_m: float
    pitch_m: float
    count: int

    @property
    def last_m(self) -> float:
        return self.first_m + (self.count - 1) * self.pitch_m

    def lines(self) -> list[float]:
        return [self.first_m + n * self.pitch_m for n in range(self.count)]


def run_of(course: Course, stretch: Stretch, lap_m: float) -> Run:
    """The joints within a stretch."""
    lengths = pieces(course, stretch)
    return Run(stretch.start_m - stretch.over_m + lengths[0] - lap_m / 2, course.along_m - lap_m, len(lengths) - 1)


def clash(mine: Run, theirs: Run, close: float) -> tuple[int, float]:
    """How many of my joints lie along one of theirs, and how near the nearest is.

    >>> clash(Run(1, 1, 3), Run(1.1, 1, 9), 0.2)[0], clash(Run(1, 1, 3), Run(1.5, 1, 9), 0.2)
    (3, (0, 0.5))
    """
    pitch = mine.pitch_m
    first = max(0, math.ceil((theirs.first_m - close - mine.first_m) / pitch))
    last = min(mine.count - 1, math.floor((theirs.last_m + close - mine.first_m) / pitch))
    if last < first:
        return 0, math.inf
    if abs(pitch - theirs.pitch_m) < EPSILON:
        apart = abs((mine.first_m - theirs.first_m + pitch / 2) % pitch - pitch / 2)
        return (last - first + 1 if apart < close else 0), apart
    count, nearest = 0, math.inf
    for n in range(first, last + 1):
        at = mine.first_m + n * pitch - theirs.first_m
        apart = abs(at - min(theirs.count - 1, max(0, round(at / theirs.pitch_m))) * theirs.pitch_m)
        nearest = min(nearest, apart)
        count += apart < close
    return count, nearest


def joints(courses: list[Course], lap_m: float) -> tuple[list[Joint], list[Joint]]:
    """Middle lines of all laps: those along the courses, those across them."""
    level = []
    rising = sorted(courses, key=lambda course: course.low_m)
    for pair in zip(rising, rising[1:], strict=False):
        spans = [(start, end) for start, end, *_ in pair[1].stretches]
        level += [(at, start, end) for at in level_lines(list(pair), lap_m) for start, end in spans]
    upright = [
        (at, course.low_m, course.low_m + course.height_m)
        for course in courses
        for stretch in course.stretches
        for at in run_of(course, stretch, lap_m).lines()
    ]
    return level, upright


def share_over(above: tuple[list[Joint], ...], below: tuple[list[Joint], ...], lap_m: float) -> float:
    """Share of the length of one layer's joints that lies along a parallel joint of the layer below."""
    total = covered = 0.0
    close = close_m(lap_m)
    for mine, theirs in zip(above, below, strict=True):
        shelf: dict[int, list[Joint]] = {}
        for joint in theirs:
            shelf.setdefault(int(joint[0] // close), []).append(joint)
        for at, start, end in mine:
            total += end - start
            here = int(at // close)
            near = [
                (a, b)
                for place in (here - 1, here, here + 1)
                for other, a, b in shelf.get(place, ())
                if b > start and a < end and abs(other - at) < close
            ]
            covered += sum(max(0.0, min(end, b) - max(start, a)) for a, b in (merged(near) if near else ()))
    return covered / total if total else 0.0
