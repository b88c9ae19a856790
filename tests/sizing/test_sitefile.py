"""Reading and writing the site document."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conversions.sizing import SiteError, new_site, read_site, takeoff, write_site

from .yards import document, patch, plain, worked

RECT = [(0, 6), (8, 6), (8, 0), (0, 0)]
anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text("ab1 ", max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("ab1 ", max_size=5), inner, max_size=3),
    max_leaves=6,
)


def test_a_site_is_written_as_it_was_read():
    original, _ = worked("plain_front")
    site = read_site(original)
    assert write_site(site) == original
    assert read_site(json.loads(json.dumps(write_site(site)))) == site


def test_what_is_left_out_takes_the_usual_values():
    site = read_site({"schema": 1})
    assert site == new_site()
    assert (site.cardboard.layers, site.mulch.depth_m, site.trench.cut) == (3, 0.09, "square")


def test_a_new_site_can_start_from_other_values():
    assert write_site(new_site(soil="heavy"))["soil"] == "heavy"


@pytest.mark.parametrize(
    ("change", "code", "part"),
    [
        ({"schema": 2}, "unknown-schema", "schema"),
        ({"schema": True}, "unknown-schema", "schema"),
        ({"patches": [patch(RECT) | {"corners": [{"id": ["A"], "x": 0, "y": 0}]}]}, "not-text", "id"),
        ({"soil": "mud"}, "unknown-word", "soil"),
        ({"haul_m": "far"}, "not-a-number", "haul_m"),
        ({"haul_m": -1}, "negative", "haul_m"),
        ({"haul_m": 10**400}, "too-large", "haul_m"),
        ({"mulch": {"depth_m": 0}}, "zero-size", "depth_m"),
        ({"mulch": {"material": "gravel"}}, "unknown-word", "material"),
        ({"cardboard": {"lap_m": 0.9}}, "lap-too-wide", "lap_m"),
        ({"cardboard": {"layers": 2.5}}, "layers", "layers"),
        ({"cardboard": {"sheet_m": [1]}}, "not-a-sheet", "sheet_m"),
        ({"cardboard": [1]}, "not-an-object", "cardboard"),
        ({"patches": {"a": 1}}, "not-a-list", "patches"),
        ({"trench": {"cut": "round"}}, "unknown-word", "cut"),
        ({"house_strip_m": float("nan")}, "not-a-number", "house_strip_m"),
        ({"beds": [{"uid": "b", "patch": "gone", "kind": "pocket", "x": 0, "y": 0}]}, "no-such-patch", "patch"),
    ],
)
def test_a_bad_value_is_named(change, code, part):
    with pytest.raises(SiteError) as caught:
        read_site({**document(), **change})
    assert [(p.code, p.where.part) for p in caught.value.problems] == [(code, part)]
    assert all("{" not in p.sentence for p in caught.value.problems)


def test_an_empty_group_of_values_means_the_usual_ones():
    assert read_site(document(cardboard=[])).cardboard.layers == 3


def test_a_bed_along_a_line_needs_two_points():
    bed = {"uid": "m", "patch": "front", "kind": "mounded", "path": [[1, 2]]}
    with pytest.raises(SiteError) as caught:
        read_site(document(patch(RECT), beds=[bed]))
    assert [(p.code, p.where.part) for p in caught.value.problems] == [("too-few-points", "path")]


def test_where_a_patch_lies_in_the_yard_is_a_group_of_values():
    with pytest.raises(SiteError) as caught:
        read_site(document(patch(RECT, placed="left")))
    assert [(p.code, p.where.part) for p in caught.value.problems] == [("not-an-object", "placed")]


def test_a_group_may_set_its_own_settling_and_density():
    """By hand: 4.136 m3 in place / (1 - 0.3) = 5.909, ordered as 6.0; 1.1353 of compost / 0.9 = 1.2611, as 1.3."""
    original, _ = worked("plain_front")
    original["mulch"] |= {"settling": 0.3, "density_kgm3": 600.0}
    original["compost_settling"] = 0.1
    yard = read_site(original)
    assert write_site(yard) == {**original}
    figures = takeoff(yard).figures
    assert (figures["chips"].value, figures["compost"].value) == (6.0, 1.3)
    assert figures["chips_loads"].value == 2  # 6.0 x 600 / 3000 = 1.2 by mass


@pytest.mark.parametrize("change", [{"mulch": {"settling": 1}}, {"compost_settling": 1}])
def test_nothing_settles_to_nothing(change):
    with pytest.raises(SiteError) as caught:
        read_site(document(**change))
    assert [p.code for p in caught.value.problems] == ["too-large"]


def test_every_problem_is_reported_at_once():
    with pytest.raises(SiteError) as caught:
        read_site(document(patch(RECT, ["moat"]), soil="mud", haul_m=None))
    assert {p.where.part for p in caught.value.problems} == {"soil", "haul_m", "beyond"}


POND = {"kind": "hole", "points": [[2, 2], [3, 2], [3, 3]]}
POCKET = {"uid": "p", "patch": "front", "kind": "pocket", "x": 6, "y": 3}


def twice_named(*ids, **more):
    corners = [{"id": name, "x": x, "y": y} for name, (x, y) in zip(ids, RECT, strict=True)]
    return document(patch(RECT) | {"corners": corners} | more)


@pytest.mark.parametrize(
    ("given", "where", "sentence"),
    [
        (document(patch(RECT), patch(RECT)), ("front", "uid"), "Two patches are called 'front'. Give each its own name."),
        (document(patch(RECT), beds=[POCKET, {**POCKET, "x": 4}]), ("p", "uid"),
         "Two beds are called 'p'. Give each its own name."),
        (document(patch(RECT, uid="p"), beds=[{**POCKET, "patch": "p"}]), ("p", "uid"),
         "A patch and a bed are both called 'p'. Give each its own name."),
        (document(patch(RECT, uid="")), ("", "uid"), "A patch has no name. Give each its own name."),
        (document(patch(RECT), beds=[{**POCKET, "uid": ""}]), ("", "uid"), "A bed has no name. Give each its own name."),
        (twice_named("A", "B", "A", "D"), ("front", "A"), "Two corners are called A. Give each its own letter or name."),
        (twice_named("A", "B", "", "D"), ("front", "id"), "A corner has no name. Give each its own letter or name."),
        (twice_named("A", "hole 1", "C", "D", features=[POND]), ("front", "hole 1"),
         "A corner and a hole are both called 'hole 1'. Give the corner another name."),
    ],
)  # fmt: skip
def test_a_name_that_stands_twice_or_not_at_all_is_refused_and_named(given, where, sentence):
    with pytest.raises(SiteError) as caught:
        read_site(given)
    assert [((p.where.uid, p.where.part), p.sentence) for p in caught.value.problems] == [(where, sentence)]


def test_a_name_may_stand_in_two_patches_where_it_is_a_corner_of_each():
    assert len(read_site(document(patch(RECT), patch(RECT, uid="back"))).patches) == 2


@pytest.mark.parametrize("points", [[], [[1, 1]], None, [[1]], "x", [[1, 1], [2, 2]]])
def test_a_hole_without_three_points_is_refused_in_words(points):
    with pytest.raises(SiteError) as caught:
        read_site(document(patch(RECT, features=[{"kind": "hole", "points": points}])))
    assert {p.where.part for p in caught.value.problems} == {"points"}


@given(st.dictionaries(st.sampled_from(list(document()) + ["soil", "mulch", "cardboard", "trench"]), anything))
def test_rubbish_is_refused_in_words_and_never_breaks(rubbish):
    try:
        read_site({"schema": 1, **rubbish})
    except SiteError as error:
        assert all(problem.sentence for problem in error.problems)


@given(
    st.lists(
        st.dictionaries(
            st.sampled_from(["uid", "label", "corners", "circle", "features", "shape", "typed", "placed"]), anything
        ),
        max_size=2,
    )
)
def test_rubbish_in_a_patch_is_refused_in_words(patches):
    try:
        read_site({"schema": 1, "patches": patches})
    except SiteError as error:
        assert all(problem.sentence for problem in error.problems)


def test_numbers_are_kept_to_the_millimetre():
    assert plain(8.12345, 6).patches[0].corners[1].x_m == 8.123
