"""Pictures after the build: the first one above, where to stand, and the pair once it is taken."""

import datetime

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from conversions.visits.actions import add_entries, book_visit, keep_photo
from conversions.yards.models import Photo
from tests.builds.rows import make_agreed, make_day
from tests.rows import jpeg

DUE = datetime.datetime(2026, 5, 4, 16, 30, tzinfo=datetime.UTC)


@pytest.fixture
def yard(oak):
    return make_agreed(oak)


@pytest.fixture
def day(oak, yard):
    return make_day(oak, yard, on=oak.today)


def before(oak, yard, slot="left"):
    given = {"slot": slot, "taken_for": "visit", "taken_for_id": 1}
    return keep_photo(place=yard.place, by=oak.organiser, file=jpeg(), **given)


def send(client, oak, day, at="after", **files):
    return client.post(oak.url(f"days/{day.pk}/photos/"), {"at": at, **files})


def page(client, oak, day, at="after"):
    return client.get(oak.url(f"days/{day.pk}/?at={at}")).content.decode()


@pytest.mark.parametrize("at", ["on", "after"])
def test_each_patch_shows_the_picture_from_before_and_says_where_to_stand(organiser, oak, yard, day, at):
    first, patch = before(oak, yard), day.day_patches.get().patch_id
    html = page(organiser, oak, day, at)
    assert html.index(f"photos/{first.pk}/thumb/") < html.index(f'name="photo-{patch}-left"')
    assert "Stand far left" in html and "as above" in html and f'name="photo-{patch}-right"' not in html


def test_where_nobody_took_one_before_three_spots_are_offered(organiser, oak, day):
    patch, html = day.day_patches.get().patch_id, page(organiser, oak, day)
    assert all(f'name="photo-{patch}-{slot}"' in html for slot in ("left", "middle", "right"))
    assert "as above" not in html


def test_the_pair_stands_on_the_day_and_on_the_yard_once_the_second_is_kept(organiser, oak, yard, day):
    first, patch = before(oak, yard), day.day_patches.get().patch
    answer = send(organiser, oak, day, **{f"photo-{patch.pk}-left": jpeg("brown"), "photo-people": "none"})
    assert answer.status_code == 302 and answer["Location"].endswith("?at=after#after-photos")
    second = Photo.of(oak.group).get(taken_for="day")
    assert (second.patch, second.taken_for_id, second.slot, second.people) == (patch, day.pk, "left", "none")
    for html in (page(organiser, oak, day), organiser.get(oak.url(f"yards/{yard.pk}/")).content.decode()):
        assert "Before and after" in html
        assert f"photos/{first.pk}/view/" in html and f"photos/{second.pk}/view/" in html


def test_a_bad_file_is_told_beside_its_field_and_the_good_one_is_kept(organiser, oak, day):
    patch = day.day_patches.get().patch_id
    files = {f"photo-{patch}-left": SimpleUploadedFile("a.jpg", b"words"), f"photo-{patch}-right": jpeg()}
    html = send(organiser, oak, day, **files).content.decode()
    assert f'id="photo-{patch}-left_error"' in html and "not a picture" in html
    assert [photo.slot for photo in Photo.of(oak.group)] == ["right"]


def test_before_the_day_none_is_kept(organiser, oak, yard):
    day = make_day(oak, yard, on=oak.today + datetime.timedelta(days=3))
    send(organiser, oak, day, **{f"photo-{day.day_patches.get().patch_id}-left": jpeg()})
    assert not Photo.of(oak.group).exists() and 'id="after-photos"' not in page(organiser, oak, day)


def test_a_household_that_wants_no_pictures_gets_none(organiser, oak, yard, day):
    visit = book_visit(conversion=yard, by=oak.organiser, due_at=DUE)
    add_entries(visit=visit, by=oak.organiser, entries=[{"question": "pictures", "value": {"pictures": "none"}}])
    patch = day.day_patches.get().patch_id
    assert "They asked for no pictures" in page(organiser, oak, day)
    assert "no pictures" in send(organiser, oak, day, **{f"photo-{patch}-left": jpeg()}).content.decode()
    assert not Photo.of(oak.group).exists()
