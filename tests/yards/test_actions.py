"""Enquiries and drawings, as the actions write them."""

import uuid
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from conversions.builds import ledger
from conversions.groups.tenancy import Stale
from conversions.yards import sketch
from conversions.yards.actions import keep_draft, open_draft, save_beside, save_site, take_back
from conversions.yards.enquiries import start_again
from conversions.yards.models import Conversion, Patch
from tests.rows import HOUSE_AND_PAVING, make_kept, make_open, make_site, make_yard, rectangle


def test_a_kept_drawing_writes_its_patch_and_what_is_planned_there(oak):
    draft = make_kept(oak)
    patch = draft.conversion.place.patches.get()
    assert (patch.lawn_m2, patch.kept_m2, patch.label) == (Decimal("51.60"), Decimal("2.58"), "Front lawn")
    planned = draft.conversion.planned.get()
    assert (planned.planned_m2, planned.draft, planned.complete_on) == (Decimal("49.02"), draft, None)
    assert {bed["kind"] for bed in draft.site["beds"]} == {"mounded", "framed"}
    assert draft.engine_version == draft.takeoff["engine_version"]
    assert len(draft.site_sha) == 64


def test_the_same_press_twice_is_one_enquiry(oak):
    uid = uuid.uuid4()
    assert make_yard(oak, uid=uid) == make_yard(oak, uid=uid)
    assert Conversion.of(oak.group).count() == 1


def test_there_is_one_open_drawing_however_many_open_it(oak):
    row = make_yard(oak)
    first = open_draft(conversion=row, by=oak.organiser)
    assert open_draft(conversion=row, by=oak.visitor) == first


def test_a_save_from_an_old_revision_changes_nothing_and_tells_what_stands(oak):
    draft = make_open(oak)
    old = draft.revision
    save_site(draft=draft, revision=old, site=make_site(rectangle("9", "6")))
    with pytest.raises(Stale) as stale:
        save_site(draft=draft, revision=old, site=make_site(rectangle("7", "6")))
    assert stale.value.row.site["patches"][0]["corners"][1]["x"] == 9
    assert stale.value.row.revision == old + 1


def test_what_was_seen_at_a_revision_is_still_known_after_later_saves(oak):
    draft = make_open(oak)
    seen, at = draft.site, draft.revision
    save_site(draft=draft, revision=at, site=make_site(rectangle("9", "6")))
    assert draft.site_at(at) == seen
    assert draft.site_at(at + 1) == draft.site


def test_taking_back_brings_the_state_before_and_can_itself_be_taken_back(oak):
    draft = make_open(oak)
    before = draft.site
    draft = save_site(draft=draft, revision=draft.revision, site=make_site(rectangle("9", "6")))
    after = draft.site
    draft = take_back(draft=draft, revision=draft.revision, by=oak.organiser)
    assert draft.site == before
    assert take_back(draft=draft, revision=draft.revision, by=oak.organiser).site == after


def test_keeping_twice_keeps_once(oak):
    draft = make_kept(oak)
    at = draft.kept_at
    assert keep_draft(draft=draft, revision=1, by=oak.visitor).kept_at == at


def test_a_drawing_with_a_bed_over_the_edge_is_saved_and_not_kept(oak):
    draft = make_open(oak)
    site = sketch.with_patch(draft.site, rectangle("5", "6", uid=draft.site["patches"][0]["uid"]))
    draft = save_site(draft=draft, revision=draft.revision, site=site)
    assert (draft.site, draft.takeoff) == (site, {})
    with pytest.raises(ValidationError, match="outside its patch|lies over side"):
        keep_draft(draft=draft, revision=draft.revision, by=oak.organiser)
    assert not Patch.of(oak.group).exists()


def test_a_plan_without_a_patch_is_not_kept(oak):
    draft = open_draft(conversion=make_yard(oak), by=oak.organiser)
    with pytest.raises(ValidationError, match="at least one patch"):
        keep_draft(draft=draft, revision=draft.revision, by=oak.organiser)


def test_a_kept_drawing_is_never_changed(oak):
    draft = make_kept(oak)
    with pytest.raises(Stale):
        save_site(draft=draft, revision=draft.revision, site=make_site(rectangle("9", "6")))


def test_a_later_drawing_starts_from_the_kept_one_and_moves_its_patch(oak):
    kept = make_kept(oak)
    patch = Patch.of(oak.group).get()
    later = open_draft(conversion=kept.conversion, by=oak.visitor)
    assert (later.number, later.parent, later.site) == (2, kept, kept.site)
    site = sketch.with_patch(later.site, rectangle("9", "6", uid=str(patch.uid)))
    later = save_site(draft=later, revision=later.revision, site=site)
    keep_draft(draft=later, revision=later.revision, by=oak.visitor)
    assert Patch.of(oak.group).get().lawn_m2 == Decimal("54.00")
    assert kept.conversion.planned.get().planned_m2 == Decimal("51.30")


def test_a_second_measure_stands_while_its_outline_is_drawn_as_it_was(oak):
    kept = make_kept(oak, None, rectangle("9", "6"), beds=False)
    ledger.measure_again(patch=Patch.of(oak.group).get(), lawn_m2=Decimal("60.00"), why="taped twice", by=oak.organiser)
    later = later_with(kept, oak, sketch.with_settings(kept.site, {"haul_m": 40}))
    patch = Patch.of(oak.group).get()
    assert (patch.lawn_m2, patch.measured_from, patch.why_measured) == (60, "second measure", "taped twice")
    uid = later.site["patches"][0]["uid"]
    later_with(later, oak, sketch.with_patch(later.site, rectangle("9.5", "6", uid=uid)))
    patch.refresh_from_db()
    assert (patch.lawn_m2, patch.measured_from, patch.why_measured) == (57, "draft", "")


