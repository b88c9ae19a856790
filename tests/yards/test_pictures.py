"""Pairs, who may be shown a picture, the wrong yard put right, and originals that go by their date."""

import datetime
import io
from pathlib import Path

import pytest
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext
from PIL import Image

from conversions.people.models import Consent, Event, Person
from conversions.visits.actions import book_visit, keep_photo
from conversions.yards import pictures
from conversions.yards.models import Household, Photo
from tests.rows import make_kept, make_yard

DUE = datetime.datetime(2027, 5, 4, 16, 30, tzinfo=datetime.UTC)


def jpeg(colour="olive"):
    out = io.BytesIO()
    Image.new("RGB", (640, 480), colour).save(out, "JPEG")
    out.seek(0)
    return out


@pytest.fixture
def yard(oak):
    return make_yard(oak)


def take(oak, yard, slot="left", taken_for="visit", taken_for_id=1, **more):
    given = {"by": oak.organiser, "file": jpeg(), "slot": slot, "taken_for": taken_for, "taken_for_id": taken_for_id}
    return keep_photo(place=yard.place, **given | more)


def say(oak, yard, kind, answer="yes", **more):
    row = Consent(
        group=oak.group, person=yard.household.contact, kind=kind, answer=answer, on=oak.today, how="asked",
        notice_version="1", by=oak.organiser, **more,
    )  # fmt: skip
    row.full_clean()
    row.save()


# ---- pairs


def test_two_pictures_from_one_spot_make_a_pair_and_the_newest_of_each_counts(oak, yard):
    take(oak, yard)
    before = take(oak, yard)
    take(oak, yard, slot="right")
    take(oak, yard, slot="middle", taken_for="day")
    take(oak, yard, taken_for="day")
    after = take(oak, yard, taken_for="day")
    (pair,) = pictures.pairs(Photo.of(oak.group))
    assert (pair.slot, pair.before, pair.after) == ("left", before, after)


def test_a_picture_of_the_patch_itself_goes_before_one_of_the_whole_ground(oak, yard):
    patch = make_kept(oak, yard).conversion.place.patches.get()
    of_patch = take(oak, yard, patch=patch)
    take(oak, yard)
    take(oak, yard, taken_for="day", patch=patch)
    assert [pair.before for pair in pictures.pairs(Photo.of(oak.group))] == [of_patch]


def test_pictures_of_something_else_are_never_paired(oak, yard):
    take(oak, yard, slot="other")
    take(oak, yard, slot="other", taken_for="day")
    assert pictures.pairs(Photo.of(oak.group)) == []


# ---- who may be shown it


def test_nobody_asked_is_no_and_nobody_looked_is_somebody_in_it(oak, yard):
    photo = take(oak, yard)
    assert photo.people == "unsure" and not pictures.may_be_shared(photo)
    photo = pictures.say_who_is_in_it(photo=photo, people="none")
    assert "has not said" in pictures.why_private(photo)
    say(oak, yard, "photo public")
    assert pictures.may_be_shared(photo)


def test_a_later_no_takes_the_yes_back(oak, yard):
    photo = take(oak, yard, people="none")
    say(oak, yard, "photo public")
    say(oak, yard, "photo public", "no")
    assert not pictures.may_be_shared(photo)


def test_an_unsure_picture_stays_inside_whatever_was_said(oak, yard):
    photo = take(oak, yard)
    for kind in ("photo public", "people in photo"):
        say(oak, yard, kind)
    assert not pictures.may_be_shared(photo)


def test_a_grown_up_of_the_household_needs_their_own_yes_and_a_stranger_is_never_shown(oak, yard):
    photo = pictures.say_who_is_in_it(photo=take(oak, yard), people="adult", only_household=True)
    say(oak, yard, "photo public")
    assert not pictures.may_be_shared(photo)
    say(oak, yard, "people in photo")
    assert pictures.may_be_shared(photo)
    photo = pictures.say_who_is_in_it(photo=photo, people="adult", only_household=False)
    assert "does not live here" in pictures.why_private(photo)


