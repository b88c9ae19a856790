"""Volumes, settling, loads and the rounding to how things are sold."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conversions.sizing import mulch, round_up_to_step
from conversions.sizing.units import CUBIC_FOOT_M3, CUBIC_YARD_M3, FOOT_M, INCH_M, SQUARE_FOOT_M2


def test_a_cubic_yard_covers_324_square_feet_one_inch_deep():
    """27 cubic feet x 12 inches; exact."""
    assert pytest.approx(324, rel=1e-12) == CUBIC_YARD_M3 / INCH_M / SQUARE_FOOT_M2


def test_twelve_by_twelve_feet_at_three_inches_is_36_cubic_feet():
    """UF/IFAS Gardening Solutions, Calculating Mulch: 36 cubic feet."""
    area_m2 = 12 * FOOT_M * 12 * FOOT_M
    assert mulch.volume_m3(area_m2, 3 * INCH_M) / CUBIC_FOOT_M3 == pytest.approx(36, rel=1e-12)


@pytest.mark.parametrize(
    ("quantity", "step", "expected"),
    [(2.002, 0.1, 2.0), (2.04, 0.1, 2.1), (1.74, 0.5, 2.0), (0, 0.1, 0.0), (0.003, 0.1, 0.1), (2.005, 0.1, 2.0),
     (2.0051, 0.1, 2.1), (1.0, 1, 1.0), (1.05, 1, 1.0), (1.051, 1, 2.0)],
)  # fmt: skip
def test_a_quantity_is_rounded_up_to_the_selling_step(quantity, step, expected):
    assert round_up_to_step(quantity, step) == expected


def test_a_decimal_stays_a_decimal():
    assert round_up_to_step(Decimal("1.74"), Decimal("0.5")) == Decimal("2.0")
    assert isinstance(round_up_to_step(Decimal("1.74"), Decimal("0.5")), Decimal)


@given(st.floats(0.001, 500), st.sampled_from([0.1, 0.25, 0.5, 1.0]))
def test_rounding_up_never_forgives_more_than_a_twentieth_and_never_adds_a_whole_step(quantity, step):
    rounded = round_up_to_step(quantity, step)
    assert rounded >= quantity - step / 20 - 1e-9
    assert rounded < quantity + step + 1e-9
    assert round_up_to_step(rounded, step) == pytest.approx(rounded)


def test_settling_is_divided_once():
    assert mulch.to_order_m3(9, 0.2) == pytest.approx(11.25)
