"""What has happened at a yard, as its page tells it: slips put right, and what the household was told."""

import datetime
import html
import re

import pytest
from django.utils import timezone, translation

from conversions.builds.roster import sign_up
from conversions.groups.models import Member
from conversions.office.undo import reopen_day
from conversions.people import outbox
from conversions.people.history import note_event
from conversions.people.models import Message, Person
from conversions.yards.holds import note_marks, open_hold, settle
from conversions.yards.models import Hold
from conversions.yards.steps import with_rows
from conversions.yards.story import PUT_RIGHT, story
from tests.builds.rows import make_day
from tests.office.test_close_day import as_drawn, close
from tests.rows import make_sent, make_yard

VERBS = {
    "enquiry-taken-back": "A second enquiry was taken back",
    "reply-taken-back": "An answer was taken back",
    "day-reopened": "The build day was opened again",
}


def page_of(client, world, yard) -> str:
    page = html.unescape(client.get(world.url(f"yards/{yard.pk}/")).content.decode())
    return re.sub(r"\s+", " ", page[page.index('class="log"') :])


def told(world, yard, **more) -> list[str]:
    return [
        row.words
        for row in story(with_rows(type(yard).of(world.group), world.group).get(pk=yard.pk), world.today, **more)
    ]


def make_message(world, yard, route="phone", **values) -> Message:
    contact = yard.household.contact
    Person.of(world.group).filter(pk=contact.pk).update(route=route)
    contact.refresh_from_db()
    values = {"key": f"quote-sent:{yard.pk}", "kind": "quote-sent", "conversion": yard} | values
    return outbox.queue(person=contact, by=world.organiser, **values)


@pytest.mark.parametrize(("verb", "words"), VERBS.items())
def test_a_slip_put_right_is_told_in_words_with_its_reason_and_who_did_it(organiser, oak, verb, words):
    yard = make_yard(oak)
    note_event(group=oak.group, verb=verb, by=oak.visitor, words="by mistake", conversion=yard)
    page = page_of(organiser, oak, yard)
    assert f"<h3>{words}</h3>" in page and "by mistake (Visitor Oak)" in page and verb not in page


def test_a_day_opened_again_stands_in_the_story_of_its_yard(organiser, oak):
    day = make_day(oak)
    as_drawn(oak, day)
    closed = close(oak, day)
    reopen_day(day=closed, by=oak.organiser, revision=closed.revision, reason="one patch was missing")
    page = page_of(organiser, oak, day.day_patches.get().conversion)
    assert "The build day was opened again" in page and "one patch was missing (Organiser Oak)" in page


@pytest.mark.parametrize("verb", PUT_RIGHT)
def test_every_event_of_a_yard_is_told_in_words_and_not_by_its_code(organiser, oak, verb):
    yard = make_yard(oak)
    note_event(group=oak.group, verb=verb, by=oak.visitor, conversion=yard)
    page = page_of(organiser, oak, yard)
    assert f"<h3>{PUT_RIGHT[verb]}</h3>" in page and f"<h3>{verb}</h3>" not in page


def test_an_email_that_went_is_told_on_its_day(organiser, oak, settings):
    settings.EMAIL_HOST = "mail.oak.example"
    yard = make_yard(oak, reach="ruth@oak.example")
    row = make_message(oak, yard, "email")
    Message.of(oak.group).filter(pk=row.pk).update(state="sent", done_at=timezone.now())
    assert "Their plan: sent by e-mail" in told(oak, yard)
    on = timezone.localtime(timezone.now())
    assert f"{on:%a} {on.day} {on:%b}</time><h3><a" in page_of(organiser, oak, yard)


@pytest.mark.parametrize(
    ("route", "words"),
    [
        ("phone", "Their plan: rung by Lead Oak"),
        ("text", "Their plan: text message sent by Lead Oak"),
        ("post", "Their plan: letter sent by Lead Oak"),
        ("door", "Their plan: told at the door by Lead Oak"),
    ],
)
def test_who_told_them_by_hand_is_named_with_the_way(oak, route, words):
    yard = make_yard(oak)
    outbox.note_done(message=make_message(oak, yard, route), by=oak.lead, outcome="glad")
    assert words in told(oak, yard)


