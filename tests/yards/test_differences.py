"""What a change makes of a figure, in words."""

import pytest

from conversions.yards.differences import difference


@pytest.mark.parametrize(
    ("change", "unit", "units", "said"),
    [
        (0.4, "m3", "metric", "+0.4 m³"),
        (-12.0, "m2", "metric", "−12.0 m²"),
        (1, "sheets", "metric", "1 sheet more"),
        (-6, "sheets", "metric", "6 sheets fewer"),
        (0.0, "sheets", "metric", ""),
        (0.0001, "m3", "metric", ""),
        (0, "m2", "metric", ""),
        (1.5, "h", "metric", "+1.5 hours"),
    ],
)
def test_a_difference_is_said_with_its_sign_or_not_at_all(change, unit, units, said):
    assert difference(change, unit, units) == said
