"""When an offer runs out and which days to offer. Plain dates: no database, no clock."""

import datetime

GOOD_FOR_DAYS = 45
DECIDE_BEFORE_DAYS = 14
FIRST_OFFER_DAYS = 21  # time for a yes, for marks on the ground and for asking helpers
RAIN_DATE_DAYS = 7
SATURDAY = 5


class TooSoon(ValueError):
    """A build day that leaves nobody time to answer."""


def valid_until(sent_on: datetime.date, offered_on: datetime.date | None) -> datetime.date:
    """14 days before the build or 45 after sending, whichever is sooner; for a day within 14 days, the day before it.

    >>> valid_until(datetime.date(2026, 4, 24), datetime.date(2026, 5, 16))
    datetime.date(2026, 5, 2)
    """
    latest = sent_on + datetime.timedelta(GOOD_FOR_DAYS)
    if offered_on is None:
        return latest
    if offered_on <= sent_on:
        raise TooSoon
    decide_by = offered_on - datetime.timedelta(DECIDE_BEFORE_DAYS)
    if decide_by <= sent_on:
        return offered_on - datetime.timedelta(1)
    return min(decide_by, latest)


def saturdays(today: datetime.date, how_many: int = 3) -> list[datetime.date]:
    """The first Saturdays that leave three weeks.

    >>> saturdays(datetime.date(2026, 4, 24))[0]
    datetime.date(2026, 5, 16)
    """
    first = today + datetime.timedelta(FIRST_OFFER_DAYS)
    first += datetime.timedelta((SATURDAY - first.weekday()) % 7)
    return [first + datetime.timedelta(7 * week) for week in range(how_many)]


def rain_date(offered_on: datetime.date) -> datetime.date:
    return offered_on + datetime.timedelta(RAIN_DATE_DAYS)
