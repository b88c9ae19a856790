"""What we hold on a person can be printed, and what has a date is forgotten by it."""

import datetime
import html
from io import StringIO

import pytest
import time_machine
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import Promise

from conversions.builds.actions import sign_up
from conversions.care.models import FollowUp
from conversions.groups.tenancy import Grouped
from conversions.office import access, held_words
from conversions.people.consents import write_consent
from conversions.people.models import Consent, Document, Event, Person
from conversions.quotes.answers import record_reply
from conversions.visits.actions import add_entries, book_visit, finish_visit
from conversions.yards.models import Conversion, GateCode, Place
from conversions.yards.story import PUT_RIGHT
from tests.builds.rows import make_agreed, make_day, make_patch
from tests.office.test_close_day import as_drawn, close
from tests.rows import make_sent, make_yard

PERSONAL = [m for m in access.apps.get_models() if issubclass(m, Grouped) and m.personal]


def text(answer) -> str:
    return answer.content.decode()


def all_on(client, oak, person) -> str:
    return text(client.get(reverse("person-all", args=["oak", person.pk])))


@pytest.mark.parametrize("model", PERSONAL, ids=lambda m: m.__name__)
def test_from_every_model_with_personal_fields_a_way_leads_to_the_person(oak, model):
    """A new model with personal fields is found by its keys, or has to be written down with its reason."""
    if model.__name__ in access.NOT_THEIRS:
        return
    assert model in access.models_told()
    assert model in access.TITLES, "give it a heading"
    person = make_yard(oak).household.contact
    assert list(access.rows_of(model, person)) is not None


@pytest.mark.parametrize("model", PERSONAL, ids=lambda m: m.__name__)
def test_every_personal_field_has_a_word_of_ours(model):
    for name in model.personal:
        if name in access.UNREAD or not access._is_read(model(), name):
            continue
        given = model._meta.get_field(name)._verbose_name
        assert name in access.WORDS or isinstance(given, Promise), name


def test_the_page_lists_what_every_part_knows(organiser, oak):
    yard = make_yard(oak, wish="Beans, and no more mowing.", note="Dog in the yard", unit="Flat 2")
    person = yard.household.contact
    visit = book_visit(conversion=yard, by=oak.visitor, due_at=timezone.now())
    add_entries(
        visit=visit, by=oak.visitor, entries=[{"question": "sun", "value": {"sun": "3 to 6"}, "as_typed": "till noon"}]
    )
    quote = make_sent(oak)
    GateCode.everywhere.create(group=oak.group, place=yard.place, code="4711#", until_on=oak.today)
    Consent(group=oak.group, person=person, kind="contact", answer="yes", on=oak.today, how="asked",
            notice_version="1", by=oak.organiser).save()  # fmt: skip
    page = all_on(organiser, oak, person)
    for words in ("Ruth Okafor", "000 111 222", "14 Tansy Row", "Flat 2", "Beans, and no more mowing.", "Dog in the yard",
                  "till noon", "4711#", "We may keep their name and number"):  # fmt: skip
        assert words in page, words
    theirs = quote.conversion.household.contact
    record_reply(quote=quote, answer="yes", route="person", name="Ruth's sister", by=oak.organiser, words="Go on")
    page = all_on(organiser, oak, theirs)
    for words in ("Ruth&#x27;s sister", "Go on", "PDF, 1 kB", quote.document.title):
        assert words in page, words


def test_what_a_helper_did_is_listed_for_them_alone(organiser, oak):
    day = make_day(oak)
    helper = sign_up(day=day, name="Wren Abara", phone="000 777 666").person
    page = all_on(organiser, oak, helper)
    assert "Wren Abara" in page and "Build days they helped on" in page
    household = day.day_patches.get().conversion.household.contact
    assert "Wren Abara" not in all_on(organiser, oak, household)
    assert household.name not in page.replace(str(day), "")


