"""Setting out: distances by hand, corners in sight, and two distances that lead back to the peg."""

import math

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from conversions import sizing
from conversions.yards.drawing import plan_svg, set_out
from conversions.yards.drawing.frame import footprint_m, outline_m
from conversions.yards.drawing.setout import pegs_of, reference_corners

from .drawn import L_SHAPE, framed, mounded, patch, pocket, round_patch, site, sized, words_in


def test_two_tapes_give_each_peg_and_the_sums_are_right():
    """Worked by hand, plain geometry. Corners A (0, 6) and D (0, 0) of a lawn 8 x 6 m; c² = a² + b².

    Frame 2.4 x 1.2 round (3.2, 4.4): its corners are (2, 5), (4.4, 5), (4.4, 3.8), (2, 3.8).
    A to (2, 5) = sqrt(4 + 1) = 2.236; D to it = sqrt(4 + 25) = 5.385.
    A to (4.4, 5) = sqrt(19.36 + 1) = 4.512; D to it = sqrt(19.36 + 25) = 6.660.
    A to (4.4, 3.8) = sqrt(19.36 + 4.84) = 4.919; D to it = sqrt(19.36 + 14.44) = 5.814.
    A to (2, 3.8) = sqrt(4 + 4.84) = 2.973; D to it = sqrt(4 + 14.44) = 4.294.
    Mound 4 x 1.2 round (4, 2): the middles of its round ends are (2.6, 2) and (5.4, 2): A 4.771, 6.720; D 3.280, 5.758.
    Pocket (3, 4): A sqrt(9 + 4) = 3.606, D exactly 5.
    """
    beds = [framed(x=3.2, y=4.4), mounded(x=4.0, y=2.0), pocket("k1", 3, 4)]
    rows = set_out(site(patch(sizing.rectangle(8, 6), ("house", "open", "open", "path")), beds=beds))
    assert {row.corners for row in rows} == {("A", "D")}
    assert [(row.label, row.first_m, row.second_m) for row in rows] == [
        ("Framed bed, corner a", 2.236, 5.385),
        ("Framed bed, corner b", 4.512, 6.66),
        ("Framed bed, corner c", 4.919, 5.814),
        ("Framed bed, corner d", 2.973, 4.294),
        ("Mounded bed, middle of round end e", 4.771, 3.28),
        ("Mounded bed, middle of round end f", 6.72, 5.758),
        ("Pocket 1, middle", 3.606, 5.0),
    ]


def test_a_mound_with_square_ends_is_pegged_at_its_four_corners():
    """Worked by hand. 4 x 2 m round (5, 3): corners (3, 4), (7, 4), (7, 2), (3, 2). From A (0, 6): sqrt(9 + 4),
    sqrt(49 + 4), sqrt(49 + 16), sqrt(9 + 16). From B (8, 6): sqrt(25 + 4), sqrt(1 + 4), sqrt(1 + 16), sqrt(25 + 16)."""
    beds = [mounded(x=5.0, y=3.0, length_m=4.0, width_m=2.0, ends="square")]
    rows = set_out(site(patch(sizing.rectangle(8, 6), ("house", "open", "open", "path")), beds=beds))
    assert {(row.corners, row.base_m) for row in rows} == {(("A", "B"), 8.0)}
    assert [(row.label, row.first_m, row.second_m) for row in rows] == [
        ("Mounded bed, corner a", 3.606, 5.385),
        ("Mounded bed, corner b", 7.28, 2.236),
        ("Mounded bed, corner c", 8.062, 4.123),
        ("Mounded bed, corner d", 5.0, 6.403),
    ]
    assert {row.string_m for row in rows} == {None}


