"""Things appear because of facts: roles and who did what come with the second person."""

import pytest

from conversions.builds.models import Day
from conversions.groups.models import Member
from conversions.people import outbox
from conversions.people.consents import write_consent
from conversions.people.numbers import change_own
from tests.builds.rows import make_agreed, make_day

pytestmark = pytest.mark.django_db


@pytest.fixture
def alone(oak):
    """The same group before anybody else came in."""
    Member.of(oak.group).exclude(pk=oak.organiser.pk).update(ended_on=oak.today)
    return oak


def pages(client, world) -> dict[str, str]:
    """The pages that name members, by what they are, without the name in the menu."""
    agreed = make_agreed(world)
    day = make_day(world, agreed, lead=world.organiser)
    ways = {
        "a day": f"days/{day.pk}/?at=before",
        "setting a day": f"days/new/?yard={agreed.pk}",
        "changing a day": f"days/{day.pk}/edit/",
        "this week": "",
        "the members page": "members/",
    }
    found = {what: client.get(world.url(way)).content.decode() for what, way in ways.items()}
    return {what: page[page.index("<main") :] for what, page in found.items()}


def test_one_person_alone_is_asked_for_nobody_and_told_nobodys_name(organiser, alone):
    found = pages(organiser, alone)
    for what in ("a day", "this week", "the members page"):
        assert "Organiser Oak" not in found[what], what
    for what in ("setting a day", "changing a day"):
        assert "Who leads" not in found[what], what


def test_with_the_second_person_names_and_choices_appear(organiser, oak):
    found = pages(organiser, oak)
    for what in ("a day", "the members page"):
        assert "Organiser Oak" in found[what], what
    for what in ("setting a day", "changing a day"):
        assert "Who leads" in found[what], what


def test_one_person_alone_sets_and_changes_a_day_without_choosing_a_lead(organiser, alone):
    agreed = make_agreed(alone)
    address = alone.url(f"days/new/?yard={agreed.pk}")
    form = organiser.get(address).context["form"]
    told = {name: form[name].value() for name in form.fields}
    told = {name: "" if value is None else value for name, value in told.items()}
    answer = organiser.post(address, told)
    assert answer.status_code == 302, answer.context and answer.context["form"].errors
    day = Day.of(alone.group).get()
    assert day.lead == alone.organiser
    form = organiser.get(alone.url(f"days/{day.pk}/edit/")).context["form"]
    told = {name: "" if form[name].value() is None else form[name].value() for name in form.fields}
    assert organiser.post(alone.url(f"days/{day.pk}/edit/"), told).status_code == 302


def pages_of_what_was_done(client, world) -> dict[str, str]:
    """Pages that tell who did something that was done already."""
    day = make_day(world, lead=world.organiser)
    yard = day.day_patches.get().conversion
    contact, today = yard.household.contact, world.group.today()
    row = outbox.queue(key=f"quote-sent:{yard.pk}", kind="quote-sent", person=contact, conversion=yard)
    outbox.note_done(message=row, by=world.organiser, outcome="")
    write_consent(person=contact, by=world.organiser, kind="contact", answer="yes", how="asked", on=today)
    change_own(group=world.group, by=world.organiser, changes={"repose": 40})
    ways = {
        "a yard": f"yards/{yard.pk}/",
        "a person": f"people/{contact.pk}/",
        "a message": f"messages/{row.pk}/",
        "what we told": "messages/",
        "what changed in the group": "history/",
    }
    found = {what: client.get(world.url(way)).content.decode() for what, way in ways.items()}
    return {what: page[page.index("<main") :] for what, page in found.items()}


def test_of_one_person_alone_no_page_says_who_did_it(organiser, alone):
    found = pages_of_what_was_done(organiser, alone)
    assert [what for what, page in found.items() if "Organiser Oak" in page] == []


def test_with_the_second_person_each_page_says_who_did_it(organiser, oak):
    found = pages_of_what_was_done(organiser, oak)
    assert [what for what, page in found.items() if "Organiser Oak" not in page] == []
