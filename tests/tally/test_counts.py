"""The year in numbers, by hand."""

import datetime
from decimal import Decimal

import time_machine

from conversions.builds import ledger
from conversions.builds.models import Ground
from conversions.builds.roster import mark_came, sign_up
from conversions.office.close_day import close_day
from conversions.tally import counts
from tests.builds.rows import make_agreed, make_bare_day, make_built, make_day, make_patch
from tests.office.test_close_day import as_drawn, close
from tests.rows import make_yard

D = Decimal
Y = 2025


def ground(world, patch, m2, on, is_complete=True, **day):
    day = make_bare_day(world, datetime.date.fromisoformat(on), **day)
    return ledger.write(day=day, patch=patch, as_built=make_built(day, patch, m2, is_complete), by=world.lead)


def test_square_metres_stand_in_the_month_their_patch_was_finished(oak):
    first = make_patch(oak, "40.00")
    ground(oak, first, "30.10", "2025-02-03")
    ground(oak, make_patch(oak, "25.00", place=first.place), "20.20", "2025-04-18")
    ground(oak, make_patch(oak, "9.00", place=first.place), "0.70", "2025-04-30")
    year = counts.year(oak.group, Y)
    assert [(month.number, month.m2, month.yards) for month in year.months] == [(2, D("30.10"), 1), (4, D("20.90"), 1)]
    assert year.total_m2 == D("51.00") and str(year.total_m2) == "51.00"


def test_a_thousand_small_rows_add_up_to_the_hundredth(oak):
    # 0.1 + 0.2 is 0.30000000000000004 in floats; a thousand rows of 0.07 are exactly 70.00
    patch = make_patch(oak, "80.00")
    day = make_bare_day(oak, datetime.date(Y, 5, 1))
    as_built = make_built(day, patch, "0.07")
    row = ledger.write(day=day, patch=patch, as_built=as_built, by=oak.lead)
    values = {"kind": "extension", "year": Y, "month": 5, "count_on": day.on, "complete_on": day.on, "by": oak.lead}
    rows = [Ground(group=oak.group, patch=patch, m2=row.m2, **values) for _n in range(999)]
    Ground.of(oak.group).bulk_create(rows)
    assert counts.year(oak.group, Y).total_m2 == D("70.00")


def test_a_correction_counts_in_its_own_row_and_helps_no_household(oak):
    row = ground(oak, make_patch(oak, "40.00"), "30.00", "2025-02-03")
    ledger.correct(ground=row, m2=D("-2.50"), reason="taped again", by=oak.organiser)
    year = counts.year(oak.group, Y)
    assert (year.total_m2, year.households, year.months[0].yards) == (D("27.50"), 1, 1)


def test_ground_that_was_no_lawn_stands_apart(oak):
    gravel = make_patch(oak, "12.00", ground_before="other")
    row = ground(oak, gravel, "12.00", "2025-06-01")
    ledger.correct(ground=row, m2=D("-1.00"), reason="a path stays", by=oak.organiser)
    year = counts.year(oak.group, Y)
    assert (year.total_m2, year.other_m2, year.months) == (D("0.00"), D("11.00"), [])


def test_an_address_is_one_household_a_year_and_new_only_once(oak):
    first = make_patch(oak, "40.00")
    ground(oak, first, "10.00", "2024-05-01", is_complete=False)
    ground(oak, first, "10.00", "2025-03-01", is_complete=False)
    ground(oak, make_patch(oak, "15.00", place=first.place), "15.00", "2025-08-01")
    other = make_yard(oak, address="7 Elder Walk").place
    ground(oak, make_patch(oak, "8.00", place=other), "8.00", "2025-09-09")
    assert [counts.year(oak.group, year).households for year in (2024, 2025, 2026)] == [1, 2, 0]
    assert [counts.year(oak.group, year).new_households for year in (2024, 2025)] == [1, 1]


