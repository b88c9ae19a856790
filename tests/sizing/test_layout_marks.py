"""A first layout keeps its beds off the tap, the downspout and the place where the chips are tipped."""

from dataclasses import replace

import pytest
from shapely.geometry import Point

from conversions.sizing import check, first_layout, read_site
from conversions.sizing.beds import footprint
from conversions.sizing.values import Mark

from .yards import plain, worked

YARDS = ("plain_front", "l_front", "curved_back", "accessible")
CLEAR_M = {"tap": 0.6, "downspout": 0.6, "heap": 1.5}


def with_marks(site, *marks):
    return replace(site, patches=(replace(site.patches[0], marks=marks), *site.patches[1:]))


def bare(name):
    return replace(read_site(worked(name)[0]), beds=())


@pytest.mark.parametrize("kind", CLEAR_M)
@pytest.mark.parametrize("pockets", [False, True])
@pytest.mark.parametrize("name", YARDS)
def test_no_bed_stands_on_a_mark_or_near_it(name, pockets, kind):
    site = bare(name)
    uid = site.patches[0].uid
    for bed in first_layout(site, uid, pockets=pockets):
        mark = Mark(kind, bed.x_m, bed.y_m)  # just where a bed would have been
        moved = with_marks(site, mark)
        beds = first_layout(moved, uid, pockets=pockets)
        spot = Point(mark.x_m, mark.y_m)
        assert all(footprint(one).distance(spot) >= CLEAR_M[kind] for one in beds)
        assert check(replace(moved, beds=beds)) == ()


def test_there_is_still_a_mound_and_a_frame_beside_a_tap():
    site = plain()
    middle = first_layout(site, "front")[0]
    beds = first_layout(with_marks(site, Mark("tap", middle.x_m, middle.y_m)), "front")
    assert [bed.kind for bed in beds] == ["mounded", "framed"]


@pytest.mark.parametrize("kind", CLEAR_M)
def test_marks_off_the_ground_and_far_change_nothing(kind):
    for name in YARDS:
        site = bare(name)
        uid = site.patches[0].uid
        assert first_layout(with_marks(site, Mark(kind, 500.0, 500.0)), uid) == first_layout(site, uid)


def test_a_heap_that_fills_the_ground_leaves_no_bed():
    assert first_layout(with_marks(plain(2.4, 2.4), Mark("heap", 1.2, 1.2)), "front") == ()
