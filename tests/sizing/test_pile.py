"""Mixed piles of boxes, and paper where card runs out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, Polygon, box

from conversions.sizing import pile
from conversions.sizing.joints import joints, share_over
from conversions.sizing.units import INCH_M

LAWN = box(0, 0, 8, 5)
LARGE, SMALL = (1.8, 0.9), (1.0, 0.7)


@pytest.mark.parametrize(
    ("inches", "flat", "square_m"),
    [((16, 12, 12), (56, 24), 0.867), ((18, 14, 12), (64, 26), 1.074), ((18, 18, 16), (72, 34), 1.579),
     ((24, 18, 18), (84, 36), 1.951), ((24, 20, 20), (88, 40), 2.271)],
)  # fmt: skip
def test_a_box_opens_flat(inches, flat, square_m):
    """Formula from memory, arithmetic ours: 2 (L + W) x (H + W)."""
    assert pile.flat_blank_m(*inches) == flat
    long, wide = (side * INCH_M for side in flat)
    assert long * wide == pytest.approx(square_m, abs=0.0006)


@pytest.mark.parametrize(("flat", "boxes"), [((56, 24), 17.1), ((64, 26), 13.3), ((72, 34), 8.35), ((84, 36), 6.6)])
def test_boxes_for_ten_square_metres(flat, boxes):
    """Our own arithmetic: 10 / ((a - o)(b - o)) with laps of 0.15 m."""
    sheet = (flat[0] * INCH_M, flat[1] * INCH_M)
    assert pile.boxes_per_10_m2(sheet, 0.15) == pytest.approx(boxes, abs=0.06)


def test_a_large_pile_leaves_nothing_bare():
    laid = pile.lay_pile(LAWN, ((LARGE, 60), (SMALL, 40)), 0.15)
    assert laid.bare_m2 == 0
    assert laid.covered_m2 == 40


def test_the_largest_sheets_are_laid_first_and_the_small_ones_finish():
    """Along the 5 m three large sheets fill a course, 4.85 / 1.65; twelve make four courses."""
    laid = pile.lay_pile(LAWN, ((SMALL, 200), (LARGE, 12)), 0.15)
    assert laid.used[1] == 12
    assert laid.bare_m2 == 0
    assert [course.height_m for course in laid.courses[0]][:5] == [0.9, 0.9, 0.9, 0.9, 0.7]


def test_what_card_does_not_reach_is_counted_and_papered():
    """Five large sheets fill one course of 8 x 0.9 m: 40 - 7.2 = 32.8 m2 stay bare, six sheets of newspaper deep."""
    laid = pile.lay_pile(LAWN, ((LARGE, 5),), 0.15)
    assert laid.bare_m2 == 32.8
    assert pile.paper_m2(laid.bare_m2, "newspaper") == pytest.approx(196.8)


def test_a_second_layer_draws_on_the_same_pile_and_no_sheet_stays_unused_while_ground_is_bare():
    """Along the 5 m: eleven courses of three. Of the 13 left, four courses, 5 x 3.15 m, and one sheet, 1.8 x 0.75 more."""
    laid = pile.lay_pile(LAWN, ((LARGE, 46),), 0.15, layers=2)
    assert (laid.used, laid.left) == ((46,), (0,))
    assert laid.bare_m2 == pytest.approx(40 - 5 * 3.15 - 1.8 * 0.75)


def test_a_lawn_that_lies_askew_is_laid_along_its_own_edges():
    askew = affinity.rotate(LAWN, 30, origin=(0, 0))
    straight = pile.lay_pile(LAWN, ((LARGE, 40),), 0.15)
    laid = pile.lay_pile(askew, ((LARGE, 40),), 0.15)
    assert laid.used == straight.used
    assert laid.bare_m2 == straight.bare_m2 == 0


PILES = (
    ((LARGE, 300),),
    (((1.2, 0.8), 400),),
    ((SMALL, 600),),
    ((LARGE, 20), (SMALL, 400)),
    (((1.5, 0.9), 30), ((1.2, 0.8), 40), ((0.9, 0.6), 500)),
)
LAWNS = (LAWN, box(0, 0, 6, 4), Point(0, 0).buffer(3), Polygon([(0, 0), (8, 0), (8, 3), (4, 3), (4, 6), (0, 6)]))


def test_a_sixth_of_the_joints_of_a_piles_second_layer_lie_along_joints_and_nowhere_half():
    """Begun without choosing, a third of them did, and all in the worst pile. What remains is said, not hidden."""
    shares = []
    for lawn in LAWNS:
        for heap in PILES:
            below, above = (joints(list(rows), 0.15) for rows in pile.lay_pile(lawn, heap, 0.15, layers=2).courses)
            shares.append(share_over(above, below, 0.15))
    assert sum(shares) / len(shares) < 1 / 6
    assert max(shares) < 0.5


def test_paper_is_lapped_like_card():
    """By hand: 4 m2, six sheets deep, 24 m2; each of 0.75 x 0.55 m adds 0.60 x 0.40 = 0.24 m2: 100 sheets."""
    assert pile.paper_sheets(4.0, (0.75, 0.55), 0.15) == 100


@given(st.integers(0, 80), st.integers(0, 80), st.floats(1, 10), st.floats(0.5, 6))
def test_a_pile_is_never_overdrawn_and_areas_add_up(large, small, width, depth):
    shape = box(0, 0, width, depth)
    laid = pile.lay_pile(shape, ((LARGE, large), (SMALL, small)), 0.15)
    assert min(laid.left) >= 0
    assert [used + left for used, left in zip(laid.used, laid.left, strict=True)] == [large, small]
    assert laid.covered_m2 + laid.bare_m2 == pytest.approx(shape.area, abs=0.01)


def test_no_pile_covers_nothing():
    assert pile.lay_pile(LAWN, (), 0.15).bare_m2 == 40
