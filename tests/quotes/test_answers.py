"""Who may answer what, and how: the slip that was cut from another plan, consents one by one, an old phone."""

import datetime

import pytest
from django.db import IntegrityError, transaction

from conversions.people.consents import allows, standing
from conversions.people.models import Consent, Link
from conversions.quotes.answers import Refused, record_reply
from conversions.quotes.forms import ASKED_HERE
from conversions.quotes.models import Quote, Reply
from tests.rows import make_newer, make_sent, plan_token

from .test_lines import text
from .test_pages import reply
from .test_public import UID, say

pytestmark = pytest.mark.django_db


@pytest.fixture
def two(oak):
    """A yard whose first plan was replaced by a second one."""
    first = make_sent(oak)
    return first, make_sent(oak, make_newer(oak, first))


# ---- a slip for version 1 cannot accept version 2


def test_a_slip_cut_from_the_first_plan_does_not_accept_the_second_and_offers_to_ring(organiser, oak, two):
    first, second = two
    page = organiser.post(oak.url(f"quotes/{second.pk}/reply/"), reply(oak, route="slip", slip_of=first.pk))
    words = text(page)
    assert "That slip was cut from another plan" in words
    assert "Ring Ruth Okafor on 000 111 222: tell them what changed, and ask again." in words
    assert (Quote.of(oak.group).get(pk=second.pk).state, Reply.of(oak.group).count()) == ("sent", 0)


def test_a_slip_that_names_no_plan_is_asked_about_where_there_were_two(organiser, oak, two):
    page = organiser.post(oak.url(f"quotes/{two[1].pk}/reply/"), reply(oak, route="slip"))
    assert b'id="id_slip_of_error"' in page.content
    assert not Reply.of(oak.group).exists()


def test_the_slip_of_the_plan_that_holds_is_taken(organiser, oak, two):
    organiser.post(oak.url(f"quotes/{two[1].pk}/reply/"), reply(oak, route="slip", slip_of=two[1].pk))
    assert Quote.of(oak.group).get(pk=two[1].pk).state == "accepted"


def test_where_there_was_one_plan_nobody_is_asked_which(organiser, oak):
    assert b"slip_of" not in organiser.get(oak.url(f"quotes/{make_sent(oak).pk}/")).content


def test_the_page_of_a_replaced_plan_says_that_its_slip_cannot_count_and_whom_to_ring(organiser, oak, two):
    page = text(organiser.get(oak.url(f"quotes/{two[0].pk}/")))
    assert "A slip for this one came in? It cannot count. Ring Ruth Okafor on 000 111 222" in page


@pytest.mark.parametrize("route", ["slip", "phone", "person", "link"])
def test_no_way_of_answering_accepts_a_replaced_plan(oak, two, route):
    first, second = two
    link = Link.of(oak.group).get(subject_id=first.pk) if route == "link" else None
    by = None if link else oak.organiser
    with pytest.raises(Refused):
        record_reply(quote=first, answer="yes", route=route, name="Ruth", by=by, link=link, witness="Mina")
    states = dict(Quote.of(oak.group).values_list("pk", "state"))
    assert states == {first.pk: "replaced", second.pk: "sent"}


# ---- the database itself keeps to one of each


@pytest.mark.parametrize("state", ["draft", "sent", "accepted"])
def test_the_database_refuses_a_second_version_in_the_same_state(oak, two, state):
    first, second = two
    Quote.of(oak.group).filter(pk=first.pk).update(state=state if state != "sent" else "replaced")
    with pytest.raises(IntegrityError), transaction.atomic():
        Quote.of(oak.group).filter(pk__in=[first.pk, second.pk]).update(state=state)


# ---- consents, one by one


def test_each_answer_to_a_question_is_a_row_of_its_own_and_silence_is_a_no(client, oak):
    sent = make_sent(oak)
    say(client, f"/p/{plan_token(sent)}/", allow_photo_public="yes", allow_share_name="no")
    person = sent.conversion.household.contact
    rows = {(row.kind, row.answer, row.how, row.by) for row in Consent.of(oak.group)}
    assert rows == {("photo public", "yes", "link", None), ("share name", "no", "link", None)}
    assert (allows(person, "photo public"), allows(person, "share name"), allows(person, "future")) == (
        True,
        False,
        False,
    )
    assert next(one for one in standing(person) if one.kind == "future").now is None


def test_none_of_the_questions_is_answered_beforehand(client, oak):
    page = client.get(f"/p/{plan_token(make_sent(oak))}/").content.decode()
    assert all(f'name="{name}"' in page for name in ASKED_HERE)
    assert "checked" not in page


def test_a_double_press_writes_each_consent_once(client, oak):
    door = f"/p/{plan_token(make_sent(oak))}/"
    for _press in range(2):
        say(client, door, allow_future="yes")
    assert Consent.of(oak.group).count() == 1


def test_an_answer_that_is_refused_leaves_no_consent(client, oak, two):
    assert say(client, f"/p/{plan_token(two[0])}/", allow_future="yes").status_code == 409
    assert not Consent.of(oak.group).exists()


def test_what_they_allowed_on_their_page_shows_on_the_persons_page(organiser, client, oak):
    sent = make_sent(oak)
    say(client, f"/p/{plan_token(sent)}/", allow_future="yes")
    page = text(organiser.get(oak.url(f"people/{sent.conversion.household.contact_id}/")))
    assert "on their own page" in page


# ---- an old phone, and days that suit


def test_days_that_suit_are_kept_with_the_answer_and_shown_to_the_organiser(organiser, client, oak):
    sent = make_sent(oak)
    say(client, f"/p/{plan_token(sent)}/", days="Saturdays, not in August")
    assert Reply.of(oak.group).get().days == "Saturdays, not in August"
    assert "Days: Saturdays, not in August" in text(organiser.get(oak.url(f"quotes/{sent.pk}/")))


def test_the_whole_page_is_small_enough_for_an_old_phone(client, oak):
    page = client.get(f"/p/{plan_token(make_sent(oak))}/").content
    # the drawings are in it, and nothing else is fetched but the style sheet; 2G carries about 5 kB a second
    assert len(page) < 150_000
    assert b"<script" not in page and b"<img" not in page and b"<iframe" not in page


@pytest.mark.parametrize("answer", ["yes", "no", "talk"])
def test_each_of_the_three_answers_is_one_plain_button_of_one_plain_form(client, oak, answer):
    page = client.get(f"/p/{plan_token(make_sent(oak))}/").content.decode()
    assert page.count('<form class="flow" method="post"') == 1
    assert page.count(f'name="answer" value="{answer}"') == 1


def test_an_expired_link_shows_a_human_page_with_a_phone_number(client, oak):
    sent = make_sent(oak)
    Link.of(oak.group).update(expires_at=datetime.datetime.now(datetime.UTC) - datetime.timedelta(hours=1))
    page = client.get(f"/p/{plan_token(sent)}/")
    assert page.status_code == 410
    assert "000 000 000" in text(page)
    assert UID not in text(page)