def test_a_child_is_shown_only_with_the_parents_yes_and_its_own(oak, yard):
    photo = pictures.say_who_is_in_it(photo=take(oak, yard), people="child", only_household=True)
    for kind in ("photo public", "people in photo"):
        say(oak, yard, kind)
    assert "child" in pictures.why_private(photo)
    child = Person(group=oak.group, name="Pia", under_18=True)
    child.save()
    say(oak, yard, "people in photo", child=child)
    assert pictures.may_be_shared(photo)
    say(oak, yard, "people in photo", "no", child=child)
    assert not pictures.may_be_shared(photo)


def test_what_the_people_before_said_does_not_hold_for_those_who_live_there_now(oak, yard):
    say(oak, yard, "photo public")
    household = yard.household
    household.until_on = oak.today - datetime.timedelta(days=1)
    household.save()
    assert not pictures.may_be_shared(take(oak, yard, people="none"))


def test_the_household_that_lived_there_by_the_clock_of_the_group_is_asked(oak, yard):
    oak.group.zone = "America/Los_Angeles"
    oak.group.save()
    say(oak, yard, "photo public")
    moved_out = datetime.date(2027, 5, 3)
    Household.of(oak.group).update(from_on=moved_out - datetime.timedelta(days=30), until_on=moved_out)
    photo = take(oak, yard, people="none")
    for hour, day, is_theirs in ((1, 4, True), (8, 4, False)):  # six, and after midnight there; one date in Greenwich
        photo.received_at = datetime.datetime(2027, 5, day, hour, tzinfo=datetime.UTC)
        photo.save()
        assert pictures.may_be_shared(Photo.of(oak.group).get()) == is_theirs


def test_no_page_or_paper_for_people_outside_shows_a_picture_without_asking_the_rule():
    parts = Path(pictures.__file__).parent.parent
    outside = [
        *parts.rglob("public.py"),
        *parts.rglob("proposal.py"),
        *parts.rglob("sheet.py"),
        *parts.glob("tally/*.py"),
    ]
    assert len(outside) > 6
    for path in outside:
        text = path.read_text()
        assert "Photo" not in text.replace("PhotoRefused", "") or "may_be_shared" in text, path


# ---- the page of one picture


def test_the_page_says_who_may_see_it_and_keeps_what_is_picked(oak, yard, organiser):
    photo = take(oak, yard)
    page = organiser.get(oak.url(f"photos/{photo.pk}/")).content.decode()
    assert "Only your group" in page and "Nobody has said yet" in page
    organiser.post(oak.url(f"photos/{photo.pk}/people/"), {"people": "adult", "only_household": "on"})
    photo.refresh_from_db()
    assert (photo.people, photo.only_household) == ("adult", True)
    wrong = organiser.post(oak.url(f"photos/{photo.pk}/people/"), {"people": "a crowd"})
    assert wrong.status_code == 200 and "a crowd" in wrong.content.decode()


def test_the_spot_and_the_patch_can_be_put_right_but_only_to_a_patch_of_this_place(oak, yard, organiser):
    photo, patch = take(oak, yard, slot="other"), make_kept(oak, yard).conversion.place.patches.get()
    there = make_kept(oak, make_yard(oak, address="3 Sorrel Court", reach="000 333 333")).conversion.place.patches.get()
    organiser.post(oak.url(f"photos/{photo.pk}/where/"), {"slot": "left", "patch": patch.pk})
    photo.refresh_from_db()
    assert (photo.slot, photo.patch) == ("left", patch)
    assert organiser.post(oak.url(f"photos/{photo.pk}/where/"), {"slot": "left", "patch": there.pk}).status_code == 200
    photo.refresh_from_db()
    assert photo.patch == patch