def test_a_turned_frame_is_pegged_at_its_turned_corners():
    rows = set_out(site(patch(sizing.rectangle(10, 10)), beds=[framed(x=5, y=5, turn_deg=90)]))
    points = [(4.4, 3.8), (4.4, 6.2), (5.6, 6.2), (5.6, 3.8)]  # long sides at x = 5 - 0.6 and 5 + 0.6
    corner = {"A": (0, 10), "B": (10, 10), "C": (10, 0), "D": (0, 0)}
    one, two = (corner[name] for name in rows[0].corners)
    assert [(row.first_m, row.second_m) for row in rows] == [
        (round(math.dist(p, one), 3), round(math.dist(p, two), 3)) for p in points
    ]


def test_a_string_of_half_the_width_goes_with_round_ends_and_bends_only():
    curve = {"uid": "m2", "patch": "p1", "kind": "mounded", "path": [[2, 2], [4, 4], [6, 2]], "width_m": 1.0}
    rows = set_out(site(patch(sizing.rectangle(10, 8)), beds=[framed(), mounded(y=6.5, x=6), curve]))
    said = [(row.label.rpartition(" ")[0], row.string_m) for row in rows]
    assert said[:4] == [("Framed bed, corner", None)] * 4
    assert said[4:6] == [("Mounded bed, middle of round end", 0.6)] * 2
    assert said[6:] == [
        ("Mounded bed, middle of round end", 0.5),
        ("Mounded bed, bend", 0.5),
        ("Mounded bed, middle of round end", 0.5),
    ]


def test_a_curved_bed_that_closes_into_a_ring_is_pegged_once_round():
    ring = [[2, 2], [5, 2], [5, 5], [2, 2]]
    bed = {"uid": "m2", "patch": "p1", "kind": "mounded", "path": ring, "width_m": 0.8, "height_m": 0.1}
    rows = set_out(site(patch(sizing.rectangle(10, 8)), beds=[bed]))
    assert [row.label for row in rows] == [f"Mounded bed, bend {letter}" for letter in "abc"]


def test_the_tapes_start_where_every_peg_is_in_sight():
    """In an L with its notch at C, a frame in the far leg cannot be seen from A or B."""
    beds = [framed(x=6.7, y=3.3), mounded(x=2.2, y=2.0, length_m=2.4)]
    rows = set_out(site(patch(L_SHAPE), beds=beds))
    assert all(not {"A", "B"} & set(row.corners) for row in rows)


def test_a_circle_is_set_out_from_the_ends_of_the_line_across():
    (row,) = set_out(site(round_patch(6.0), beds=[pocket("k1", 3.0, 4.0)]))
    assert row.corners == ("A", "B") and row.first_m == row.second_m == pytest.approx(math.sqrt(10), abs=0.005)


def test_pegs_are_lettered_through_the_yard_and_stand_on_the_drawing():
    two = site(
        patch(sizing.rectangle(6, 5)), patch(sizing.rectangle(6, 5), uid="p2", label="Back"),
        beds=[framed(x=3, y=3), framed("f2", x=3, y=3, of="p2"), pocket("k1", 5, 1, of="p2")],
    )  # fmt: skip
    document, takeoff = sized(two)
    rows = set_out(document, takeoff)
    assert [(row.patch, row.mark) for row in rows] == [
        *(("p1", mark) for mark in "abcd"), *(("p2", mark) for mark in "efgh"), ("p2", "1")
    ]  # fmt: skip
    words = words_in(plan_svg(document, takeoff, prefix="a", paper=True, setout=True))
    assert {*"abcdefgh", "1"} <= set(words)


def crossings(document, row):
    """Where two tapes of these lengths meet: the circles round the two corners cross in two points."""
    ((patch, pegs),) = pegs_of(document)
    (_first, a), (_second, b) = reference_corners(patch, pegs)
    along = (row.first_m**2 - row.second_m**2 + row.base_m**2) / (2 * row.base_m)
    off = math.sqrt(max(0.0, row.first_m**2 - along**2))
    ux, uy = (b[0] - a[0]) / row.base_m, (b[1] - a[1]) / row.base_m
    return [(a[0] + ux * along - uy * s * off, a[1] + uy * along + ux * s * off) for s in (1, -1)]


