"""The coming weeks at a glance: month sheets with every build day and every rain date on them."""

import calendar
import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from .models import Day

MONTHS = 3  # what lies further ahead stands in the list


@dataclass(frozen=True)
class Square:
    """One square of a month sheet; `on` is None before the first and after the last of the month."""

    on: datetime.date | None
    day: Day | None = None  # the build day, or the one whose rain date it is
    is_rain: bool = False
    is_today: bool = False


@dataclass(frozen=True)
class Sheet:
    first: datetime.date
    weeks: list[list[Square]]  # Monday first, as in the week strip


def month_sheets(days: Iterable[Day], today: datetime.date) -> list[Sheet]:
    """From this month to the last one with a build day or a rain date, three at most; none without a day ahead."""
    held: dict[datetime.date, Day] = {}
    for day in days:
        if day.on >= today:
            held.setdefault(day.on, day)
    rain = {day.rain_on: day for day in held.values() if day.rain_on and day.rain_on not in held}
    if not held:
        return []
    first, last = today.replace(day=1), max([*held, *rain])
    sheets = []
    while first <= last and len(sheets) < MONTHS:
        sheets.append(Sheet(first, [_week(week, first, today, held, rain) for week in _weeks(first)]))
        first = (first + datetime.timedelta(days=31)).replace(day=1)
    return sheets


def _weeks(first: datetime.date) -> list[list[datetime.date]]:
    return calendar.Calendar(calendar.MONDAY).monthdatescalendar(first.year, first.month)


def _week(
    dates: list[datetime.date],
    first: datetime.date,
    today: datetime.date,
    held: dict[datetime.date, Day],
    rain: dict[datetime.date, Day],
) -> list[Square]:
    return [
        Square(on, held.get(on) or rain.get(on), on in rain, on == today) if on.month == first.month else Square(None)
        for on in dates
    ]
