"""Counting and laying sheets."""

import math
import random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

from conversions.sizing import cardboard, layers
from conversions.sizing import courses as coursework
from conversions.sizing import joints as jointwork

L_SHAPE = Polygon([(0, 0), (8, 0), (8, 4), (5, 4), (5, 6), (0, 6)])
TRIANGLE = Polygon([(0, 0), (6, 0), (0, 4)])
CIRCLE = Point(0, 0).buffer(3, quad_segs=64)
SHAPES = {
    "rectangle": box(0, 0, 10, 5), "L": L_SHAPE, "triangle": TRIANGLE, "circle": CIRCLE, "path": box(0, 0, 12, 0.6),
    "ring": Point(0, 0).buffer(4).difference(Point(0.3, 0).buffer(1.5)), "turned": Polygon([(0, 0), (6, 3), (4.5, 6), (-1.5, 3)]),
}  # fmt: skip


def courses(shape, along, across, lap):
    """One plain stack of courses from the bottom, as the worked examples lay them."""
    rings = cardboard.rings_of(shape)
    low, high = shape.bounds[1], shape.bounds[3]
    return [course.sheets for course in cardboard._stack(rings, low, high, along, across, lap, from_top=False)]


@pytest.mark.parametrize(
    ("length", "width", "along", "across", "lap", "expected"),
    [(10, 5, 1.2, 0.8, 0.15, 80), (240, 144, 48, 36, 6, 30), (12, 0.6, 1.0, 0.8, 0.2, 15), (10.15, 5.15, 1.2, 0.8, 0.15, 80),
     (0.7, 0.5, 1.2, 0.8, 0.15, 1), (5.4, 0.8, 1.2, 0.8, 0.15, 5)],
)  # fmt: skip
def test_a_rectangle_takes_the_sheets_worked_by_hand(length, width, along, across, lap, expected):
    """Our own arithmetic, worked on paper: rows times sheets in a row."""
    assert cardboard.rectangle_sheets(length, width, along, across, lap) == expected


def test_an_l_takes_104_sheets_course_by_course():
    """Our own arithmetic: 8 courses of 10 and 4 of 6."""
    assert courses(L_SHAPE, 1.0, 0.7, 0.2) == [10] * 8 + [6] * 4


def test_a_circle_takes_42_sheets_course_by_course():
    """Our own arithmetic: chords of each band."""
    assert courses(CIRCLE, 1.2, 0.9, 0.15) == [4, 5, 6, 6, 6, 6, 5, 4]


def test_a_triangle_takes_25_sheets_along_and_24_turned():
    """Our own arithmetic: 6 5 4 4 3 2 1; a quarter turn gives 24."""
    assert courses(TRIANGLE, 1.2, 0.8, 0.2) == [6, 5, 4, 4, 3, 2, 1]
    assert cardboard.lay(TRIANGLE, (1.2, 0.8), 0.2).sheets <= 24


def test_no_laying_beats_the_area_bound():
    assert cardboard.area_bound(50, (1.2, 0.8)) == 53
    assert cardboard.lay(SHAPES["rectangle"], (1.2, 0.8), 0.15).sheets >= 53


def drawn_is_what_is_counted(laying, sheet):
    """Every piece is a whole sheet, or a half or a third of one; together they come out of the sheets counted."""
    whole = sheet[0] * sheet[1]
    pieces = [Polygon(corners).area for corners in laying.rectangles]
    parts = [round(whole / area) for area in pieces]
    assert all(part in (1, 2, 3) and abs(whole / part - area) < 0.005 for part, area in zip(parts, pieces, strict=True))
    least = sum(1 / part for part in parts)
    return least - 1e-9 <= laying.sheets <= least + 2 and (laying.sheets == len(pieces) or max(parts) > 1)


@pytest.mark.parametrize("name", SHAPES)
def test_no_point_is_bare_and_no_sheet_is_missing_from_the_drawing(name):
    laying = cardboard.lay(SHAPES[name], (1.2, 0.8), 0.15)
    sheets = [Polygon(corners).buffer(1e-3) for corners in laying.rectangles]
    assert drawn_is_what_is_counted(laying, (1.2, 0.8))
    assert SHAPES[name].difference(unary_union(sheets)).area == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("name", SHAPES)
