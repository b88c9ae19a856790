"""The list of jobs, and what it says at one moment of the day."""

from datetime import time

import pytest

from conversions.builds import jobs
from conversions.builds.agreed import papers_of
from tests.builds.rows import make_agreed, make_day


@pytest.fixture
def listed(oak):
    yard = make_agreed(oak)
    return jobs.jobs_of(make_day(oak, yard, helpers_wanted=8), [papers_of(yard)])


def test_before_the_start_the_first_job_shows_and_nothing_of_the_days_before(listed):
    clock = jobs.by_the_clock(listed, 0)
    assert clock.now.words.startswith("Sign in, safety talk") and clock.now.starts == time(9, 30)
    assert (clock.until, len(clock.then)) == (clock.then[0].starts, 3)


def test_at_any_minute_the_job_shown_has_begun_and_the_next_has_not(listed):
    for minute in range(9 * 60 + 30, 24 * 60):
        clock = jobs.by_the_clock(listed, minute)
        assert clock.now.minute <= minute
        assert not clock.then or clock.then[0].minute > minute


def test_after_the_last_job_the_last_one_stays(listed):
    clock = jobs.by_the_clock(listed, 24 * 60 - 1)
    assert (clock.now, clock.then, clock.until) == (listed[-1], [], None)