def test_a_rebuild_adds_nothing_to_the_tally(oak):
    patch = make_patch(oak, "20.00")
    ground(oak, patch, "20.00", "2025-05-01")
    before = counts.year(oak.group, Y)
    assert ground(oak, patch, "20.00", "2025-09-01") is None
    assert ground(oak, patch, "20.00", "2025-09-08", kind="rescue") is None
    after = counts.year(oak.group, Y)
    assert (after.total_m2, after.months, after.households) == (D("20.00"), before.months, 1)


def test_helpers_hours_are_those_of_closed_days_with_the_nameless_in(oak):
    day = make_day(oak)
    one = sign_up(day=day, name="Bea Lund", by=oak.lead).person
    two = sign_up(day=day, name="Carlo Finch", by=oak.lead).person
    sign_up(day=day, name="Dora Wren", by=oak.lead)
    mark_came(day=day, present=[one.pk, two.pk], others=3, hours=D("4.5"))
    as_drawn(oak, day)
    assert counts.year(oak.group, oak.today.year).hours == 0
    close(oak, day)
    year = counts.year(oak.group, oak.today.year)
    assert (year.helpers, year.hours) == (5, D("22.50"))  # five people, 4.5 hours each


def test_somebody_who_came_twice_is_one_helper(oak):
    for yard in (make_agreed(oak), make_agreed(oak, make_yard(oak, name="A", address="2 Upper Fold"))):
        day = make_day(oak, yard)
        person = sign_up(day=day, name="Bea Lund", phone="000 400 000", by=oak.lead).person
        mark_came(day=day, present=[person.pk], hours=D("3"))
        as_drawn(oak, day)
        close(oak, day)
    year = counts.year(oak.group, oak.today.year)
    assert (year.helpers, year.hours) == (1, D("6.00"))


def test_materials_are_the_agreed_plan_times_built_over_planned(oak):
    day = make_day(oak)
    row = day.day_patches.select_related("patch", "conversion").get()
    figures = row.conversion.quotes.get().frozen["takeoff"]["figures"]
    half = row.planned_m2 / 2
    make_built(day, row.patch, str(half.quantize(D("0.01"))), is_complete=False)
    close(oak, day)
    used = counts.year(oak.group, oak.today.year).materials
    assert abs(used.sheets - D(str(figures["cardboard"]["value"])) / 2) <= 1
    loose = {label: value for label, value, _unit in figures["chips"]["inputs"]}["before rounding"]
    assert abs(used.chips_m3 - D(str(loose)) / 2) <= D("0.1")
    assert used.unknown == 0


def test_ground_built_without_a_plan_is_said_to_be_missing_from_the_materials(oak):
    ground(oak, make_patch(oak, "20.00"), "20.00", "2025-05-01")
    used = counts.year(oak.group, Y).materials
    assert (used.sheets, used.unknown) == (0, 1)


@time_machine.travel("2026-07-14 12:00", tick=False)
def test_a_day_that_is_over_and_open_stands_apart(oak):
    yesterday = oak.today - datetime.timedelta(days=1)
    day = make_day(oak, on=yesterday)
    planned = day.day_patches.get().planned_m2
    year = counts.year(oak.group, oak.today.year)
    assert (year.total_m2, year.waiting_m2, year.waiting_days) == (D("0.00"), planned, 1)
    as_drawn(oak, day)
    day.refresh_from_db()
    close_day(day=day, by=oak.lead, revision=day.revision, sheets={day.day_patches.get().conversion_id: b"%PDF"})
    year = counts.year(oak.group, oak.today.year)
    assert (year.total_m2, year.waiting_days) == (planned, 0)


def test_another_groups_ground_is_never_counted(oak, elm):
    ground(elm, make_patch(elm, "20.00"), "20.00", "2025-05-01")
    assert counts.year(oak.group, Y).total_m2 == D("0.00")
    assert counts.years(oak.group) == [oak.today.year]


def test_the_year_is_counted_in_a_fixed_number_of_queries(oak, django_assert_num_queries):
    place = make_patch(oak, "99.00").place
    for month in range(1, 10):
        ground(oak, make_patch(oak, "9.00", place=place), "9.00", f"2025-0{month}-01")
    with django_assert_num_queries(11):
        counts.year(oak.group, Y)
