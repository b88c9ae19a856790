"""The wide sweep: sheets against the overlap bound, and joints of one layer against those of the next."""

import math
import random

import pytest
from shapely import affinity
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

from conversions.sizing import cardboard, layers

SHEETS = ((1.2, 0.8), (1.0, 0.7), (1.5, 0.9), (1.8, 0.9), (1.83, 0.86), (2.0, 1.0), (2.1, 1.0))
LAPS = (0.10, 0.15, 0.20)

# Sheet, lap, length and width: rectangles that whole sheets laid in courses do not bring within a quarter of the bound.
RECTANGLES = (
    (1.5, 0.9, 0.1, 25.831, 1.721),
    (1.5, 0.9, 0.1, 29.741, 1.741),
    (1.5, 0.9, 0.15, 11.794, 1.697),
    (1.5, 0.9, 0.15, 11.884, 1.69),
    (1.5, 0.9, 0.2, 12.127, 1.65),
    (1.8, 0.9, 0.1, 21.781, 1.845),
    (1.8, 0.9, 0.1, 15.903, 1.918),
    (1.8, 0.9, 0.1, 11.84, 1.802),
    (1.8, 0.9, 0.1, 10.476, 1.91),
    (1.8, 0.9, 0.15, 12.816, 1.812),
    (2.0, 1.0, 0.1, 20.803, 2.021),
    (2.0, 1.0, 0.1, 8.948, 2.257),
    (2.0, 1.0, 0.1, 4.898, 4.159),
    (2.0, 1.0, 0.1, 17.06, 2.014),
    (2.0, 1.0, 0.1, 6.981, 2.91),
    (2.0, 1.0, 0.1, 20.661, 2.011),
    (2.0, 1.0, 0.1, 23.579, 2.041),
    (2.0, 1.0, 0.1, 6.993, 2.904),
    (2.0, 1.0, 0.1, 13.631, 1.503),
    (2.0, 1.0, 0.1, 12.265, 2.036),
    (2.0, 1.0, 0.1, 9.809, 2.04),
    (2.0, 1.0, 0.1, 9.221, 2.17),
    (2.0, 1.0, 0.1, 8.7, 2.3),
    (2.0, 1.0, 0.1, 6.783, 2.95),
    (2.0, 1.0, 0.1, 5.015, 3.99),
    (2.0, 1.0, 0.15, 9.766, 2.155),
    (2.0, 1.0, 0.15, 10.652, 2.1),
    (2.0, 1.0, 0.15, 9.413, 2.144),
    (2.0, 1.0, 0.15, 9.809, 2.04),
    (2.0, 1.0, 0.15, 6.783, 2.95),
    (2.1, 1.0, 0.1, 15.114, 1.503),
    (2.1, 1.0, 0.1, 13.001, 1.539),
    (2.1, 1.0, 0.1, 20.446, 2.137),
    (2.1, 1.0, 0.1, 14.279, 1.502),
    (2.1, 1.0, 0.1, 11.767, 2.193),
    (2.1, 1.0, 0.1, 13.164, 1.52),
    (2.1, 1.0, 0.1, 9.221, 2.17),
    (2.1, 1.0, 0.1, 8.7, 2.3),
    (2.1, 1.0, 0.1, 8.235, 2.43),
    (2.1, 1.0, 0.1, 6.497, 3.08),
    (2.1, 1.0, 0.1, 6.234, 3.21),
)
# Sheet, lap, radius, squash and turn in degrees: ovals that whole sheets do not bring within 35 %.
OVALS = (
    (1.8, 0.9, 0.1, 2.88, 0.77, 32.12),
    (2.0, 1.0, 0.1, 3.114, 0.691, 15.27),
    (2.0, 1.0, 0.1, 2.658, 0.955, 82.18),
    (2.0, 1.0, 0.1, 3.021, 0.703, 67.2),
    (2.1, 1.0, 0.1, 2.78, 0.925, 79.91),
    (2.1, 1.0, 0.1, 2.6, 0.997, 18.09),
    (2.1, 1.0, 0.15, 2.7, 0.912, 44.02),
    (2.1, 1.0, 0.2, 2.605, 0.981, 11.46),
)


def oval(radius, squash, turn):
    return affinity.rotate(affinity.scale(Point(0, 0).buffer(radius, quad_segs=24), 1, squash), turn)


def ratio(shape, sheet, lap):
    return cardboard.lay(shape, sheet, lap).sheets / cardboard.overlap_estimate(shape.area, sheet, lap)


def some_rectangles(rng):
    for _ in range(16):
        short = 1.501 + 8.5 * rng.random() ** 2
        yield round(max(short, 20.01 / short) * (1 + 2 * rng.random() ** 2), 3), round(short, 3)


@pytest.mark.parametrize("lap", LAPS)
@pytest.mark.parametrize("sheet", SHEETS)
def test_rectangles_of_every_kind_stay_within_a_quarter_of_the_bound(sheet, lap):
    known = [row[3:] for row in RECTANGLES if row[:3] == (*sheet, lap)]
    sizes = [*known, *some_rectangles(random.Random(f"{sheet}{lap}"))]
    assert len(sizes) == 16 + len(known)
    assert [size for size in sizes if ratio(box(0, 0, *size), sheet, lap) > 1.25] == []


