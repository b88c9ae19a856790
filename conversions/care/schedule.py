"""When a follow-up falls due; plain dates in and out, no database."""

import datetime
from calendar import monthrange
from dataclasses import dataclass

WEEK = datetime.timedelta(days=7)
LEAST_BEFORE_SEASON_END = datetime.timedelta(days=60)  # a garden built later is looked at a season later
YEARS = (1, 2, 3)


@dataclass(frozen=True)
class Due:
    kind: str
    on: datetime.date


def in_month(year: int, month: int, day: int) -> datetime.date:
    """The date, or the last day of that month: `in_month(2027, 2, 29) == date(2027, 2, 28)`."""
    return datetime.date(year, month, min(day, monthrange(year, month)[1]))


def months_on(on: datetime.date, months: int) -> datetime.date:
    """The same day some months on, or the last of that month: 31 January and 1 is 28 February."""
    years, month = divmod(on.month - 1 + months, 12)
    return in_month(on.year + years, month + 1, on.day)


def season_end(on: datetime.date, month: int, day: int) -> datetime.date:
    """The first end of season that leaves at least 60 days: built on 2 September, the 31 October of the next year."""
    ends = in_month(on.year, month, day)
    year = on.year
    while ends - on < LEAST_BEFORE_SEASON_END:
        year += 1
        ends = in_month(year, month, day)
    return ends


def due_dates(complete_on: datetime.date, season_ends: tuple[int, int]) -> tuple[Due, ...]:
    """The six follow-ups of a garden, in the order they fall due. `season_ends` is (month, day)."""
    dues = [
        Due("week 1", complete_on + WEEK),
        Due("month 1", months_on(complete_on, 1)),
        Due("season's end", season_end(complete_on, *season_ends)),
        *(Due(f"year {n}", months_on(complete_on, 12 * n)) for n in YEARS),
    ]
    return tuple(sorted(dues, key=lambda due: due.on))
