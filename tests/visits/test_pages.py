"""Booking a visit and walking the yard, through the pages."""

import datetime
import io
import re
import uuid
from zoneinfo import ZoneInfo

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image

from conversions.groups.models import Member
from conversions.visits.actions import add_entries, book_visit, finish_visit, write_notes
from conversions.visits.models import Entry, Visit
from conversions.visits.questions import QUESTIONS, SAFETY
from conversions.yards.models import Photo
from tests.rows import make_kept, make_open, make_yard, rectangle

LONDON = ZoneInfo("Europe/London")
DUE = datetime.datetime(2027, 5, 4, 16, 30, tzinfo=datetime.UTC)


@pytest.fixture
def yard(oak):
    return make_yard(oak)


@pytest.fixture
def visit(oak, yard):
    return book_visit(conversion=yard, by=oak.organiser, due_at=DUE)


def page(client, world, visit, query=""):
    response = client.get(world.url(f"visits/{visit.pk}/{query}"))
    assert response.status_code == 200
    return response.content.decode()


def typed(html):
    """What a browser would send back unchanged."""
    out = {}
    for tag in re.findall(r"<input[^>]*>", html):
        name = re.search(r'name="([^"]*)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        kind = re.search(r'type="([^"]*)"', tag)
        if not name or kind[1] in ("file", "submit") or (kind[1] in ("radio", "checkbox") and " checked" not in tag):
            continue
        out[name[1]] = value[1] if value else ""
    notes = re.search(r'<textarea id="notes"[^>]*>([^<]*)</textarea>', html)
    out["notes"] = notes[1] if notes else ""
    out.pop("csrfmiddlewaretoken", None)
    return out


def send(client, world, visit, data, to="entries"):
    return client.post(world.url(f"visits/{visit.pk}/{to}/"), data)


def jpeg(colour="olive", exif=None):
    out = io.BytesIO()
    Image.new("RGB", (640, 480), colour).save(out, "JPEG", **({"exif": exif} if exif is not None else {}))
    return SimpleUploadedFile("lawn.jpg", out.getvalue(), "image/jpeg")


def values(world):
    return {entry.question: entry.value for entry in Entry.of(world.group).filter(replaced_by=None)}


# ---- booking


def test_a_time_is_booked_on_the_wall_clock_of_the_group(organiser, oak, yard):
    response = organiser.post(oak.url(f"yards/{yard.pk}/visit/"), {"on": timezone.now().date(), "at": "17:30"})
    visit = Visit.of(oak.group).get()
    assert response.url == oak.url(f"visits/{visit.pk}/")
    local = visit.due_at.astimezone(LONDON)
    assert (local.hour, local.minute) == (17, 30)


def test_one_press_books_an_offered_time(organiser, oak, yard):
    html = organiser.get(oak.url(f"yards/{yard.pk}/visit/")).content.decode()
    slots = re.findall(r'name="slot" value="([^"]+)"', html)
    assert len(slots) == 4 and slots[-1] == "now"
    organiser.post(oak.url(f"yards/{yard.pk}/visit/"), {"slot": slots[0]})
    due = timezone.localtime(Visit.of(oak.group).get().due_at, LONDON)
    assert f"{due:%Y-%m-%dT%H:%M}" == slots[0]


def test_who_stands_there_now_books_and_begins_in_one_press(organiser, oak, yard):
    organiser.post(oak.url(f"yards/{yard.pk}/visit/"), {"slot": "now"})
    assert abs(Visit.of(oak.group).get().due_at - timezone.now()) < datetime.timedelta(minutes=2)


