"""A household moves: the garden goes on with the new people, and nothing of the old ones can be seen by them."""

import datetime
import io
from decimal import Decimal

import pytest
from django.core import mail
from pypdf import PdfReader

from conversions.builds import ledger
from conversions.builds.actions import record_as_built
from conversions.builds.models import Ground
from conversions.care.models import CareSheet, FollowUp
from conversions.care.sheet import beds_built, soil_cautions
from conversions.office import close_day, moving
from conversions.people import letters, links
from conversions.people.models import Consent, Event, Message, Person
from conversions.tally import counts
from conversions.visits.actions import keep_photo
from conversions.yards.models import Conversion, GateCode, Household
from tests.builds.rows import make_agreed, make_day
from tests.rows import jpeg, make_kept, make_quote, make_sent, make_yard, rectangle

OLD = ("Ruth Okafor", "000 111 222", "000111222", "roses for my mother", "7788#")


@pytest.fixture
def yard(oak, time_machine):
    """A garden built in May, with everything a household leaves behind; today it is August."""
    time_machine.move_to(datetime.datetime(2026, 5, 9, 9, tzinfo=datetime.UTC), tick=False)
    row = make_yard(oak, wish="roses for my mother")
    GateCode.everywhere.create(group=oak.group, place=row.place, code="7788#", until_on=datetime.date(2027, 1, 1))
    for kind in ("contact", "photo public", "people in photo"):
        Consent.everywhere.create(
            group=oak.group, person=row.household.contact, kind=kind, answer="yes", on=oak.today, how="asked",
            notice_version="1", by=oak.organiser,
        )  # fmt: skip
    keep_photo(
        place=row.place, by=oak.organiser, file=jpeg(), taken_for="visit", taken_for_id=1, slot="left", people="adult"
    )
    make_agreed(oak, row)
    day = make_day(oak, row, on=oak.today)
    record_as_built(day=day, patch=day.day_patches.get().patch, by=oak.lead)
    day.refresh_from_db()
    close_day.close_day(day=day, by=oak.lead, revision=day.revision, sheets=close_day.papers(day))
    time_machine.move_to(datetime.datetime(2026, 8, 3, 9, tzinfo=datetime.UTC), tick=False)
    return Conversion.of(oak.group).for_lists().get(pk=row.pk)


def move(client, oak, yard, **data):
    given = {
        "name": "Bo Lind", "reach": "000 999 888", "tenure": "rent", "moved_on": "2026-08-01",
        "uid": "11111111-1111-4111-8111-111111111111", **data,
    }  # fmt: skip
    return client.post(oak.url(f"yards/{yard.pk}/new-people/"), given)


def run_of(oak, name="Bo Lind") -> Conversion:
    return Conversion.of(oak.group).for_lists().get(household__contact__name=name)


def text_of(content: bytes) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)


def test_the_ground_keeps_its_year_and_the_follow_ups_go_on_with_the_new_people(organiser, oak, yard):
    before = list(Ground.of(oak.group).values())
    tallied = counts.year(oak.group, 2026)
    FollowUp.of(oak.group).filter(kind="week 1").update(state="done", done_on=oak.today)
    assert move(organiser, oak, yard).status_code == 302
    new = run_of(oak)
    assert list(Ground.of(oak.group).values()) == before and counts.year(oak.group, 2026) == tallied
    homes = {home.contact.name: (home.from_on, home.until_on) for home in Household.of(oak.group)}
    moved = datetime.date(2026, 8, 1)
    assert homes == {"Ruth Okafor": (datetime.date(2026, 5, 9), moved), "Bo Lind": (moved, None)}
    assert (new.stage, new.continues, new.built_by) == ("built", yard, yard)
    old = Conversion.of(oak.group).for_lists().get(pk=yard.pk)
    assert (old.stage, old.outcome, old.closed_on) == ("ended", "done", moved)
    assert [row.kind for row in yard.follow_ups.all()] == ["week 1"]  # what was seen stays
    assert [row.kind for row in new.follow_ups.filter(state="due")] == [
        "month 1", "season's end", "year 1", "year 2", "year 3",
    ]  # fmt: skip
    page = organiser.get(oak.url("aftercare/")).content.decode()
    assert "Bo Lind, 14 Tansy Row" in page and "Ruth" not in page
    due = new.follow_ups.get(kind="season's end")
    page = organiser.get(oak.url(f"follow-ups/{due.pk}/")).content.decode()
    assert "000 999 888" in page and "000 111 222" not in page
    FollowUp.of(oak.group).filter(pk=due.pk).update(state="done")
    assert run_of(oak).stage == "growing"


