"""What is refused, with a sentence that names the corner, side or bed."""

import pytest

from conversions.sizing import SiteError, check, rectangle, takeoff

from .yards import patch, plain, site

MOUND = {"uid": "m", "patch": "front", "kind": "mounded", "x": 4, "y": 2.5, "length_m": 4}
FRAME = {"uid": "f", "patch": "front", "kind": "framed", "x": 4, "y": 4.5}


def only(yard):
    problems = check(yard)
    assert len(problems) == 1, problems
    assert "{" not in problems[0].sentence
    with pytest.raises(SiteError) as caught:
        takeoff(yard)
    assert caught.value.problems == problems
    return problems[0]


def test_crossing_sides_are_named():
    problem = only(site(patch([(0, 4), (4, 0), (4, 4), (0, 0)])))
    assert (problem.code, problem.where.part) == ("crosses-itself", "A to B")
    assert "C to D" in problem.sentence


def test_a_doubled_corner_is_named():
    problem = only(site(patch([(0, 4), (4, 4), (4, 4), (4, 0), (0, 0)])))
    assert (problem.code, problem.where.part) == ("zero-side", "B to C")


def test_corners_in_a_line_have_no_ground():
    assert only(site(patch([(0, 0), (4, 0), (8, 0)]))).code in ("no-area", "crosses-itself")


def test_a_patch_without_corners_waits_for_its_walk():
    assert only(site(patch([]))).code == "no-outline"


def test_a_strip_wider_than_the_lawn_is_refused():
    problem = only(plain(8, 0.3))
    assert (problem.code, problem.where.part) == ("strip-wider-than-lawn", "A to B")


def test_ground_smaller_than_a_doormat_is_refused():
    problem = only(plain(0.2, 0.3, ["open"] * 4))
    assert (problem.code, problem.values) == ("too-small", {"area_m2": 0.06})


def test_a_bed_over_the_edge_names_the_side():
    problem = only(plain(beds=[{**MOUND, "y": 0.4}]))
    assert (problem.code, problem.where.uid, problem.where.part) == ("bed-outside", "m", "C to D")


def test_a_bed_far_outside_is_refused():
    assert only(plain(beds=[{**MOUND, "y": -9}])).code == "bed-outside"


def test_a_bed_in_the_house_strip_is_refused():
    problem = only(plain(beds=[{**FRAME, "y": 5.2}]))
    assert (problem.code, problem.where.part) == ("bed-on-keep-out", "A to B")


def test_a_bed_over_another_is_refused():
    problem = only(plain(beds=[MOUND, {**FRAME, "y": 3}]))
    assert (problem.code, problem.where.uid, problem.where.part) == ("bed-overlap", "f", "m")


def test_beds_that_touch_are_fine():
    assert check(plain(beds=[{**FRAME, "y": 3.0}, {**FRAME, "uid": "g", "y": 4.2}])) == ()


@pytest.mark.parametrize(
    ("bed", "code"),
    [
        ({**MOUND, "length_m": 1.0}, "bed-too-short"),
        ({**MOUND, "width_m": 0.4, "height_m": 0.2}, "mound-too-steep"),
        ({**FRAME, "width_m": 0.07}, "frame-all-board"),
        ({**FRAME, "height_m": 0.02}, "frame-too-low"),
        (
            {"uid": "p", "patch": "front", "kind": "pocket", "x": 4, "y": 3, "top_m": 0.2, "bottom_m": 0.4},
            "pocket-undercut",
        ),
    ],
)
def test_a_bed_that_cannot_be_built_is_refused(bed, code):
    assert only(plain(beds=[bed])).code == code


def test_an_absurd_side_is_asked_about_and_kept():
    result = takeoff(plain(400, 6))
    assert [problem.code for problem in result.warnings] == ["absurd-side", "absurd-side"]
    assert result.figures["measured"].value == 2400


def test_a_bed_wider_than_an_arm_reaches_is_advice():
    assert [p.code for p in takeoff(plain(beds=[{**MOUND, "width_m": 1.5}])).advice] == ["reach"]
    assert takeoff(plain(beds=[MOUND])).advice == ()


def test_a_tree_keeps_its_trunk_and_thins_the_chips_of_its_ring():
    tree = {"kind": "tree", "x": 4, "y": 1, "trunk_m": 0.26}
    yard = site(patch(rectangle(8, 6), ["house", "drive", "pavement", "path"], features=[tree]))
    row = takeoff(yard).patches["front"]
    assert row.kept_m2["tree trunk"] == 0.25
    assert row.trench_m == pytest.approx(19.4 - 2 * (3.12**2 - 1) ** 0.5, abs=0.01)
    assert only(site(patch(rectangle(8, 6), features=[tree]), beds=[MOUND])).code == "bed-on-keep-out"


def test_no_trench_and_no_bed_within_the_band_of_a_marked_line():
    line = {"kind": "line", "service": "gas", "points": [[5, 0], [5, 6]]}
    yard = site(patch(rectangle(8, 6), ["house", "drive", "pavement", "path"], features=[line]))
    assert takeoff(yard).patches["front"].trench_m == pytest.approx(19.4 - 1.2, abs=0.01)
    assert only(site(patch(rectangle(8, 6), features=[line]), beds=[MOUND])).code == "bed-on-keep-out"


@pytest.mark.parametrize(
    ("points", "side"),
    [
        ([[0, 2], [2, 2], [2, 4], [0, 4]], "D to A"),  # along a side
        ([[4, 6], [5, 3], [4, 0], [3, 3]], "A to B"),  # from side to side, by its corners only
    ],
)
def test_a_hole_that_cuts_into_the_edge_is_refused_and_the_side_is_named(points, side):
    ground = patch([(0, 6), (8, 6), (8, 0), (0, 0)], features=[{"kind": "hole", "points": points}])
    with pytest.raises(SiteError) as caught:
        takeoff(site(ground))
    (problem,) = caught.value.problems
    assert (problem.code, problem.where.part) == ("hole-on-edge", side)
    assert problem.sentence == f"hole 1 lies along side {side}. Move it inside, or walk the outline round it."


def test_a_hole_beyond_the_outline_is_refused_and_the_nearest_side_is_named():
    far = {"kind": "hole", "label": "pond", "points": [[9, 2], [10, 2], [10, 3]]}
    problem = only(site(patch([(0, 6), (8, 6), (8, 0), (0, 0)], features=[far])))
    assert problem.sentence == "pond lies outside the outline, beyond side B to C. Move it inside."


def test_a_hole_may_touch_the_edge_in_one_spot():
    ground = patch([(0, 6), (8, 6), (8, 0), (0, 0)], features=[{"kind": "hole", "points": [[0, 3], [2, 2], [2, 4]]}])
    assert takeoff(site(ground)).figures["measured"].value == 46
