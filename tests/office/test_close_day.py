"""Closing a day: square metres, care sheets and follow-ups in one stroke, once."""

import datetime
from decimal import Decimal
from io import BytesIO

import pytest
import time_machine
from django.core.exceptions import ValidationError
from pypdf import PdfReader

from conversions.builds import ledger
from conversions.builds.actions import change_day, record_as_built, set_state
from conversions.builds.models import Day, Ground
from conversions.care.models import CareSheet, FollowUp
from conversions.groups.tenancy import Stale
from conversions.office.close_day import close_day, papers, sheets_due, written
from conversions.people.models import Document, Link
from conversions.yards.models import Planned
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_yard, rectangle

PAPER = b"%PDF-1.7 the care sheet as it was drawn"


def as_drawn(world, day, *patches):
    for row in day.day_patches.select_related("patch"):
        if not patches or row.patch.label in patches:
            record_as_built(day=day, patch=row.patch, by=world.lead)


def close(world, day, sheets=None, revision=None):
    day.refresh_from_db()
    conversions = day.day_patches.values_list("conversion", flat=True)
    sheets = dict.fromkeys(conversions, PAPER) if sheets is None else sheets
    return close_day(day=day, by=world.lead, revision=revision or day.revision, sheets=sheets)


def kept(world, model):
    return model.of(world.group).count()


def test_an_as_built_patch_becomes_ground_a_sheet_and_six_follow_ups(oak):
    day = make_day(oak)
    as_drawn(oak, day)
    planned = day.day_patches.get().planned_m2
    assert close(oak, day).state == "closed"
    row = Ground.of(oak.group).get()
    assert (row.m2, row.complete_on, row.kind) == (planned, oak.today, "converted")
    assert Planned.of(oak.group).get().complete_on == oak.today
    sheet = CareSheet.of(oak.group).get()
    assert (sheet.n, sheet.day, bytes(sheet.document.content)) == (1, day, PAPER)
    link = Link.of(oak.group).get(purpose="care")
    assert (link.subject_id, link.person) == (sheet.pk, sheet.conversion.household.contact)
    assert {row.kind for row in FollowUp.of(oak.group)} == {
        "week 1", "month 1", "season's end", "year 1", "year 2", "year 3"
    }  # fmt: skip


def test_a_second_press_gives_the_same_day_and_nothing_twice(oak):
    day = make_day(oak)
    as_drawn(oak, day)
    revision = Day.of(oak.group).get().revision
    first = close(oak, day, revision=revision)
    again = close(oak, Day.of(oak.group).get(), revision=revision)
    assert (first.pk, again.state) == (again.pk, "closed")
    assert (kept(oak, Ground), kept(oak, CareSheet), kept(oak, FollowUp), kept(oak, Document)) == (1, 1, 6, 1)


def test_a_day_changed_meanwhile_is_not_closed(oak):
    day = make_day(oak)
    as_drawn(oak, day)
    old = Day.of(oak.group).get().revision
    change_day(day=day, revision=old, by=oak.organiser, notes="gate code at the neighbour's")
    with pytest.raises(Stale):
        close(oak, day, revision=old)
    assert kept(oak, Ground) == 0 and Day.of(oak.group).get().state == "under way"


def test_a_patch_nobody_wrote_about_keeps_the_day_open(oak):
    yard = make_agreed(oak, None, rectangle(), rectangle("5", "4", label="Back lawn", zone="back"))
    day = make_day(oak, yard)
    as_drawn(oak, day, "Front lawn")
    with pytest.raises(ValidationError, match="Back lawn"):
        close(oak, day)
    assert kept(oak, Ground) == 0 and Day.of(oak.group).get().is_open


def test_a_patch_left_for_another_day_counts_nothing_and_closes(oak):
    yard = make_agreed(oak, None, rectangle(), rectangle("5", "4", label="Back lawn", zone="back"))
    day = make_day(oak, yard)
    as_drawn(oak, day, "Front lawn")
    back = day.day_patches.get(patch__label="Back lawn").patch
    record_as_built(day=day, patch=back, by=oak.lead, area_m2=Decimal(0), is_complete=False)
    close(oak, day)
    assert [row.patch.label for row in Ground.of(oak.group)] == ["Front lawn"]
    assert Planned.of(oak.group).get(patch=back).complete_on is None


def test_a_part_that_finishes_no_patch_counts_but_waits_with_its_sheet(oak):
    day = make_day(oak)
    patch = day.day_patches.get().patch
    record_as_built(day=day, patch=patch, by=oak.lead, area_m2=Decimal("20.00"), is_complete=False)
    close(oak, day)
    assert Ground.of(oak.group).get().m2 == Decimal("20.00")
    assert (kept(oak, CareSheet), kept(oak, FollowUp)) == (0, 0)


