"""Lengths as people say them, and both systems written back."""

from decimal import Decimal

import pytest

from conversions.common import measures
from conversions.common.measures import NotALength, read_length

# Exact by definition, NIST Handbook 44 (2024), Appendix C, "General Tables of Units of Measurement":
# 1 inch = 25.4 mm, 1 foot = 0.3048 m, 1 yard = 0.9144 m.
AS_SPOKEN = [
    ("12'6\"", "3.810"),
    ("12' 6\"", "3.810"),
    ("12′ 6″", "3.810"),
    ("12’6”", "3.810"),
    ("12 ft 6 in", "3.810"),
    ("12ft6in", "3.810"),
    ("12 ft 6", "3.810"),
    ("12.5 ft", "3.810"),
    ("12½ ft", "3.810"),
    ("12 1/2 feet", "3.810"),
    ("12 FT", "3.658"),
    ("12'", "3.658"),
    ("6 1/2 in", "0.165"),
    ("½ in", "0.013"),
    ("6 ft 6½ in", "1.994"),
    ("150 inches", "3.810"),
    ("3.81", "3.810"),
    ("3,81 m", "3.810"),
    ("3,81m", "3.810"),
    ("7,5", "7.500"),
    (".5 m", "0.500"),
    ("5 metres", "5.000"),
    ("381 cm", "3.810"),
    ("3810 mm", "3.810"),
    ("3 m 81", "3.810"),
    ("3m81cm", "3.810"),
    ("  5.2   m ", "5.200"),
    ("0,250", "0.250"),
]


@pytest.mark.parametrize(("typed", "metres"), AS_SPOKEN)
def test_a_length_is_read_as_it_is_spoken(typed, metres):
    length = read_length(typed, "metric")
    assert (length.metres, length.as_typed) == (Decimal(metres), typed.strip())


def test_a_bare_number_takes_the_unit_shown_on_the_field():
    assert read_length("12.5", "imperial").metres == Decimal("3.810")
    assert read_length("12.5", "metric").metres == Decimal("12.500")
    assert read_length("5 m", "imperial").metres == Decimal("5.000")


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("", "Write a length"),
        ("   ", "Write a length"),
        ("0", "more than nothing"),
        ("0 ft 0 in", "more than nothing"),
        ("0.0001", "more than nothing"),
        ("-3", "less than nothing"),
        ("−3 m", "less than nothing"),
        ("abc", "cannot read"),
        ("12,5,3", "cannot read"),
        ("1e3", "cannot read"),
        ("ft", "cannot read"),
        ("'", "cannot read"),
        ("3 apples", "cannot read"),
        ("9" * 40, "cannot read"),
        ("1/0 ft", "nought below the line"),
        ("²", "cannot read"),
    ],
)
def test_what_is_no_length_is_refused_in_words(typed, message):
    with pytest.raises(NotALength, match=message):
        read_length(typed, "metric")


def test_a_comma_before_three_digits_is_asked_about():
    with pytest.raises(NotALength, match=r"Is this 1\.25 or 1250\?"):
        read_length("1,250", "metric")


def test_a_side_of_four_hundred_metres_is_absurd_and_still_read():
    assert read_length("400", "metric").is_absurd
    assert not read_length("60", "metric").is_absurd


def test_feet_are_written_as_a_tape_reads_them():
    assert measures.feet_inches("3.81") == "12 ft 6 in"
    assert measures.feet_inches("3.6576") == "12 ft"
    assert measures.feet_inches("0.1524") == "6 in"
    assert measures.feet_inches("0.0127") == "½ in"
    assert measures.feet_inches("1.9939") == "6 ft 6½ in"


def test_the_mixed_patch_of_petra_reads_the_same_in_both_systems():
    square = read_length("12'6\"", "metric").metres * read_length("5.2 m", "metric").metres
    assert measures.area(square) == "19.8 m²"
    assert measures.area(square, "imperial") == "213 sq ft"


def test_a_volume_is_written_in_both_systems():
    # 1 yd3 = 0.9144 m cubed = 0.764554857984 m3, from the exact yard above
    assert measures.volume("0.764554857984", "imperial") == "1.0 cu yd"
    assert measures.volume("5.88") == "5.9 m³"
    assert measures.other("metric") == "imperial"
