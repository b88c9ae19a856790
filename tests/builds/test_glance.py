"""Build days and rain dates on month sheets."""

import datetime

import pytest

from conversions.builds.glance import month_sheets
from conversions.builds.models import Day
from tests.builds.rows import make_agreed, make_day

TODAY = datetime.date(2026, 5, 5)


def a_day(on, rain_on=None):
    return Day(on=datetime.date.fromisoformat(on), rain_on=rain_on and datetime.date.fromisoformat(rain_on))


def squares(sheets):
    return {square.on: square for sheet in sheets for week in sheet.weeks for square in week if square.on}


def test_without_a_day_ahead_there_is_no_sheet():
    assert month_sheets([], TODAY) == []
    assert month_sheets([a_day("2026-05-02")], TODAY) == [], "a day that is over but not closed"


def test_the_sheets_run_from_this_month_to_the_last_date_that_counts():
    sheets = month_sheets([a_day("2026-05-30", rain_on="2026-06-06")], TODAY)
    assert [sheet.first.month for sheet in sheets] == [5, 6]
    on = squares(sheets)
    assert on[TODAY].is_today and on[TODAY].day is None
    assert on[datetime.date(2026, 5, 30)].day and not on[datetime.date(2026, 5, 30)].is_rain
    assert on[datetime.date(2026, 6, 6)].is_rain and on[datetime.date(2026, 6, 6)].day.on.day == 30
    assert len(on) == 61 and all(len(week) == 7 for sheet in sheets for week in sheet.weeks)


def test_a_build_day_takes_the_square_of_a_rain_date():
    on = squares(month_sheets([a_day("2026-05-09", rain_on="2026-05-16"), a_day("2026-05-16")], TODAY))
    assert not on[datetime.date(2026, 5, 16)].is_rain


def test_no_more_than_three_months_are_drawn():
    sheets = month_sheets([a_day("2026-12-30")], datetime.date(2026, 11, 30))
    assert [sheet.first for sheet in sheets] == [datetime.date(2026, 11, 1), datetime.date(2026, 12, 1)]
    assert len(month_sheets([a_day("2027-05-08")], TODAY)) == 3


@pytest.mark.django_db
def test_the_list_of_days_shows_them_at_a_glance(organiser, oak):
    day = make_day(oak, make_agreed(oak), on=oak.today + datetime.timedelta(days=3), rain_on=None)
    said = " ".join(organiser.get(oak.url("days/")).content.decode().split())
    assert "At a glance" in said and f", build day: {day.title}" in said