def test_nobody_can_ask_or_tell_for_the_new_people_what_they_were_not_asked(organiser, oak, yard):
    answer = organiser.post(
        oak.url(f"yards/{yard.pk}/new-people/"),
        {
            "name": "Bo Lind",
            "reach": "000 999 888",
            "tenure": "rent",
            "moved_on": "2026-08-01",
            "uid": "1" * 8 + "-1111-4111-8111-" + "1" * 12,
        },
        follow=True,
    )
    page = answer.content.decode()
    assert "Now read them the notice" in page and "We write down your name" in page
    assert not Consent.of(oak.group).filter(person__name="Bo Lind").exists()
    assert run_of(oak).wish == run_of(oak).note == ""
    assert {code.code for code in GateCode.of(oak.group)} == {""}


def test_no_page_paper_message_or_link_of_the_new_people_says_anything_of_the_old(organiser, oak, yard, client):
    move(organiser, oak, yard)
    new = run_of(oak)
    sheet = CareSheet.of(oak.group).get(conversion=new)
    message = Message.of(oak.group).get(key=f"care-sheet:{sheet.pk}")
    assert message.person.name == "Bo Lind"
    quote = make_sent(oak, is_rendered=True, quote=_their_quote(oak, new))
    shown = [
        text_of(bytes(sheet.document.content)),
        sheet.document.title,
        letters.compose(message).body,
        text_of(bytes(quote.document.content)),
        organiser.get(oak.url(f"people/{new.household.contact_id}/all/")).content.decode(),
    ]
    client.logout()
    for purpose, kind, subject in (("care", "care sheet", sheet), ("plan", "quote", quote)):
        link = links.make(purpose, kind, subject, person=new.household.contact if purpose == "care" else None)
        answer = client.get(links.address(link))
        assert answer.status_code == 200
        shown.append(answer.content.decode())
        assert "/photos/" not in answer.content.decode()
    for text in shown:
        for word in OLD:
            assert word not in text
    assert "Bo Lind" in shown[-1] and "/photos/" not in shown[4]


def _their_quote(oak, new):
    return make_quote(oak, make_kept(oak, new, rectangle(label="Back lawn", zone="back")))


def test_the_links_and_messages_of_the_old_people_die(organiser, oak, yard, client):
    sheet = CareSheet.of(oak.group).get()
    quote = make_sent(oak)
    quote.conversion.household = yard.household
    quote.conversion.place = yard.place
    quote.conversion.number = 2
    quote.conversion.save()
    care = links.address(links.make("care", "care sheet", sheet, person=yard.household.contact))
    plan = links.address(links.make("plan", "quote", quote))
    assert client.get(care).status_code == client.get(plan).status_code == 200
    move(organiser, oak, yard)
    for address in (care, plan, care + "sheet.pdf", plan + "plan.pdf"):
        answer = client.get(address)
        assert answer.status_code == 410 and "Ruth" not in answer.content.decode()
    quote.refresh_from_db()
    assert quote.state == "withdrawn"
    told = Message.of(oak.group).filter(person=yard.household.contact)
    assert set(told.values_list("state", flat=True)) == {"dropped"}
    assert mail.outbox == []


def test_what_we_hold_on_each_is_only_of_their_own_time(organiser, oak, yard):
    move(organiser, oak, yard)
    new = run_of(oak)
    theirs = keep_photo(place=new.place, by=oak.organiser, file=jpeg(), taken_for="follow-up", taken_for_id=1)
    old_page = organiser.get(oak.url(f"people/{yard.household.contact_id}/all/")).content.decode()
    new_page = organiser.get(oak.url(f"people/{new.household.contact_id}/all/")).content.decode()
    first = yard.place.photos.first()
    assert f"photos/{first.pk}/" in old_page and f"photos/{theirs.pk}/" not in old_page
    assert f"photos/{theirs.pk}/" in new_page and f"photos/{first.pk}/" not in new_page
    assert "Ruth" not in new_page and "roses" not in new_page and "Bo Lind" not in old_page


def test_pressed_twice_it_is_done_once_and_the_history_tells_it(organiser, oak, yard):
    move(organiser, oak, yard)
    move(organiser, oak, yard)
    again = move(organiser, oak, yard, uid="22222222-2222-4222-8222-222222222222")
    assert "New people were written down here already." in again.content.decode()
    assert Conversion.of(oak.group).count() == Household.of(oak.group).count() == 2
    assert CareSheet.of(oak.group).count() == 2
    assert sorted(Event.of(oak.group).filter(verb__startswith="moved-").values_list("verb", flat=True)) == [
        "moved-in", "moved-out",
    ]  # fmt: skip
    page = organiser.get(oak.url(f"yards/{yard.pk}/")).content.decode()
    assert "Other people live here now" in page and "New people live here" not in page


