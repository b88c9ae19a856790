import datetime

import pytest

from conversions.care.schedule import due_dates, months_on, season_end

OCTOBER = (10, 31)


def day(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def dates(complete_on: str, season_ends=OCTOBER) -> dict[str, str]:
    return {due.kind: due.on.isoformat() for due in due_dates(day(complete_on), season_ends)}


def test_a_garden_of_9_may_has_six_dates():
    assert dates("2026-05-09") == {
        "week 1": "2026-05-16",
        "month 1": "2026-06-09",
        "season's end": "2026-10-31",
        "year 1": "2027-05-09",
        "year 2": "2028-05-09",
        "year 3": "2029-05-09",
    }


@pytest.mark.parametrize(
    ("built", "month_on"),
    [("2026-01-31", "2026-02-28"), ("2028-01-31", "2028-02-29"), ("2026-12-31", "2027-01-31")],
)
def test_a_month_on_never_leaves_the_month(built, month_on):
    assert months_on(day(built), 1) == day(month_on)


def test_29_february_and_a_year_is_28_february():
    found = dates("2028-02-29")
    assert (found["year 1"], found["year 2"], found["year 3"]) == ("2029-02-28", "2030-02-28", "2031-02-28")


def test_four_years_after_a_leap_day_is_a_leap_day_again():
    assert months_on(day("2028-02-29"), 48) == day("2032-02-29")


@pytest.mark.parametrize(
    ("built", "ends"),
    [
        ("2026-09-01", "2026-10-31"),  # exactly 60 days: 29 in September, 31 in October
        ("2026-09-02", "2027-10-31"),  # 59 days
        ("2026-10-31", "2027-10-31"),
        ("2026-11-15", "2027-10-31"),
    ],
)
def test_the_end_of_season_leaves_at_least_60_days(built, ends):
    assert season_end(day(built), *OCTOBER) == day(ends)


def test_a_season_that_ends_on_29_february_ends_on_the_28th_in_other_years():
    assert season_end(day("2026-06-01"), 2, 29) == day("2027-02-28")
    assert season_end(day("2027-06-01"), 2, 29) == day("2028-02-29")


def test_a_late_garden_has_its_first_birthday_before_its_end_of_season():
    kinds = [due.kind for due in due_dates(day("2026-09-20"), OCTOBER)]
    assert kinds == ["week 1", "month 1", "year 1", "season's end", "year 2", "year 3"]
