"""Booking, answering, noting, photographing, being done: nothing overwritten, nothing twice."""

import datetime
import io
import uuid

import pytest
from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.db import connection
from django.utils import timezone
from PIL import Image

from conversions.common.photos import PhotoRefused
from conversions.groups.tenancy import Stale
from conversions.visits import actions
from conversions.visits.actions import (
    Conflict,
    add_entries,
    book_visit,
    finish_visit,
    keep_visit_photo,
    move_visit,
    write_notes,
)
from conversions.visits.checklist import current_answers, read_answers
from conversions.visits.models import Entry, EntryReplaces, Visit
from conversions.yards.models import Photo
from tests.rows import make_kept, make_yard

DUE = datetime.datetime(2027, 5, 4, 16, 30, tzinfo=datetime.UTC)


@pytest.fixture
def visit(oak):
    return book_visit(conversion=make_yard(oak), by=oak.visitor, due_at=DUE)


def jpeg(colour="olive"):
    out = io.BytesIO()
    Image.new("RGB", (640, 480), colour).save(out, "JPEG")
    return io.BytesIO(out.getvalue())


def stored():
    out = []

    def walk(folder):
        folders, files = default_storage.listdir(folder)
        out.extend(f"{folder}/{name}" for name in files)
        for name in folders:
            walk(f"{folder}/{name}" if folder else name)

    if default_storage.exists(""):
        walk("")
    return set(out)


# ---- booking


def test_whoever_books_goes_unless_somebody_else_is_named(oak, visit):
    assert [goer.member for goer in visit.goers.all()] == [oak.visitor]
    other = book_visit(conversion=visit.conversion, by=oak.organiser, due_at=DUE, goers=[oak.visitor, oak.organiser])
    assert {goer.member for goer in other.goers.all()} == {oak.visitor, oak.organiser}
    assert other.due_out_at - other.due_at == datetime.timedelta(hours=1)


def test_a_booking_pressed_twice_is_one_and_with_another_time_a_conflict(oak, visit):
    again = book_visit(conversion=visit.conversion, by=oak.visitor, due_at=DUE, uid=visit.uid)
    assert again.pk == visit.pk
    with pytest.raises(Conflict):
        book_visit(conversion=visit.conversion, by=oak.visitor, due_at=DUE + datetime.timedelta(hours=1), uid=visit.uid)
    assert Visit.of(oak.group).count() == 1


def test_a_visit_is_moved_once_and_the_slower_of_two_is_told(oak, visit):
    later = DUE + datetime.timedelta(days=1)
    moved = move_visit(visit=visit, revision=1, by=oak.organiser, due_at=later, goers=[oak.organiser])
    assert moved.due_at == later
    assert [goer.member for goer in visit.goers.filter(called_off_at=None)] == [oak.organiser]
    with pytest.raises(Stale) as stale:
        move_visit(visit=visit, revision=1, by=oak.visitor, due_at=DUE)
    assert stale.value.row.due_at == later
    move_visit(visit=visit, revision=2, by=oak.visitor, due_at=DUE, goers=[oak.visitor])
    assert [goer.member for goer in visit.goers.filter(called_off_at=None)] == [oak.visitor]


def test_nobody_of_another_group_can_be_sent(oak, elm, visit):
    with pytest.raises(ValidationError):
        book_visit(conversion=visit.conversion, by=oak.visitor, due_at=DUE, goers=[elm.visitor])
    assert Visit.of(oak.group).count() == 1


# ---- answering


def test_answers_are_appended_and_name_what_they_replace(oak, visit):
    [first] = add_entries(visit=visit, by=oak.visitor, entries=[{"question": "tap", "value": {"tap": "yes"}}])
    [second] = add_entries(visit=visit, by=oak.organiser, entries=[{"question": "tap", "value": {"tap": "no"}}])
    assert Entry.of(oak.group).count() == 2
    assert [(row.entry, row.replaced) for row in EntryReplaces.of(oak.group)] == [(second, first)]
    first.refresh_from_db()
    assert first.value == {"tap": "yes"} and first.by == oak.visitor
    assert current_answers(visit)["tap"] == second


def test_the_first_answer_says_that_somebody_is_there(oak, visit):
    assert visit.state == "planned"
    add_entries(visit=visit, by=oak.visitor, entries=[{"question": "tap", "value": {"tap": "yes"}}])
    visit.refresh_from_db()
    assert visit.state == "under way" and visit.checked_in_at


