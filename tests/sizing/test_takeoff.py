"""The whole take-off: the worked yards, sums that must hold, and what is refused."""

import dataclasses
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conversions.sizing import Crew, SiteError, Takeoff, first_layout, read_site, rectangle, takeoff

from .yards import patch, plain, site, worked

YARDS = ["plain_front", "l_front", "curved_back", "accessible"]
BEYOND = ["house", "path", "drive", "pavement", "kerb", "garden wall", "fence", "lawn", "bed", "open"]
beyonds = st.lists(st.sampled_from(BEYOND), min_size=4, max_size=4)
size = st.floats(1, 30).map(lambda value: round(value, 2))


@pytest.mark.parametrize("name", YARDS)
def test_a_worked_yard_comes_out_as_worked_by_hand(name):
    document, rows = worked(name)
    figures = takeoff(read_site(document)).figures
    assert {key for key, _, _ in rows} == set(figures)
    found = {(key, part): getattr(figures[key], part) for key, part, _ in rows}
    for key, part, number in rows:
        places = len(number.partition(".")[2])
        assert f"{found[key, part]:.{places}f}" == number, key


def test_every_figure_tells_its_inputs_formula_rounding_and_source():
    for figure in takeoff(plain()).figures.values():
        assert figure.formula.endswith(".") and figure.rounding.endswith(".") and figure.source.endswith(".")
        assert figure.origin == "book"
        assert all(len(row) == 3 for row in figure.inputs)


@settings(deadline=None)
@given(size, size, beyonds, st.sampled_from([0, 0.15, 0.3]))
def test_kept_and_covered_make_up_what_was_measured(width, depth, beyond, strip):
    try:
        result = takeoff(plain(width, depth, beyond, house_strip_m=strip))
    except SiteError as error:
        assert {problem.code for problem in error.problems} == {"strip-wider-than-lawn"}
        return
    value = {key: round(figure.value * 100) for key, figure in result.figures.items()}
    assert value["kept"] + value["cover"] == value["measured"]
    for row in result.patches.values():
        assert round(sum(row.kept_m2.values()) + row.cover_m2, 2) == row.measured_m2
        assert row.chips_in_place_m3 >= 0 and row.cardboard.sheets > 0
    assert min(figure.value for figure in result.figures.values()) >= 0


def test_a_trench_runs_only_along_paving_kerb_and_garden_wall():
    for beyond in BEYOND:
        length = takeoff(plain(beyond=[beyond] * 4, house_strip_m=0)).figures["trench"].value
        assert length == (28 if beyond in ("path", "drive", "pavement", "kerb", "garden wall") else 0)


def test_a_whole_yard_has_the_chips_worked_by_hand():
    """Our own arithmetic: 12 x 9 m, two frames, 90 mm, 21 m of trench, 20 pockets: 9.3847 m3, 11.7308 to order."""
    frames = [{"uid": f"f{i}", "patch": "front", "kind": "framed", "x": 3 + 4 * i, "y": 7} for i in range(2)]
    pockets = [{"uid": f"p{i}", "patch": "front", "kind": "pocket", "x": 1 + i * 0.5, "y": 2} for i in range(20)]
    yard = plain(12, 9, ["fence", "fence", "path", "path"], beds=frames + pockets)
    result = takeoff(yard)
    assert result.figures["trench"].value == 21
    assert result.patches["front"].chips_in_place_m3 == pytest.approx(9.38465311, abs=6e-5)
    assert result.figures["chips"].inputs[-1][1] == pytest.approx(11.7308164, abs=1e-3)
    assert result.figures["chips"].value == 11.8


def test_the_same_yard_never_needs_more_card_than_rows_of_whole_sheets():
    """Our own arithmetic: 12.10 x 9.10 m with the tuck, 3 x 12 x 14 = 504 in plain rows; mixed courses may save some."""
    result = takeoff(plain(12, 9, ["fence", "fence", "path", "path"]))
    assert result.figures["cardboard"].value <= 504


def test_the_cardboard_says_how_many_joints_still_lie_over_joints_and_what_the_sheets_are_worth_once_lapped():
    """By hand: 213 sheets, each adding 1.05 x 0.65 m once lapped, are 145.37 m2 of the 204.48 m2."""
    result = takeoff(read_site(worked("plain_front")[0]))
    share = result.patches["front"].cardboard.joints_over_joints
    assert 0 < share < 0.6
    assert ("second-layer joints that still lie over joints", round(100 * share), "%") in result.figures[
        "cardboard"
    ].inputs
    assert ("once lapped", 145.37, "m2") in result.figures["cardboard_area"].inputs


