"""What people allow, what we know of them, and the pages where both are written down."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from conversions.groups.tenancy import Stale
from conversions.people import consents, outbox
from conversions.people.actions import change_person
from conversions.people.models import Consent, Event, Message, Person
from tests.people.test_outbox import make_person
from tests.rows import make_sent, make_yard

pytestmark = pytest.mark.django_db


def say(oak, person, answer, kind="photo public", on=None, how="asked"):
    return consents.write_consent(
        person=person, by=oak.visitor, kind=kind, answer=answer, how=how, on=on or oak.group.today()
    )


# ---- consents


def test_not_asked_is_no(oak):
    assert not consents.allows(make_person(oak), "photo public")
    assert [one.now for one in consents.standing(make_person(oak))] == [None] * len(Consent.KINDS)


def test_one_yes_says_nothing_about_another_question(oak):
    person = make_person(oak)
    say(oak, person, "yes")
    assert consents.allows(person, "photo public")
    assert not consents.allows(person, "people in photo")


def test_a_later_no_holds_and_the_yes_before_it_stays_written(oak):
    person = make_person(oak)
    yes = say(oak, person, "yes")
    say(oak, person, "no")
    assert not consents.allows(person, "photo public")
    row = next(one for one in consents.standing(person) if one.kind == "photo public")
    assert (row.now.answer, row.before) == ("no", [yes])


def test_the_answer_of_the_later_day_holds_in_whatever_order_they_were_typed(oak):
    person, today = make_person(oak), oak.group.today()
    say(oak, person, "no", on=today)
    say(oak, person, "yes", on=today - datetime.timedelta(days=30))
    assert not consents.allows(person, "photo public")


def test_an_answer_is_never_changed_and_names_its_notice(oak):
    row = say(oak, make_person(oak), "yes")
    assert row.notice_version in consents.NOTICES
    row.answer = "no"
    with pytest.raises(TypeError):
        row.save()


def test_every_question_has_its_words():
    assert set(consents.QUESTIONS) == {kind for kind, _words in Consent.KINDS}


def test_the_consent_form_has_no_answer_ticked_and_refuses_none(oak, organiser):
    person = make_person(oak)
    page = organiser.get(oak.url(f"people/{person.pk}/")).content.decode()
    assert "Not asked" in page and "checked" not in page
    answer = organiser.post(
        oak.url(f"people/{person.pk}/consents/"), {"kind": "contact", "how": "asked", "on": oak.today}
    )
    assert answer.status_code == 400
    assert not Consent.of(oak.group).exists()


def test_a_consent_is_written_on_the_page_and_stands_there(oak, client):
    person = make_person(oak)
    oak.sign_in(client, "visitor")
    typed = {"kind": "photo record", "answer": "yes", "how": "paper", "on": oak.today.isoformat()}
    page = client.post(oak.url(f"people/{person.pk}/consents/"), typed, follow=True).content.decode()
    assert "signed on paper" in page and "notice 1" in page
    row = Consent.of(oak.group).get()
    assert (row.answer, row.how, row.on, row.by) == ("yes", "paper", oak.today, oak.visitor)


def test_a_day_to_come_is_refused(oak, organiser):
    person = make_person(oak)
    typed = {"kind": "contact", "answer": "yes", "how": "asked", "on": oak.today + datetime.timedelta(days=1)}
    assert organiser.post(oak.url(f"people/{person.pk}/consents/"), typed).status_code == 400


# ---- people


def test_a_change_is_told_by_field_and_tells_no_personal_value(oak):
    person = make_person(oak)
    change_person(person=person, revision=1, by=oak.visitor, phone="000 999 888", large_print=True)
    event = Event.of(oak.group).get(verb="person-changed")
    assert event.changed == {"phone": [], "large_print": [False, True]}
    assert event.told == "changed: large print, phone"
    assert Person.of(oak.group).filter(search__contains="000999888").exists()


def test_the_second_of_two_who_change_a_person_sees_both_and_may_keep_theirs(oak, organiser):
    person = make_person(oak)
    form = {"name": "Ada Quill", "route": "phone", "phone": "1 234 567", "revision": 1}
    change_person(person=person, revision=1, by=oak.visitor, phone="000 999 888")
    answer = organiser.post(oak.url(f"people/{person.pk}/edit/"), form)
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "000 999 888" in page and "1 234 567" in page
    answer = organiser.post(oak.url(f"people/{person.pk}/edit/"), form | {"revision": 2})
    assert answer.status_code == 302
    person.refresh_from_db()
    assert (person.phone, person.route, person.revision) == ("1 234 567", "phone", 3)


def test_changing_a_yard_makes_an_older_page_of_its_person_stale(oak, organiser):
    yard = make_yard(oak)
    form = {"name": "Ruth Okafor", "phone": "000 5", "route": "phone", "tenure": "own"}
    form |= {"revision": yard.revision, "person_revision": 1}
    assert organiser.post(oak.url(f"yards/{yard.pk}/edit/"), form).status_code == 302
    with pytest.raises(Stale):
        change_person(person=yard.household.contact, revision=1, by=oak.visitor, name="Ruth")


def test_a_route_needs_its_number_or_address(oak, organiser):
    person = make_person(oak)
    form = {"name": "Ada Quill", "route": "text", "revision": 1}
    page = organiser.post(oak.url(f"people/{person.pk}/edit/"), form).content.decode()
    assert "Needed, if that is how they like to be reached." in page


def test_a_broken_person_is_not_saved(oak):
    with pytest.raises(ValidationError):
        change_person(person=make_person(oak), revision=1, by=oak.visitor, email="nonsense")


def test_the_list_of_people_takes_as_many_queries_for_many_as_for_few(oak, organiser, django_assert_num_queries):
    make_yard(oak)
    with django_assert_num_queries(9):
        organiser.get(oak.url("people/"))
    for n in range(12):
        make_yard(oak, name=f"N{n}", reach=f"000 222 10{n}", address=f"{n} Quarry Steps")
    with django_assert_num_queries(9):
        organiser.get(oak.url("people/"))


# ---- the pages of the outbox


def test_who_has_no_number_is_shown_as_such(oak, organiser):
    person = make_person(oak, route="phone", phone="")
    outbox.queue(key="k", kind="day-off", person=person, values={"on": "2026-05-09", "place": "14 Tansy Row"})
    assert "No number is known." in organiser.get(oak.url("messages/")).content.decode()


def test_telling_somebody_by_phone_from_the_quote_to_the_end_of_the_list(oak, organiser):
    quote = make_sent(oak)
    row = Message.of(oak.group).get()
    assert "What to say" in organiser.get(oak.url(f"quotes/{quote.pk}/")).content.decode()
    page = organiser.get(oak.url(f"messages/{row.pk}/")).content.decode()
    assert "Hello, is this Ruth Okafor?" in page and 'href="tel:000111222"' in page
    done = oak.url(f"messages/{row.pk}/done/")
    page = organiser.post(done, {"do": "no answer", "words": "engaged"}, follow=True).content.decode()
    assert "No answer on" in page and "engaged" in page
    page = organiser.post(done, {"do": "done", "words": "She will read it"}, follow=True).content.decode()
    assert "Nobody waits to be told." in page and "She will read it" in page


def test_a_lead_sees_no_message_about_a_quote(oak, client):
    make_sent(oak)
    row = Message.of(oak.group).get()
    oak.sign_in(client, "lead")
    assert client.get(oak.url(f"messages/{row.pk}/")).status_code == 404
    assert "Ruth Okafor" not in client.get(oak.url("messages/")).content.decode()


def test_the_test_message_goes_to_whoever_asks_and_the_page_says_what_came_of_it(oak, organiser, mailoutbox, settings):
    settings.EMAIL_HOST = "mail.oak.example"
    page = organiser.post(oak.url("messages/test/"), follow=True).content.decode()
    assert [mail.to for mail in mailoutbox] == [["organiser@oak.example"]]
    assert "Told on" in page


def test_without_a_mail_server_the_test_page_says_so(oak, organiser):
    assert "No mail server is set" in organiser.get(oak.url("messages/test/")).content.decode()
    page = organiser.post(oak.url("messages/test/"), follow=True).content.decode()
    assert "it lies as a file" in page


# ---- a parent answers for a child


def said_by(oak, parent, **values) -> dict:
    today = oak.group.today().isoformat()
    return {"kind": "people in photo", "answer": "yes", "how": "asked", "on": today} | values


def test_a_parents_yes_is_kept_with_the_child_and_who_gave_it(organiser, oak):
    parent, child = make_person(oak), make_person(oak, name="Bo Okafor", under_18=True)
    to = oak.url(f"people/{parent.pk}/consents/")
    assert organiser.post(to, said_by(oak, parent, child=child.pk)).status_code == 302
    row = Consent.of(oak.group).get()
    assert (row.person, row.child, row.answer, row.by) == (parent, child, "yes", oak.organiser)
    page = organiser.get(oak.url(f"people/{parent.pk}/")).content.decode()
    assert "For their children" in page and "Bo Okafor" in page and f"said by {parent}" in page


def test_a_yes_for_a_child_is_no_yes_for_the_parent(oak):
    parent, child = make_person(oak), make_person(oak, name="Bo Okafor", under_18=True)
    say_for = {"kind": "people in photo", "answer": "yes", "how": "asked", "on": oak.group.today()}
    consents.write_consent(person=parent, by=oak.visitor, child=child, **say_for)
    assert not consents.allows(parent, "people in photo")
    assert [one.now for one in consents.standing(parent)] == [None] * len(Consent.KINDS)
    assert [row.child for row in consents.of_children(parent)] == [child]


def test_a_later_no_for_the_child_holds(oak):
    parent, child = make_person(oak), make_person(oak, name="Bo Okafor", under_18=True)
    for answer in ("yes", "no"):
        said = {"kind": "people in photo", "answer": answer, "how": "asked", "on": oak.group.today()}
        consents.write_consent(person=parent, by=oak.visitor, child=child, **said)
    assert [row.answer for row in consents.of_children(parent)] == ["no"]


def test_a_child_nobody_wrote_down_is_named_by_the_parents_answer(organiser, oak):
    parent = make_person(oak)
    to = oak.url(f"people/{parent.pk}/consents/")
    organiser.post(to, said_by(oak, parent, child_name="Ida"))
    child = Consent.of(oak.group).get().child
    assert (child.name, child.under_18, child.phone) == ("Ida", True, "")


def test_a_child_chosen_and_another_named_is_asked_about_beside_the_field(organiser, oak):
    parent, child = make_person(oak), make_person(oak, name="Bo Okafor", under_18=True)
    to = oak.url(f"people/{parent.pk}/consents/")
    answer = organiser.post(to, said_by(oak, parent, child=child.pk, child_name="Ida"))
    assert answer.status_code == 400 and "Choose a child or write a name, not both." in answer.content.decode()
    assert not Consent.of(oak.group).exists()


def test_a_child_is_asked_for_only_where_one_is_known_and_never_of_a_child(organiser, oak):
    parent = make_person(oak)
    assert 'name="child"' not in organiser.get(oak.url(f"people/{parent.pk}/")).content.decode()
    child = make_person(oak, name="Bo Okafor", under_18=True)
    assert 'name="child"' in organiser.get(oak.url(f"people/{parent.pk}/")).content.decode()
    assert 'name="child_name"' not in organiser.get(oak.url(f"people/{child.pk}/")).content.decode()


def test_another_groups_child_cannot_be_named(organiser, oak, elm):
    parent, theirs = make_person(oak), make_person(elm, name="Bo Elm", under_18=True)
    answer = organiser.post(oak.url(f"people/{parent.pk}/consents/"), said_by(oak, parent, child=theirs.pk))
    assert answer.status_code == 400 and not Consent.of(oak.group).exists()
