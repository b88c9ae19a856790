"""What a phone kept without signal is taken in once, whatever happens on the way."""

import datetime
import re
import uuid
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from conversions.visits.actions import add_entries, book_visit, finish_visit, write_notes
from conversions.visits.models import Entry
from conversions.visits.questions import CALLED
from conversions.visits.saving import LONGEST_NOTES
from conversions.yards import pictures
from conversions.yards.actions import save_site
from conversions.yards.holds import settle
from conversions.yards.models import GateCode, Photo
from tests.rows import make_open, make_yard, rectangle


@pytest.fixture
def visit(oak):
    return book_visit(conversion=make_yard(oak), by=oak.visitor, due_at=timezone.now())


@pytest.fixture
def send(client, oak, visit):
    oak.sign_in(client, "visitor")
    return lambda **row: client.post(oak.url(f"visits/{visit.pk}/queue/"), row)


def sun(value: str, uid=None, **more) -> dict:
    return {"sun-sun": value, "sun-uid": str(uid or uuid.uuid4()), "sun-saw": "", **more}


def jpeg(colour=(10, 120, 60)) -> SimpleUploadedFile:
    made = BytesIO()
    Image.new("RGB", (640, 480), colour).save(made, "JPEG")
    return SimpleUploadedFile("IMG_1.jpg", made.getvalue(), "image/jpeg")


def test_it_says_whose_session_this_is_and_gives_the_token_a_row_needs(client, oak, visit):
    oak.sign_in(client, "visitor")
    told = client.get(oak.url(f"visits/{visit.pk}/queue/")).json()
    assert told["member"] == oak.visitor.pk and len(told["csrf"]) > 30


def test_an_answer_is_kept_with_what_it_raised(send, visit):
    answer = send(**sun("under 3", device_at="2026-05-09T08:30:00Z"))
    assert answer.status_code == 200
    told = answer.json()
    assert told["kept"] == 1 and "Too dark for tomatoes" in told["flags"]["sun"]
    assert "1 of 15" in told["meter"] and "Little sun" in told["raised"]
    entry = Entry.everywhere.get()
    assert entry.device_at == datetime.datetime(2026, 5, 9, 8, 30, tzinfo=datetime.UTC)
    assert abs(entry.received_at - timezone.now()) < datetime.timedelta(minutes=1)  # the server's clock counts


def test_the_same_row_twice_is_kept_once_and_both_are_told_so(send):
    row = sun("over 6")
    assert [send(**row).status_code for _again in range(3)] == [200, 200, 200]
    assert Entry.everywhere.count() == 1


def test_a_known_row_with_another_answer_is_refused_and_changes_nothing(send):
    uid = uuid.uuid4()
    send(**sun("over 6", uid))
    answer = send(**sun("under 3", uid))
    assert answer.status_code == 409 and "another answer" in answer.json()["words"]
    assert Entry.everywhere.get().value == {"sun": "over 6"}


def test_a_length_that_cannot_be_read_is_told_and_nothing_is_kept(send):
    row = {"trees-trees": "near", "trees-trees-trunk": "thick", "trees-uid": str(uuid.uuid4())}
    answer = send(**row)
    assert answer.status_code == 422 and "3.81 m" in answer.json()["words"]
    assert Entry.everywhere.count() == 0


@pytest.mark.parametrize("when", ["yesterday", "2026-13-45T99:00:00Z", "2026-05-09T08:30:00", ""])
def test_a_moment_that_is_none_is_nobodys(send, when):
    assert send(**sun("over 6", device_at=when)).status_code == 200
    assert Entry.everywhere.get().device_at is None


def test_a_picture_twice_is_one_picture_and_a_false_one_is_told(send):
    uid = str(uuid.uuid4())
    for _again in range(2):
        row = {"photo-left": jpeg(), "photo-left-uid": uid, "photo-people": "none"}
        assert send(**row).status_code == 200
    assert Photo.everywhere.get().people == "none"
    answer = send(**{"photo-left": SimpleUploadedFile("a.jpg", b"<svg/>"), "photo-left-uid": str(uuid.uuid4())})
    assert answer.status_code == 422 and "not a picture" in answer.json()["words"]
    assert send(**{"photo-left": jpeg((9, 9, 9)), "photo-left-uid": uid}).status_code == 422
    assert Photo.everywhere.count() == 1


