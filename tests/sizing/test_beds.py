"""Beds of every kind against arithmetic, against integrals worked another way, and against arms and wheelchairs."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conversions.sizing import beds, check, read_site, rectangle, takeoff, write_site
from conversions.sizing.units import CUBIC_FOOT_M3, CUBIC_YARD_M3, FOOT_M, INCH_M

from .yards import patch, site

SNAKE = [[2, 2], [5, 2], [7, 4], [10, 4]]


def lawn(*rows, beyond=("open",) * 4, width=12, depth=8, **more):
    return site(patch(rectangle(width, depth), beyond), beds=[{"patch": "front", **row} for row in rows], **more)


def integral(length, width, height, angle, ends):
    """Volume of a mound as a sum of its height over a fine grid: shares no formula with the engine."""
    step = 0.01
    x, y = np.meshgrid(
        np.arange(-length / 2, length / 2, step) + step / 2, np.arange(-width / 2, width / 2, step) + step / 2
    )
    if ends == "round":
        along = np.maximum(np.abs(x) - (length - width) / 2, 0)
        inward = width / 2 - np.hypot(along, y)
    else:
        inward = np.minimum(length / 2 - np.abs(x), width / 2 - np.abs(y))
    return float(np.clip(inward * math.tan(math.radians(angle)), 0, height).sum() * step * step)


@pytest.mark.parametrize("ends", ["round", "square"])
@pytest.mark.parametrize(
    ("length", "width", "height", "angle"), [(5, 1.2, 0.25, 40), (3, 1.0, 0.15, 35), (2, 1.4, 0.3, 45)]
)
def test_a_mound_has_the_volume_of_its_integral(length, width, height, angle, ends):
    assert beds.mound_m3(length, width, height, ends, angle) == pytest.approx(
        integral(length, width, height, angle, ends), rel=2e-3
    )


def test_a_pocket_has_the_volume_of_its_integral():
    z = np.linspace(0, 0.2, 20001)
    area = np.pi * ((0.2 + z / 0.2 * 0.2) / 2) ** 2
    assert beds.frustum_m3(0.4, 0.2, 0.2) == pytest.approx(
        float(((area[1:] + area[:-1]) / 2).sum() * (z[1] - z[0])), rel=1e-6
    )


@pytest.mark.parametrize(("angle", "section"), [(35, 0.21074075), (40, 0.2255154), (45, 0.2375)])
def test_a_mound_section(angle, section):
    """Our own arithmetic; no published slope for compost was found, 35 is from memory."""
    assert beds.section_m2(1.2, 0.25, angle) == pytest.approx(section, rel=1e-6)


def test_a_frame_of_four_by_eight_feet_holds_22_4_cubic_feet_and_not_the_nominal_26_7():
    """American Softwood Lumber Standard: a 2x10 is 1-1/2 x 9-1/4 in; inside 45 x 93 x 9.25 in."""
    inside = beds.frame_fill_m3(8 * FOOT_M, 4 * FOOT_M, 9.25 * INCH_M, 1.5 * INCH_M, freeboard_m=0)
    assert inside / CUBIC_FOOT_M3 == pytest.approx(22.4023438, rel=1e-6)
    assert inside / CUBIC_YARD_M3 == pytest.approx(0.829716435, rel=1e-6)


def test_a_mound_along_a_line_is_as_long_as_the_line_and_its_ends():
    row = takeoff(lawn({"uid": "s", "kind": "mounded", "path": SNAKE, "width_m": 1.0, "height_m": 0.15})).beds["s"]
    length = 3 + math.sqrt(8) + 3
    assert row.area_m2 == pytest.approx(length + math.pi / 4, abs=0.006)
    assert row.compost_in_place_m3 == pytest.approx(beds.mound_m3(length + 1, 1.0, 0.15), abs=1e-4)


def test_a_straight_line_is_the_same_bed_as_a_length():
    line = {"uid": "s", "kind": "mounded", "path": [[3, 3], [7, 3]], "width_m": 1.2}
    plain = {"uid": "s", "kind": "mounded", "x": 5, "y": 3, "length_m": 5.2, "width_m": 1.2}
    one, two = takeoff(lawn(line)), takeoff(lawn(plain))
    assert one.beds["s"].compost_in_place_m3 == two.beds["s"].compost_in_place_m3
    assert one.figures == two.figures


def test_a_line_of_a_bed_is_written_as_it_was_read():
    one = lawn({"uid": "s", "kind": "mounded", "path": SNAKE, "seated": True})
    assert read_site(write_site(one)) == one


@pytest.mark.parametrize("path", [[[2, 2], [5, 2], [2, 2.3]], [[2, 2], [2, 2]]])
def test_a_bed_that_doubles_back_is_refused(path):
    assert [p.code for p in check(lawn({"uid": "s", "kind": "mounded", "path": path}))] == ["bend-too-tight"]


def test_a_snaking_bed_must_lie_inside():
    path = [[2, 2], [5, 2], [7, 4], [11.8, 4]]
    assert [p.code for p in check(lawn({"uid": "s", "kind": "mounded", "path": path}))] == ["bed-outside"]


def codes(one):
    return [(problem.code, problem.where.uid) for problem in takeoff(one).advice]


def test_a_bed_against_a_fence_is_reached_from_one_side_only():
    frame = {"uid": "f", "kind": "framed", "x": 3, "y": 7.3, "width_m": 1.2}
    assert codes(lawn(frame, beyond=["fence", "open", "open", "open"])) == [("reach-one-side", "f")]
    assert codes(lawn({**frame, "width_m": 0.6}, beyond=["fence", "open", "open", "open"])) == []
    assert codes(lawn({**frame, "y": 6}, beyond=["fence", "open", "open", "open"])) == []


def test_a_seated_bed_is_61_to_69_cm_high_and_may_be_wider():
    """South Dakota State: 24 to 27 in high, 5 ft from both sides."""
    frame = {"uid": "f", "kind": "framed", "x": 5, "y": 4, "length_m": 2.4, "width_m": 1.5, "seated": True}
    assert codes(lawn({**frame, "height_m": 0.66})) == []
    assert codes(lawn({**frame, "height_m": 0.4})) == [("seated-height", "f")]
    assert codes(lawn({**frame, "height_m": 0.66, "seated": False})) == [("reach", "f")]


def test_a_path_for_a_wheelchair_is_915_mm_and_for_a_barrow_600():
    """ADA/ABA text: 915 mm (36 in) minimum; a barrow path is 24 to 36 in."""
    one = {"uid": "f", "kind": "framed", "x": 3, "y": 2, "height_m": 0.65}
    two = {**one, "uid": "g", "y": 3.9}
    assert codes(lawn(one, two)) == []
    assert codes(lawn({**one, "seated": True}, two)) == [("narrow-path", "g")]
    assert codes(lawn(one, {**two, "y": 3.6})) == [("narrow-path", "g")]


def test_chips_too_thin_for_the_card_are_advised_against():
    assert codes(lawn(mulch={"depth_m": 0.03})) == [("mulch-too-thin", "")]
    assert "30 mm of wood chips is too thin" in takeoff(lawn(mulch={"depth_m": 0.03})).advice[0].sentence
    assert codes(lawn(mulch={"material": "straw loose", "depth_m": 0.09})) == [("mulch-too-thin", "")]


@pytest.mark.parametrize(("slope", "code"), [(0.1, None), (0.25, "steep"), (0.4, "too-steep")])
def test_steep_ground_is_spoken_of(slope, code):
    assert [c for c, _ in codes(lawn(slope=slope))] == ([code] if code else [])


@given(st.floats(0.3, 2), st.floats(0, 6), st.floats(0.02, 0.5), st.sampled_from(["round", "square"]))
def test_a_mound_is_never_less_than_nothing_and_never_more_than_its_box(width, more, share, ends):
    length, height = width + more, beds.highest_m(width) * share * 2
    volume = beds.mound_m3(length, width, height, ends)
    assert -1e-12 <= volume <= length * width * height


@given(st.floats(0.5, 3), st.floats(0.6, 2), st.floats(1, 4))
def test_a_bed_scaled_by_k_has_k_squared_the_area_and_k_cubed_the_compost(stretch, width, k):
    length, height = width * (1 + stretch), width * 0.2
    assert beds.mound_area_m2(length * k, width * k) == pytest.approx(beds.mound_area_m2(length, width) * k**2)
    assert beds.mound_m3(length * k, width * k, height * k) == pytest.approx(
        beds.mound_m3(length, width, height) * k**3
    )


@given(st.floats(0, 360), st.floats(-20, 20), st.floats(-20, 20))
def test_turning_and_moving_a_bed_changes_nothing_it_needs(turn, x, y):
    bed = lawn({"uid": "m", "kind": "mounded", "x": 5, "y": 4, "length_m": 3}).beds[0]
    moved = replace(bed, turn_deg=turn, x_m=x, y_m=y)
    assert beds.footprint(moved).area == pytest.approx(beds.footprint(bed).area)
    assert beds.compost_m3(moved) == beds.compost_m3(bed)
