""" "Lay it out for me" obeys the minutes and the backs a household told of, and says why."""

import json
import re
import uuid
from pathlib import Path

import pytest
from django.utils import timezone

from conversions.growing.caretime import bed_area
from conversions.sizing import check, read_site
from conversions.sizing.beds import footprint, growing_area_m2
from conversions.sizing.zones import NO_BEDS, NO_MOUNDS, NO_POCKETS, union_of, zones
from conversions.visits.actions import add_entries, book_visit
from conversions.visits.checklist import read_answers
from conversions.visits.layout import MINUTES, Told, told_of
from conversions.visits.models import Entry
from conversions.visits.questions import NOT_SURE
from conversions.visits.rows import BEND
from conversions.visits.rows import MINUTES as ROW
from conversions.yards.actions import keep_draft, open_draft, save_site
from tests.rows import make_kept, make_open, make_yard, rectangle

WORKED = Path(__file__).parents[2] / "fixtures" / "yards"
YARDS = ("plain_front", "l_front", "curved_back", "accessible")
SHUT = {"mounded": (NO_BEDS, NO_MOUNDS), "framed": (NO_BEDS,), "pocket": (NO_BEDS, NO_POCKETS)}


class Drawn:
    """One yard with an open drawing, and somebody who presses the button."""

    def __init__(self, client, world, draft):
        self.client, self.world, self.draft, self.yard = client, world, draft, draft.conversion

    def told(self, minutes="", bend="no", **more):
        """What the visit brought; an empty pick is a row nobody answered."""
        visit = book_visit(conversion=self.yard, by=self.world.visitor, due_at=timezone.now())
        value = {key: pick for key, pick in (("minutes", minutes), ("bend", bend)) if pick}
        add_entries(visit=visit, by=self.world.visitor, entries=[{"question": "waters", "value": value, **more}])

    def press(self, n=0, **carried):
        """What the page says after it."""
        self.draft = self.yard.drawing()
        uid = self.draft.site["patches"][n]["uid"]
        carried = {"drawing": self.draft.number, "revision": self.draft.revision, **carried}
        address = self.world.url(f"yards/{self.yard.pk}/plan/patches/{uid}/layout/")
        self.answer = self.client.post(address, carried, follow=True)
        self.draft = self.yard.drawing()
        return " ".join(re.sub(r"<[^>]+>", " ", self.answer.content.decode()).split())

    def beds(self, n=None):
        site = read_site(self.draft.site)
        return [bed for bed in site.beds if n is None or bed.patch == site.patches[n].uid]

    def kinds(self, n=None):
        return [bed.kind for bed in self.beds(n)]

    def area(self, n=None):
        return sum(growing_area_m2(bed) for bed in self.beds(n))


@pytest.fixture
def lawn(organiser, oak):
    return Drawn(organiser, oak, make_open(oak, None, rectangle(), beds=False))


@pytest.fixture
def two(organiser, oak):
    front, back = rectangle("9", "7"), rectangle("9", "7", label="Back lawn", zone="back")
    return Drawn(organiser, oak, make_open(oak, None, front, back, beds=False))


def worked(client, world, name):
    """A yard of fixtures/yards without its beds, in the drawing of a new enquiry."""
    site = json.loads((WORKED / f"{name}.json").read_text())
    patches = [{**patch, "uid": str(uuid.uuid4()), "shape": "outline", "typed": {}} for patch in site["patches"]]
    draft = open_draft(conversion=make_yard(world), by=world.organiser)
    site = {**draft.site, **site, "patches": patches, "beds": []}
    return Drawn(client, world, save_site(draft=draft, revision=1, site=site, by=world.organiser))


def obeys_every_keep_out(drawn):
    site = read_site(drawn.draft.site)
    for bed in site.beds:
        found = zones(site, site.patch(bed.patch))
        for effect in SHUT[bed.kind]:
            assert footprint(bed).intersection(union_of(found, effect)).area < 1e-6
    return check(site) == ()


