"""Money: rounded half up, added after rounding, written the group's way."""

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conversions.common import money
from conversions.groups.models import Group


@pytest.mark.parametrize(
    ("amount", "digits", "rounded"),
    [
        ("2.675", 2, "2.68"),
        ("2.665", 2, "2.67"),
        ("0.5", 0, "1"),
        ("1.5", 0, "2"),
        ("1.0005", 3, "1.001"),
        ("0", 2, "0.00"),
    ],
)
def test_half_goes_up(amount, digits, rounded):
    assert str(money.rounded(Decimal(amount), digits)) == rounded


def test_the_total_adds_what_is_shown():
    # 3 x 0.335 = 1.005, but three lines of 0.34 are shown
    assert money.total([Decimal("0.335")] * 3, 2) == Decimal("1.02")


def test_an_amount_nobody_knows_adds_nothing():
    assert money.total([None, Decimal("1")], 2) == Decimal("1.00")


@pytest.mark.parametrize(
    ("group", "shown"),
    [
        ({"currency": "$"}, "$1,277.50"),
        ({"currency": "kr", "currency_after": True}, "1,277.50 kr"),
        ({}, "1,277.50"),
        ({"currency": "¥", "minor_digits": 0}, "¥1,278"),
        ({"currency": "KD", "minor_digits": 3, "currency_after": True}, "1,277.500 KD"),
    ],
)
def test_an_amount_is_written_the_groups_way(group, shown):
    assert money.shown(Decimal("1277.5"), Group(**group)) == shown


AMOUNT = st.decimals(min_value=0, max_value=10**7, places=4)


@given(amounts=st.lists(AMOUNT, max_size=20), digits=st.sampled_from([0, 2, 3]))
def test_rounding_then_adding_is_exact(amounts, digits):
    step = Decimal(1).scaleb(-digits)
    assert money.total(amounts, digits) == sum((a.quantize(step, ROUND_HALF_UP) for a in amounts), Decimal(0))
