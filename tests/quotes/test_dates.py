"""Until when an offer holds."""

import datetime

import pytest

from conversions.quotes.dates import TooSoon, rain_date, saturdays, valid_until

SENT = datetime.date(2026, 4, 24)


def in_days(days: int) -> datetime.date:
    return SENT + datetime.timedelta(days)


@pytest.mark.parametrize(
    ("offered", "until"),
    [
        (None, 45),  # no day offered: 45 days
        (200, 45),  # a far day: 45 days is sooner
        (59, 45),  # 14 days before it is just as soon
        (58, 44),  # from here on the day decides
        (22, 8),
        (15, 1),
        (14, 13),  # within 14 days: until the day before
        (3, 2),
        (1, 0),  # built tomorrow: today is the last day to say yes
    ],
)
def test_an_offer_holds_until_14_days_before_the_build_or_45_after_sending(offered, until):
    assert valid_until(SENT, offered and in_days(offered)) == in_days(until)


@pytest.mark.parametrize("days", range(1, 80))
def test_no_offer_outlives_the_day_before_the_build(days):
    assert SENT <= valid_until(SENT, in_days(days)) < in_days(days)


@pytest.mark.parametrize("days", [0, -1])
def test_a_day_that_is_today_or_past_cannot_be_offered(days):
    with pytest.raises(TooSoon):
        valid_until(SENT, in_days(days))


@pytest.mark.parametrize("start", range(7))
def test_the_days_offered_are_saturdays_that_leave_three_weeks(start):
    offered = saturdays(in_days(start))
    assert [on.weekday() for on in offered] == [5, 5, 5]
    assert 21 <= (offered[0] - in_days(start)).days < 28
    assert rain_date(offered[0]) == offered[1]
