"""Pictures at a follow-up: from the same spots, beside the first ones, and never at the cost of what was typed."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from conversions.builds.actions import record_as_built
from conversions.care.models import FollowUp
from conversions.office import close_day
from conversions.people.consents import write_consent
from conversions.visits.actions import keep_photo
from conversions.yards.models import Photo
from tests.builds.rows import make_agreed, make_day
from tests.common.test_photos import TRACES, with_position
from tests.rows import jpeg


@pytest.fixture
def due(oak):
    yard = make_agreed(oak)
    keep_photo(place=yard.place, by=oak.organiser, file=jpeg(), slot="left", taken_for="visit", taken_for_id=1)
    day = make_day(oak, yard)
    record_as_built(day=day, patch=day.day_patches.get().patch, by=oak.lead)
    day.refresh_from_db()
    close_day.close_day(day=day, by=oak.lead, revision=day.revision, sheets=close_day.papers(day))
    return FollowUp.of(oak.group).get(kind="year 1")


@pytest.fixture
def lead(client, oak):
    return oak.sign_in(client, "lead")


def name_of(due, slot="left") -> str:
    return f"photo-{due.conversion.planned.get().patch_id}-{slot}"


def send(client, oak, due, path="photos/", **data):
    return client.post(oak.url(f"follow-ups/{due.pk}/{path}"), data)


FOUND = {"how": "visit", "grass": "no", "card": "no", "plants": "well", "outcome": "reached", "again_on": ""}


def test_the_page_asks_for_the_spots_that_were_taken_before_the_build(lead, oak, due):
    page = lead.get(oak.url(f"follow-ups/{due.pk}/")).content.decode()
    assert f'name="{name_of(due)}"' in page and f'name="{name_of(due, "right")}"' not in page
    assert "Same spot, same height" in page and "Before and now" not in page


def test_a_picture_of_a_patch_stands_beside_the_first_one(lead, oak, due):
    answer = send(lead, oak, due, **{name_of(due): jpeg("green"), "photo-people": "none"})
    taken = Photo.of(oak.group).get(taken_for="follow-up")
    assert (taken.taken_for_id, taken.slot, taken.people) == (due.pk, "left", "none")
    assert taken.patch == due.conversion.planned.get().patch
    first = Photo.of(oak.group).get(taken_for="visit")
    page = answer.content.decode()
    assert "Before and now" in page
    assert page.index(f"photos/{first.pk}/view/") < page.index(f"photos/{taken.pk}/view/")
    yard = lead.get(oak.url(f"yards/{due.conversion_id}/")).content.decode()
    assert f"photos/{taken.pk}/view/" in yard


def test_pictures_go_along_when_the_answers_are_written_down(lead, oak, due):
    send(lead, oak, due, "", revision=due.revision, **FOUND, **{name_of(due): jpeg()})
    due.refresh_from_db()
    assert due.state == "done"
    assert Photo.of(oak.group).filter(taken_for="follow-up", people="unsure").count() == 1


def test_keeping_only_the_pictures_leaves_the_typed_answers_on_the_page(lead, oak, due):
    answer = send(lead, oak, due, revision=due.revision, note="ring again in May", **{name_of(due): jpeg()})
    assert "ring again in May" in answer.content.decode()
    due.refresh_from_db()
    assert (due.state, due.note) == ("due", "")


def test_a_bad_file_is_told_beside_its_field_and_nothing_is_written_down(lead, oak, due):
    bad = SimpleUploadedFile("x.jpg", b"not a picture")
    answer = send(lead, oak, due, "", revision=due.revision, **FOUND, **{name_of(due): bad})
    page = answer.content.decode()
    assert "This is not a picture." in page and f'id="{name_of(due)}_error"' in page
    due.refresh_from_db()
    assert due.state == "due" and not Photo.of(oak.group).filter(taken_for="follow-up").exists()


def test_what_is_served_of_it_has_no_trace_of_where_and_no_cache_between_keeps_it(lead, oak, due):
    send(lead, oak, due, **{name_of(due): SimpleUploadedFile("x.jpg", with_position("JPEG", 6))})
    taken = Photo.of(oak.group).get(taken_for="follow-up")
    assert (taken.width, taken.height) == (200, 400)
    for size in ("view", "thumb"):
        answer = lead.get(oak.url(f"photos/{taken.pk}/{size}/"))
        data = b"".join(answer.streaming_content)
        assert [trace for trace in TRACES if trace in data[: data.index(b"\xff\xda")]] == []
        assert answer["Cache-Control"] == "private, no-cache"


def test_the_same_press_twice_keeps_one_picture(lead, oak, due):
    uid = "33333333-3333-4333-8333-333333333333"
    for _press in range(2):
        send(lead, oak, due, **{name_of(due): jpeg(), f"{name_of(due)}-uid": uid})
    assert Photo.of(oak.group).filter(taken_for="follow-up").count() == 1


def test_without_a_picture_it_says_so(lead, oak, due):
    assert "Choose a picture first." in send(lead, oak, due).content.decode()


def test_people_who_want_no_pictures_get_none(lead, oak, due):
    write_consent(
        person=due.conversion.household.contact, by=oak.organiser, kind="photo record", answer="no", how="phone",
        on=oak.today,
    )  # fmt: skip
    page = lead.get(oak.url(f"follow-ups/{due.pk}/")).content.decode()
    assert "They asked for no pictures." in page and 'type="file"' not in page
    assert "They asked for no pictures." in send(lead, oak, due, **{name_of(due): jpeg()}).content.decode()
    assert not Photo.of(oak.group).filter(taken_for="follow-up").exists()


def test_pictures_can_still_be_added_once_it_is_done(lead, oak, due):
    FollowUp.of(oak.group).filter(pk=due.pk).update(state="done", done_on=oak.today, how="visit")
    assert f'name="{name_of(due)}"' in lead.get(oak.url(f"follow-ups/{due.pk}/")).content.decode()
    send(lead, oak, due, **{name_of(due): jpeg()})
    assert Photo.of(oak.group).filter(taken_for="follow-up").count() == 1