def test_a_single_layer_has_no_joints_to_shift():
    labels = [label for label, _, _ in takeoff(plain(cardboard={"layers": 1})).figures["cardboard"].inputs]
    assert not [label for label in labels if "joints" in label]


def test_a_takeoff_goes_through_json_and_comes_back_the_same():
    document, _ = worked("plain_front")
    result = takeoff(read_site(document))
    assert Takeoff.from_dict(json.loads(json.dumps(result.as_dict()))) == result


def test_pace_stretches_the_hours_and_marks_them_as_yours():
    book, slow = takeoff(plain()), takeoff(plain(), pace=1.5)
    assert slow.figures["hours"].value == pytest.approx(book.figures["hours"].value * 1.5, abs=0.1)
    assert slow.figures["hours"].origin == "yours"
    assert slow.figures["chips"] == book.figures["chips"]


def test_a_crew_is_at_least_four():
    assert takeoff(plain(3, 2)).figures["people"].value == 4
    assert takeoff(plain(3, 2), crew=Crew(least_people=6)).figures["people"].value == 6


@settings(deadline=None, max_examples=40)
@given(size, size, beyonds, st.floats(0.05, 0.2), st.floats(0, 0.1))
def test_deeper_never_needs_less(width, depth, beyond, shallow, more):
    try:
        one = takeoff(plain(width, depth, beyond, mulch={"depth_m": shallow})).figures
        two = takeoff(plain(width, depth, beyond, mulch={"depth_m": shallow + more})).figures
    except SiteError:
        return
    for key in ("chips_in_place", "chips", "hours"):
        assert two[key].value >= one[key].value


def test_a_site_without_a_patch_is_all_zero():
    result = takeoff(site())
    assert result.figures["measured"].value == 0
    assert result.figures["hours"].value == 0


@settings(deadline=None, max_examples=40)
@given(size, size, beyonds)
def test_a_first_layout_can_always_be_sized(width, depth, beyond):
    yard = plain(width, depth, beyond)
    beds = first_layout(yard, "front")
    assert beds == first_layout(yard, "front")
    try:
        result = takeoff(dataclasses.replace(yard, beds=beds))
    except SiteError as error:
        assert {problem.code for problem in error.problems} == {"strip-wider-than-lawn"}
        return
    assert result.figures["beds"].value <= 12.01


def test_a_plain_lawn_is_offered_one_mound_and_one_frame():
    assert [bed.kind for bed in first_layout(plain(), "front")] == ["mounded", "framed"]


def test_beside_paving_a_first_bed_may_stand_nearer_since_it_is_reached_from_there():
    """2.0 m deep: 1.2 m of bed and 0.3 m on each paved side fit; with 0.6 m to an open side or a fence they do not."""
    offered = {
        beyond: [bed.kind for bed in first_layout(plain(12, 2.0, [beyond] * 4), "front")]
        for beyond in ("path", "drive", "pavement", "open", "fence", "kerb")
    }
    assert offered["path"] == offered["drive"] == offered["pavement"] == ["mounded", "framed"]
    assert {*offered["open"], *offered["fence"], *offered["kerb"]} == {"pocket"}


def test_a_first_bed_keeps_out_of_a_wide_trench():
    wide = plain(12, 2.0, ["path"] * 4, trench={"width_m": 0.45})
    assert {bed.kind for bed in first_layout(wide, "front")} == {"pocket"}


def test_a_lawn_too_small_for_either_is_offered_pockets():
    kinds = [bed.kind for bed in first_layout(plain(1.4, 1.4, ["open"] * 4), "front")]
    assert set(kinds) == {"pocket"}


def test_a_sliver_is_offered_nothing():
    assert first_layout(plain(5, 0.3, ["open"] * 4), "front") == ()


@settings(deadline=None, max_examples=30)
@given(size, size, st.floats(0.1, 0.9))
def test_a_lawn_split_in_two_keeps_its_area(width, depth, share):
    cut = round(width * share, 2)
    whole = takeoff(plain(width, depth, ["open"] * 4)).figures["measured"].value
    left = patch(rectangle(cut, depth), uid="left")
    right = patch([(x + cut, y) for x, y in rectangle(round(width - cut, 2), depth)], uid="right")
    assert takeoff(site(left, right)).figures["measured"].value == pytest.approx(whole, abs=0.011)
