"""Typed shapes become corners; what cannot close or stand says so."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from conversions.sizing import SiteError, circle, edge_lengths, l_shape, read_site, rectangle, trapezium, triangle
from conversions.sizing.shapes import circle_ring, outline

from .yards import document, patch, plain

FIVE_RIGHT = ["right"] * 6
length = st.floats(0.5, 50).map(lambda value: round(value, 2))


def turns(left_at):
    return ["left" if i == left_at else "right" for i in range(6)]


def code_of(call, *args):
    with pytest.raises(SiteError) as caught:
        call(*args)
    return caught.value.problems[0]


@given(length, length)
def test_a_rectangle_has_its_area_and_runs_clockwise_from_the_top_left(width, depth):
    points = rectangle(width, depth)
    assert Polygon(points).area == pytest.approx(width * depth, rel=1e-6)
    assert points[0] == (0, depth) and points[1] == (width, depth)


@given(length, length, length, length, st.sampled_from([2, 3, 4]))
def test_an_l_with_two_blanks_equals_the_l_with_all_sides(a, b, c, d, left_at):
    try:
        points = l_shape([a, b, c, d, None, None], turns(left_at))
    except SiteError:
        return
    sides = [math.dist(p, q) for p, q in zip(points, (*points[1:], points[0]), strict=True)]
    assert l_shape(sides, turns(left_at)) == points
    assert Polygon(points).is_valid


def test_an_l_that_does_not_close_says_by_how_much():
    problem = code_of(l_shape, [5, 2, 3, 4, 8.3, 6], turns(2))
    assert problem.code == "does-not-close"
    assert problem.values["gap_m"] == 0.3
    assert "0.3 m" in problem.sentence


def test_an_l_within_two_centimetres_is_closed_square():
    points = l_shape([5, 2, 3, 4, 8.01, 6.01], turns(2))
    for (x1, y1), (x2, y2) in zip(points, (*points[1:], points[0]), strict=True):
        assert x1 == x2 or y1 == y2


@pytest.mark.parametrize(
    ("call", "args", "code", "part"),
    [
        (rectangle, (0, 5), "zero-side", "A to B"),
        (rectangle, (4, -5), "negative", "B to C"),
        (rectangle, (4, math.nan), "not-a-number", "B to C"),
        (triangle, (9, 4, 4), "not-a-triangle", "A to B"),
        (triangle, (4, 4, 8), "not-a-triangle", "C to A"),
        (trapezium, (6, 4, 0, 1), "zero-side", "distance"),
        (circle, (0,), "zero-side", "across"),
        (l_shape, ([5, 2, None, 4, None, 6], turns(2)), "too-few-lengths", "E to F"),
        (l_shape, ([5, 2, 3, 4, 8, 6], FIVE_RIGHT), "not-an-l", ""),
        (l_shape, ([9, 2, 3, 4, 8, 6], turns(2)), "does-not-close", "F to A"),
        (l_shape, ([9, 2, None, 4, 8, 6], turns(2)), "negative", "C to D"),
    ],
)
def test_what_cannot_be_says_why_and_where(call, args, code, part):
    problem = code_of(call, *args)
    assert (problem.code, problem.where.part) == (code, part)
    assert "{" not in problem.sentence


@given(length, length, length)
def test_a_triangle_keeps_its_three_sides(a, b, c):
    longest = max(a, b, c)
    assume(a + b + c - longest > longest * 1.01)
    points = triangle(a, b, c)
    found = [math.dist(p, q) for p, q in zip(points, (*points[1:], points[0]), strict=True)]
    assert found == pytest.approx([a, b, c], abs=0.003)


def test_a_circle_has_exactly_its_area():
    around = circle(6)
    assert Polygon(circle_ring(around)).area == pytest.approx(math.pi * 9, rel=1e-9)


def test_sides_are_measured_by_the_corner_that_owns_them():
    assert edge_lengths(plain().patches[0]) == {"A": 8, "B": 6, "C": 8, "D": 6}


def test_a_circle_has_one_side_round():
    row = {"uid": "r", "label": "Round", "shape": "circle", "corners": [], "circle": {"x": 2, "y": 2, "diameter": 4}}
    one = read_site(document(row)).patches[0]
    assert edge_lengths(one) == {"round": pytest.approx(4 * math.pi)}
    assert outline(one).area == pytest.approx(math.pi * 4)


def test_an_l_of_42_square_metres():
    """Our own arithmetic: 8 x 6 less 3 x 2."""
    points = [(0, 6), (5, 6), (5, 4), (8, 4), (8, 0), (0, 0)]
    assert outline(read_site(document(patch(points))).patches[0]).area == 42