def test_a_second_measure_is_told_by_the_newest_kept_drawing_that_has_the_patch(oak):
    """Off the drawing for one plan, and back on it as it was."""
    front, back = rectangle("9", "6"), rectangle("5", "4", label="Back lawn", zone="back", beyond={})
    kept = make_kept(oak, None, front, back, beds=False)
    patch = Patch.of(oak.group).get(uid=back["uid"])
    ledger.measure_again(patch=patch, lawn_m2=Decimal("22.00"), why="taped twice", by=oak.organiser)
    without = later_with(kept, oak, sketch.without_patch(kept.site, back["uid"]))
    later_with(without, oak, kept.site)
    patch.refresh_from_db()
    assert (patch.lawn_m2, patch.measured_from) == (22, "second measure")


def test_a_patch_left_out_of_a_later_drawing_is_no_longer_planned_and_stays_a_patch(oak):
    back = rectangle("5", "4", label="Back lawn", zone="back", beyond={})
    kept = make_kept(oak, None, rectangle(), back)
    later = open_draft(conversion=kept.conversion, by=oak.organiser)
    later = save_site(draft=later, revision=later.revision, site=sketch.without_patch(later.site, back["uid"]))
    keep_draft(draft=later, revision=later.revision, by=oak.organiser)
    assert [row.planned_m2 for row in kept.conversion.planned.all()] == [Decimal("49.02"), Decimal("0")]
    assert Patch.of(oak.group).count() == 2


def later_with(kept, oak, site):
    """A later drawing of this document, kept."""
    later = open_draft(conversion=kept.conversion, by=oak.organiser)
    later = save_site(draft=later, revision=later.revision, site=site)
    return keep_draft(draft=later, revision=later.revision, by=oak.organiser)


def labels(oak):
    return {str(patch.uid): patch.label for patch in Patch.of(oak.group)}


def test_two_patches_may_exchange_their_names(oak):
    front, back = rectangle(), rectangle("5", "4", label="Back lawn", zone="back", beyond={})
    kept = make_kept(oak, None, front, back, beds=False)
    site = sketch.with_patch(kept.site, {**front, "label": "Back lawn"})
    later_with(kept, oak, sketch.with_patch(site, {**back, "label": "Front lawn"}))
    assert labels(oak) == {front["uid"]: "Back lawn", back["uid"]: "Front lawn"}


def test_a_lawn_drawn_anew_under_its_old_name_is_the_same_ground_with_its_beds(oak):
    front, anew = rectangle(), rectangle("9", "6")
    kept = make_kept(oak, None, front, beds=False)
    later = later_with(kept, oak, make_site(anew))
    assert labels(oak) == {front["uid"]: "Front lawn"}
    assert [patch["uid"] for patch in later.site["patches"]] == [front["uid"]]
    assert {bed["patch"] for bed in later.site["beds"]} == {front["uid"]} and later.site["beds"]
    assert kept.conversion.planned.get().planned_m2 == Decimal("51.30")


def test_ground_off_the_drawing_gives_up_its_name_to_ground_that_is_on_it(oak):
    front, back = rectangle(), rectangle("5", "4", label="Back lawn", zone="back", beyond={})
    kept = make_kept(oak, None, front, back, beds=False)
    site = sketch.without_patch(kept.site, front["uid"])
    later_with(kept, oak, sketch.with_patch(site, {**back, "label": "Front lawn"}))
    assert labels(oak) == {front["uid"]: "Front lawn 2", back["uid"]: "Front lawn"}


def test_a_second_conversion_starts_from_the_patches_without_the_beds(oak):
    kept = make_kept(oak)
    again = start_again(conversion=kept.conversion, by=oak.organiser)
    draft = open_draft(conversion=again, by=oak.organiser)
    assert draft.site["patches"] == kept.site["patches"]
    assert draft.site["beds"] == []
    assert (draft.number, again.number) == (1, 2)


def test_a_second_drawing_stands_beside_the_first_and_the_newer_one_counts(oak):
    draft = make_open(oak)
    beside = save_beside(draft=draft, site=make_site(rectangle("7", "6")), by=oak.visitor)
    assert (beside.number, beside.parent, beside.state) == (2, draft, "open")
    assert draft.conversion.drawing() == beside


def test_a_drawing_nobody_touched_since_another_was_kept_is_put_aside(oak):
    draft = make_open(oak)
    beside = save_beside(draft=draft, site=make_site(rectangle("7", "6")), by=oak.visitor)
    draft = save_site(draft=draft, revision=draft.revision, site=draft.site)
    keep_draft(draft=draft, revision=draft.revision, by=oak.organiser)
    assert draft.conversion.drawing() == draft
    beside = save_site(draft=beside, revision=beside.revision, site=beside.site)
    assert draft.conversion.drawing() == beside


def test_two_drawings_of_one_number_cannot_be(oak, elm):
    draft, theirs = make_open(oak), make_yard(elm)
    draft.conversion = theirs
    with pytest.raises(ValidationError):
        draft.save()


def test_what_lies_beyond_decides_the_trench(oak):
    paved, open_ground = rectangle(), rectangle(label="Back lawn", zone="back", beyond={"A": "house"})
    takeoff = make_kept(oak, None, paved, open_ground, beds=False).takeoff
    assert HOUSE_AND_PAVING["C"] == "pavement"
    assert takeoff["patches"][paved["uid"]]["trench_m"] == 20.0  # 8.6 + 2 x (6 - the 0.3 m strip at the house)
    assert takeoff["patches"][open_ground["uid"]]["trench_m"] == 0
