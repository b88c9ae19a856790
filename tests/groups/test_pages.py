"""Signing in, the start page, and the pages for those who may not."""

import pytest
from django.core.exceptions import ValidationError

from conversions.groups.actions import leave

PASSWORD = "a long enough password"


def test_an_e_mail_signs_in_whatever_its_capitals(client, oak):
    answer = client.post("/sign-in/", {"username": "Organiser@OAK.example", "password": PASSWORD})
    assert (answer.status_code, answer["Location"]) == (302, "/")


def test_a_wrong_password_says_so_and_keeps_the_e_mail(client, oak):
    page = client.post("/sign-in/", {"username": "organiser@oak.example", "password": "no"}).content.decode()
    assert "go together" in page
    assert 'value="organiser@oak.example"' in page


def test_the_fifth_wrong_password_from_one_address_has_to_wait(client, oak):
    for _try in range(5):
        answer = client.post("/sign-in/", {"username": "organiser@oak.example", "password": "no"})
    assert answer.status_code == 429
    assert "Too many tries" in answer.content.decode()


def test_one_group_opens_at_once_and_none_says_whom_to_ask(client, oak, django_user_model):
    oak.sign_in(client)
    assert client.get("/")["Location"] == "/g/oak/"
    loner = django_user_model.objects.create_user("loner@oak.example", PASSWORD)
    client.force_login(loner, backend="django.contrib.auth.backends.ModelBackend")
    assert "no group has you on its list" in client.get("/").content.decode()


def test_a_page_that_is_not_there_is_a_page_for_people(organiser):
    answer = organiser.get("/g/oak/nowhere/")
    assert answer.status_code == 404
    assert "Nothing is here" in answer.content.decode()


def test_no_page_lets_code_in_from_elsewhere(client, oak):
    policy = client.get("/sign-in/")["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy


def test_the_last_organiser_cannot_leave(oak):
    with pytest.raises(ValidationError, match="last organiser"):
        leave(member=oak.organiser)
    leave(member=oak.lead)
    assert oak.lead.ended_on == oak.today


@pytest.mark.parametrize(
    ("role", "words"),
    [
        ("organiser", ["This week", "Yards", "Build days", "Aftercare", "Tally"]),
        ("visitor", ["This week", "Yards", "Build days", "Tally"]),
        ("lead", ["This week", "Yards", "Build days", "Aftercare", "Tally"]),
        ("reader", ["This week", "Tally"]),
        ("helper", ["This week", "Build days"]),
    ],
)
def test_the_menu_offers_only_what_the_door_would_open(client, oak, role, words):
    page = oak.sign_in(client, role).get("/g/oak/").content.decode()
    menu = page[page.index("<nav") : page.index("</nav>")]
    assert [w for w in ["This week", "Yards", "Build days", "Aftercare", "Tally"] if f">{w}<" in menu] == words