# ---- minutes


def test_every_pick_of_minutes_but_not_sure_has_minutes_that_count():
    assert {*MINUTES, NOT_SURE} == {choice.code for choice in ROW.choices}
    assert {choice.code for choice in BEND.choices} == {"no", "helped", "yes", NOT_SURE}


@pytest.mark.parametrize("name", YARDS)
@pytest.mark.parametrize("pick", MINUTES)
def test_a_worked_yard_gets_no_more_bed_than_they_have_minutes_for(organiser, oak, name, pick):
    drawn = worked(organiser, oak, name)
    drawn.told(pick)
    drawn.press()
    assert 0 < drawn.area() <= min(bed_area(MINUTES[pick]), 12)
    assert obeys_every_keep_out(drawn)


def test_the_page_says_for_how_many_minutes_and_how_much_bed_that_is(lawn):
    """30 / (2.9 x 1.5) = 6.9 m2; a mound of 3.6 m (4.01), a frame of 2.4 m (2.61) and two pockets (0.13 each)."""
    lawn.told("30 to 60")
    words = lawn.press()
    assert "For 30 minutes a week in the first year: up to 6.9 m² of bed; this layout has 6.9 m²." in words
    assert lawn.kinds() == ["mounded", "framed", "pocket", "pocket"]
    assert round(lawn.area(), 2) == 6.87
    assert "#" not in lawn.answer.redirect_chain[0][0]  # the page opens where the reason stands


def test_a_group_that_measures_in_feet_reads_square_feet(lawn, oak):
    oak.group.units = "imperial"
    oak.group.save()
    lawn.told("30 to 60")
    assert "up to 74 sq ft of bed; this layout has 74 sq ft." in lawn.press()


def test_with_much_time_the_book_says_where_a_first_layout_ends(lawn):
    lawn.told("over 60")
    words = lawn.press()
    assert "up to 13.8 m² of bed; this layout has 10.0 m². A first layout is never more than 12 m²." in words
    assert lawn.kinds() == ["mounded", "framed", *["pocket"] * 4]


def test_where_nobody_waters_yet_the_layout_is_small_and_says_so(lawn):
    lawn.told("nobody")
    assert "Nobody is named yet who waters, so it is small." in lawn.press()
    assert 0 < lawn.area() <= bed_area(15)


@pytest.mark.parametrize("pick", [None, "", NOT_SURE])
def test_where_nobody_said_how_many_minutes_none_bound_it_and_the_page_asks(lawn, pick):
    if pick is not None:
        lawn.told(pick)
    words = lawn.press()
    asks = "Nobody said yet how many minutes a week they have: this is up to 12 m² of bed. Ask, then lay it out anew."
    assert asks in words and "in the first year" not in words
    assert lawn.kinds() == ["mounded", "framed"]


def test_the_later_answer_counts(lawn):
    lawn.told("over 60")
    lawn.press()
    large = lawn.area()
    lawn.told("under 30")
    assert "For 15 minutes a week in the first year: up to 3.4 m²" in lawn.press()
    assert lawn.area() <= bed_area(15) < large


def test_where_two_answers_stand_the_smaller_one_counts_and_the_page_says_so(lawn):
    lawn.told("over 60", "no")
    lawn.told("30 to 60", "yes", replaces=[])
    assert Entry.of(lawn.yard.group).filter(question="waters", replaced_by=None).count() == 2
    assert "For 30 minutes a week" in (words := lawn.press())
    assert "Two answers stand: the smaller one counts here until you choose." in words
    assert lawn.kinds() == ["framed"]


def test_what_another_household_told_of_counts_not_here(lawn, oak, organiser):
    Drawn(organiser, oak, make_open(oak, make_yard(oak, name="Ivo Brandt", address="3 Sorrel Way"))).told("under 30")
    assert "Nobody said yet how many minutes" in lawn.press()


