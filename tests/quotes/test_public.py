"""The household's page behind a link: read without an account, answered once, human when it is over."""

import datetime
import re

import pytest
import time_machine

from conversions.people.models import Link
from conversions.quotes.answers import record_reply
from conversions.quotes.models import Quote, Reply
from tests.rows import make_kept, make_newer, make_quote, make_sent, make_yard, plan_token

pytestmark = pytest.mark.django_db
UID = "7d9f3c1e-1111-4222-8333-444455556666"


def text(response) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


@pytest.fixture
def sent(oak) -> Quote:
    kept = make_kept(oak, make_yard(oak, wish="I want beans."))
    return make_sent(oak, make_quote(oak, kept), sentence="Here is your plan.")


@pytest.fixture
def door(sent) -> str:
    return f"/p/{plan_token(sent)}/"


def say(client, door, answer="yes", **values):
    return client.post(door, {"uid": UID, "answer": answer, "name": "Ruth Okafor"} | values)


def test_price_day_and_metres_come_before_the_drawing(client, door):
    page = text(client.get(door))
    assert page.index("$277.00") < page.index("we find a day together") < page.index("49.0 m²") < page.index("The plan")
    assert "I want beans." in page and "Here is your plan." in page
    assert "price not set" not in page


def test_the_page_needs_no_account_no_cookie_and_no_script(client, door):
    page = client.get(door)
    assert page.status_code == 200 and not page.cookies
    assert "<script" not in page.content.decode()
    assert 'value="Ruth Okafor"' in page.content.decode()


def test_the_address_is_told_to_nobody(client, door):
    page = client.get(door)
    assert page["Referrer-Policy"] == "no-referrer"
    assert page["Cache-Control"] == "private, no-store"


def test_reading_changes_nothing(client, sent, door):
    before = Quote.of(sent.group).values().get()
    for address in (door, f"{door}plan.pdf"):
        client.get(address)
    assert Quote.of(sent.group).values().get() == before
    assert not Reply.of(sent.group).exists()
    assert Link.of(sent.group).values_list("pk", flat=True).count() == 1


def test_the_paper_behind_the_link_is_byte_for_byte_what_was_sent(client, sent, door):
    page = client.get(f"{door}plan.pdf")
    assert page.content == bytes(sent.document.content)
    assert (page["Content-Type"], page["Referrer-Policy"]) == ("application/pdf", "no-referrer")


def test_yes_is_one_press_and_says_thank_you(client, sent, door):
    page = say(client, door)
    assert page.status_code == 302
    assert "Thank you. You said yes" in text(client.get(door))
    kept = Reply.of(sent.group).get()
    assert (kept.answer, kept.route, kept.counts, kept.by) == ("yes", "link", True, None)


def test_yes_works_from_a_browser_that_hides_where_it_comes_from(sent, door):
    from django.test import Client

    strict = Client(enforce_csrf_checks=True, headers={"origin": "null"})
    assert say(strict, door).status_code == 302


def test_a_double_press_is_one_answer_with_one_thank_you(client, sent, door):
    assert say(client, door).status_code == say(client, door).status_code == 302
    assert Reply.of(sent.group).count() == 1


def test_no_is_fine_too(client, sent, door):
    say(client, door, "no")
    page = text(client.get(door))
    assert "You said no, and that is fine" in page and "Yes, let’s build it" not in page


def test_a_wish_to_talk_is_kept_and_leaves_the_buttons(client, sent, door):
    say(client, door, "talk", days="Saturdays", words="Is there room for a pear?")
    page = text(client.get(door))
    assert "We ring you" in page and "Yes, let’s build it" in page
    assert Reply.of(sent.group).get().words == "Is there room for a pear?"


def test_after_a_yes_a_no_is_not_taken_by_the_page_and_the_phone_is_shown(client, sent, door):
    say(client, door)
    page = say(client, door, "no", uid="7d9f3c1e-1111-4222-8333-444455550000")
    assert page.status_code == 409
    assert Quote.of(sent.group).get().state == "accepted"
    assert "Your press just now was not kept" in text(page)
    assert "Something changed? Ring us" in text(page) and "000 000 000" in text(page)
    assert "was not kept" not in text(client.get(door))


