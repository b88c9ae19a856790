"""A blurred copy may be shown where its picture may not, and a picture goes for good where somebody in it asks."""

import io

import pytest
from django.core.files.storage import default_storage
from PIL import Image

from conversions.people.consents import write_consent
from conversions.people.models import Event
from conversions.visits.actions import keep_photo
from conversions.yards import pictures
from conversions.yards.models import Photo
from tests.rows import make_yard

UID = "44444444-4444-4444-8444-444444444444"


def jpeg():
    out = io.BytesIO()
    Image.effect_noise((640, 480), 90).convert("RGB").save(out, "JPEG")
    out.seek(0)
    return out


@pytest.fixture
def yard(oak):
    row = make_yard(oak)
    write_consent(
        person=row.household.contact, by=oak.organiser, kind="photo public", answer="yes", how="asked", on=oak.today
    )
    return row


@pytest.fixture
def picture(oak, yard):
    """A good picture with a child in it, whom nobody has asked."""
    return keep_photo(
        place=yard.place, by=oak.organiser, file=jpeg(), slot="left", taken_for="day", taken_for_id=1, people="child"
    )


def send(client, oak, photo, **data):
    return client.post(oak.url(f"photos/{photo.pk}/blur/"), {"uid": UID, **data})


def test_a_copy_stands_beside_its_picture_and_says_it_is_blurred(organiser, oak, yard, picture):
    answer = send(organiser, oak, picture, cells=["1-2", "1-3"])
    copy = Photo.of(oak.group).get(blurred_from=picture)
    assert answer["Location"].endswith(f"photos/{copy.pk}/")
    assert (copy.place, copy.slot, copy.taken_for, copy.received_at) == (
        picture.place, "left", "day", picture.received_at,
    )  # fmt: skip
    page = organiser.get(answer["Location"]).content.decode()
    assert "Blurred for privacy" in page and "The picture it was made from" in page
    assert "The blurred copy" in organiser.get(oak.url(f"photos/{picture.pk}/")).content.decode()
    assert "Blurred for privacy" in organiser.get(oak.url(f"yards/{yard.pk}/")).content.decode()
    shown = b"".join(organiser.get(oak.url(f"photos/{copy.pk}/view/")).streaming_content)
    assert Image.open(io.BytesIO(shown)).size == (640, 480)


def test_the_picture_stays_inside_and_the_copy_may_be_shown_once_somebody_looked_at_it(organiser, oak, picture):
    send(organiser, oak, picture, whole="on")
    copy = Photo.of(oak.group).get(blurred_from=picture)
    assert not pictures.may_be_shared(copy)  # nobody has looked yet
    organiser.post(oak.url(f"photos/{copy.pk}/people/"), {"people": "none"})
    copy.refresh_from_db()
    assert pictures.may_be_shared(copy)
    picture.refresh_from_db()
    assert picture.people == "child" and not pictures.may_be_shared(picture)


def test_a_copy_of_people_who_never_said_yes_to_showing_their_ground_stays_inside_too(organiser, oak, yard, picture):
    write_consent(
        person=yard.household.contact, by=oak.organiser, kind="photo public", answer="no", how="phone", on=oak.today
    )
    send(organiser, oak, picture, whole="on")
    Photo.of(oak.group).filter(is_blurred=True).update(people="none")
    assert not pictures.may_be_shared(Photo.of(oak.group).get(is_blurred=True))


def test_nothing_ticked_makes_nothing_and_a_second_press_makes_no_second_copy(organiser, oak, picture):
    answer = send(organiser, oak, picture)
    assert answer.status_code == 400 and "Tick at least one square" in answer.content.decode()
    assert send(organiser, oak, picture, cells=["9-9"]).status_code == 400
    for _press in range(2):
        send(organiser, oak, picture, cells=["0-0"])
    assert Photo.of(oak.group).filter(is_blurred=True).count() == 1


def test_the_ticked_squares_stay_ticked_where_something_was_wrong(organiser, oak, picture):
    page = send(organiser, oak, picture, cells=["2-3"], uid="").content.decode()
    assert 'value="2-3" aria-label="row 3, square 4" checked' in page


def test_a_picture_whose_file_is_gone_is_told_in_words(organiser, oak, picture):
    default_storage.delete(picture.view_key)
    answer = send(organiser, oak, picture, cells=["0-0"])
    assert answer.status_code == 400 and "The file of this picture is gone." in answer.content.decode()


def test_in_a_pair_a_copy_goes_for_its_own_picture_and_never_for_a_newer_one(organiser, oak, yard, picture):
    given = {"place": yard.place, "by": oak.organiser, "slot": "left", "taken_for_id": 1}
    keep_photo(**given, file=jpeg(), taken_for="visit")
    send(organiser, oak, picture, cells=["0-0"])
    copy = Photo.of(oak.group).get(is_blurred=True)
    assert [pair.after for pair in pictures.pairs(Photo.of(oak.group))] == [copy]
    newer = keep_photo(**given, file=jpeg(), taken_for="day")
    send(organiser, oak, picture, cells=["1-1"], uid=UID.replace("4444-4444", "5555-5555", 1))
    assert [pair.after for pair in pictures.pairs(Photo.of(oak.group))] == [newer]


def test_a_picture_taken_out_leaves_no_file_and_its_copy_stays_blurred(organiser, oak, yard, picture):
    send(organiser, oak, picture, cells=["0-0"])
    copy = Photo.of(oak.group).get(is_blurred=True)
    page = organiser.get(oak.url(f"photos/{picture.pk}/remove/")).content.decode()
    assert "It cannot be brought back." in page
    answer = organiser.post(oak.url(f"photos/{picture.pk}/remove/"), {"reason": "her mother asked"}, follow=True)
    assert "A picture was taken out" in answer.content.decode() and "her mother asked" in answer.content.decode()
    assert not Photo.of(oak.group).filter(pk=picture.pk).exists()
    assert picture.original_key
    for key in (picture.original_key, picture.view_key, picture.thumb_key):
        assert not default_storage.exists(key)
    copy.refresh_from_db()
    assert copy.is_blurred and copy.blurred_from is None and default_storage.exists(copy.view_key)
    assert organiser.get(oak.url(f"photos/{picture.pk}/view/")).status_code == 404
    assert Event.of(oak.group).get(verb="photo-removed").conversion_id == yard.pk


def test_taking_a_picture_out_asks_for_a_reason(organiser, oak, picture):
    answer = organiser.post(oak.url(f"photos/{picture.pk}/remove/"), {"reason": " "})
    assert answer.status_code == 200 and Photo.of(oak.group).filter(pk=picture.pk).exists()