def test_an_hour_that_clocks_skip_is_refused_beside_the_field(organiser, oak, yard, monkeypatch):
    monkeypatch.setattr("conversions.visits.forms.ABSURD_DAYS", 100_000)
    data = {"on": "2027-03-28", "at": "01:30"}
    html = organiser.post(oak.url(f"yards/{yard.pk}/visit/"), data).content.decode()
    assert "skip this hour" in html and 'value="01:30"' in html and 'value="2027-03-28"' in html
    assert not Visit.of(oak.group).exists()
    organiser.post(oak.url(f"yards/{yard.pk}/visit/"), {"on": "2027-10-31", "at": "01:30"})
    assert Visit.of(oak.group).get().due_at == datetime.datetime(2027, 10, 31, 0, 30, tzinfo=datetime.UTC)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"on": "", "at": ""}, "Write the day."),
        ({"on": "3026-05-04", "at": "17:30"}, "Is the year right?"),
        ({"on": "soon", "at": "17:30"}, "valid date"),
        ({"slot": "whenever"}, "Choose a time"),
    ],
)
def test_a_slip_in_the_time_is_said_beside_it(organiser, oak, yard, data, words):
    response = organiser.post(oak.url(f"yards/{yard.pk}/visit/"), data)
    assert response.status_code == 200 and words in response.content.decode()
    assert not Visit.of(oak.group).exists()


def test_who_goes_is_asked_only_where_more_than_one_member_visits(organiser, oak, yard):
    address = oak.url(f"yards/{yard.pk}/visit/")
    assert "Who goes" in organiser.get(address).content.decode()
    Member.of(oak.group).filter(pk=oak.visitor.pk).update(ended_on=oak.today)
    assert "Who goes" not in organiser.get(address).content.decode()
    organiser.post(address, {"slot": "now"})
    assert [goer.member for goer in Visit.of(oak.group).get().goers.all()] == [oak.organiser]


def test_a_helper_or_a_stranger_cannot_be_sent(organiser, oak, elm, yard):
    for member in (oak.helper, elm.visitor):
        response = organiser.post(oak.url(f"yards/{yard.pk}/visit/"), {"slot": "now", "goers": [member.pk]})
        assert response.status_code == 200
    assert not Visit.of(oak.group).exists()


def test_a_booking_pressed_twice_is_one_visit(organiser, oak, yard):
    data = {"on": oak.today + datetime.timedelta(days=9), "at": "17:30", "uid": str(uuid.uuid4())}
    for _press in range(2):
        assert organiser.post(oak.url(f"yards/{yard.pk}/visit/"), data).status_code == 302
    assert Visit.of(oak.group).count() == 1


def test_a_planned_visit_is_moved_not_doubled_and_the_slower_of_two_is_told(organiser, oak, yard):
    visit = book_visit(conversion=yard, by=oak.organiser, due_at=timezone.now())
    address = oak.url(f"yards/{yard.pk}/visit/")
    data = {"on": oak.today + datetime.timedelta(days=3), "at": "09:00", "revision": 1}
    assert organiser.post(address, data).status_code == 302
    html = organiser.post(address, {**data, "at": "10:00"}).content.decode()
    assert "Somebody moved this visit" in html and 'value="10:00"' in html
    assert Visit.of(oak.group).count() == 1
    visit.refresh_from_db()
    assert timezone.localtime(visit.due_at, LONDON).hour == 9
    again = typed(html)
    assert organiser.post(address, {**again, "at": "10:00"}).status_code == 302


# ---- the page


def test_address_and_ring_stand_at_the_top_and_all_fifteen_below(organiser, oak, visit):
    html = page(organiser, oak, visit)
    assert "14 Tansy Row" in html and 'href="tel:000111222"' in html
    assert all(f'id="q-{question.code}"' in html for question in QUESTIONS)
    assert "0 of 15" in html


def test_nothing_is_picked_before_somebody_picks(organiser, oak, visit):
    for query in ("", "?usual=1"):
        html = page(organiser, oak, visit, query)
        assert not re.search(r'type="radio"[^>]* checked', html)
        assert not re.search(r'name="looked"[^>]* checked', html)


def test_the_page_as_it_came_keeps_nothing(organiser, oak, visit):
    for query in ("", "?usual=1"):
        assert send(organiser, oak, visit, typed(page(organiser, oak, visit, query))).status_code == 302
    assert not Entry.of(oak.group).exists()
    visit.refresh_from_db()
    assert visit.state == "planned"