def test_random_points_lie_under_a_sheet(name):
    """A referee that shares no code with the laying: points against rectangles, by cross products."""
    rng, shape = random.Random(name), SHAPES[name]
    laying = cardboard.lay(shape, (1.2, 0.8), 0.15)
    x1, y1, x2, y2 = shape.bounds
    points = [p for p in ((rng.uniform(x1, x2), rng.uniform(y1, y2)) for _ in range(3000)) if shape.contains(Point(p))]
    assert len(points) > 500

    def under(p, ring):
        turns = [
            (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
            for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        ]
        return min(turns) >= -2e-3 or max(turns) <= 2e-3

    assert [p for p in points if not any(under(p, ring) for ring in laying.rectangles)] == []


@pytest.mark.parametrize("name", ["rectangle", "L", "turned"])
def test_neighbours_in_a_course_are_lapped(name):
    laying = cardboard.lay(SHAPES[name], (1.2, 0.8), 0.15)
    for course in laying.courses:
        for places in cardboard.sheet_places(course, 0.15):
            for (_, end), (start, _) in zip(places, places[1:], strict=False):
                assert end - start >= 0.15 - 1e-9
    lows = [(course.low_m, course.low_m + course.height_m) for course in laying.courses]
    for (_, top), (low, _) in zip(lows, lows[1:], strict=False):
        assert top - low >= 0.15 - 1e-9


def unlapped(shape, rectangles, lap):
    """Spots on a sheet's edge, the ground going on beyond it, where the next sheet does not reach a whole lap under it.

    A referee on the drawn rectangles alone: it knows nothing of courses.
    """
    sheets, out = [Polygon(ring) for ring in rectangles], []
    for n, ring in enumerate(rectangles):
        others = unary_union([sheet.buffer(2e-3) for m, sheet in enumerate(sheets) if m != n])
        middle = sheets[n].centroid
        for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True):
            inward_x, inward_y = middle.x - (x1 + x2) / 2, middle.y - (y1 + y2) / 2
            reach = math.hypot(inward_x, inward_y)
            for share in (0.1, 0.35, 0.65, 0.9):
                x, y = x1 + (x2 - x1) * share, y1 + (y2 - y1) * share
                at = [Point(x + inward_x / reach * d, y + inward_y / reach * d) for d in (-0.004, 0.004, lap - 0.006)]
                if all(map(shape.contains, at)) and not all(map(others.contains, at[1:])):
                    out.append((x, y))
    return out


@pytest.mark.parametrize("name", SHAPES)
def test_every_joint_of_both_layers_is_lapped_as_drawn(name):
    stack = layers.lay_layers(SHAPES[name], (1.2, 0.8), 0.15, 3)
    assert unlapped(SHAPES[name], stack.first.rectangles, 0.15) == []
    assert unlapped(SHAPES[name], stack.second.rectangles, 0.15) == []
    assert unlapped(SHAPES[name], stack.first.rectangles, 0.3) != [] or name == "path"


@pytest.mark.parametrize("size", [(10, 5), (8.2, 5.8), (4, 5.1), (15, 1.6), (30, 20), (7.3, 6.7)])
def test_a_rectangle_stays_within_a_quarter_of_the_overlap_bound(size):
    shape = box(0, 0, *size)
    laying = cardboard.lay(shape, (1.2, 0.8), 0.15)
    assert laying.sheets / cardboard.overlap_estimate(shape.area, (1.2, 0.8), 0.15) <= 1.25


@pytest.mark.parametrize("radius", [2.5, 3, 4.2, 6])
def test_a_circle_stays_within_35_percent_of_the_overlap_bound(radius):
    shape = Point(0, 0).buffer(radius, quad_segs=32)
    laying = cardboard.lay(shape, (1.2, 0.8), 0.15)
    assert laying.sheets / cardboard.overlap_estimate(shape.area, (1.2, 0.8), 0.15) <= 1.35