def test_a_yard_without_a_garden_begins_as_an_enquiry_of_the_new_people(organiser, oak):
    yard = make_yard(oak)
    move(organiser, oak, yard, moved_on=oak.today.isoformat())
    new = run_of(oak)
    assert (new.stage, new.continues) == ("enquiry", None)
    assert Conversion.of(oak.group).for_lists().get(pk=yard.pk).outcome == "withdrawn"


def test_with_a_build_day_set_it_waits(organiser, oak):
    yard = make_agreed(oak)
    make_day(oak, yard)
    page = organiser.get(oak.url(f"yards/{yard.pk}/new-people/")).content.decode()
    assert "A build day is set for this yard." in page
    assert "A build day is set" in move(organiser, oak, yard, moved_on=oak.today.isoformat()).content.decode()
    assert Household.of(oak.group).count() == 1


def test_a_number_we_know_is_asked_about_and_never_joined_silently(organiser, oak, yard):
    known = Person.everywhere.create(group=oak.group, name="Bo L.", phone="000-999-888")
    answer = move(organiser, oak, yard)
    assert "We know this number. Who is it?" in answer.content.decode()
    assert Household.of(oak.group).count() == 1
    move(organiser, oak, yard, known=str(known.pk))
    assert Household.of(oak.group).get(until_on=None).contact == known


@pytest.mark.parametrize(
    ("on", "words"),
    [("2026-08-09", "That is still to come."), ("2020-01-01", "The people before came later than that.")],
)
def test_a_date_that_cannot_be_is_told_beside_its_field(organiser, oak, yard, on, words):
    assert words in move(organiser, oak, yard, moved_on=on).content.decode()
    assert Household.of(oak.group).count() == 1


def test_each_garden_of_the_old_people_goes_on_by_itself(organiser, oak, yard, time_machine):
    second = Conversion.everywhere.create(
        group=oak.group, place=yard.place, household=yard.household, number=2, opened_on=oak.today,
        opened_by=oak.organiser,
    )  # fmt: skip
    planned = yard.planned.get()
    planned.pk, planned.conversion = None, second
    planned.save()
    for row in yard.follow_ups.all():
        row.pk, row.conversion = None, second
        row.save()
    move(organiser, oak, yard)
    runs = Conversion.of(oak.group).filter(household__contact__name="Bo Lind")
    assert {run.continues for run in runs} == {yard, second}
    assert [run.follow_ups.count() for run in runs] == [6, 6]


def test_a_day_of_the_old_people_is_not_opened_again_and_its_square_metres_can_still_be_corrected(organiser, oak, yard):
    move(organiser, oak, yard)
    day = yard.day_patches.get().day
    assert "Other people live there now." in organiser.get(oak.url(f"days/{day.pk}/reopen/")).content.decode()
    row = Ground.of(oak.group).get()
    ledger.correct(ground=row, m2=Decimal("-3"), reason="measured again", by=oak.organiser)
    assert ledger.stands(row) == row.m2 - 3


def test_the_yard_of_the_new_people_shows_the_plan_it_was_built_by_and_waits_for_no_enquiry(organiser, oak, yard):
    move(organiser, oak, yard)
    page = organiser.get(oak.url(f"yards/{run_of(oak).pk}/")).content.decode()
    assert "Nothing drawn yet." not in page and 'class="plate"' in page
    week = organiser.get(oak.url("")).content.decode()
    assert "Draw the plan" not in week and "Book a visit" not in week


def test_the_old_people_begin_nothing_here_any_more(organiser, oak, yard):
    move(organiser, oak, yard)
    answer = organiser.post(oak.url(f"yards/{yard.pk}/again/"), {"uid": ""}, follow=True)
    assert "Other people live here now. Begin it from their page." in answer.content.decode()
    assert Conversion.of(oak.group).count() == 2


def test_what_is_known_about_the_soil_stays_with_the_garden(oak, yard, organiser):
    move(organiser, oak, yard)
    assert beds_built(run_of(oak), None) == beds_built(yard, None) != []
    assert soil_cautions(run_of(oak)) == soil_cautions(yard)
    assert moving.is_built(run_of(oak))