def test_what_nobody_has_told_yet_is_no_story(oak):
    yard = make_yard(oak)
    make_message(oak, yard)
    assert not [words for words in told(oak, yard) if words.startswith("Their plan")]


def test_in_a_group_of_one_nobody_is_named(organiser, oak):
    yard = make_yard(oak)
    outbox.note_done(message=make_message(oak, yard), by=oak.organiser, outcome="")
    note_event(group=oak.group, verb="reply-taken-back", by=oak.organiser, words="wrong person", conversion=yard)
    assert "Organiser Oak" in page_of(organiser, oak, yard)
    Member.of(oak.group).exclude(pk=oak.organiser.pk).update(ended_on=oak.today)
    page = page_of(organiser, oak, yard)
    assert "Organiser Oak" not in page and "Their plan: rung<" in page and "wrong person" in page


def test_of_a_build_day_only_what_went_to_the_household_is_told(oak):
    day = make_day(oak)
    yard = day.day_patches.get().conversion
    helper = sign_up(day=day, name="Wren Abara", phone="000 777 666").person
    for person in (yard.household.contact, helper):
        row = outbox.queue(key=f"day-moved:{person.pk}", kind="day-moved", person=person, day=day, route="phone")
        outbox.note_done(message=row, by=oak.lead, outcome="")
    assert told(oak, yard).count("The build day moves: rung by Lead Oak") == 1


def test_what_another_yard_was_told_stays_there(oak):
    one, other = make_yard(oak), make_yard(oak, name="Sol Marin", reach="000 555 66", address="2 Upper Fold")
    outbox.note_done(message=make_message(oak, one), by=oak.lead, outcome="")
    assert "Their plan: rung by Lead Oak" not in told(oak, other)


def test_a_sent_quote_tells_first_that_it_was_made_and_then_that_they_know(oak):
    quote = make_sent(oak)
    row = Message.of(oak.group).get(kind="quote-sent")
    outbox.note_done(message=row, by=oak.organiser, outcome="")
    words = told(oak, quote.conversion)
    assert words.index("Their plan: rung by Organiser Oak") < words.index("Quote sent")  # newest first


def test_marks_are_told_with_the_day_they_are_good_until_and_are_never_cleared(organiser, oak):
    yard = make_yard(oak)
    until = oak.today + datetime.timedelta(days=20)
    for state, ends in (("asked", None), ("marked", until - datetime.timedelta(days=9)), ("marked", until)):
        note_marks(conversion=yard, by=oak.lead, state=state, until=ends, ticket="T-881")
    page = page_of(organiser, oak, yard)
    assert f"<h3>Marked until {until.day} {until:%b %Y}</h3><p>pipes and wires marked (Lead Oak)</p>" in page
    assert page.count("Marked until") == 1, "of the older marks no end is known any more"
    whole = html.unescape(organiser.get(oak.url(f"yards/{yard.pk}/")).content.decode())
    hold = html.unescape(organiser.get(oak.url(f"holds/{Hold.of(oak.group).get().pk}/")).content.decode())
    for said in (whole, hold):
        assert f"Marked until {until.day} {until:%b %Y}." in said and "Cleared" not in said and ">cleared" not in said


def test_a_yes_of_others_says_what_it_is(organiser, oak):
    yard = make_yard(oak)
    row = open_hold(conversion=yard, kind="owner", by=oak.organiser)
    until = oak.today + datetime.timedelta(days=200)
    settle(
        hold=row, revision=row.revision, by=oak.organiser, state="cleared", facts={"seen_by": "V."}, valid_until=until
    )
    page = html.unescape(organiser.get(oak.url(f"yards/{yard.pk}/")).content.decode())
    assert f"The owner signed, until {until.day} {until:%b %Y}." in page and "<h3>The owner signed</h3>" in page


def test_what_was_waited_for_is_told_in_the_language_of_the_reader(oak):
    yard = make_yard(oak)
    note_marks(conversion=yard, by=oak.lead, state="marked", until=oak.today, ticket="T-881")
    with translation.override("es"):
        rows = story(with_rows(type(yard).of(oak.group), oak.group).get(pk=yard.pk), oak.today)
        row = next(row for row in rows if row.icon == "undo")
        assert row.note == f"{dict(Hold.KINDS)['marks']} (Lead Oak)" and "pipes" not in row.note