def test_turning_the_ground_changes_no_count_by_much():
    """The edge directions turn along; a quarter turn changes nothing at all."""
    shape = cardboard.turned(cardboard.rings_of(L_SHAPE), 90)
    assert cardboard.lay(Polygon(shape[0]), (1.2, 0.8), 0.15).sheets == cardboard.lay(L_SHAPE, (1.2, 0.8), 0.15).sheets


@pytest.mark.parametrize("name", SHAPES)
def test_no_point_is_bare_in_the_second_layer_either(name):
    stack = layers.lay_layers(SHAPES[name], (1.2, 0.8), 0.15, 3)
    sheets = [Polygon(corners).buffer(1e-3) for corners in stack.second.rectangles]
    assert drawn_is_what_is_counted(stack.second, (1.2, 0.8))
    assert SHAPES[name].difference(unary_union(sheets)).area == pytest.approx(0, abs=1e-6)
    assert stack.sheets == 2 * stack.first.sheets + stack.second.sheets


def test_joints_lie_along_joints_when_a_layer_lies_on_itself():
    first = cardboard.lay(SHAPES["L"], (1.2, 0.8), 0.15)
    own = jointwork.joints(list(first.courses), 0.15)
    assert jointwork.share_over(own, own, 0.15) == 1


@pytest.mark.parametrize("name", SHAPES)
def test_joints_lie_where_sheets_overlap(name):
    """The middle of every joint, turned into the ground's frame, lies under two sheets or more."""
    stack = layers.lay_layers(SHAPES[name], (1.2, 0.8), 0.15, 3)
    for laying in (stack.first, stack.second):
        _, upright = jointwork.joints(list(laying.courses), 0.15)
        middles = [(at, (a + b) / 2) for at, a, b in upright]
        sheets = [Polygon(corners).buffer(2e-3) for corners in laying.rectangles]
        for x, y in cardboard.turned([middles], laying.direction_deg)[0]:
            assert sum(sheet.covers(Point(x, y)) for sheet in sheets) >= 2


def test_a_full_stagger_of_a_ten_metre_course_takes_no_sheet_more():
    """Our own arithmetic: ceil((10 + 1.05 / 2 - 0.15) / 1.05) = 10."""
    course = cardboard.Course(0, 0.8, 1.2, (coursework.Stretch(0, 10, 10),))
    laying = cardboard.Laying(0, (course, course), ())
    assert layers.stagger_extra(laying, 0.15) == 0


@given(st.floats(1.5, 12), st.floats(1, 4), st.sampled_from([(1.2, 0.8), (1.8, 0.9), (1.0, 0.7)]))
def test_any_larger_rectangle_stays_within_a_quarter_of_the_bound(short, stretch, sheet):
    long = max(short, 20 / short) * stretch
    shape = box(0, 0, long, short)
    laying = cardboard.lay(shape, sheet, 0.15)
    assert laying.sheets >= cardboard.area_bound(shape.area, sheet)
    if short > 1.5:
        assert laying.sheets / cardboard.overlap_estimate(shape.area, sheet, 0.15) <= 1.25


@given(st.floats(2.6, 8), st.floats(0.6, 1), st.floats(0, 90))
def test_any_larger_oval_stays_within_35_percent_of_the_bound(radius, squash, turn):
    shape = affinity.rotate(affinity.scale(Point(0, 0).buffer(radius, quad_segs=24), 1, squash), turn)
    assume(shape.area > 20)
    laying = cardboard.lay(shape, (1.2, 0.8), 0.15)
    assert laying.sheets / cardboard.overlap_estimate(shape.area, (1.2, 0.8), 0.15) <= 1.35


def test_nothing_to_cover_takes_no_sheet():
    assert cardboard.lay(Polygon(), (1.2, 0.8), 0.15).sheets == 0
    assert math.isclose(cardboard.overlap_estimate(0, (1.2, 0.8), 0.15), 0)