def test_notes_of_a_day_at_two_yards_are_told_to_neither_household(organiser, oak):
    other = make_agreed(oak, make_yard(oak, name="Sol Marin", reach="000 333 444", address="2 Upper Fold"))
    yard = make_agreed(oak)
    make_day(oak, yard, other, notes="Mind the dog at number 2")
    assert "Mind the dog" not in all_on(organiser, oak, yard.household.contact)
    make_day(oak, yard, notes="Ring twice")
    assert "Ring twice" in all_on(organiser, oak, yard.household.contact)


def test_another_persons_papers_are_not_among_theirs(oak):
    quote = make_sent(oak)
    stranger = make_yard(oak, name="Sol Marin", reach="000 333 444", address="2 Upper Fold").household.contact
    assert list(access.rows_of(Document, stranger)) == []
    assert list(access.rows_of(Document, quote.conversion.household.contact)) == [quote.document]


def test_a_member_sees_the_account_too(organiser, oak):
    person = Person.everywhere.create(group=oak.group, name="Lead Oak", member=oak.lead)
    assert "lead@oak.example" in all_on(organiser, oak, person)


def test_a_person_of_another_group_is_not_there(organiser, oak, elm):
    person = make_yard(elm).household.contact
    assert organiser.get(reverse("person-all", args=["oak", person.pk])).status_code == 404


def test_a_model_without_a_way_to_a_person_is_an_error_and_not_an_empty_list(oak, monkeypatch):
    monkeypatch.setattr(access, "ways_to_person", lambda model: [])
    with pytest.raises(LookupError, match="no way leads"):
        access.rows_of(Conversion, make_yard(oak).household.contact)


# ---- in words


def test_what_we_found_out_and_did_is_told_in_words_and_without_our_codes(organiser, oak):
    yard = make_yard(oak)
    person = yard.household.contact
    until = oak.today + datetime.timedelta(days=22)
    visit = book_visit(conversion=yard, by=oak.visitor, due_at=timezone.now())
    pipes = {"public": "marked", "own": "none", "until": until.isoformat(), "ticket": "T-881"}
    add_entries(visit=visit, by=oak.visitor, entries=[{"question": "pipes", "value": pipes, "as_typed": ""}])
    finish_visit(visit=visit, by=oak.visitor)
    write_consent(person=person, by=oak.organiser, kind="photo record", answer="yes", how="asked", on=oak.today)
    page = " ".join(html.unescape(all_on(organiser, oak, person)).split())
    for words in (
        "<dd>Ticket number: T-881</dd>",
        f"<dd>Marked until {until.day} {until:%b %Y}</dd>",
        "<dd>Said yes: Pictures of the ground for our record</dd>",
        "<dd>pipes and wires marked</dd>",
    ):
        assert words in page, words
    for code in ("said:", "marked,none", "state: ", "consent-yes", "hold-", "cleared"):
        assert code not in page, code


def test_what_was_seen_at_a_follow_up_is_told_as_it_was_asked(organiser, oak):
    day = make_day(oak)
    as_drawn(oak, day)
    close(oak, day)
    FollowUp.of(oak.group).filter(kind="week 1").update(
        state="done", done_on=oak.today, findings={"grass": "edge", "card": "a little", "plants": "not asked"}
    )
    page = html.unescape(all_on(organiser, oak, day.day_patches.get().conversion.household.contact))
    assert "Is grass coming through?: At the edges; Does cardboard show?: A little" in page
    assert "grass: edge" not in page


def test_a_message_says_what_it_was_about_and_a_day_its_date(organiser, oak):
    quote = make_sent(oak)
    page = all_on(organiser, oak, quote.conversion.household.contact)
    assert "Their plan" in page and "Address: 14 Tansy Row" in page and "number: 1" not in page
    day = make_day(oak, make_agreed(oak, make_yard(oak, address="2 Upper Fold")))
    helper = sign_up(day=day, name="Wren Abara", phone="000 777 666").person
    assert f"<dd>{day.on.day} {day.on:%B %Y}</dd>" in all_on(organiser, oak, helper)


