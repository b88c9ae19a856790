"""Unit factors against their definitions. HB44: NIST Handbook 44, Appendix C."""

import pytest

from conversions.sizing import units

DEFINED = [
    ("INCH_M", 0.0254, "HB44 App. C: 1 inch = 2.54 centimeters (exactly); international inch of 1959"),
    ("FOOT_M", 0.3048, "HB44 App. C / NIST SP 811 App. B"),
    ("YARD_M", 0.9144, "HB44 App. C / NIST SP 811 App. B"),
    ("SQUARE_FOOT_M2", 0.09290304, "0.3048 squared"),
    ("SQUARE_YARD_M2", 0.83612736, "0.9144 squared"),
    ("CUBIC_INCH_M3", 1.6387064e-5, "0.0254 cubed"),
    ("CUBIC_FOOT_M3", 0.028316846592, "0.3048 cubed; SP 811 prints 2.831685 E-02"),
    ("CUBIC_YARD_M3", 0.764554857984, "0.9144 cubed; SP 811 prints 7.645549 E-01; HB44's 0.765 is rounded, not used"),
    ("US_GALLON_M3", 0.003785411784, "HB44 App. C: 231 cubic inches (exactly)"),
    ("US_BUSHEL_M3", 0.03523907016688, "HB44 App. C: 2150.42 cubic inches (exactly)"),
    ("HEAPED_BUSHEL_M3", 0.0450269816, "HB44 App. C: 2747.715 cubic inches, 1.278 struck bushels"),
    ("IMPERIAL_GALLON_M3", 0.00454609, "UK Weights and Measures Act 1985; SP 811 prints 4.54609 E-03"),
    ("POUND_KG", 0.45359237, "HB44 App. C / SP 811 App. B"),
    ("SHORT_TON_KG", 907.18474, "2000 lb"),
    ("ACRE_M2", 4046.8564224, "43 560 square feet, international acre"),
    ("LB_PER_YD3_KGM3", 0.593276421, "from the definitions"),
    ("LB_PER_FT3_KGM3", 16.0184634, "from the definitions"),
    ("LB_PER_GALLON_KGM3", 119.826427, "from the definitions"),
]


@pytest.mark.parametrize(("name", "expected", "source"), DEFINED, ids=[row[0] for row in DEFINED])
def test_a_factor_is_the_one_defined(name, expected, source):
    assert getattr(units, name) == pytest.approx(expected, rel=1e-8)


def test_a_cubic_foot_is_7_48_gallons_and_not_the_printed_7_481():
    assert pytest.approx(7.48051948, rel=1e-8) == units.CUBIC_FOOT_M3 / units.US_GALLON_M3


def test_a_bushel_is_2150_42_cubic_inches_and_not_the_number_some_libraries_carry():
    assert pytest.approx(2150.42, abs=1e-9) == units.US_BUSHEL_M3 / units.CUBIC_INCH_M3
    assert pytest.approx(2150.42058, abs=1e-5) != units.US_BUSHEL_M3 / units.CUBIC_INCH_M3
