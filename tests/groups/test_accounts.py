"""Passwords, dusk, several groups, and what a signed-in page tells the browser to keep."""

import re

import pytest
from django.conf import settings as live
from django.core import mail
from django.core.cache import cache

from conversions.groups.actions import sign_out_everywhere
from conversions.groups.models import Member, User

PASSWORD = "a long enough password"
OTHER = "three words in a row"


@pytest.fixture(autouse=True)
def empty_counters():
    cache.clear()


def way_in_the_mail() -> str:
    return re.search(r"http://testserver(/password/new/\S+)", mail.outbox[-1].body)[1]


def test_a_password_is_changed_by_who_knows_the_old_one(client, oak):
    other = type(client)()
    oak.sign_in(client), oak.sign_in(other)
    wrong = client.post("/password/", {"old_password": "no", "new_password1": OTHER, "new_password2": OTHER})
    assert "not the password you have now" in wrong.content.decode()
    client.post("/password/", {"old_password": PASSWORD, "new_password1": OTHER, "new_password2": OTHER})
    assert User.objects.get(pk=oak.organiser.user_id).check_password(OTHER)
    assert client.get("/g/oak/").status_code == 200, "this phone stays signed in"
    assert other.get("/g/oak/")["Location"].startswith("/sign-in/"), "every other one does not"


def test_two_passwords_that_differ_are_refused_in_words(client, oak):
    oak.sign_in(client)
    page = client.post("/password/", {"old_password": PASSWORD, "new_password1": OTHER, "new_password2": OTHER + "!"})
    assert "The two are not the same" in page.content.decode()


def test_a_forgotten_password_is_chosen_anew_behind_a_link_that_opens_once(client, oak):
    assert client.post("/password/forgotten/", {"email": "Lead@OAK.example"})["Location"] == "/password/forgotten/sent/"
    assert mail.outbox[-1].to == ["lead@oak.example"]
    assert "Hello Lead Oak" in mail.outbox[-1].body
    at = client.get(way_in_the_mail())["Location"]
    answer = client.post(at, {"new_password1": OTHER, "new_password2": OTHER}, follow=True)
    assert answer.redirect_chain[-1][0] == "/g/oak/"
    again = client.get(way_in_the_mail(), follow=True)
    assert "This link no longer opens" in again.content.decode()


def test_an_unknown_e_mail_gets_the_same_answer_and_no_mail(client, oak):
    known = client.post("/password/forgotten/", {"email": "lead@oak.example"}, follow=True)
    sent = len(mail.outbox)
    unknown = client.post("/password/forgotten/", {"email": "nobody@oak.example"}, follow=True)
    assert len(mail.outbox) == sent
    assert (known.status_code, known.redirect_chain) == (unknown.status_code, unknown.redirect_chain)
    assert known.content == unknown.content


def test_one_e_mail_is_written_to_five_times_an_hour_at_most(client, oak):
    for _time in range(7):
        client.post("/password/forgotten/", {"email": "lead@oak.example"})
    assert len(mail.outbox) == 5


def test_the_link_uses_the_operators_own_address(client, oak, settings):
    settings.BASE_URL = "https://garden.example"
    client.post("/password/forgotten/", {"email": "lead@oak.example"})
    assert "https://garden.example/password/new/" in mail.outbox[-1].body


def test_without_a_mail_server_the_message_lies_as_a_file_and_the_page_says_so(client, oak, settings, tmp_path):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = tmp_path
    settings.EMAIL_HOST = ""
    assert "sends no mail yet" in client.get("/password/forgotten/").content.decode()
    page = client.post("/password/forgotten/", {"email": "lead@oak.example"}, follow=True).content.decode()
    assert "var/mail" in page
    assert "/password/new/" in next(tmp_path.iterdir()).read_text()
    settings.EMAIL_HOST = "mail.example"
    assert "sends no mail yet" not in client.get("/password/forgotten/").content.decode()


def test_a_locked_account_is_not_opened_by_guessing_on(client, oak):
    for _try in range(5):
        client.post("/sign-in/", {"username": "lead@oak.example", "password": "no"})
    for typed in ("lead@oak.example", "Lead@Oak.example", " lead@oak.example"):
        answer = client.post("/sign-in/", {"username": typed, "password": PASSWORD})
        assert answer.status_code == 429, "the right password, found by guessing, opens nothing either"


