"""Keep-outs: what they take, what they forbid, and that no ground is counted twice."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conversions.sizing import SiteError, check, first_layout, read_site, rectangle, takeoff, write_site
from conversions.sizing.zones import ring_radius_m

from .yards import patch, site

HARD = ["house", "drive", "pavement", "path"]
MOUND = {"uid": "m", "patch": "front", "kind": "mounded", "x": 5, "y": 3, "length_m": 3}
FRAME = {"uid": "f", "patch": "front", "kind": "framed", "x": 5, "y": 3}
POCKET = {"uid": "p", "patch": "front", "kind": "pocket", "x": 5, "y": 3}


def yard(*features, beyond=HARD, beds=(), width=10, depth=8, **more):
    return site(patch(rectangle(width, depth), beyond, features=list(features)), beds=beds, **more)


def codes(one):
    return [(problem.code, problem.where.part) for problem in check(one)]


def test_a_root_circle_is_twelve_trunks_wide():
    """Vancouver (WA) tree code, 1 ft of radius per inch of trunk, that is 12 x; 0.30 m gives 3.6 m."""
    assert ring_radius_m(0.30) == pytest.approx(3.6)
    assert ring_radius_m(10 * 0.0254) == pytest.approx(10 * 0.3048)


def test_a_thin_trunk_still_has_a_ring_of_six_feet():
    assert ring_radius_m(0.05) == 1.83


def test_a_hole_is_not_measured_and_can_have_a_trench():
    pond = {"kind": "hole", "label": "Pond", "points": [[4, 3], [4, 5], [6, 5], [6, 3]], "beyond": "garden wall"}
    row = takeoff(yard(pond)).patches["front"]
    assert row.measured_m2 == 76
    assert row.trench_m == pytest.approx(7.7 + 10 + 7.7 + 8, abs=0.01)
    assert len(row.outline) == 2


@pytest.mark.parametrize(
    ("points", "code", "part"),
    [
        ([[9, 3], [9, 5], [11, 5], [11, 3]], "hole-outside", "B to C"),
        ([[19, 3], [19, 5], [21, 5]], "hole-outside", "B to C"),
        ([[4, 3], [6, 5], [6, 3], [4, 5]], "hole-crosses-itself", "hole 1"),
    ],
)
def test_a_hole_that_cannot_be_is_refused(points, code, part):
    assert codes(yard({"kind": "hole", "points": points})) == [(code, part)]


def test_two_holes_may_not_touch():
    one, two = ({"kind": "hole", "points": [[x, 3], [x, 5], [x + 2, 5], [x + 2, 3]]} for x in (2, 3))
    assert codes(yard(one, two)) == [("hole-overlap", "hole 2")]


def test_old_paint_forbids_trench_mounds_and_pockets_and_allows_a_lined_frame():
    paint = {"kind": "painted wall", "edge": "A"}
    assert takeoff(yard(paint)).patches["front"].trench_m == pytest.approx(5 + 10 + 5)
    assert codes(yard(paint, beds=[{**MOUND, "y": 6}])) == [("bed-on-keep-out", "A to B")]
    assert codes(yard(paint, beds=[{**POCKET, "y": 6}])) == [("bed-on-keep-out", "A to B")]
    lined = takeoff(yard(paint, beds=[{**FRAME, "y": 6}]))
    assert [advice.code for advice in lined.advice] == ["line-the-frame"]
    assert takeoff(yard(paint, beds=[FRAME])).advice == ()


def test_a_fire_rule_keeps_ground_off_buildings_and_fences_that_burn():
    beyond = ["house", "fence", "path", "fence"]
    row = takeoff(yard(beyond=beyond, fire_strip_m=1.5)).patches["front"]
    assert row.kept_m2["house wall"] == 3.0
    assert row.kept_m2["fire strip"] == pytest.approx(10 * 1.2 + 2 * 1.5 * 6.5, abs=0.01)
    assert row.cover_m2 == pytest.approx(7 * 6.5, abs=0.01)


def test_a_fence_that_does_not_burn_needs_no_fire_strip():
    row = patch(rectangle(10, 8), ["house", "fence", "path", "open"])
    row["corners"][1]["burns"] = False
    one = site(row, fire_strip_m=1.5)
    assert takeoff(one).patches["front"].cover_m2 == 65
    assert read_site(write_site(one)) == one


def test_without_a_fire_rule_a_fence_keeps_nothing():
    assert "fire strip" not in takeoff(yard(beyond=["fence"] * 4)).patches["front"].kept_m2


def test_a_shed_inside_the_rule_keeps_its_surroundings_clear():
    shed = {"kind": "building", "points": [[0, 0], [2, 0]], "label": "Shed"}
    row = takeoff(yard(shed, beyond=["open"] * 4, fire_strip_m=1)).patches["front"]
    assert row.kept_m2["fire strip"] == pytest.approx(2 + math.pi / 4, abs=0.01)


def test_a_right_of_way_is_kept_along_a_side_or_down_its_own_line():
    along = {"kind": "right of way", "edge": "D", "width_m": 1}
    across = {"kind": "right of way", "points": [[-1, 4], [11, 4]], "width_m": 1}
    for way, area in ((along, 8), (across, 10)):
        row = takeoff(yard(way, beyond=["open"] * 4)).patches["front"]
        assert row.kept_m2 == {"right of way": area}


def test_a_wall_along_a_side_that_is_not_there_is_refused():
    assert codes(yard({"kind": "painted wall", "edge": "Z"})) == [("no-such-side", "Z")]


def test_a_zone_says_what_it_forbids():
    gas = {"kind": "line", "service": "gas", "points": [[5, 0], [5, 8]]}
    drawn = takeoff(yard(gas)).patches["front"].zones
    assert [zone.reason for zone in drawn] == ["house wall", "marked line"]
    assert drawn[1].effects == ("no beds", "no digging", "no pockets", "no trench")
    assert drawn[1].label == "gas"


def test_thin_chips_lie_in_the_ring_of_a_tree():
    """60 mm instead of 90 in the ring outside the collar: 0.03 m less on pi (3.6^2 - 0.3^2) m2."""
    plain = takeoff(yard(beyond=["open"] * 4, width=20, depth=20)).patches["front"]
    tree = {"kind": "tree", "x": 10, "y": 10, "trunk_m": 0.3}
    row = takeoff(yard(tree, beyond=["open"] * 4, width=20, depth=20)).patches["front"]
    ring, collar = math.pi * (3.6**2 - 0.3**2), math.pi * 0.3**2
    assert plain.chips_in_place_m3 - row.chips_in_place_m3 == pytest.approx(ring * 0.03 + collar * 0.09, abs=0.005)


feature = st.one_of(
    st.builds(lambda x, y, t: {"kind": "tree", "x": x, "y": y, "trunk_m": t}, st.floats(0, 10), st.floats(0, 8), st.floats(0.05, 0.6)),
    st.builds(lambda x, y: {"kind": "line", "service": "water", "points": [[x, -1], [y, 9]]}, st.floats(0, 10), st.floats(0, 10)),
    st.builds(lambda e: {"kind": "painted wall", "edge": e}, st.sampled_from("ABCD")),
    st.builds(lambda e, w: {"kind": "right of way", "edge": e, "width_m": w}, st.sampled_from("ABCD"), st.floats(0.3, 2)),
)  # fmt: skip


@given(st.lists(feature, max_size=4), st.sampled_from([0, 1.5]))
def test_kept_and_covered_make_up_the_measured_whatever_lies_on_the_ground(features, fire):
    one = yard(*features, beyond=["house", "fence", "path", "kerb"], fire_strip_m=fire)
    assert read_site(write_site(one)) == one
    try:
        result = takeoff(one)
    except SiteError as error:
        assert {problem.code for problem in error.problems} == {"strip-wider-than-lawn"}
        return
    row = result.patches["front"]
    assert round(sum(row.kept_m2.values()) + row.cover_m2, 2) == row.measured_m2
    for strip in row.kept:
        assert strip.area_m2 >= 0


@settings(max_examples=40)
@given(st.lists(feature, max_size=3))
def test_a_first_layout_keeps_off_whatever_lies_on_the_ground(features):
    one = yard(*features)
    if not check(one):
        assert check(replace(one, beds=first_layout(one, "front"))) == ()


@pytest.mark.parametrize(
    ("service", "is_kept_off"), [("proposed", False), ("Proposed", False), ("survey", True), ("", True)]
)
def test_where_somebody_means_to_dig_nothing_lies_and_nothing_is_kept_off(service, is_kept_off):
    """American Public Works Association, Uniform Color Code: white is proposed excavation."""
    line = {"kind": "line", "service": service, "points": [[5, 0], [5, 8]]}
    plain, marked = takeoff(yard()), takeoff(yard(line))
    reasons = [zone.reason for zone in marked.patches["front"].zones]
    assert ("marked line" in reasons) is is_kept_off
    assert (marked.figures["trench"].value < plain.figures["trench"].value) is is_kept_off