def test_what_lies_on_the_line_across_a_circle_is_measured_from_points_a_quarter_round():
    """By hand: circle of 6 m round (3, 3); A left (0, 3), B on top (3, 6), sqrt(9 + 9) apart; the middle is 3 m off both."""
    (row,) = set_out(site(round_patch(6.0), beds=[pocket("k1", 3.0, 3.0)]))
    assert (row.first_m, row.second_m, row.base_m) == (3.0, 3.0, 4.243)


@st.composite
def beds_on_ground(draw):
    """A rectangle, an L or a circle with up to three turned beds of every kind, each a path's width off the edge."""
    shape = draw(st.sampled_from(["rectangle", "L", "circle"]))
    a, b = draw(st.floats(5, 20)), draw(st.floats(5, 20))
    if shape == "L":
        lengths = [round(a, 2), round(b, 2), 4.0, round(b, 2) + 3, None, None]
        ground = patch(sizing.l_shape(lengths, ["right", "right", "left", "right", "right", "right"]))
    else:
        ground = round_patch(round(a, 2)) if shape == "circle" else patch(sizing.rectangle(round(a, 2), round(b, 2)))
    outline, beds = outline_m(ground), []
    x1, y1, x2, y2 = outline.bounds
    for i in range(draw(st.integers(1, 3))):
        x, y = (round(draw(st.floats(low, high)), 3) for low, high in ((x1, x2), (y1, y2)))
        turn = round(draw(st.floats(-180, 180)), 1)
        sizes = {"length_m": round(draw(st.floats(1.2, 4)), 2), "width_m": round(draw(st.floats(0.6, 1.2)), 2)}
        kind = draw(st.sampled_from(["framed", "round", "square"]))
        make = framed if kind == "framed" else mounded
        more = {} if kind == "framed" else {"ends": kind}
        bed = make(f"b{i}", x=x, y=y, turn_deg=turn, **sizes, **more)
        if outline.buffer(-0.45).covers(footprint_m(bed)):
            beds.append(bed)
    assume(beds)
    return ground, beds


@given(drawn=beds_on_ground())
@settings(max_examples=150, deadline=None, database=None, derandomize=True,
          suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])  # fmt: skip
def test_two_distances_lead_back_to_each_peg_to_a_centimetre(drawn):
    """Each peg of beds turned any way is one of the two points where its two tapes meet."""
    ground, beds = drawn
    document = site(ground, beds=beds)
    rows, ((_patch, pegs),) = set_out(document), pegs_of(document)
    assert len(rows) == len(pegs) > 0
    for row, peg in zip(rows, pegs, strict=True):
        found = min(math.dist(spot, peg.at) for spot in crossings(document, row))
        assert found < 0.01, (row, found)


@given(drawn=beds_on_ground())
@settings(max_examples=60, deadline=None, database=None, derandomize=True,
          suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])  # fmt: skip
def test_the_pegs_of_a_bed_with_square_ends_run_round_its_own_outline(drawn):
    ground, beds = drawn
    ((_patch, pegs),) = pegs_of(site(ground, beds=beds))
    for bed in beds:
        spots = [peg.at for peg in pegs if peg.bed == bed["uid"]]
        if bed.get("ends") == "round":
            swung = max(Point(spot).buffer(bed["width_m"] / 2, 64).difference(footprint_m(bed)).area for spot in spots)
            assert swung < 0.01
        else:
            assert len(spots) == 4
            assert Polygon(spots).symmetric_difference(footprint_m(bed)).area < 0.001


def test_pockets_keep_their_numbers_on_a_phone_where_pegs_are_asked_for():
    document, takeoff = sized(site(patch(sizing.rectangle(8, 6)), beds=[pocket("k1", 3, 4), pocket("k2", 5, 2)]))
    assert {"1", "2"} <= set(words_in(plan_svg(document, takeoff, prefix="a", compact=True, setout=True)))
    assert not {"1", "2"} & set(words_in(plan_svg(document, takeoff, prefix="a", compact=True)))