def test_the_usual_counts_only_where_somebody_looked_and_never_for_the_five(organiser, oak, visit):
    html = page(organiser, oak, visit, "?usual=1")
    assert len(re.findall(r'name="looked"', html)) == 10
    assert not any(re.search(rf'name="looked" value="{code}"', html) for code in SAFETY)
    data = {**typed(html), "looked": ["grass", "wet", *SAFETY]}
    assert send(organiser, oak, visit, data).url.endswith("?usual=1")
    assert values(oak) == {"grass": {"grass": "clumps"}, "wet": {"standing": "no", "slope": "flat"}}


def test_what_is_picked_by_hand_wins_over_the_usual(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "looked": ["wet"], "wet-slope": "steep"}
    send(organiser, oak, visit, data)
    assert values(oak)["wet"] == {"standing": "no", "slope": "steep"}


def test_pressing_the_usual_without_script_keeps_what_was_picked(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "tap-tap": "no", "usual": "1"}
    response = send(organiser, oak, visit, data)
    assert response.url.endswith("?usual=1") and values(oak) == {"tap": {"tap": "no"}}


def test_an_answer_is_shown_again_with_what_it_raised(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "grass-grass": "runners", "septic-septic": "here"}
    send(organiser, oak, visit, data)
    html = page(organiser, oak, visit)
    assert "2 of 15" in html
    assert "One more layer of card, laps of 200 mm" in html
    assert "Nothing dug, piled, wheeled or parked" in html
    back = typed(html)
    assert (back["grass-grass"], back["septic-septic"]) == ("runners", "here")
    send(organiser, oak, visit, back)
    assert Entry.of(oak.group).count() == 2


def test_creeping_grass_changes_the_open_plan_and_says_so(organiser, oak):
    draft = make_open(oak)
    visit = book_visit(conversion=draft.conversion, by=oak.organiser, due_at=DUE)
    data = {**typed(page(organiser, oak, visit)), "grass-grass": "bindweed"}
    response = organiser.post(oak.url(f"visits/{visit.pk}/entries/"), data, follow=True)
    assert "now has 4 layers of card; before it was 3" in response.content.decode()
    draft.refresh_from_db()
    assert draft.site["cardboard"]["layers"] == 4


def test_lengths_are_kept_as_typed_and_read_in_both_systems(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "trees-trees": "near"}
    data |= {"trees-trees-off": "12'6\"", "trees-trees-trunk": "0,26 m"}
    send(organiser, oak, visit, data)
    kept = values(oak)["trees"]
    assert kept["off"] == {"m": 3.81, "typed": "12'6\""} and kept["trunk"]["m"] == 0.26
    assert Entry.of(oak.group).get().as_typed == "12'6\"; 0,26 m"


def test_details_of_an_answer_that_does_not_ask_for_them_are_left_out(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "trees-trees": "none", "trees-trees-off": "nonsense"}
    send(organiser, oak, visit, data)
    assert values(oak) == {"trees": {"trees": "none"}}


@pytest.mark.parametrize(
    ("name", "pick", "bad", "words"),
    [
        ("trees-trees-off", {"trees-trees": "near"}, "far away", "cannot read this"),
        ("trees-trees-trunk", {"trees-trees": "near"}, "-3", "less than nothing"),
        ("past-soil-lead", {"past-past": "none", "past-soil": "tested"}, "a lot", "whole number"),
        ("past-soil-lead", {"past-past": "none", "past-soil": "tested"}, "9999999", "whole number"),
        ("pipes-public-until", {"pipes-public": "marked", "pipes-own": "none"}, "in May", "like 2026-05-18"),
        ("say-right-who", {"say-right": "shared"}, "x" * 161, "at most 160"),
    ],
)
def test_a_slip_stands_beside_its_field_and_the_rest_is_kept(organiser, oak, visit, name, pick, bad, words):
    data = {**typed(page(organiser, oak, visit)), **pick, name: bad, "tap-tap": "yes", "notes": "Gate sticks."}
    response = send(organiser, oak, visit, data)
    html = response.content.decode()
    assert response.status_code == 200 and words in html and "the rest is kept" in html
    assert typed(html)[name] == bad
    assert values(oak) == {"tap": {"tap": "yes"}}
    visit.refresh_from_db()
    assert visit.notes == "Gate sticks."
    mended = {**typed(html), name: {"trees-trees-off": "3 m", "trees-trees-trunk": "26 cm"}.get(name, "")}
    assert send(organiser, oak, visit, mended).status_code == 302
    assert set(values(oak)) == {"tap", name.split("-")[0]}