def test_notes_without_signal_are_added_once_to_what_others_wrote(send, visit):
    write_notes(visit=visit, revision=visit.revision, notes="Dog in the yard.")
    for _again in range(2):
        assert send(notes_more="The gate sticks.").status_code == 200
    visit.refresh_from_db()
    assert visit.notes == "Dog in the yard.\n\nThe gate sticks."


@pytest.mark.parametrize("more", ["dog", "Ask about the dogs", "they bark.\n\nThe gate sticks"])
def test_words_that_stand_inside_other_notes_are_added_all_the_same_and_once(send, visit, more):
    stood = "Ask about the dogs, they bark.\n\nThe gate sticks."
    write_notes(visit=visit, revision=visit.revision, notes=stood)
    for _again in range(2):
        assert send(notes_more=more).status_code == 200
    visit.refresh_from_db()
    assert visit.notes == f"{stood}\n\n{more}"


def test_notes_of_several_paragraphs_are_added_once_also_when_others_write_after_them(send, visit):
    more = "The gate sticks.\n\nLift it."
    send(notes_more=more)
    visit.refresh_from_db()
    write_notes(visit=visit, revision=visit.revision, notes=f"{visit.notes}\n\nOiled it.")
    send(notes_more=more)
    visit.refresh_from_db()
    assert visit.notes == "The gate sticks.\n\nLift it.\n\nOiled it."


def test_notes_over_notes_of_somebody_else_are_refused_with_a_reason(send, visit):
    write_notes(visit=visit, revision=visit.revision, notes="Dog in the yard.")
    answer = send(notes="Mine", notes_was="older", revision=1)
    assert answer.status_code == 409 and "keep yours once more" in answer.json()["words"]
    visit.refresh_from_db()
    assert visit.notes == "Dog in the yard."


def test_the_end_of_a_visit_twice_is_one_end(send, visit):
    for _again in range(2):
        assert send(end="cut short", reason="Thunder").status_code == 200
    visit.refresh_from_db()
    assert (visit.state, visit.reason) == ("cut short", "Thunder")
    assert send(end="cut short", reason="").status_code == 422


def test_what_came_late_is_still_kept(send, visit, oak):
    finish_visit(visit=visit, by=oak.organiser)
    assert send(**sun("over 6")).status_code == 200
    assert Entry.everywhere.count() == 1


def test_the_page_a_phone_keeps_holds_no_name_number_address_code_or_answer(client, oak, visit):
    place = visit.conversion.place
    GateCode(group=oak.group, place=place, code="47 KEY", until_on=oak.group.today()).save()
    write_notes(visit=visit, revision=visit.revision, notes="Dog in the yard.")
    entries = [{"question": "grant", "value": {"grant": "granted", "which": "Ada's grant"}}]
    add_entries(visit=visit, by=oak.organiser, entries=entries)
    contact = visit.conversion.household.contact
    oak.sign_in(client, "visitor")
    page = client.get(oak.url(f"visits/{visit.pk}/offline/")).content.decode()
    for personal in (contact.name, contact.phone, place.address, "47 KEY", "Dog in the yard", "Ada's grant"):
        assert personal not in page, personal
    assert page.count("data-question=") == 15 + len(CALLED)
    assert (
        len(re.findall(r"data-question=[^>]* hidden", page)) == len(CALLED) - 1
    )  # the gate is locked; no answer shows
    assert " checked" not in page.split('id="sides"')[0]  # no answer of anybody's; a shape begins at the front


def test_an_answer_from_that_page_takes_the_place_of_ones_own_only(client, oak, visit):
    mine = add_entries(visit=visit, by=oak.visitor, entries=[{"question": "sun", "value": {"sun": "under 3"}}])[0]
    theirs = add_entries(visit=visit, by=oak.organiser, entries=[{"question": "tap", "value": {"tap": "yes"}}])[0]
    oak.sign_in(client, "visitor")
    page = client.get(oak.url(f"visits/{visit.pk}/offline/")).content.decode()
    assert str(mine.uid) in page and str(theirs.uid) not in page


def test_the_worker_stands_at_the_root_and_is_never_kept(client, db):
    answer = client.get(reverse("worker"))
    assert answer.status_code == 200 and answer["Content-Type"].startswith("text/javascript")
    assert "no-store" in answer["Cache-Control"] and reverse("worker") == "/sw.js"