def test_a_repeated_uid_is_the_same_row(oak, visit):
    given = {"uid": str(uuid.uuid4()), "question": "sun", "value": {"sun": "over 6"}}
    [first] = add_entries(visit=visit, by=oak.visitor, entries=[given])
    [again] = add_entries(visit=visit, by=oak.visitor, entries=[given])
    assert first == again and Entry.of(oak.group).count() == 1


@pytest.mark.parametrize("other", [{"value": {"sun": "under 3"}}, {"question": "tap", "value": {"tap": "no"}}])
def test_the_same_uid_with_other_content_changes_nothing(oak, visit, other):
    given = {"uid": str(uuid.uuid4()), "question": "sun", "value": {"sun": "over 6"}}
    [first] = add_entries(visit=visit, by=oak.visitor, entries=[given])
    with pytest.raises(Conflict) as conflict:
        add_entries(
            visit=visit,
            by=oak.visitor,
            entries=[{"question": "grant", "value": {"grant": "none"}}, {**given, **other}],
        )
    assert conflict.value.row == first
    assert list(Entry.of(oak.group)) == [first]


def test_two_visitors_who_saw_the_same_page_both_survive(oak, visit):
    [seen] = add_entries(visit=visit, by=oak.visitor, entries=[{"question": "sun", "value": {"sun": "over 6"}}])
    for who, value in ((oak.visitor, "3 to 6"), (oak.organiser, "under 3")):
        add_entries(
            visit=visit,
            by=who,
            entries=[{"question": "sun", "value": {"sun": value}, "replaces": [seen.uid]}],
        )
    standing = read_answers(visit).by_key["sun", None]
    assert [(entry.by, entry.value["sun"]) for entry in standing] == [
        (oak.visitor, "3 to 6"),
        (oak.organiser, "under 3"),
    ]
    [chosen] = add_entries(
        visit=visit,
        by=oak.organiser,
        entries=[{"question": "sun", "value": {"sun": "3 to 6"}, "replaces": [entry.uid for entry in standing]}],
    )
    assert read_answers(visit).by_key["sun", None] == [chosen]
    assert {row.replaced for row in chosen.replaces.all()} == set(standing)


def test_an_answer_replaces_only_those_to_the_same_question(oak, visit):
    [tap] = add_entries(visit=visit, by=oak.visitor, entries=[{"question": "tap", "value": {"tap": "yes"}}])
    given = [{"question": "sun", "value": {"sun": "over 6"}, "replaces": [tap.uid]}]
    add_entries(visit=visit, by=oak.visitor, entries=given)
    assert current_answers(visit)["tap"] == tap


def test_a_patch_of_another_group_is_refused(oak, elm, visit):
    patch = make_kept(elm).conversion.place.patches.get()
    with pytest.raises(ValidationError):
        given = [{"question": "septic", "value": {"septic": "here"}, "patch": patch}]
        add_entries(visit=visit, by=oak.visitor, entries=given)
    assert not Entry.of(oak.group).exists()


def test_there_is_no_sixteenth_question(oak, visit):
    with pytest.raises(ValidationError):
        add_entries(visit=visit, by=oak.visitor, entries=[{"question": "hat size", "value": {"hat": 7}}])


# ---- notes


def test_notes_somebody_else_wrote_meanwhile_are_not_lost(oak, visit):
    write_notes(visit=visit, revision=1, notes="Friendly dog.")
    with pytest.raises(Stale) as stale:
        write_notes(visit=Visit.of(oak.group).get(), revision=1, notes="Gate sticks.")
    assert stale.value.row.notes == "Friendly dog."
    assert Visit.of(oak.group).get().notes == "Friendly dog."


# ---- photos


def test_a_photo_is_kept_in_two_sizes_under_names_of_our_own(oak, visit):
    file = jpeg()
    file.name = "../../etc/passwd.jpg"
    photo = keep_visit_photo(visit=visit, by=oak.visitor, file=file, slot="left")
    assert (photo.place, photo.taken_for, photo.taken_for_id, photo.slot) == (
        visit.conversion.place,
        "visit",
        visit.pk,
        "left",
    )
    assert photo.view_key.startswith(f"{oak.group.pk}/") and "passwd" not in photo.view_key
    assert photo.original_key.startswith(f"{oak.group.pk}/") and len(photo.original_sha256) == 64
    with default_storage.open(photo.view_key) as view, default_storage.open(photo.thumb_key) as thumb:
        assert Image.open(view).size == (photo.width, photo.height) == (640, 480)
        assert Image.open(thumb).size == (320, 240)