def test_a_locked_account_holds_out_one_person_from_one_address_only(client, oak):
    for _try in range(5):
        client.post("/sign-in/", {"username": "lead@oak.example", "password": "no"})
    other = {"username": "visitor@oak.example", "password": PASSWORD}
    assert client.post("/sign-in/", other)["Location"] == "/"
    client.logout()
    mine = {"username": "lead@oak.example", "password": PASSWORD}
    assert client.post("/sign-in/", mine, REMOTE_ADDR="192.0.2.7")["Location"] == "/"


def test_a_new_password_by_mail_opens_the_lock(client, oak):
    for _try in range(5):
        client.post("/sign-in/", {"username": "lead@oak.example", "password": "no"})
    client.post("/password/forgotten/", {"email": "lead@oak.example"})
    at = client.get(way_in_the_mail())["Location"]
    client.post(at, {"new_password1": OTHER, "new_password2": OTHER})
    client.logout()
    assert client.post("/sign-in/", {"username": "lead@oak.example", "password": OTHER})["Location"] == "/"


def test_a_new_round_ends_every_session_of_one_person_only(client, oak):
    other = type(client)()
    oak.sign_in(client, "lead"), oak.sign_in(other, "visitor")
    sign_out_everywhere(user=oak.lead.user)
    assert client.get("/g/oak/")["Location"].startswith("/sign-in/")
    assert other.get("/g/oak/").status_code == 200


def test_dusk_is_chosen_kept_and_taken_back(client, oak):
    oak.sign_in(client)
    assert "data-theme" not in client.get("/g/oak/").content.decode()
    assert client.post("/look/", {"look": "dusk", "back": "/g/oak/tally/"})["Location"] == "/g/oak/tally/"
    assert '<html lang="en" data-theme="dusk">' in client.get("/g/oak/").content.decode()
    client.post("/look/", {"look": "light", "back": "/g/oak/"})
    assert "data-theme" not in client.get("/g/oak/").content.decode()


@pytest.mark.parametrize("back", ["https://elsewhere.example/", "//elsewhere.example", "javascript:1", ""])
def test_choosing_dusk_leads_to_no_other_site(client, oak, back):
    oak.sign_in(client)
    assert client.post("/look/", {"look": "dusk", "back": back})["Location"] == "/"


def test_a_made_up_look_reaches_no_page(client, oak):
    oak.sign_in(client)
    client.cookies["look"] = '"><b>'
    assert "<b>" not in client.get("/g/oak/").content.decode().split("<head>")[0]


def test_somebody_in_two_groups_switches_in_the_menu_and_finds_both_at_the_start(client, oak, elm):
    Member(group=elm.group, user=oak.lead.user, is_reader=True).save()
    oak.sign_in(client, "lead")
    assert 'href="/g/elm/"' in client.get("/g/oak/").content.decode()
    assert 'href="/g/oak/"' in client.get("/g/elm/").content.decode()
    start = client.get("/").content.decode()
    assert "Oak Street Growers" in start and "Elm Row Growers" in start


def test_a_group_that_was_left_is_offered_nowhere(client, oak, elm):
    Member(group=elm.group, user=oak.lead.user, ended_on=elm.today).save()
    oak.sign_in(client, "lead")
    assert "/g/elm/" not in client.get("/g/oak/").content.decode()
    assert client.get("/")["Location"] == "/g/oak/"


def test_no_proxy_keeps_a_page_of_a_group(client, oak):
    oak.sign_in(client)
    assert client.get("/g/oak/")["Cache-Control"] == "private, no-cache"
    assert "private" in client.get("/password/")["Cache-Control"]


def test_every_answer_carries_the_guarding_headers(client, oak):
    for answer in (client.get("/sign-in/"), oak.sign_in(client).get("/g/oak/"), client.get("/nowhere/")):
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert answer["X-Frame-Options"] == "DENY"
        assert answer["Cross-Origin-Opener-Policy"] == "same-origin"
        assert "frame-ancestors 'none'" in answer["Content-Security-Policy"]
    client.logout()
    client.post("/sign-in/", {"username": "lead@oak.example", "password": PASSWORD})
    cookie = client.cookies[live.SESSION_COOKIE_NAME]
    assert cookie["httponly"] and cookie["samesite"] == "Lax"