def test_a_pick_that_does_not_exist_is_refused_not_kept(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "tap-tap": "perhaps", "sun-sun": "over 6"}
    assert send(organiser, oak, visit, data).status_code == 200
    assert set(values(oak)) == {"sun"}


def test_rubbish_in_the_hidden_fields_is_no_500(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "tap-tap": "no", "tap-uid": "x", "tap-saw": "y,,z", "revision": "q"}
    assert send(organiser, oak, visit, data).status_code in (200, 302)
    data = {**typed(page(organiser, oak, visit)), "sun-sun": "over 6", "sun-saw": f"{uuid.uuid4()}", "notes": "a\0b"}
    assert send(organiser, oak, visit, data).status_code in (200, 302, 409)


# ---- patches


def test_an_answer_can_be_for_one_patch(organiser, oak):
    draft = make_kept(oak, None, rectangle(label="Front lawn"), rectangle("5", "4", label="Back lawn", zone="back"))
    visit = book_visit(conversion=draft.conversion, by=oak.organiser, due_at=DUE)
    back = draft.conversion.place.patches.get(label="Back lawn")
    html = page(organiser, oak, visit)
    assert 'name="septic-for"' in html and 'name="pipes-for"' not in html
    send(organiser, oak, visit, {**typed(html), "septic-septic": "no"})
    html = page(organiser, oak, visit)
    send(organiser, oak, visit, {**typed(html), "septic-septic": "here", "septic-for": str(back.pk)})
    html = page(organiser, oak, visit)
    assert "<b>Back lawn:</b> Yes, here or nearer" in html and "<b>Front lawn:</b> No" in html
    assert typed(html)["septic-septic"] == "no"


def test_with_one_patch_nobody_is_asked_which(organiser, oak):
    visit = book_visit(conversion=make_kept(oak).conversion, by=oak.organiser, due_at=DUE)
    assert '-for"' not in page(organiser, oak, visit)


# ---- two people, two presses


def test_two_visitors_both_survive_and_the_later_one_chooses(client, oak, visit):
    oak.sign_in(client, "visitor")
    first_page, second_page = page(client, oak, visit), page(client, oak, visit)
    send(client, oak, visit, {**typed(first_page), "sun-sun": "over 6"})
    oak.sign_in(client, "organiser")
    response = client.post(
        oak.url(f"visits/{visit.pk}/entries/"), {**typed(second_page), "sun-sun": "3 to 6"}, follow=True
    )
    html = response.content.decode()
    assert "Two answers" in html
    assert re.search(r"Over 6 hours <small>Visitor Oak", html) and re.search(r"3 to 6 hours <small>Organiser Oak", html)
    assert "sun-sun" not in typed(html) and "0 of 15" in html
    send(client, oak, visit, {**typed(html), "sun-sun": "over 6"})
    html = page(client, oak, visit)
    assert "Two answers" not in html and "1 of 15" in html
    assert values(oak) == {"sun": {"sun": "over 6"}} and Entry.of(oak.group).count() == 3


def test_the_usual_does_not_choose_between_two(organiser, oak, visit):
    for value in ("3 to 6", "over 6"):
        given = [{"question": "sun", "value": {"sun": value}, "replaces": []}]
        add_entries(visit=visit, by=oak.organiser, entries=given)
    assert not re.search(r'name="looked" value="sun"', page(organiser, oak, visit, "?usual=1"))