def test_a_refused_file_leaves_neither_row_nor_file(oak, visit):
    before = stored()
    for raw in (b"words, named lawn.jpg", b"", jpeg().getvalue()[:900]):
        with pytest.raises(PhotoRefused):
            keep_visit_photo(visit=visit, by=oak.visitor, file=io.BytesIO(raw), slot="left")
    assert not Photo.of(oak.group).exists() and stored() == before
    visit.refresh_from_db()
    assert visit.state == "planned"


def test_a_row_that_cannot_be_written_leaves_no_file(oak, visit, monkeypatch):
    before = stored()

    def fall_over(*args, **kwargs):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(Photo, "save", fall_over)
    with pytest.raises(RuntimeError):
        keep_visit_photo(visit=visit, by=oak.visitor, file=jpeg(), slot="left")
    assert stored() == before


def test_the_picture_is_worked_on_outside_the_transaction(oak, visit, monkeypatch):
    depths = []
    outer = len(connection.savepoint_ids)
    accept = actions.photos.accept

    def watched(file):
        depths.append(len(connection.savepoint_ids))
        return accept(file)

    monkeypatch.setattr(actions.photos, "accept", watched)
    keep_visit_photo(visit=visit, by=oak.visitor, file=jpeg(), slot="left")
    assert depths == [outer]


def test_a_photo_sent_twice_is_one_and_another_under_its_uid_a_conflict(oak, visit):
    uid = uuid.uuid4()
    first = keep_visit_photo(visit=visit, by=oak.visitor, file=jpeg(), slot="left", uid=uid)
    files = stored()
    assert keep_visit_photo(visit=visit, by=oak.visitor, file=jpeg(), slot="left", uid=uid) == first
    with pytest.raises(Conflict):
        keep_visit_photo(visit=visit, by=oak.visitor, file=jpeg("navy"), slot="left", uid=uid)
    assert Photo.of(oak.group).count() == 1 and stored() == files


def test_no_picture_is_kept_where_they_want_none(oak, visit):
    given = [{"question": "pictures", "value": {"pictures": "none"}}]
    add_entries(visit=visit, by=oak.visitor, entries=given)
    with pytest.raises(PhotoRefused, match="no pictures"):
        keep_visit_photo(visit=visit, by=oak.visitor, file=jpeg(), slot="left")


def test_a_cameras_moment_is_read_on_the_clock_of_the_group(oak, visit):
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = "2026:07:01 12:00:00"
    out = io.BytesIO()
    Image.new("RGB", (40, 30)).save(out, "JPEG", exif=exif)
    with timezone.override("Europe/London"):
        photo = keep_visit_photo(visit=visit, by=oak.visitor, file=out, slot="left")
    assert photo.taken_at == datetime.datetime(2026, 7, 1, 11, 0, tzinfo=datetime.UTC)


# ---- being done


def test_a_visit_is_done_even_with_questions_open(oak, visit):
    finish_visit(visit=visit, by=oak.visitor)
    visit.refresh_from_db()
    assert visit.state == "done" and visit.checked_in_at and visit.checked_out_at


def test_leaving_early_asks_why(oak, visit):
    with pytest.raises(ValidationError, match="why you left early"):
        finish_visit(visit=visit, by=oak.visitor, state="cut short", reason="  ")
    finish_visit(visit=visit, by=oak.visitor, state="cut short", reason="Thunder")
    visit.refresh_from_db()
    assert (visit.state, visit.reason) == ("cut short", "Thunder")


def test_nobody_home_is_an_end_too(oak, visit):
    assert finish_visit(visit=visit, by=oak.visitor, state="no answer").state == "no answer"


def test_done_twice_is_done_once_and_two_ends_are_told_apart(oak, visit):
    first = finish_visit(visit=visit, by=oak.visitor).checked_out_at
    assert finish_visit(visit=Visit.of(oak.group).get(), by=oak.organiser).checked_out_at == first
    with pytest.raises(ValidationError, match="faster"):
        finish_visit(visit=visit, by=oak.organiser, state="no answer")


def test_what_was_not_clear_can_be_answered_after_the_visit(oak, visit):
    finish_visit(visit=visit, by=oak.visitor)
    add_entries(visit=visit, by=oak.visitor, entries=[{"question": "tap", "value": {"tap": "no"}}])
    visit.refresh_from_db()
    assert visit.state == "done"
    assert current_answers(visit.conversion)["tap"].value == {"tap": "no"}