def test_a_picture_in_the_wrong_yard_is_moved_and_both_histories_tell_it(oak, yard, organiser):
    photo = take(oak, yard, taken_for_id=book_visit(conversion=yard, by=oak.organiser, due_at=DUE).pk)
    right = make_yard(oak, name="Ada Voss", address="3 Sorrel Court", reach="000 333")
    visit = book_visit(conversion=right, by=oak.organiser, due_at=DUE)
    for _ in range(2):
        organiser.post(oak.url(f"photos/{photo.pk}/move/"), {"yard": right.pk})
    photo.refresh_from_db()
    assert (photo.place, photo.taken_for_id, photo.patch) == (right.place, visit.pk, None)
    assert Event.of(oak.group).filter(verb="photo-moved").count() == 2
    for row, other in ((yard, "3 Sorrel Court"), (right, "14 Tansy Row")):
        page = organiser.get(oak.url(f"yards/{row.pk}/")).content.decode()
        assert "A picture changed its yard" in page and other in page
    assert f"photos/{photo.pk}/thumb/" in organiser.get(oak.url(f"visits/{visit.pk}/")).content.decode()


def test_a_picture_is_never_moved_to_another_group(oak, elm, yard, organiser):
    photo, strange = take(oak, yard), make_yard(elm, address="9 Elm Row")
    assert organiser.post(oak.url(f"photos/{photo.pk}/move/"), {"yard": strange.pk}).status_code == 200
    photo.refresh_from_db()
    assert photo.place == yard.place


def test_the_yard_page_costs_the_same_for_one_picture_and_for_many(oak, yard, organiser):
    def queries():
        with CaptureQueriesContext(connection) as seen:
            organiser.get(oak.url(f"yards/{yard.pk}/"))
        return len(seen)

    take(oak, yard)
    take(oak, yard, taken_for="day")
    queries()
    few = queries()
    for slot in ("left", "middle", "right", "close"):
        take(oak, yard, slot=slot)
        take(oak, yard, slot=slot, taken_for="day")
    assert queries() == few


# ---- as it came


def test_the_file_as_it_came_has_no_address_and_goes_when_its_time_is_over(oak, yard, organiser, time_machine):
    oak.group.originals_days = 30
    oak.group.save()
    sent = jpeg()
    photo = take(oak, yard, file=sent)
    key = photo.original_key
    with default_storage.open(key) as kept:
        assert kept.read() == sent.getvalue()
    assert organiser.get(oak.url(f"photos/{photo.pk}/original/")).status_code == 404
    assert photo.original_until_on == oak.today + datetime.timedelta(days=30)
    time_machine.move_to(datetime.datetime.now(datetime.UTC) + datetime.timedelta(days=29))
    call_command("nightly")
    assert default_storage.exists(key)
    time_machine.shift(datetime.timedelta(days=3))
    call_command("nightly")
    photo.refresh_from_db()
    assert photo.original_key == "" and not default_storage.exists(key)
    assert default_storage.exists(photo.view_key) and default_storage.exists(photo.thumb_key)


def test_a_group_that_wants_no_originals_keeps_none(oak, yard):
    oak.group.originals_days = 0
    oak.group.save()
    photo = take(oak, yard)
    assert (photo.original_key, photo.original_until_on) == ("", None)


# ---- the bytes


def test_the_browser_asks_at_the_door_each_time_and_is_told_when_nothing_changed(oak, yard, organiser, client):
    photo = take(oak, yard)
    answer = organiser.get(oak.url(f"photos/{photo.pk}/view/"))
    assert answer["Cache-Control"] == "private, no-cache"
    assert answer["Content-Type"] == "image/jpeg" and answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    again = organiser.get(oak.url(f"photos/{photo.pk}/view/"), headers={"if-none-match": answer["ETag"]})
    assert again.status_code == 304 and again["Cache-Control"] == "private, no-cache"
    oak.sign_in(client, "helper")
    refused = client.get(oak.url(f"photos/{photo.pk}/view/"), headers={"if-none-match": answer["ETag"]})
    assert refused.status_code == 403