def test_who_said_it_is_shown_only_where_more_than_one_member_visits(organiser, oak, visit):
    given = [{"question": "grass", "value": {"grass": "runners"}}]
    add_entries(visit=visit, by=oak.organiser, entries=given)
    assert "Runners <small>Organiser Oak" in page(organiser, oak, visit)
    Member.of(oak.group).filter(pk=oak.visitor.pk).update(ended_on=oak.today)
    assert "Runners <small>" not in page(organiser, oak, visit)


def test_the_same_page_pressed_twice_is_kept_once(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "tap-tap": "no"}
    for _press in range(2):
        assert send(organiser, oak, visit, data).status_code == 302
    assert Entry.of(oak.group).count() == 1


def test_an_old_page_with_another_answer_is_a_409_that_keeps_what_was_picked(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "tap-tap": "no"}
    send(organiser, oak, visit, data)
    response = send(organiser, oak, visit, {**data, "tap-tap": "yes", "sun-sun": "under 3"})
    html = response.content.decode()
    assert response.status_code == 409 and "saved before, with other answers" in html
    assert values(oak) == {"tap": {"tap": "no"}}
    picked = typed(html)
    assert (picked["tap-tap"], picked["sun-sun"]) == ("yes", "under 3")
    assert send(organiser, oak, visit, picked).status_code == 302
    assert Entry.of(oak.group).filter(question="sun").count() == 1


# ---- notes


def test_notes_of_two_people_are_both_shown_and_neither_is_lost(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "notes": "Gate sticks.", "tap-tap": "no"}
    write_notes(visit=visit, revision=1, notes="Friendly dog.")
    response = send(organiser, oak, visit, data)
    html = response.content.decode()
    assert response.status_code == 409
    assert "Friendly dog." in html and typed(html)["notes"] == "Gate sticks."
    assert Visit.of(oak.group).get().notes == "Friendly dog." and values(oak) == {"tap": {"tap": "no"}}
    both = {**typed(html), "notes": "Friendly dog.\r\nGate sticks."}
    assert send(organiser, oak, visit, both).status_code == 302
    assert Visit.of(oak.group).get().notes == "Friendly dog.\nGate sticks."


def test_an_old_page_whose_notes_nobody_touched_puts_nothing_back(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "tap-tap": "no"}
    write_notes(visit=visit, revision=1, notes="Friendly dog.")
    assert send(organiser, oak, visit, data).status_code == 302
    assert Visit.of(oak.group).get().notes == "Friendly dog."


# ---- photos


def test_a_photo_goes_up_by_slot_with_everything_else_on_the_page(organiser, oak, visit):
    html = page(organiser, oak, visit)
    response = send(organiser, oak, visit, {**typed(html), "photo-left": jpeg(), "tap-tap": "no"}, to="photos")
    assert response.url.endswith("#photos")
    photo = Photo.of(oak.group).get()
    assert photo.slot == "left" and values(oak) == {"tap": {"tap": "no"}}
    html = page(organiser, oak, visit)
    assert f'src="{oak.url(f"photos/{photo.pk}/thumb/")}"' in html
    assert organiser.get(oak.url(f"photos/{photo.pk}/thumb/")).status_code == 200


def test_the_position_of_the_camera_never_reaches_what_is_served(organiser, oak, visit):
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (51.0, 30.0, 12.34)
    file = jpeg(exif=exif)
    assert b"Exif\0\0" in file.read()
    file.seek(0)
    send(organiser, oak, visit, {**typed(page(organiser, oak, visit)), "photo-left": file}, to="photos")
    photo = Photo.of(oak.group).get()
    for size in ("view", "thumb"):
        response = organiser.get(oak.url(f"photos/{photo.pk}/{size}/"))
        data = b"".join(response.streaming_content) if response.streaming else response.content
        assert data.startswith(b"\xff\xd8") and b"Exif\0\0" not in data


