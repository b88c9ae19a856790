"""A first layout with planting pockets beside its mound and its frame."""

import itertools
from dataclasses import replace

import pytest

from conversions.sizing import check, first_layout, read_site
from conversions.sizing.beds import footprint, growing_area_m2
from conversions.sizing.shapes import outline
from conversions.sizing.zones import NO_BEDS, NO_POCKETS, union_of, zones

from .yards import document, patch, plain, worked

YARDS = ("plain_front", "l_front", "curved_back", "accessible")
TREE = {"kind": "tree", "x": 6.5, "y": 1.5, "trunk_m": 0.1}
LINE = {"kind": "line", "points": [[0, 2.5], [10, 2.5]], "service": "gas"}
PAINT = {"kind": "painted wall", "edge": "A"}
EVERYTHING = read_site(
    document(
        patch([(0, 7), (10, 7), (10, 0), (0, 0)], ("house", "path", "open", "fence"), features=[TREE, LINE, PAINT])
    )
)


def bare(name):
    site = replace(read_site(worked(name)[0]), beds=())
    return site, site.patches[0].uid


def kinds(beds):
    return [bed.kind for bed in beds]


def area(beds):
    return sum(growing_area_m2(bed) for bed in beds)


def test_up_to_four_pockets_stand_beside_a_mound_and_a_frame():
    assert kinds(first_layout(plain(), "front", pockets=True)) == ["mounded", "framed", *["pocket"] * 4]


def test_the_mound_and_the_frame_are_the_same_with_and_without_pockets():
    for name, most in itertools.product(YARDS, (None, 10, 4)):
        site, uid = bare(name)
        large = first_layout(site, uid, most)
        if {"pocket"} != set(kinds(large)):
            assert first_layout(site, uid, most, pockets=True)[: len(large)] == large


@pytest.mark.parametrize("name", YARDS)
@pytest.mark.parametrize("most", [0.1, 0.3, 3.0, 6.9, 9.7, 12.0])
def test_with_pockets_too_there_is_never_more_bed_than_people_have_time_for(name, most):
    site, uid = bare(name)
    beds = first_layout(site, uid, most, pockets=True)
    assert area(beds) <= most and bool(beds) == (most > 0.1)
    assert check(replace(site, beds=beds)) == ()


@pytest.mark.parametrize("most", [12.0, 6.9, 4.0])
def test_pockets_stand_a_path_away_from_beds_and_apart_from_one_another(most):
    beds = first_layout(plain(10, 8), "front", most, pockets=True)
    pockets = [footprint(bed) for bed in beds if bed.kind == "pocket"]
    large = [footprint(bed) for bed in beds if bed.kind != "pocket"]
    assert pockets and large
    assert all(pocket.distance(bed) >= 0.6 for pocket in pockets for bed in large)
    assert all(one.distance(other) >= 0.5 for one, other in itertools.combinations(pockets, 2))


def test_pockets_beside_beds_leave_the_path_along_every_side_free():
    site = plain(10, 8, ("open",) * 4)
    edge = outline(site.patches[0]).exterior
    pockets = [bed for bed in first_layout(site, "front", pockets=True) if bed.kind == "pocket"]
    assert pockets and all(footprint(bed).distance(edge) >= 0.6 for bed in pockets)


def test_pockets_keep_out_of_every_ground_where_nothing_may_be_dug():
    beds = first_layout(EVERYTHING, "front", pockets=True)
    found = zones(EVERYTHING, EVERYTHING.patches[0])
    assert {zone.reason for zone in found} == {"house wall", "tree trunk", "tree ring", "marked line", "old paint"}
    assert {"framed", "pocket"} <= set(kinds(beds))
    for bed in beds:
        assert footprint(bed).intersection(union_of(found, NO_BEDS)).area < 1e-9
        if bed.kind == "pocket":
            assert footprint(bed).intersection(union_of(found, NO_POCKETS)).area < 1e-9
    assert check(replace(EVERYTHING, beds=beds)) == ()


def test_where_the_beds_fill_the_room_no_pocket_is_squeezed_in():
    narrow = plain(10, 2.0, ("path",) * 4)
    assert kinds(first_layout(narrow, "front", pockets=True)) == ["mounded", "framed"]


def test_with_less_than_no_time_nothing_is_laid_out():
    assert first_layout(plain(), "front", most_m2=-4.0) == ()