@pytest.mark.parametrize("lap", LAPS)
@pytest.mark.parametrize("sheet", SHEETS)
def test_ovals_of_every_kind_stay_within_35_percent_of_the_bound(sheet, lap):
    rng = random.Random(f"oval {sheet}{lap}")
    known = [row[3:] for row in OVALS if row[:3] == (*sheet, lap)]
    some = [(2.6 + 5 * rng.random() ** 2, 0.6 + 0.4 * rng.random(), 90 * rng.random()) for _ in range(7)]
    large = [size for size in [*known, *some] if oval(*size).area > 20]
    assert len(large) >= len(known)
    assert [size for size in large if ratio(oval(*size), sheet, lap) > 1.35] == []


def test_every_known_hard_case_is_in_the_sweep():
    assert (len(RECTANGLES), len(OVALS)) == (41, 8)
    for a, b, lap, *_ in (*RECTANGLES, *OVALS):
        assert (a, b) in SHEETS and lap in LAPS


@pytest.mark.parametrize("row", RECTANGLES[::4], ids=str)
def test_cut_sheets_leave_no_point_bare_either_and_come_out_of_the_sheets_counted(row):
    """Every piece is a half, a third or a whole sheet; their area together is never more than the sheets counted."""
    a, b, lap, *size = row
    shape = box(0, 0, *size)
    laying = cardboard.lay(shape, (a, b), lap)
    drawn = [Polygon(corners) for corners in laying.rectangles]
    assert shape.difference(unary_union([sheet.buffer(1e-3) for sheet in drawn])).area == pytest.approx(0, abs=1e-6)
    assert sum(sheet.area for sheet in drawn) <= laying.sheets * a * b * 1.002
    assert {round(a * b / sheet.area) for sheet in drawn} <= {1, 2, 3}


def drawn_joints(rectangles, angle):
    """Middle lines of the laps as drawn, (is upright, place, from, to): a referee that knows nothing of courses."""
    flat = cardboard.turned([list(ring) for ring in rectangles], -angle)
    boxes = [(min(x for x, _ in r), min(y for _, y in r), max(x for x, _ in r), max(y for _, y in r)) for r in flat]
    out = []
    for n, (x1, y1, x2, y2) in enumerate(boxes):
        for u1, v1, u2, v2 in boxes[n + 1 :]:
            left, right, low, top = max(x1, u1), min(x2, u2), max(y1, v1), min(y2, v2)
            if right - left < 0.01 or top - low < 0.01:
                continue
            if abs(y1 - v1) < 0.005 and abs(y2 - v2) < 0.005:
                out.append((True, (left + right) / 2, low, top))
            elif top - low < 0.5 * min(y2 - y1, v2 - v1):
                out.append((False, (low + top) / 2, left, right))
    return out


def share_along(above, below, lap):
    total = along = 0.0
    for is_upright, at, start, end in above:
        total += end - start
        for other, there, a, b in below:
            if other == is_upright and abs(there - at) < lap - 0.004:
                along += max(0.0, min(end, b) - max(start, a))
    return along / total if total else 0.0


def joint_cases():
    rng = random.Random(3)
    for n in range(60):
        wide, deep = rng.uniform(2, 12), rng.uniform(2, 8)
        corner = [(0, 0), (wide, 0), (wide, deep * 0.6), (wide * 0.6, deep * 0.6), (wide * 0.6, deep), (0, deep)]
        shape = (box(0, 0, wide, deep), Polygon(corner), Point(0, 0).buffer(1.8 + deep / 3, quad_segs=24))[n % 3]
        yield shape, SHEETS[n % len(SHEETS)], LAPS[n // 3 % 3]


def test_hardly_a_joint_of_the_second_layer_lies_along_a_joint_of_the_first_as_drawn():
    """Sixty rectangles, L-shapes and circles. Before joints were moved on purpose it was 35 in 100 of the length."""
    shares, extra, sheets = [], 0, 0
    for shape, sheet, lap in joint_cases():
        stack = layers.lay_layers(shape, sheet, lap, 2)
        first, second = (
            drawn_joints(laying.rectangles, laying.direction_deg) for laying in (stack.first, stack.second)
        )
        shares.append(share_along(second, first, lap))
        extra, sheets = extra + stack.shift_extra, sheets + stack.first.sheets
        assert stack.shift_extra <= max(2, layers.ALLOWED_EXTRA * stack.first.sheets)
    assert math.fsum(shares) / len(shares) <= 0.08
    assert sorted(shares)[len(shares) // 2] <= 0.03
    assert extra <= 0.07 * sheets


@pytest.mark.parametrize("size", [(10, 5.2), (8.2, 5.4), (6, 4.8)])
def test_on_a_plain_lawn_at_most_six_joints_in_a_hundred_lie_along_a_joint(size):
    assert layers.lay_layers(box(0, 0, *size), (1.2, 0.8), 0.15, 3).joints_over_joints <= 0.06


def test_a_yard_drawn_turned_moved_and_begun_at_another_corner_is_laid_the_same():
    """Found by chance: lengths that differ in the last bit chose other directions, and a tie was broken by the drawing."""
    radii, corners = (3, 4, 2, 2, 2.0078125, 2, 3, 3), 8
    ring = [
        (round(r * math.cos(-2 * math.pi * n / corners), 2), round(r * math.sin(-2 * math.pi * n / corners), 2))
        for n, r in enumerate(radii)
    ]
    counts = set()
    for cos, sin in ((1, 0), (0, 1), (-1, 0), (0, -1)):
        for dx, dy in ((0, 0), (8, -15), (-33, 21)):
            there = [(round(x * cos - y * sin + dx, 3), round(x * sin + y * cos + dy, 3)) for x, y in ring]
            for begin in (0, 3, 5):
                laid = layers.lay_layers(Polygon(there[begin:] + there[:begin]), (1.0, 0.7), 0.2, 2)
                counts.add((laid.first.sheets, laid.second.sheets))
    assert len(counts) == 1