def test_a_text_file_named_jpg_is_refused_beside_its_slot_and_the_rest_is_kept(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "tap-tap": "no"}
    data |= {"photo-left": SimpleUploadedFile("lawn.jpg", b"only words"), "photo-right": jpeg()}
    response = send(organiser, oak, visit, data, to="photos")
    html = response.content.decode()
    assert response.status_code == 200 and "This is not a picture" in html and 'id="photo-left_error"' in html
    assert [photo.slot for photo in Photo.of(oak.group)] == ["right"]
    assert values(oak) == {"tap": {"tap": "no"}}


def test_41_megabytes_get_a_clear_message(organiser, oak, visit):
    file = SimpleUploadedFile("lawn.jpg", jpeg().read() + bytes(41_000_000), "image/jpeg")
    data = {**typed(page(organiser, oak, visit)), "photo-left": file}
    response = send(organiser, oak, visit, data, to="photos")
    assert response.status_code == 200 and "40 MB at most" in response.content.decode()
    assert not Photo.of(oak.group).exists()


def test_a_photo_pressed_twice_is_one(organiser, oak, visit):
    data = typed(page(organiser, oak, visit))
    for _press in range(2):
        assert send(organiser, oak, visit, {**data, "photo-left": jpeg()}, to="photos").status_code == 302
    assert Photo.of(oak.group).count() == 1
    response = send(organiser, oak, visit, {**data, "photo-left": jpeg("navy")}, to="photos")
    assert "Choose yours once more" in response.content.decode() and Photo.of(oak.group).count() == 1


def test_where_they_want_no_pictures_there_is_no_slot(organiser, oak, visit):
    add_entries(visit=visit, by=oak.organiser, entries=[{"question": "pictures", "value": {"pictures": "none"}}])
    html = page(organiser, oak, visit)
    assert "They asked for no pictures" in html and 'type="file"' not in html


# ---- being done


def test_what_is_open_is_listed_and_the_visit_can_be_done_all_the_same(organiser, oak, visit):
    html = page(organiser, oak, visit)
    assert "15 questions are still open" in html
    data = {**typed(html), "end": "done", "tap-tap": "no", "notes": "Gate sticks."}
    response = send(organiser, oak, visit, data, to="done")
    assert response.url == oak.url(f"yards/{visit.conversion_id}/")
    visit.refresh_from_db()
    assert (visit.state, visit.notes) == ("done", "Gate sticks.") and values(oak) == {"tap": {"tap": "no"}}
    html = page(organiser, oak, visit)
    assert "This visit is done" in html and "Book another visit" in html


def test_leaving_early_without_a_reason_asks_for_it_and_keeps_the_page(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "end": "cut short", "tap-tap": "no"}
    response = send(organiser, oak, visit, data, to="done")
    html = response.content.decode()
    assert response.status_code == 200 and "Write why you left early" in html
    assert values(oak) == {"tap": {"tap": "no"}} and typed(html)["tap-tap"] == "no"
    send(organiser, oak, visit, {**typed(html), "end": "cut short", "reason": "Thunder"}, to="done")
    visit.refresh_from_db()
    assert (visit.state, visit.reason) == ("cut short", "Thunder")


def test_a_slip_on_the_page_holds_the_end_back(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "end": "done", "trees-trees": "near", "trees-trees-off": "far"}
    assert send(organiser, oak, visit, data, to="done").status_code == 200
    visit.refresh_from_db()
    assert visit.state == "planned"


def test_the_slower_of_two_ends_is_told(organiser, oak, visit):
    data = {**typed(page(organiser, oak, visit)), "end": "no answer"}
    finish_visit(visit=visit, by=oak.visitor)
    html = send(organiser, oak, visit, data, to="done").content.decode()
    assert "Somebody was faster" in html
    assert Visit.of(oak.group).get().state == "done"


# ---- the door, and cost


@pytest.mark.parametrize(("role", "status"), [("visitor", 200), ("lead", 403), ("reader", 403), ("helper", 403)])
def test_visits_are_for_organisers_and_visitors(client, oak, visit, role, status):
    oak.sign_in(client, role)
    assert client.get(oak.url(f"visits/{visit.pk}/")).status_code == status
    assert client.get(oak.url(f"yards/{visit.conversion_id}/visit/")).status_code == status


