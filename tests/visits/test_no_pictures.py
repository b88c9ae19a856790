"""A household's no to pictures holds everywhere, whichever way they said it."""

import uuid

import pytest
from django.utils import timezone

from conversions.people.consents import write_consent
from conversions.visits.actions import add_entries, book_visit
from conversions.visits.no_pictures import wants_none
from conversions.yards.models import Photo
from tests.rows import jpeg, make_yard


@pytest.fixture
def visit(oak):
    return book_visit(conversion=make_yard(oak), by=oak.visitor, due_at=timezone.now())


def allow(oak, visit, answer):
    person = visit.conversion.household.contact
    write_consent(person=person, by=oak.organiser, kind="photo record", answer=answer, how="asked", on=oak.today)


def say(oak, visit, pick, **more):
    entry = {"question": "pictures", "value": {"pictures": pick}, **more}
    add_entries(visit=visit, by=oak.visitor, entries=[entry])


def test_nobody_asked_yet_is_not_a_no_to_taking_them(oak, visit):
    assert not wants_none(visit.conversion)


@pytest.mark.parametrize("answer", ["ground", ""])
def test_a_no_among_what_they_allow_holds_on_the_visit_too(client, oak, visit, answer):
    if answer:
        say(oak, visit, answer)
    allow(oak, visit, "no")
    oak.sign_in(client, "visitor")
    for page in ("", "offline/"):
        html = client.get(oak.url(f"visits/{visit.pk}/{page}")).content.decode()
        assert "They asked for no pictures." in html and 'type="file"' not in html
    picture = {"photo-left": jpeg(), "photo-left-uid": str(uuid.uuid4()), "photo-people": "none"}
    told = client.post(oak.url(f"visits/{visit.pk}/queue/"), picture)
    assert told.status_code == 422 and told.json()["words"] == "They asked for no pictures."
    assert not Photo.of(oak.group).exists()


def test_a_later_yes_takes_the_no_back(client, oak, visit):
    allow(oak, visit, "no")
    allow(oak, visit, "yes")
    oak.sign_in(client, "visitor")
    told = client.post(oak.url(f"visits/{visit.pk}/queue/"), {"photo-left": jpeg(), "photo-people": "none"})
    assert told.status_code == 200 and Photo.of(oak.group).count() == 1


def test_where_two_answers_stand_and_one_is_no_it_is_no_until_somebody_has_chosen(oak, visit):
    say(oak, visit, "none")
    say(oak, visit, "ground", replaces=[])
    assert wants_none(visit.conversion)
    say(oak, visit, "ground")
    assert not wants_none(visit.conversion)
