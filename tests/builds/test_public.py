"""Signing up behind a link, and calling off again, without an account."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from conversions.builds import actions
from conversions.builds.models import Day, SignUp
from conversions.builds.where import street
from conversions.people import links
from conversions.people.models import Link, Person
from tests.builds.rows import make_agreed, make_day


@pytest.fixture
def day(oak):
    return make_day(oak, make_agreed(oak), on=oak.today + timedelta(days=9), helpers_wanted=2)


@pytest.fixture
def address(day):
    return reverse("sign-up-public", args=[links.token(links.make("sign-up", "day", day))])


def come(client, address, **other):
    values = {"uid": uuid.uuid4(), "name": "Noor", "phone": "000 111 333", "role": "rake"} | other
    return client.post(address, values, follow=True)


def words(response) -> str:
    return " ".join(response.content.decode().split())


def test_a_stranger_sees_date_and_street_but_not_the_house(client, address, day):
    page = client.get(address)
    assert "Tansy Row" in words(page) and "14 Tansy Row" not in words(page)
    assert "2</b>" in words(page) and "more hands wanted" in words(page)
    assert page["Referrer-Policy"] == "no-referrer" and "no-store" in page["Cache-Control"]
    assert not SignUp.of(day.group).exists(), "looking changes nothing"


def test_signing_up_shows_the_house_once_the_day_is_sure_and_the_way_to_call_off(client, address, day):
    page = come(client, address)
    assert "You are coming, Noor" in words(page) and "14 Tansy Row" not in words(page)
    Day.everywhere.filter(pk=day.pk).update(state="confirmed")
    assert "14 Tansy Row" in words(client.get(page.request["PATH_INFO"]))
    row = SignUp.of(day.group).get()
    assert (row.person.phone, row.person.route, row.role) == ("000 111 333", "phone", "rake")
    mine = page.request["PATH_INFO"]
    assert mine != address
    assert "You have called off" in words(client.post(mine, {"do": "off"}, follow=True))
    assert "You are coming" in words(client.post(mine, {"do": "come"}, follow=True))
    assert SignUp.of(day.group).count() == 1


def test_a_double_press_signs_up_once(client, address, day):
    uid = uuid.uuid4()
    come(client, address, uid=uid)
    come(client, address, uid=uid)
    come(client, address)
    assert SignUp.of(day.group).count() == Person.of(day.group).filter(name="Noor").count() == 1


def test_a_name_and_a_number_open_nobodys_own_page(client, address, day):
    mine = come(client, address).request["PATH_INFO"]
    again = come(client, address, name="noor", phone="000111333")
    assert again.request["PATH_INFO"] == address and "already on the list" in words(again)
    assert "14 Tansy Row" not in words(again) and mine not in words(again)
    client.post(mine, {"do": "off"})
    back = come(client, address)
    assert back.request["PATH_INFO"] == address and "on the list" in words(back)
    assert SignUp.of(day.group).get().state == "coming", "somebody who called off may come back without the link"


def test_the_same_number_under_another_name_is_another_helper(client, address, day):
    first, second = come(client, address), come(client, address, name="Sol")
    assert "You are coming, Sol" in words(second)
    assert first.request["PATH_INFO"] != second.request["PATH_INFO"]
    assert SignUp.of(day.group).count() == 2


@pytest.mark.parametrize(
    ("other", "field"),
    [({"name": ""}, "name"), ({"phone": ""}, "phone"), ({"phone": "call me"}, "phone"), ({"phone": "a@"}, "phone"),
     ({"role": "x" * 41}, "role"), ({"uid": "no"}, "uid")],
)  # fmt: skip
def test_what_is_missing_is_said_beside_its_field_and_the_rest_stays(client, address, day, other, field):
    page = come(client, address, **other)
    assert page.status_code == 200 and field in page.context["form"].errors
    if field != "name":
        assert 'value="Noor"' in words(page)
    assert not SignUp.of(day.group).exists()


def test_the_last_place_goes_once(client, address, day):
    come(client, address)
    come(client, address, name="Bea", phone="bea@example.org")
    page = come(client, address, name="Ivo", phone="000 111 555")
    assert page.status_code == 409 and "Every place is taken" in words(page)
    assert "000 000 000" in words(page), "somebody to ring"
    assert SignUp.of(day.group).count() == 2
    assert "All hands found" in words(client.get(address))


def test_a_day_called_off_or_over_says_so_kindly(client, address, day):
    mine = come(client, address).request["PATH_INFO"]
    actions.set_state(day=day, to="cancelled", by=day.lead)
    assert "There is no build that day" in words(client.get(address))
    assert "called off" in words(client.get(mine))
    Day.of(day.group).filter(pk=day.pk).update(state="closed")
    assert "This day is over" in words(client.get(address))
    page = client.get(mine)
    assert "This day is over" in words(page) and "14 Tansy Row" not in words(page)


def test_nobody_signs_up_for_a_day_that_is_off(client, address, day):
    actions.set_state(day=day, to="cancelled", by=day.lead)
    come(client, address)
    assert not SignUp.of(day.group).exists()


def test_a_dead_link_is_a_human_page_with_a_number(client, address, day):
    assert client.get(address[:-3] + "xx/").status_code == 404
    assert client.get("/s/nonsense/").status_code == 404
    Link.of(day.group).update(revoked_at=timezone.now())
    page = client.get(address)
    assert page.status_code == 410 and "000 000 000" in words(page)


def test_the_link_of_another_purpose_opens_nothing_here(client, day):
    other = links.make("care", "day", day)
    assert client.get(reverse("sign-up-public", args=[links.token(other)])).status_code == 404


def test_somebody_signed_in_signs_up_as_themselves(client, oak, address, day):
    helper = oak.sign_in(client, "helper")
    assert f'value="{oak.helper}"' in words(helper.get(address))
    come(helper, address, name="Helper Oak", phone="helper@oak.example")
    assert SignUp.of(oak.group).get().person.member == oak.helper
    assert helper.get(oak.url(f"days/{day.pk}/")).status_code == 200


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ("14 Tansy Row", "Tansy Row"),
        ("Tansy Row 14b", "Tansy Row"),
        ("12-14, Elder Lane", "Elder Lane"),
        ("3/2 Sorrel Court", "Sorrel Court"),
        ("Old Mill", "Old Mill"),
    ],
)
def test_a_street_is_an_address_without_its_number(line, shown):
    assert street(line) == shown
