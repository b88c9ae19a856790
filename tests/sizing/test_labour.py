"""Hours, their range, people; what soil, distance, gate and slope do; the order of the day; learning."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conversions.sizing import Crew, Learned, day_plan, labour, learn_pace, learn_rate, learning, read_site, takeoff
from conversions.sizing.dayplan import jobs_of
from conversions.sizing.results import Task

from .yards import plain, worked

# A yard as seven triples of person-hours; our own arithmetic.
SEVEN = [(1.9, 3.1, 5.3), (1.5, 2.4, 4.8), (5.4, 8.1, 13.5), (2, 3, 5), (1.5, 2.5, 4), (1.2, 2.4, 4.8), (2, 3, 4)]
LOGGED = [(5.4, 9.0), (8.0, 11.5), (3.2, 6.1), (10.5, 17.2)]


def tasks(rows=SEVEN):
    return tuple(Task(f"t{n}", 1, "", *row) for n, row in enumerate(rows))


def test_seven_tasks_add_up_to_their_mean_and_two_spreads():
    total = labour.sum_up(tasks(), Crew())
    assert total.mean_h == pytest.approx(25.8167, abs=5e-5)
    assert total.sd_independent_h == pytest.approx(1.8278, abs=5e-5)
    assert total.sd_tied_h == pytest.approx(4.3167, abs=5e-5)


def test_the_shown_range_lies_between_independent_and_fully_tied():
    total = labour.sum_up(tasks(), Crew())
    half = (total.high_h - total.low_h) / 2
    assert 1.2816 * total.sd_independent_h < half < 1.2816 * total.sd_tied_h


def test_a_normal_sample_agrees_with_the_shown_range():
    """A referee by sampling: tasks with correlation one half fall into the range four times in five."""
    rng, total = np.random.default_rng(7), labour.sum_up(tasks(), Crew())
    sds = np.array([labour.pert_sd(low, high) for low, _, high in SEVEN])
    common, own = rng.standard_normal((200_000, 1)), rng.standard_normal((200_000, len(sds)))
    sums = total.mean_h + ((math.sqrt(0.5) * common + math.sqrt(0.5) * own) * sds).sum(axis=1)
    assert ((sums > total.low_h) & (sums < total.high_h)).mean() == pytest.approx(0.8, abs=0.005)


def test_heavy_soil_takes_longer_to_trench_than_light():
    hours = [next(t.likely_h for t in takeoff(plain(soil=soil)).tasks if t.task.startswith("edge_trench"))
             for soil in ("light", "medium", "heavy")]  # fmt: skip
    assert hours == pytest.approx([19.4 * rate * 2 / 3 for rate in (0.08, 0.13, 0.20)], abs=1e-3)


def hours(**more):
    return takeoff(plain(**more)).figures["hours"].value


def test_a_long_haul_a_narrow_gate_and_a_slope_take_longer():
    assert hours(haul_m=30) == hours(haul_m=5) < hours(haul_m=60) < hours(haul_m=120)
    assert hours(gate_m=0.9) == hours() < hours(gate_m=0.6)
    assert hours(slope=0.05) == hours() < hours(slope=0.12)


def test_more_layers_take_longer_from_the_fifth_on():
    assert [labour.layer_factor(n) for n in (1, 2, 3, 4, 6)] == [1 / 3, 2 / 3, 1, 1, 1.5]


def is_sound(plan, jobs, crew):
    """A plain referee: nobody in two places, order kept, all work done, no team larger than the job takes."""
    busy = [(person, s.morning, s.start_h, s.end_h) for s in plan.stretches for person in s.people]
    for n, (person, morning, start, end) in enumerate(busy):
        for other, when, first, last in busy[n + 1 :]:
            assert (person, morning) != (other, when) or end <= first + 1e-6 or last <= start + 1e-6
    at = {}
    done = dict.fromkeys((job.name for job in jobs), 0.0)
    for s in plan.stretches:
        span = at.setdefault(s.job, [math.inf, -math.inf])
        span[0], span[1] = min(span[0], s.morning * 100 + s.start_h), max(span[1], s.morning * 100 + s.end_h)
        done[s.job] += (s.end_h - s.start_h) * len(s.people) * crew.crew_factor * crew.working_share
        assert max(s.people) <= plan.people and s.end_h <= crew.day_h + 1e-6
    for job in jobs:
        assert done[job.name] >= job.hours - 1e-3  # stretches are rounded to seconds
        for name in job.after:
            assert at[name][1] <= at[job.name][0] + 1e-6
    return True


def test_the_day_of_the_worked_yard_ends_on_time_with_nobody_in_two_places():
    result = takeoff(read_site(worked("plain_front")[0]))
    plan = day_plan(result)
    assert plan.is_one_day
    assert plan.ends_h <= 3.5
    assert is_sound(plan, jobs_of(result.tasks), Crew())


@pytest.mark.parametrize("name", ["plain_front", "l_front", "curved_back", "accessible"])
def test_the_people_named_are_those_with_whom_the_plan_ends_on_time(name):
    result = takeoff(read_site(worked(name)[0]))
    figures, crew = result.figures, Crew()
    people = int(figures["people"].value)
    plan = day_plan(result, people=people)
    assert plan.is_one_day
    assert not day_plan(result, people=people - 1).is_one_day
    assert people >= labour.people_needed(labour.sum_up(result.tasks, crew).mean_h, crew)
    assert figures["clock_hours"].value == round(plan.ends_h + 0.9, 1)  # half an hour to sign in, 0.4 to tidy


def test_where_one_morning_is_too_short_for_a_few_more_hands_the_clock_runs_over_two():
    crew = replace(Crew(), day_h=1.5)
    result = takeoff(read_site(worked("accessible")[0]), crew=crew)
    plan = day_plan(result, crew=crew)
    assert plan.mornings == 2
    assert result.figures["people"].value == plan.people == labour.sum_up(result.tasks, crew).people
    assert result.figures["clock_hours"].value == round(1.5 + plan.ends_h + 2 * 0.9, 1)


def test_two_frames_are_filled_by_three_people_each():
    frames = [{"uid": f"f{n}", "patch": "front", "kind": "framed", "x": 2 + 4 * n, "y": 3} for n in range(2)]
    jobs = {job.name: job for job in jobs_of(takeoff(plain(beds=frames)).tasks)}
    assert jobs["fill frames"].most == 6


def test_a_field_is_not_planned_by_the_five_minutes():
    result = takeoff(plain(300, 200))
    people = int(result.figures["people"].value)
    assert people == math.ceil(labour.sum_up(result.tasks, Crew()).mean_h / (3.5 * 0.75 * 0.75))
    assert day_plan(result).stretches == ()
    assert day_plan(result, people=1).mornings > 1000


def test_too_much_for_one_morning_is_two():
    result = takeoff(plain(12, 9))
    plan = day_plan(result, people=10)
    assert plan.mornings == 2
    assert is_sound(plan, jobs_of(result.tasks), Crew())


@given(st.floats(2, 14), st.floats(2, 12), st.integers(1, 16), st.sampled_from(["light", "heavy"]))
def test_any_day_is_sound(width, depth, people, soil):
    result = takeoff(plain(width, depth, soil=soil))
    assert is_sound(day_plan(result, people=people), jobs_of(result.tasks), Crew())


def test_what_there_is_nothing_of_is_not_waited_for():
    jobs = {job.name: job for job in jobs_of(takeoff(plain(beyond=["open"] * 4)).tasks)}
    assert "trench" not in jobs
    assert jobs["card, rest"].after == ("card, first part",)


def test_a_rate_is_learned_from_the_days_together():
    """Our own arithmetic on four days: ratio 1.61624, blended with the book 1.6136, sd 0.0711."""
    found = learn_rate("chips_move_and_spread", LOGGED)
    assert found.days == 4
    assert found.mean == pytest.approx(1.61357, abs=1e-4)
    assert found.sd == pytest.approx(0.07113, abs=1e-4)
    assert sum(h / q for q, h in LOGGED) / 4 == pytest.approx(1.66213, abs=1e-4)  # not this


def test_three_days_or_fewer_lean_on_the_book():
    found = learn_rate("chips_move_and_spread", LOGGED[:1])
    assert found.days == 1
    assert found.mean == pytest.approx((10 * 9.5 / 6 + 9.0) / 15.4)


def test_nothing_logged_is_the_book():
    assert learn_pace([]) == Learned(1.0, 0.3, 0)
    assert learn_pace([(20, 0), (0, 5), (10, math.nan)]).days == 0


def test_one_strange_day_cannot_run_away_with_the_pace():
    usual = [(20.0, 21.0)] * 5
    assert learn_pace([*usual, (20.0, 2000.0)]).mean <= 2.5
    assert learn_pace([(1000.0, 3000.0), (10.0, 10.0)]).mean == pytest.approx((40 + 30 + 10) / 60)


@given(st.lists(st.tuples(st.floats(0.1, 100), st.floats(0.1, 300)), max_size=8))
def test_a_pace_stays_within_belief(days):
    found = learn_pace(days)
    assert 0.5 <= found.mean <= 2.5 and found.sd >= 0


@given(st.floats(0.6, 2), st.integers(4, 12))
def test_the_more_days_the_nearer_to_what_was_logged(true_pace, count):
    rng = np.random.default_rng(count)
    days = [
        (q, q * true_pace * (1 + 0.05 * e))
        for q, e in zip(rng.uniform(15, 25, count), rng.standard_normal(count), strict=True)
    ]
    found = learn_pace(days)
    assert abs(found.mean - true_pace) < 0.15


def test_learned_hours_say_yours_and_from_how_many_days():
    chips = learn_rate("chips_move_and_spread", LOGGED)
    result = takeoff(plain(), learned={"chips_move_and_spread": chips}, pace=1.1, pace_days=7)
    row = next(task for task in result.tasks if task.task == "chips_move_and_spread")
    assert row.origin == "yours"
    assert row.likely_h == pytest.approx(chips.mean * row.quantity, abs=1e-3)
    assert result.figures["hours"].origin == "yours"
    assert ("logged days", 7, "days") in result.figures["hours"].inputs
    assert result.figures["hours"].source.startswith("Yours")


def test_a_learned_rate_keeps_its_mean_and_spread_as_a_triple():
    low, likely, high = Learned(1.6, 0.1, 5).triple()
    assert labour.pert_mean(low, likely, high) == pytest.approx(1.6)
    assert labour.pert_sd(low, high) == pytest.approx(0.1)


def test_more_people_never_end_later():
    result = takeoff(plain(10, 8))
    ends = [(plan.mornings - 1) * 3.5 + plan.ends_h for plan in (day_plan(result, people=n) for n in range(2, 16))]
    assert all(later <= sooner + 0.09 for sooner, later in zip(ends, ends[1:], strict=False))


def test_a_fitter_crew_needs_fewer_people():
    assert (
        takeoff(plain(), crew=replace(Crew(), crew_factor=1.0)).figures["people"].value
        < takeoff(plain()).figures["people"].value
    )


def test_no_day_may_outweigh_the_others_together():
    assert learning.capped([(10.0, 20.0), (1.0, 1.0)]) == [(1.0, 2.0), (1.0, 1.0)]
