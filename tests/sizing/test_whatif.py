"""What-if and short-of."""

from dataclasses import replace
from decimal import Decimal
from itertools import chain, combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conversions.sizing import SiteError, Stock, can_finish, read_site, rectangle, takeoff, what_if
from conversions.sizing.shortof import Need, choose, needs

from .yards import patch, site, worked

YARD = read_site(worked("plain_front")[0])
PRICES = {"cardboard": Decimal(0), "chips": Decimal(0), "compost": Decimal(48), "hours": Decimal(0)}


def test_less_depth_needs_fewer_chips_and_hours_and_nothing_else_changes():
    """By hand: 42.72 m2 x 0.015 m / 0.8 = 0.80 m3 less; 1.5833 hours a m3 is 1.3 hours less."""
    result = what_if(YARD, depth_m=0.075)
    assert result.change("chips").difference == pytest.approx(-0.8)
    assert result.change("hours").difference == pytest.approx(-1.2, abs=0.11)
    assert result.change("cardboard").difference == 0
    assert result.money is None  # chips and hours change and no price is set


def test_a_fourth_layer_is_71_sheets_more():
    result = what_if(YARD, layers=4, prices=PRICES)
    assert result.change("cardboard").difference == 71
    assert result.money == 0


def test_lower_beds_save_compost_and_money():
    result = what_if(YARD, bed_height_m=0.12, prices=PRICES)
    assert result.change("compost").difference < 0
    assert result.money == Decimal(str(result.change("compost").difference)) * 48


def test_a_price_not_set_is_not_a_price_of_nothing():
    assert what_if(YARD, bed_height_m=0.12, prices={**PRICES, "compost": None}).money is None


def test_another_material_settles_differently():
    """By hand: straw loses half: 4.136 / 0.5 = 8.272, ordered as 8.3; chips were 5.2."""
    assert what_if(YARD, material="straw loose").change("chips").difference == pytest.approx(3.1)


def test_a_settling_the_group_set_does_not_go_over_to_another_material():
    own = replace(YARD, mulch=replace(YARD.mulch, settling=0.1))
    assert (
        what_if(own, material="straw loose").result.figures["chips"]
        == what_if(YARD, material="straw loose").result.figures["chips"]
    )


def test_a_change_that_cannot_be_built_is_refused():
    with pytest.raises(SiteError):
        what_if(YARD, bed_height_m=0.9)


def three():
    return site(
        patch(rectangle(8, 6), uid="large"),
        patch(rectangle(5, 4), uid="middle"),
        patch(rectangle(3, 3), uid="small"),
    )


def test_with_enough_of_everything_all_patches_are_finished():
    done = can_finish(three(), Stock())
    assert done.patches == ("large", "middle", "small")
    assert done.cover_m2 == 77


def test_short_of_card_the_most_square_metres_are_finished_whole():
    one = three()
    sheets = {need.uid: need.cardboard for need in needs(one)}
    done = can_finish(one, Stock(cardboard=sheets["large"] - 1))
    assert done.patches == ("middle", "small")
    assert done.left["cardboard"] == sheets["large"] - 1 - sheets["middle"] - sheets["small"]


def test_nobody_finishes_nothing():
    assert can_finish(three(), Stock(people=0)).patches == ()


def test_needs_of_the_patches_add_up_to_the_whole_but_for_setting_out():
    one = three()
    whole, parts = takeoff(one).figures, needs(one)
    assert sum(need.cover_m2 for need in parts) == whole["cover"].value
    assert sum(need.cardboard for need in parts) == whole["cardboard"].value
    assert sum(need.hours for need in parts) == pytest.approx(whole["hours"].value + 2 * 0.55, abs=0.06)


def test_of_two_equal_sets_the_one_with_fewer_hours_is_chosen():
    rows = (Need("slow", 10, 10, 1, 0, 9), Need("quick", 10, 10, 1, 0, 5))
    assert choose(rows, {"cardboard": 12}).patches == ("quick",)


amount = st.integers(1, 60)
need = st.builds(Need, st.just("x"), amount, amount, amount, amount, amount)
limits = st.dictionaries(st.sampled_from(["cardboard", "chips", "compost", "hours"]), st.integers(0, 200), max_size=4)


@given(st.lists(need, max_size=8), limits)
def test_no_other_set_of_patches_does_better(rows, most):
    """A referee that tries every set."""
    rows = tuple(Need(str(n), *list(row.__dict__.values())[1:]) for n, row in enumerate(rows))
    every = chain.from_iterable(combinations(rows, size) for size in range(len(rows) + 1))
    fitting = [s for s in every if all(sum(getattr(row, key) for row in s) <= limit for key, limit in most.items())]
    best = min((-sum(row.cover_m2 for row in s), sum(row.hours for row in s)) for s in fitting)
    found = choose(rows, most)
    assert (-found.cover_m2, found.hours) == best
    assert min(found.left.values(), default=0) >= 0


@given(st.lists(need, min_size=13, max_size=20), limits)
def test_above_twelve_patches_a_guess_still_fits_and_says_so(rows, most):
    rows = tuple(Need(str(n), *list(row.__dict__.values())[1:]) for n, row in enumerate(rows))
    found = choose(rows, most)
    assert min(found.left.values(), default=0) >= 0
    possible = [row for row in rows if all(getattr(row, key) <= limit for key, limit in most.items())]
    assert found.is_exact == (len(possible) <= 12)


def test_twelve_patches_are_solved_at_once():
    rows = tuple(Need(str(n), 20 + n * 7 % 13, 30 + n * 5 % 11, 3 + n % 4, 1, 8 + n % 5) for n in range(12))
    assert choose(rows, {"cardboard": 200, "chips": 25, "hours": 60}).is_exact


def test_an_integer_programme_agrees():
    """HiGHS as an outside referee, where it is installed."""
    optimize = pytest.importorskip("scipy.optimize")
    rows = tuple(Need(str(n), 20 + n * 7 % 13, 30 + n * 5 % 11, 3 + n % 4, 1, 8 + n % 5) for n in range(12))
    most = {"cardboard": 200, "chips": 25, "hours": 60}
    table = [[getattr(row, key) for row in rows] for key in most]
    result = optimize.milp(
        [-row.cover_m2 + row.hours * 1e-4 for row in rows],
        constraints=optimize.LinearConstraint(table, ub=list(most.values())),
        integrality=[1] * 12,
        bounds=optimize.Bounds(0, 1),
    )
    found = choose(rows, most)
    assert found.cover_m2 - found.hours * 1e-4 == pytest.approx(-result.fun, abs=1e-6)