@pytest.mark.parametrize(
    "wrong",
    [{"name": ""}, {"name": "x" * 121}, {"answer": ""}, {"answer": "withdraw"}, {"uid": "x"}, {"days": "x" * 201}],
)
def test_a_bad_answer_keeps_nothing_and_is_never_an_error_page(client, sent, door, wrong):
    page = say(client, door, **({"answer": "yes"} | wrong) if "answer" in wrong else wrong)
    assert page.status_code == 400
    assert not Reply.of(sent.group).exists()


def test_what_was_typed_stays_when_the_name_is_missing(client, door):
    page = say(client, door, name="", words="Is there room for a pear?")
    assert "Is there room for a pear?" in page.content.decode()
    assert b'id="id_name_error"' in page.content and "Write your name" in page.content.decode()


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("replaced", "This plan is out of date"),
        ("withdrawn", "This plan was taken back"),
        ("expired", "This plan has run out"),
    ],
)
def test_a_version_that_is_over_is_a_human_page_and_takes_no_answer(client, sent, door, state, words):
    Quote.of(sent.group).update(state=state)
    page = client.get(door)
    assert words in text(page) and "000 000 000" in text(page)
    assert b"<form" not in page.content
    assert say(client, door).status_code == 409
    assert not Reply.of(sent.group).exists()


def test_a_plan_that_ran_out_last_night_takes_no_answer(client, sent, door):
    late = datetime.datetime.combine(sent.valid_until, datetime.time(12), datetime.UTC) + datetime.timedelta(days=1)
    with time_machine.travel(late):
        assert "This plan has run out" in text(client.get(door))
        assert say(client, door).status_code == 409
    assert not Reply.of(sent.group).exists()


def test_a_replaced_plan_tells_of_the_newer_one_and_does_not_give_its_link(client, oak, sent, door):
    newer = make_sent(oak, make_newer(oak, sent))
    page = client.get(door)
    assert "There is a newer plan" in text(page)
    assert plan_token(newer) not in page.content.decode()


def test_the_page_says_which_earlier_plan_it_replaces(client, oak, sent):
    newer = make_sent(oak, make_newer(oak, sent))
    assert "It takes the place of the one of" in text(client.get(f"/p/{plan_token(newer)}/"))


def test_an_answer_told_to_the_organiser_shows_on_the_page(client, oak, sent, door):
    record_reply(quote=sent, answer="yes", route="slip", name="Ife Okafor", by=oak.organiser)
    assert "Ife Okafor said yes" in text(client.get(door))


@pytest.mark.parametrize("token", ["1", "1.", "x.y", "999999.abc", "9" * 30 + ".abc", "%00", "1.é"])
def test_an_unknown_link_is_a_human_page_with_a_phone(client, sent, token):
    page = client.get(f"/p/{token}/")
    assert page.status_code == 404
    assert "This link no longer opens" in text(page) and "000 000 000" in text(page)


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_link_taken_back_or_run_out_opens_neither_page_nor_paper(client, sent, door, method):
    hour = datetime.timedelta(hours=1)
    now = datetime.datetime.now(datetime.UTC)
    for field in ("revoked_at", "expires_at"):
        Link.of(sent.group).update(revoked_at=None, expires_at=None)
        Link.of(sent.group).update(**{field: now - hour})
        page = getattr(client, method)(door, {"uid": UID, "answer": "yes", "name": "Ruth"})
        assert page.status_code == 410
        assert "Oak Street Growers" in text(page) and "000 000 000" in text(page)
        assert client.get(f"{door}plan.pdf").status_code == 410
    assert not Reply.of(sent.group).exists()


def test_a_link_for_another_purpose_does_not_open_a_plan(client, sent):
    from conversions.people import links

    other = links.make("care", "quote", sent)
    assert client.get(f"/p/{links.token(other)}/").status_code == 404