def test_another_groups_visit_is_not_here(client, oak, elm, visit):
    elm.sign_in(client)
    for path in (f"visits/{visit.pk}/", f"yards/{visit.conversion_id}/visit/"):
        assert client.get(elm.url(path)).status_code == 404
    for path in ("entries", "photos", "done"):
        assert client.post(elm.url(f"visits/{visit.pk}/{path}/"), {"tap-tap": "no"}).status_code == 404
    assert not Entry.of(oak.group).exists()


@pytest.mark.parametrize("path", ["entries", "photos", "done"])
def test_a_get_changes_nothing(organiser, oak, visit, path):
    assert organiser.get(oak.url(f"visits/{visit.pk}/{path}/")).status_code == 405


def test_the_page_costs_the_same_however_much_was_answered(organiser, oak, django_assert_num_queries):
    draft = make_kept(oak, None, rectangle(label="Front lawn"), rectangle("5", "4", label="Back lawn", zone="back"))
    visit = book_visit(conversion=draft.conversion, by=oak.organiser, due_at=DUE, goers=[oak.organiser, oak.visitor])
    patches = list(draft.conversion.place.patches.all())

    def measure():
        # session, user, membership; visit, who goes, members, users; answers, patches, who visits, photos; what waits; the drawing twice, what they allow of pictures, all that was answered
        with django_assert_num_queries(16):
            page(organiser, oak, visit)

    given = [
        {"question": question.code, "value": {ask.code: "not sure" for ask in question.asks}} for question in QUESTIONS
    ]
    measure()
    add_entries(visit=visit, by=oak.organiser, entries=given)
    add_entries(visit=visit, by=oak.visitor, entries=[{**row, "replaces": []} for row in given])
    for patch in patches:
        rows = [{"question": code, "value": {code: "not sure"}, "patch": patch} for code in ("septic", "trees", "sun")]
        add_entries(visit=visit, by=oak.visitor, entries=rows)
    for slot in ("left", "right", "other"):
        send(organiser, oak, visit, {**typed(page(organiser, oak, visit)), f"photo-{slot}": jpeg()}, to="photos")
    measure()


def test_nobody_with_a_number_too_large_for_a_row_can_be_sent(organiser, oak, yard):
    response = organiser.post(oak.url(f"yards/{yard.pk}/visit/"), {"slot": "now", "goers": ["9" * 20]})
    assert response.status_code == 200
    assert not Visit.of(oak.group).exists()


def test_notes_too_long_are_refused_beside_their_field_and_stay_in_it(organiser, oak, visit):
    typed = "The gate sticks. " * 400
    data = {"notes": typed, "notes_was": "", "revision": visit.revision, "sun-sun": "over 6"}
    html = organiser.post(oak.url(f"visits/{visit.pk}/entries/"), data).content.decode()
    assert typed.strip() in html and 'id="notes_error"' in html and 'aria-describedby="notes_error"' in html
    visit.refresh_from_db()
    assert visit.notes == "" and Entry.of(oak.group).get().question == "sun"


# ---- lengths


def test_a_length_says_its_unit_and_a_trunk_is_asked_in_small_ones(organiser, oak, visit):
    html = page(organiser, oak, visit)
    assert re.search(r'name="trees-trees-trunk"[^>]*><span>mm</span>', html)
    assert re.search(r'name="way_in-way-gate"[^>]*><span>m</span>', html)
    oak.group.units = "imperial"
    oak.group.save()
    html = page(organiser, oak, visit)
    assert re.search(r'name="trees-trees-trunk"[^>]*><span>in</span>', html)
    assert re.search(r'name="way_in-way-gate"[^>]*><span>ft</span>', html)