def test_every_word_of_the_history_is_ours(oak):
    for verb in (*Event.VERBS, *PUT_RIGHT):
        words = held_words.happened(Event(group=oak.group, verb=verb))
        assert words and words[0].isupper() and words != verb


def test_the_person_page_says_to_what_they_said_yes(organiser, oak):
    person = make_yard(oak).household.contact
    write_consent(person=person, by=oak.organiser, kind="photo public", answer="no", how="phone", on=oak.today)
    page = text(organiser.get(oak.url(f"people/{person.pk}/")))
    assert "said no: Pictures of the ground shown to others" in page and "something" not in page


# ---- gate codes


def changed(row, **changes) -> dict:
    stands = {"name": "Ruth Okafor", "phone": "000 111 222", "email": "", "route": "phone", "tenure": "own", "unit": "",
              "wish": "", "note": "", "gate_code": "", "gate_until": "", "revision": row.revision,
              "person_revision": row.household.contact.revision}  # fmt: skip
    return stands | changes


def test_a_gate_code_is_shown_on_the_visit_until_its_date_and_nowhere_else(client, oak):
    row = make_yard(oak)
    until = oak.today + datetime.timedelta(days=3)
    oak.sign_in(client, "visitor").post(
        oak.url(f"yards/{row.pk}/edit/"), changed(row, gate_code="4711#", gate_until=until.isoformat())
    )
    visit = book_visit(conversion=row, by=oak.visitor, due_at=timezone.now())
    assert "4711#" in text(client.get(oak.url(f"visits/{visit.pk}/")))
    assert "4711#" not in text(client.get(oak.url(f"yards/{row.pk}/")))
    with time_machine.travel(datetime.datetime.combine(until, datetime.time(12)) + datetime.timedelta(days=1)):
        assert "4711#" not in text(oak.sign_in(client, "visitor").get(oak.url(f"visits/{visit.pk}/")))


@pytest.mark.parametrize(
    ("until", "words"), [("", "Until when do we need the code?"), ("2020-01-01", "That day is over.")]
)
def test_a_code_needs_a_day_to_come_after_which_it_is_forgotten(organiser, oak, until, words):
    row = make_yard(oak)
    page = text(organiser.post(oak.url(f"yards/{row.pk}/edit/"), changed(row, gate_code="4711#", gate_until=until)))
    assert words in page and 'value="4711#"' in page
    assert not GateCode.of(oak.group).exists()


def test_the_night_forgets_codes_past_their_date_by_each_groups_own_calendar(oak, elm):
    elm.group.zone = "Pacific/Auckland"
    elm.group.save()
    with time_machine.travel("2026-05-09T13:00:00Z", tick=False):  # Auckland is at 1 in the morning of the 10th
        for world in (oak, elm):
            place = make_yard(world).place
            GateCode.everywhere.create(group=world.group, place=place, code="1", until_on=datetime.date(2026, 5, 9))
        said = StringIO()
        call_command("nightly", stdout=said)
    assert GateCode.of(oak.group).exists() and not GateCode.of(elm.group).exists()
    assert "elm: gate codes forgotten: 1" in said.getvalue()
    call_command("nightly", stdout=StringIO())
    assert Place.of(elm.group).exists()


def test_a_code_taken_out_is_gone_from_the_visit_at_once_and_from_the_rows_by_night(organiser, oak):
    row = make_yard(oak)
    url, until = oak.url(f"yards/{row.pk}/edit/"), oak.today.isoformat()
    organiser.post(url, changed(row, gate_code="4711#", gate_until=until))
    row.refresh_from_db()
    organiser.post(url, changed(row, gate_code="", gate_until=until))
    assert GateCode.of(oak.group).get().code == ""
    call_command("nightly", stdout=StringIO())
    assert not GateCode.of(oak.group).exists()


def test_ground_without_anybody_tells_nothing_about_a_person(oak):
    patch = make_patch(oak)
    person = make_yard(oak).household.contact
    assert patch.place not in access.rows_of(Place, person)
