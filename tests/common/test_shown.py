"""Measures as templates show them."""

from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.template import Context, Template


@pytest.mark.parametrize(
    ("units", "filtered", "shown"),
    [
        ("metric", "m|big_area:group", '<b>1,571.6</b> <span class="u">m²</span>'),
        ("imperial", "m|big_area:group", '<b>16,917</b> <span class="u">sq ft</span>'),  # 1571.6 / 0.09290304
        ("metric", "m|big_volume:group", '<b>1,571.6</b> <span class="u">m³</span>'),
        ("metric", "none|big_area:group", ""),
    ],
)
def test_a_large_figure_has_its_unit_small_beside_it(units, filtered, shown):
    values = {"m": Decimal("1571.60"), "none": None, "group": SimpleNamespace(units=units)}
    assert Template("{% load shown %}{{ " + filtered + " }}").render(Context(values)) == shown