# ---- backs


def test_where_it_is_hard_to_bend_there_is_a_frame_and_nothing_low(lawn):
    lawn.told("over 60", "yes")
    words = lawn.press()
    assert lawn.kinds() == ["framed"]
    assert "It is hard to bend, so there is a framed bed and nothing low." in words
    assert "The frame is 0.20 m high: ask which height suits them." in words


def test_where_somebody_helps_the_frame_is_for_one_and_the_mound_for_the_other(lawn):
    lawn.told("over 60", "helped")
    assert "the framed bed is for them, what lies low is for who helps." in lawn.press()
    assert {"mounded", "framed"} <= set(lawn.kinds())


def test_where_it_is_hard_to_bend_and_no_frame_fits_the_page_says_that_it_lies_low(organiser, oak):
    narrow = Drawn(organiser, oak, make_open(oak, None, rectangle("12", "1.5", beyond={}), beds=False))
    narrow.told("30 to 60", "yes")
    assert "no framed bed fits: what is laid here lies low." in narrow.press()
    assert set(narrow.kinds()) == {"pocket"}


def test_where_nobody_said_whether_it_is_hard_to_bend_the_page_asks(lawn):
    lawn.told("30 to 60", NOT_SURE)
    assert "Nobody said yet whether it is hard for anyone to bend: ask." in lawn.press()
    assert told_of(read_answers(lawn.yard)) == Told(minutes=30)


# ---- two patches


def test_two_patches_share_the_minutes(two):
    two.told("over 60")
    two.press(0)
    first = two.area(0)
    words = two.press(1)
    assert two.area(0) == first and two.area(1) > 0
    assert two.area() <= bed_area(60)
    assert f"this layout has {two.area(1):.1f} m², the other patches have {first:.1f} m²." in words


def test_where_the_other_patch_takes_all_the_minutes_nothing_more_is_laid_out_and_nothing_is_lost(two):
    two.told("30 to 60")
    two.press(0)
    before, revision = two.draft.site, two.draft.revision
    words = two.press(1)
    assert (
        "For 30 minutes a week in the first year: up to 6.9 m² of bed, and the other patches have 6.9 m²."
        " Nothing is laid out here." in words
    )
    assert (two.draft.site, two.draft.revision) == (before, revision)


def test_laid_out_anew_a_patch_does_not_count_against_itself(two):
    two.told("30 to 60")
    two.press(0)
    before = two.beds(0)
    two.press(0)
    assert two.beds(0) == before


def test_without_minutes_each_patch_has_its_own_first_layout(two):
    two.press(0)
    two.press(1)
    assert two.kinds(0) == two.kinds(1) == ["mounded", "framed"]


# ---- keep-outs


@pytest.mark.parametrize("pick", ["", "under 30", "over 60"])
def test_a_tree_a_wall_and_a_marked_line_are_kept_free(organiser, oak, pick):
    tree = {"kind": "tree", "x": 7.5, "y": 2, "trunk_m": 0.1, "label": ""}
    line = {"kind": "line", "points": [[0, 5], [9, 5]], "service": "gas", "label": ""}
    drawn = Drawn(organiser, oak, make_open(oak, None, rectangle("9", "8"), beds=False))
    (patch,) = drawn.draft.site["patches"]
    site = {**drawn.draft.site, "patches": [{**patch, "features": [tree, line]}]}
    save_site(draft=drawn.draft, revision=drawn.draft.revision, site=site, by=oak.organiser)
    drawn.told(pick)
    drawn.press()
    read = read_site(drawn.draft.site)
    found = {zone.reason for zone in zones(read, read.patches[0])}
    assert {"house wall", "tree ring", "marked line"} <= found
    assert drawn.beds() and obeys_every_keep_out(drawn)