def test_a_row_that_came_before_is_not_written_into_the_plan_again(send, visit, oak):
    make_open(oak, visit.conversion, rectangle("8", "5"), beds=False)
    row = {"haul-haul": "measured", "haul-haul-far": "40 m", "haul-uid": str(uuid.uuid4())}
    assert send(**row).status_code == 200
    draft = visit.conversion.drawing()
    assert draft.site["haul_m"] == 40
    save_site(draft=draft, revision=draft.revision, site={**draft.site, "haul_m": 12}, by=oak.organiser)
    assert send(**row).status_code == 200  # the first answer to it was lost on the way
    assert visit.conversion.drawing().site["haul_m"] == 12


def test_the_slower_of_two_that_send_one_picture_is_told_that_it_is_kept(send, monkeypatch):
    uid = str(uuid.uuid4())
    row = {"photo-left-uid": uid, "photo-people": "none"}
    stored = pictures.stored

    def while_another_is_faster(photo, files):
        monkeypatch.setattr(pictures, "stored", stored)
        assert send(**row, **{"photo-left": jpeg()}).status_code == 200
        return stored(photo, files)

    monkeypatch.setattr(pictures, "stored", while_another_is_faster)
    assert send(**row, **{"photo-left": jpeg()}).status_code == 200
    assert Photo.everywhere.count() == 1


def test_a_picture_that_is_kept_is_kept_also_where_they_said_no_to_pictures_since(send, visit, oak):
    row = {"photo-left-uid": str(uuid.uuid4()), "photo-people": "none"}
    assert send(**row, **{"photo-left": jpeg()}).status_code == 200
    add_entries(visit=visit, by=oak.organiser, entries=[{"question": "pictures", "value": {"pictures": "none"}}])
    assert send(**row, **{"photo-left": jpeg()}).status_code == 200
    another = {"photo-left-uid": str(uuid.uuid4()), "photo-left": jpeg((1, 2, 3))}
    assert send(**another).status_code == 422
    assert Photo.everywhere.count() == 1


@pytest.mark.parametrize("when", ["9999-12-31T23:59:59-23:59", "0001-01-01T00:00:00+23:59"])
def test_a_moment_at_the_edge_of_time_is_nobodys(send, when):
    assert send(**sun("over 6", device_at=when)).status_code == 200
    assert Entry.everywhere.get().device_at is None


@pytest.mark.parametrize("name", ["notes", "notes_more"])
def test_notes_that_nobody_reads_to_their_end_are_refused_with_a_reason(send, visit, name):
    answer = send(**{name: "a" * (LONGEST_NOTES + 1), "notes_was": "", "revision": visit.revision})
    assert answer.status_code == 422 and "letters" in answer.json()["words"]
    visit.refresh_from_db()
    assert visit.notes == ""
    assert send(**{name: "a" * LONGEST_NOTES, "revision": visit.revision}).status_code == 200


def test_notes_added_are_refused_where_all_of_them_together_grow_too_long(send, visit):
    write_notes(visit=visit, revision=visit.revision, notes="a" * (LONGEST_NOTES - 10))
    assert send(notes_more="The gate sticks.").status_code == 422
    visit.refresh_from_db()
    assert len(visit.notes) == LONGEST_NOTES - 10


def test_what_an_answer_holds_up_is_told_at_once_and_goes_once_it_is_known(send, visit, oak):
    told = send(**{"tap-tap": "not sure", "tap-uid": str(uuid.uuid4())}).json()
    assert "Not sure yet: Tap" in told["flags"]["tap"] and "Find out" in told["flags"]["tap"]
    assert "Not sure yet: Tap" in told["raised"] and 'href="#q-tap"' in told["raised"]
    told = send(**{"say-right": "rent, yes", "say-uid": str(uuid.uuid4())}).json()
    assert "We wait for the owner" in told["flags"]["say"] and "Not sure yet: Tap" in told["flags"]["tap"]
    hold = visit.conversion.holds.get(kind="owner")
    settle(hold=hold, revision=hold.revision, by=oak.organiser, state="not needed")
    told = send(**{"tap-tap": "yes", "tap-saw": str(Entry.everywhere.first().uid), "tap-uid": str(uuid.uuid4())}).json()
    assert told["flags"]["tap"] == "" and told["flags"]["say"] == ""


def test_what_is_still_open_is_told_with_each_answer(send):
    told = send(**{"septic-septic": "no", "septic-uid": str(uuid.uuid4())}).json()
    assert "14 questions are still open" in told["open"]
    musts, others = told["open"].split("The others")
    assert "#q-past" in musts and "#q-septic" not in told["open"] and "#q-tap" in others
