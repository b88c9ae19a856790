"""Marks on a plan, and a first layout that minds people's time and backs."""

import math
from dataclasses import replace

import pytest

from conversions.sizing import SiteError, check, first_layout, read_site, takeoff, write_site
from conversions.sizing.beds import growing_area_m2

from .yards import document, patch, plain, worked

RECT = [(0, 6), (8, 6), (8, 0), (0, 0)]
MARKS = [{"kind": "tap", "x": 2.0, "y": 6.3}, {"kind": "heap", "x": -3.0, "y": 1.0, "label": "on the drive"}]


def test_a_mark_is_written_as_it_was_read():
    site = read_site(document(patch(RECT, marks=MARKS)))
    assert write_site(site)["patches"][0]["marks"] == MARKS
    assert read_site(write_site(site)) == site


def test_a_mark_changes_no_figure():
    bare, _rows = worked("plain_front")
    marked = {**bare, "patches": [{**bare["patches"][0], "marks": MARKS}, *bare["patches"][1:]]}
    assert takeoff(read_site(marked)).as_dict() == takeoff(read_site(bare)).as_dict()


@pytest.mark.parametrize(
    ("mark", "code"),
    [({"kind": "well", "x": 1, "y": 1}, "unknown-word"), ({"kind": "tap", "x": "a", "y": 1}, "not-a-number")],
)
def test_a_mark_that_is_none_is_named(mark, code):
    with pytest.raises(SiteError) as found:
        read_site(document(patch(RECT, marks=[mark])))
    assert [(problem.code, problem.where.uid) for problem in found.value.problems] == [(code, "front")]


@pytest.mark.parametrize("most", [12.0, 6.9, 3.0, 2.0, 0.3])
def test_a_first_layout_is_never_more_bed_than_people_have_time_for(most):
    beds = first_layout(plain(), "front", most_m2=most)
    assert beds and check(replace(plain(), beds=beds)) == ()
    assert sum(growing_area_m2(bed) for bed in beds) <= most


def test_with_very_little_time_a_first_layout_is_pockets():
    beds = first_layout(plain(), "front", most_m2=0.3)
    assert [bed.kind for bed in beds] == ["pocket", "pocket"]
    assert math.isclose(sum(growing_area_m2(bed) for bed in beds), 2 * math.pi * 0.04)


def test_with_no_time_at_all_nothing_is_laid_out():
    assert first_layout(plain(), "front", most_m2=0.0) == ()


def test_where_it_is_hard_to_bend_a_frame_stands_alone():
    assert [bed.kind for bed in first_layout(plain(), "front", frame_only=True)] == ["framed"]


def test_where_no_frame_fits_even_who_cannot_bend_is_offered_pockets():
    narrow = plain(12, 1.5, ("open", "open", "open", "open"))
    assert {bed.kind for bed in first_layout(narrow, "front", frame_only=True)} == {"pocket"}