@pytest.mark.parametrize(("units", "number", "metres"), [("metric", "260", 0.26), ("imperial", "26", 0.66)])
def test_a_bare_number_is_in_the_unit_beside_it_and_stands_there_again(organiser, oak, visit, units, number, metres):
    oak.group.units = units
    oak.group.save()
    data = {**typed(page(organiser, oak, visit)), "trees-trees": "near", "trees-trees-trunk": number}
    send(organiser, oak, visit, data)
    assert values(oak)["trees"]["trunk"]["m"] == metres
    html = page(organiser, oak, visit)
    assert typed(html)["trees-trees-trunk"] == number
    send(organiser, oak, visit, {**typed(html), "tap-tap": "yes"})
    assert Entry.of(oak.group).filter(question="trees").count() == 1  # nothing changed there


@pytest.mark.parametrize(
    ("name", "picks", "number", "most"),
    [
        ("trees-trees-trunk", {"trees-trees": "near"}, "3.1 m", "3.00 m"),
        ("trees-trees-off", {"trees-trees": "near"}, "201", "200.00 m"),
        ("way_in-way-gate", {"way_in-way": "narrow"}, "80", "10.00 m"),
        ("haul-haul-far", {"haul-haul": "measured"}, "150000", "500.00 m"),
    ],
)
def test_a_length_nobody_can_mean_is_refused_beside_its_field(organiser, oak, visit, name, picks, number, most):
    make_open(oak, visit.conversion, beds=False)
    response = send(organiser, oak, visit, {**typed(page(organiser, oak, visit)), **picks, name: number})
    html = response.content.decode()
    assert f"more than {most} is hardly meant" in html and typed(html)[name] == number
    assert not Entry.of(oak.group).exists()
    assert organiser.get(oak.url(f"yards/{visit.conversion_id}/plan/")).status_code == 200
    told = send(organiser, oak, visit, {**picks, name: number}, to="queue")
    assert told.status_code == 422 and "hardly meant" in told.json()["words"]


@pytest.mark.parametrize(("units", "metres", "field"), [("metric", 0.26, "0.26 m"), ("imperial", 0.366, "1.2 ft")])
def test_a_length_kept_before_units_stood_there_reads_as_before(organiser, oak, visit, units, metres, field):
    oak.group.units = units
    oak.group.save()
    bare = field.split()[0]
    value = {"trees": "near", "trunk": {"m": metres, "typed": bare}}
    add_entries(visit=visit, by=oak.organiser, entries=[{"question": "trees", "value": value}])
    html = page(organiser, oak, visit)
    assert typed(html)["trees-trees-trunk"] == field
    send(organiser, oak, visit, {**typed(html), "tap-tap": "yes"})
    assert Entry.of(oak.group).filter(question="trees").count() == 1


# ---- ways to the drawing


def test_the_question_about_the_sides_leads_to_the_plan_and_the_board(client, oak, visit):
    oak.sign_in(client, "visitor")
    card = page(client, oak, visit).split('id="q-sides"')[1].split("</fieldset>")[0]
    for path in ("plan/", "plan/draw/"):
        assert f'href="{oak.url(f"yards/{visit.conversion_id}/{path}")}"' in card
    kept = client.get(oak.url(f"visits/{visit.pk}/offline/")).content.decode()
    card = kept.split('id="q-sides"')[1].split("</fieldset>")[0]
    board = oak.url(f"yards/{visit.conversion_id}/plan/draw/")
    assert f'data-kept-page="{board}offline/" hidden' in card and f'href="{board}"' in card
    assert oak.url(f"yards/{visit.conversion_id}/plan/") + '"' not in kept  # opens nothing without signal
    drawing = client.get(f"{board}offline/").content.decode()
    here = oak.url(f"visits/{visit.pk}/")
    assert f'data-kept-page="{here}offline/" hidden' in drawing and f'href="{here}"' in drawing


def test_a_revision_no_row_can_have_moves_no_visit(organiser, oak, visit):
    data = {"slot": "now", "revision": "9" * 20, "uid": ""}
    response = organiser.post(oak.url(f"yards/{visit.conversion_id}/visit/"), data)
    assert response.status_code == 200 and "Move it again?" in response.content.decode()