def test_where_no_bed_fits_the_drawing_stays_as_it_was(organiser, oak):
    sliver = Drawn(organiser, oak, make_open(oak, None, rectangle("5", "0.4"), beds=False))
    sliver.told("over 60")
    before = sliver.draft.revision
    assert "No bed fits here with a path round it. Type one by numbers if you like." in sliver.press()
    assert (sliver.draft.site["beds"], sliver.draft.revision) == ([], before)


# ---- drawings


def test_beds_laid_out_are_moved_and_taken_back_by_hand_like_others(lawn, oak):
    lawn.told("30 to 60")
    lawn.press()
    address = oak.url(f"yards/{lawn.yard.pk}/plan/beds/{lawn.beds()[0].uid}/remove/")
    lawn.client.post(address, {"drawing": lawn.draft.number, "revision": lawn.draft.revision})
    lawn.draft.refresh_from_db()
    assert "mounded" not in lawn.kinds()
    assert lawn.press() and lawn.kinds()[0] == "mounded"


def test_a_drawing_somebody_else_saved_meanwhile_is_shown_beside_this_one(lawn, oak):
    seen = lawn.draft.revision
    site = {**lawn.draft.site, "soil": "heavy"}
    save_site(draft=lawn.draft, revision=seen, site=site, by=oak.visitor)
    lawn.told("30 to 60")
    lawn.press(revision=seen)
    assert lawn.answer.request["PATH_INFO"].endswith("/plan/compare/")
    theirs, mine = lawn.yard.drafts.order_by("number")
    assert (theirs.site["beds"], theirs.site["soil"]) == ([], "heavy")
    assert mine.site["beds"] and mine.parent == theirs


def test_two_presses_lay_it_out_once(lawn):
    lawn.told("30 to 60")
    seen = lawn.draft.revision
    lawn.press(revision=seen)
    lawn.press(revision=seen)
    assert lawn.answer.status_code == 200 and lawn.draft.revision == seen + 1


def test_a_kept_drawing_stays_and_a_new_one_begins(organiser, oak):
    kept = make_kept(oak, None, rectangle(), beds=False)
    drawn = Drawn(organiser, oak, kept)
    drawn.told("under 30")
    drawn.press(drawing=0, revision=0)
    kept.refresh_from_db()
    assert (kept.state, kept.site["beds"]) == ("kept", [])
    assert (drawn.draft.state, drawn.draft.parent) == ("open", kept)
    assert 0 < drawn.area() <= bed_area(15)
    keep_draft(draft=drawn.draft, revision=drawn.draft.revision, by=oak.organiser)


@pytest.mark.parametrize("is_crossed", [True, False], ids=["sides that cross", "all corners in one spot"])
def test_ground_that_is_none_is_put_right_first(lawn, oak, is_crossed):
    (patch,) = lawn.draft.site["patches"]
    a, b, c, d = patch["corners"]
    crossed = [a, b, {**c, "x": d["x"]}, {**d, "x": c["x"]}]
    corners = crossed if is_crossed else [{**corner, "x": 0.0, "y": 0.0} for corner in (a, b, c, d)]
    site = {**lawn.draft.site, "patches": [{**patch, "corners": corners}]}
    save_site(draft=lawn.draft, revision=lawn.draft.revision, site=site, by=oak.organiser)
    lawn.told("30 to 60")
    assert "Put the sides right first, then beds can be laid out." in lawn.press()
    assert lawn.draft.site["beds"] == []


@pytest.mark.parametrize(("role", "status"), [("visitor", 302), ("lead", 403), ("reader", 403)])
def test_only_organisers_and_visitors_lay_out(client, oak, role, status):
    draft = make_open(oak, None, rectangle(), beds=False)
    uid = draft.site["patches"][0]["uid"]
    address = oak.url(f"yards/{draft.conversion_id}/plan/patches/{uid}/layout/")
    carried = {"drawing": draft.number, "revision": draft.revision}
    assert oak.sign_in(client, role).post(address, carried).status_code == status
    assert client.get(address).status_code == (405 if status == 302 else 403)
