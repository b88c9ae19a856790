"""Setting out: distances by hand, corners in sight, and two distances that lead back to the peg."""

import math

import pytest
from hypothesis import HealthCheck, given, settings

from conversions import sizing
from conversions.yards.drawing import plan_svg, set_out
from conversions.yards.drawing.frame import outline_m

from .drawn import L_SHAPE, framed, grounds, mounded, patch, pocket, round_patch, site, sized, words_in


def test_two_tapes_give_each_peg_and_the_sums_are_right():
    """By hand, corners A (0, 6) and D (0, 0) of a lawn 8 x 6 m; C2 = A2 + B2.

    Frame 2.4 x 1.2 round (3.2, 4.4): its upper long side runs from (2, 5) to (4.4, 5).
    A to (2, 5) = sqrt(4 + 1) = 2.236; D to it = sqrt(4 + 25) = 5.385. A to (4.4, 5) = sqrt(19.36 + 1) = 4.512;
    D to it = sqrt(19.36 + 25) = 6.660. Mound 4 x 1.2 round (4, 2): the middles of its round ends are (2.6, 2) and
    (5.4, 2): A 4.771, 6.720; D 3.280, 5.759. Pocket (3, 4): A sqrt(9 + 4) = 3.606, D exactly 5.
    """
    beds = [framed(x=3.2, y=4.4), mounded(x=4.0, y=2.0), pocket("k1", 3, 4)]
    rows = set_out(site(patch(sizing.rectangle(8, 6), ("house", "open", "open", "path")), beds=beds))
    assert {row.corners for row in rows} == {("A", "D")}
    assert [(row.label, row.first_m, row.second_m) for row in rows] == [
        ("Framed bed, corner a", 2.24, 5.39),
        ("Framed bed, corner b", 4.51, 6.66),
        ("Mounded bed, middle of round end c", 4.77, 3.28),
        ("Mounded bed, middle of round end d", 6.72, 5.76),
        ("Pocket 1, middle", 3.61, 5.0),
    ]


def test_a_turned_frame_is_pegged_at_its_turned_corners():
    rows = set_out(site(patch(sizing.rectangle(10, 10)), beds=[framed(x=5, y=5, turn_deg=90)]))
    points = {(4.4, 3.8), (4.4, 6.2)}  # the long side at x = 5 - 0.6
    corner = {"A": (0, 10), "B": (10, 10), "C": (10, 0), "D": (0, 0)}
    found = {(row.first_m, row.second_m) for row in rows}
    one, two = rows[0].corners
    assert found == {(round(math.dist(p, corner[one]), 2), round(math.dist(p, corner[two]), 2)) for p in points}


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
    assert [(row.patch, row.mark) for row in rows] == [("p1", "a"), ("p1", "b"), ("p2", "c"), ("p2", "d"), ("p2", "1")]
    words = words_in(plan_svg(document, takeoff, prefix="a", paper=True, setout=True))
    assert {"a", "b", "c", "d", "1"} <= set(words)


@given(ground=grounds())
@settings(max_examples=40, deadline=None, database=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
def test_two_distances_lead_back_to_the_peg(ground):
    """The two circles meet in two points, one of them the peg: checked by its distance off the line between corners."""
    centre = outline_m(ground).centroid
    (row,) = set_out(site(ground, beds=[pocket("k1", round(centre.x, 3), round(centre.y, 3))]))
    around = ground["circle"]
    where = {c["id"]: (c["x"], c["y"]) for c in ground["corners"]} if not around else {
        "A": (around["x"] - around["diameter"] / 2, around["y"]), "B": (around["x"] + around["diameter"] / 2, around["y"])
    }  # fmt: skip
    a, b = (where[name] for name in row.corners)
    base = math.dist(a, b)
    along = (row.first_m**2 - row.second_m**2 + base**2) / (2 * base)
    off = math.sqrt(max(0.0, row.first_m**2 - along**2))
    ux, uy = (b[0] - a[0]) / base, (b[1] - a[1]) / base
    found = [(a[0] + ux * along - uy * s * off, a[1] + uy * along + ux * s * off) for s in (1, -1)]
    assert min(math.dist(spot, (centre.x, centre.y)) for spot in found) < 0.35


def test_pockets_keep_their_numbers_on_a_phone_where_pegs_are_asked_for():
    document, takeoff = sized(site(patch(sizing.rectangle(8, 6)), beds=[pocket("k1", 3, 4), pocket("k2", 5, 2)]))
    assert {"1", "2"} <= set(words_in(plan_svg(document, takeoff, prefix="a", compact=True, setout=True)))
    assert not {"1", "2"} & set(words_in(plan_svg(document, takeoff, prefix="a", compact=True)))
