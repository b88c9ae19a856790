"""The list of jobs, and what it says at one moment of the day."""

from datetime import time
from io import BytesIO

import pytest
from pypdf import PdfReader

from conversions.builds import crewsheet, jobs
from conversions.builds.agreed import papers_left, papers_of, papers_on
from conversions.builds.gates import ready
from conversions.common import measures
from conversions.yards.models import Planned
from tests.builds.rows import make_agreed, make_day
from tests.rows import rectangle


@pytest.fixture
def listed(oak):
    yard = make_agreed(oak)
    return jobs.jobs_of(make_day(oak, yard, helpers_wanted=8), [papers_of(yard)])


def test_the_list_keeps_to_the_groups_own_talk_and_pace_of_helpers(oak, listed):
    """Half an hour of talk becomes a whole one; helpers at half the pace of a fit adult, not three quarters."""
    yard = make_agreed(oak)
    site, takeoff = papers_of(yard)
    own = {"hours_brief_and_setup": 1.0, "crew_factor": 0.5}
    slow = jobs.jobs_of(make_day(oak, yard, helpers_wanted=8), [({**site, "own": own}, takeoff)])
    usual, later = ([job.minute for job in some if job.minute is not None] for some in (listed, slow))
    assert later[1] - usual[1] == 30
    assert later[2] - later[1] == pytest.approx((usual[2] - usual[1]) * 1.5, abs=5)


@pytest.fixture
def second_day(oak):
    """The back lawn's day, after the front lawn was finished on another."""
    yard = make_agreed(oak, None, rectangle(label="Front lawn"), rectangle("5", "4", label="Back lawn"))
    Planned.of(oak.group).filter(patch__label="Front lawn").update(complete_on=oak.today)
    return make_day(oak, yard, helpers_wanted=8)


def test_a_day_for_one_of_two_patches_asks_for_the_work_and_supplies_of_that_one(second_day):
    (yard,) = second_day.yards
    whole, here = papers_of(yard)[1], papers_on(second_day, yard)[1]
    assert [patch["label"] for patch in papers_on(second_day, yard)[0]["patches"]] == ["Back lawn"]
    (back,) = [patch for patch in whole["patches"].values() if abs(patch["cover_m2"] - figure_of(here, "cover")) < 0.01]
    assert figure_of(here, "cardboard") == back["cardboard"]["sheets"] < figure_of(whole, "cardboard")
    shown = measures.number(figure_of(here, "cardboard"))
    (gate,) = [gate for gate in ready(second_day) if gate.key == "cardboard"]
    assert gate.words == f"Cardboard, {shown} sheets"
    text = " ".join(
        " ".join(page.extract_text().split()) for page in PdfReader(BytesIO(crewsheet.pdf(second_day))).pages
    )
    assert f"Cardboard, {shown} sheets" in text and "Back lawn" in text and "Front lawn" not in text


def test_a_day_for_the_whole_yard_keeps_the_figures_that_were_agreed(oak):
    yard = make_agreed(oak, None, rectangle(label="Front lawn"), rectangle("5", "4", label="Back lawn"))
    assert papers_on(make_day(oak, yard), yard) == papers_of(yard) == papers_left(yard)


def figure_of(takeoff: dict, key: str) -> float:
    return takeoff["figures"][key]["value"]


def test_before_the_start_the_first_job_shows_and_nothing_of_the_days_before(listed):
    clock = jobs.by_the_clock(listed, 0)
    assert [job.words[:12] for job in clock.now] == ["Sign in, saf"] and clock.now[0].starts == time(9, 30)
    assert (clock.until, len(clock.then)) == (clock.then[0].starts, 3)


def test_at_any_minute_the_job_shown_has_begun_and_the_next_has_not(listed):
    for minute in range(9 * 60 + 30, 24 * 60):
        clock = jobs.by_the_clock(listed, minute)
        assert clock.now and all(job.minute <= minute for job in clock.now)
        assert not clock.then or clock.then[0].minute > minute


def test_jobs_side_by_side_are_shown_side_by_side(listed):
    """At 10:05 the trench is cut while the first card is laid."""
    words = " ".join(job.words for job in jobs.by_the_clock(listed, 10 * 60 + 5).now)
    assert "Cut the trench" in words and "Cardboard" in words


def test_after_the_last_job_the_last_one_stays(listed):
    clock = jobs.by_the_clock(listed, 24 * 60 - 1)
    assert (clock.now, clock.then, clock.until) == ([listed[-1]], [], None)
