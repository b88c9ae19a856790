"""Who sees what: a helper only their own build, its house number only for a time; a reader only numbers."""

import datetime

import pytest

from conversions.builds import actions, roster, where
from conversions.builds.actions import record_as_built
from conversions.builds.models import Day
from conversions.office import close_day
from conversions.people import links
from conversions.people.models import Message
from conversions.visits.actions import keep_photo
from tests.builds.rows import make_agreed, make_day
from tests.rows import jpeg, make_yard

NUMBER, NAME, PHONE = "14 Tansy Row", "Ruth Okafor", "000 111 222"


@pytest.fixture
def yard(oak):
    return make_agreed(oak)


@pytest.fixture
def day(oak, yard):
    row = make_day(oak, yard, on=oak.today + datetime.timedelta(days=5))
    actions.sign_up(day=row, person=roster.person_for(oak.helper))
    return row


@pytest.fixture
def bo(client, oak):
    """A helper, signed in."""
    return oak.sign_in(client, "helper")


def set_day(day, on, state) -> Day:
    Day.everywhere.filter(pk=day.pk).update(on=on, state=state)
    day.refresh_from_db()
    return day


def pages_of(client, oak, day) -> str:
    return " ".join(client.get(oak.url(path)).content.decode() for path in ("", "days/", f"days/{day.pk}/"))


# ---- another yard, a guessed number, a photo's address


def test_a_helper_who_guesses_numbers_opens_no_yard_no_picture_no_paper_and_no_other_day(bo, oak, yard, day):
    other = make_day(oak, make_agreed(oak, make_yard(oak, name="Ann Lee", address="3 Elder Lane")))
    photo = keep_photo(place=yard.place, by=oak.organiser, file=jpeg(), taken_for="visit", taken_for_id=1)
    known = (1, yard.pk, photo.pk, other.pk)  # counted on by PostgreSQL from one test to the next, so not all below
    for pk in sorted({pk + step for pk in known for step in (-1, 0, 1)}):
        for path in (
            f"yards/{pk}/", f"yards/{pk}/edit/", f"yards/{pk}/plan/", f"photos/{pk}/", f"photos/{pk}/view/",
            f"photos/{pk}/thumb/", f"people/{pk}/", f"quotes/{pk}/", f"visits/{pk}/", f"follow-ups/{pk}/",
            f"days/{pk}/crew-sheet.pdf", f"messages/{pk}/",
        ):  # fmt: skip
            answer = bo.get(oak.url(path))
            assert answer.status_code in (403, 404), path
            assert NAME not in answer.content.decode() and NUMBER not in answer.content.decode(), path
    assert bo.get(oak.url(f"days/{other.pk}/")).status_code == 404
    assert bo.get(oak.url(f"days/{day.pk}/")).status_code == 200


def test_the_place_of_a_picture_on_disk_is_no_address(bo, oak, yard, organiser):
    photo = keep_photo(place=yard.place, by=oak.organiser, file=jpeg(), taken_for="visit", taken_for_id=1)
    for key in (photo.view_key, photo.thumb_key, photo.original_key):
        for before in ("/", "/media/", "/var/", "/static/", "/photos/"):
            assert organiser.get(before + key).status_code == 404


# ---- their own build


@pytest.mark.parametrize(
    ("state", "days_to_it", "told"),
    [
        ("planned", 5, False),
        ("confirmed", 5, True),
        ("moved", 5, True),
        ("confirmed", 0, True),
        ("under way", 0, True),
        ("closed", -1, True),
        ("closed", -2, True),
        ("closed", -3, False),
        ("under way", -3, False),
        ("cancelled", 5, False),
    ],
)
def test_the_house_number_of_their_own_build_is_told_from_sure_until_two_days_after(
    bo, oak, day, state, days_to_it, told
):
    set_day(day, oak.today + datetime.timedelta(days=days_to_it), state)
    page = pages_of(bo, oak, day)
    assert (NUMBER in page) is told
    if state != "cancelled":
        assert "Tansy Row" in page
    assert NAME not in page and PHONE not in page


def test_a_helper_who_called_off_is_told_no_house_number_any_more(bo, oak, day):
    set_day(day, day.on, "confirmed")
    assert NUMBER in pages_of(bo, oak, day)
    actions.call_off(sign_up=day.sign_ups.get())
    assert NUMBER not in pages_of(bo, oak, day)


@pytest.mark.parametrize(("state", "days_to_it", "told"), [("planned", 5, 0), ("confirmed", 5, 1), ("closed", -3, 0)])
def test_the_own_page_of_a_helper_without_an_account_keeps_the_same_time(client, oak, day, state, days_to_it, told):
    person = actions.sign_up(day=day, name="Noor", phone="000 777 888").person
    address = links.address(links.make("sign-up", "day", day, person=person))
    strangers = links.address(links.make("sign-up", "day", day))
    set_day(day, oak.today + datetime.timedelta(days=days_to_it), state)
    assert (NUMBER in client.get(address).content.decode()) is bool(told)
    assert NUMBER not in client.get(strangers).content.decode()


def test_a_message_to_a_helper_names_the_street_until_the_day_is_sure(oak, day):
    actions.change_day(day=day, revision=day.revision, by=oak.lead, on=day.on + datetime.timedelta(days=1))
    told = {row.values["role"]: row.values["place"] for row in Message.of(oak.group).filter(kind="day-moved")}
    assert told == {"helper": "Tansy Row", "household": NUMBER}
    day.refresh_from_db()
    set_day(day, day.on, "confirmed")
    actions.change_day(day=day, revision=day.revision, by=oak.lead, on=day.on + datetime.timedelta(days=1))
    last = Message.of(oak.group).filter(kind="day-moved").exclude(state="dropped")
    assert {row.values["place"] for row in last} == {NUMBER}


def test_whoever_leads_the_day_knows_the_place_all_along(client, oak, yard):
    day = make_day(oak, yard, deputy=oak.helper, on=oak.today + datetime.timedelta(days=5))
    assert NUMBER in pages_of(oak.sign_in(client, "helper"), oak, day)
    assert where.title(day, oak.visitor, oak.today, set()) == f"{NAME}, {NUMBER}"


# ---- numbers only


def test_a_reader_sees_numbers_and_nobody_behind_them(client, oak, yard):
    day = make_day(oak, yard)
    record_as_built(day=day, patch=day.day_patches.get().patch, by=oak.lead)
    day.refresh_from_db()
    close_day.close_day(day=day, by=oak.lead, revision=day.revision, sheets=close_day.papers(day))
    reader = oak.sign_in(client, "reader")
    shown = {path: reader.get(oak.url(path)) for path in ("", "tally/", "tally/ground.csv")}
    assert {answer.status_code for answer in shown.values()} == {200}
    built = f"{day.day_patches.get().planned_m2:.1f}"
    assert built in shown["tally/"].content.decode() and built in shown["tally/ground.csv"].content.decode()
    for path, answer in shown.items():
        page = answer.content.decode()
        for word in (NAME, "Okafor", "Tansy", PHONE, "Helper Oak"):
            assert word not in page, (path, word)
    for path in ("yards/", "days/", "aftercare/", "search/", "people/", "messages/"):
        assert reader.get(oak.url(path)).status_code == 403