def test_the_second_patch_gets_a_new_sheet_and_moves_no_follow_up(oak):
    yard = make_agreed(oak, None, rectangle(), rectangle("5", "4", label="Back lawn", zone="back"))
    with time_machine.travel("2026-05-09T15:00:00Z", tick=False):
        day = make_day(oak, yard, on=datetime.date(2026, 5, 9))
        as_drawn(oak, day, "Front lawn")
        back = day.day_patches.get(patch__label="Back lawn").patch
        record_as_built(day=day, patch=back, by=oak.lead, area_m2=Decimal(0), is_complete=False)
        close(oak, day)
    before = list(FollowUp.of(oak.group).values_list("kind", "due_on"))
    with time_machine.travel("2026-05-23T15:00:00Z", tick=False):
        later = make_day(oak, yard, on=datetime.date(2026, 5, 23))
        as_drawn(oak, later)
        assert [due.first_on for due in sheets_due(later, written(later))] == [datetime.date(2026, 5, 9)]
        close(oak, later)
    assert list(FollowUp.of(oak.group).values_list("kind", "due_on")) == before
    assert ("week 1", datetime.date(2026, 5, 16)) in before
    first, second = CareSheet.of(oak.group).order_by("n")
    assert (first.n, second.n, first.why_again) == (1, 2, "")
    assert second.why_again == "Back lawn finished on 23 May 2026"


def test_ground_finished_on_the_last_day_of_the_year_counts_in_that_year(oak):
    # 23:59 on 31 December in the group's zone; in UTC it is already January
    oak.group.zone = "America/New_York"
    oak.group.save()
    with time_machine.travel("2027-01-01T04:59:00Z", tick=False):
        assert oak.today == datetime.date(2026, 12, 31)
        day = make_day(oak)
        as_drawn(oak, day)
        close(oak, day)
    row = Ground.of(oak.group).get()
    assert (row.year, row.month, row.complete_on) == (2026, 12, datetime.date(2026, 12, 31))
    assert FollowUp.of(oak.group).get(kind="week 1").due_on == datetime.date(2027, 1, 7)


def test_a_day_closed_in_january_counts_in_the_december_it_was_built(oak):
    with time_machine.travel("2026-12-31T15:00:00Z", tick=False):
        day = make_day(oak)
        as_drawn(oak, day)
    with time_machine.travel("2027-01-03T09:00:00Z", tick=False):
        close(oak, day)
    assert Ground.of(oak.group).get().year == 2026


def test_a_leap_day_garden_is_a_year_old_on_28_february(oak):
    with time_machine.travel("2028-02-29T15:00:00Z", tick=False):
        day = make_day(oak)
        as_drawn(oak, day)
        close(oak, day)
    assert FollowUp.of(oak.group).get(kind="year 1").due_on == datetime.date(2029, 2, 28)


def test_a_rebuild_adds_no_ground_no_sheet_and_no_follow_up(oak):
    day = make_day(oak)
    as_drawn(oak, day)
    close(oak, day)
    counted = ledger.standing_m2(day.day_patches.get().patch)
    again = make_day(oak, day.day_patches.get().conversion, kind="rescue")
    as_drawn(oak, again)
    close(oak, again)
    assert ledger.standing_m2(day.day_patches.get().patch) == counted
    assert (kept(oak, Ground), kept(oak, CareSheet), kept(oak, FollowUp)) == (1, 1, 6)


def test_a_day_to_come_and_a_day_called_off_stay_as_they_are(oak):
    day = make_day(oak, on=oak.today + datetime.timedelta(3))
    with pytest.raises(ValidationError, match="still to come"):
        close(oak, day)
    set_state(day=day, to="cancelled", by=oak.organiser)
    with pytest.raises(ValidationError, match="called off"):
        close(oak, day)
    assert Day.of(oak.group).get().state == "cancelled"


def test_a_sheet_nobody_drew_undoes_the_whole_closing(oak):
    day = make_day(oak)
    as_drawn(oak, day)
    with pytest.raises(ValidationError, match="Press once more"):
        close(oak, day, sheets={})
    assert (kept(oak, Ground), kept(oak, FollowUp)) == (0, 0)
    assert Day.of(oak.group).get().is_open and Planned.of(oak.group).get().complete_on is None


def test_two_yards_of_one_day_get_a_sheet_each(oak):
    other = make_yard(oak, name="Tomasz Quill", reach="000 333 444", address="2 Upper Fold")
    day = make_day(oak, make_agreed(oak), make_agreed(oak, other))
    as_drawn(oak, day)
    close(oak, day)
    assert (kept(oak, Ground), kept(oak, CareSheet), kept(oak, FollowUp)) == (2, 2, 12)


def test_the_sheet_drawn_for_a_day_carries_its_real_dates(oak):
    with time_machine.travel("2026-05-09T15:00:00Z", tick=False):
        day = make_day(oak, on=datetime.date(2026, 5, 9))
        as_drawn(oak, day)
        [(conversion, content)] = papers(day).items()
        close(oak, day, sheets={conversion: content})
    reader = PdfReader(BytesIO(bytes(CareSheet.of(oak.group).get().document.content)))
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    for words in ("Saturday 9 May 2026", "until Saturday 16 May 2026", "until Tuesday 9 June 2026", "31 October 2026"):
        assert words in text
    assert oak.group.phone in text and "9 May 2029" in text
