"""The order of the jobs on a build day: who is on what, when, so that nobody is in two places and the day ends on time."""

import math
from dataclasses import dataclass, replace

from . import catalogue as book
from .labour import pert_mean
from .own import BOOK, Own
from .results import Takeoff, Task
from .values import Crew

MOST_SLOTS = 20_000  # of five minutes for one person: more work is a field, and nobody plans it by the five minutes

SLOT_H = book.DAY_SLOT.value
# A task in two parts lets the next one start after the first; how large that first part is, the group may set.
FIRST_PARTS = {"card, first part": "card_first_share", "chips, first part": "chips_first_share"}
RESTS = {"card, rest": "card_first_share", "chips, rest": "chips_first_share"}


@dataclass(frozen=True)
class Job:
    """One job of a given day: its work, what must be done before it, and how many may be on it at once."""

    name: str
    task: str
    hours: float  # of work by average adults working steadily
    after: tuple[str, ...]
    most: int


@dataclass(frozen=True)
class Stretch:
    """One job, one set of people, from and to in hours after the sign-in and the talk of that morning."""

    job: str
    task: str
    morning: int  # 1 or 2
    people: tuple[int, ...]
    start_h: float
    end_h: float


@dataclass(frozen=True)
class DayPlan:
    """Who is on what, when, on one or more mornings."""

    people: int
    mornings: int
    ends_h: float  # of the last morning
    stretches: tuple[Stretch, ...]

    @property
    def is_one_day(self) -> bool:
        return self.mornings == 1


def jobs_of(tasks: tuple[Task, ...], own: Own = BOOK) -> tuple[Job, ...]:
    """The jobs of a day; what there is nothing of falls out, and what waited for it waits for what it waited for."""
    hours, frames = {}, 1
    for task in tasks:
        if task.when == "day":
            key = "edge_trench" if task.task.startswith("edge_trench") else task.task
            hours[key] = task.task, pert_mean(task.low_h, task.likely_h, task.high_h)
            frames = int(task.quantity) if key == "frame_bed_precut" else frames
    after: dict[str, tuple[str, ...]] = {}
    out = []
    for row in book.DAY_JOBS:
        waits = tuple(dict.fromkeys(job for one in row.after for job in after.get(one, (one,))))
        if row.task in hours:
            places = row.most * frames if row.task == "fill_bed_compost" else row.most
            task, work = hours[row.task]
            out.append(Job(row.name, task, work * _share(row.name, own), waits, places))
        else:
            after[row.name] = waits
    return tuple(out)


def _share(job: str, own: Own) -> float:
    if job in FIRST_PARTS:
        return own[FIRST_PARTS[job]]
    return 1 - own[RESTS[job]] if job in RESTS else 1.0


def _tails(jobs: tuple[Job, ...]) -> dict[str, float]:
    """Hours from the start of each job to the end of the day with all its people on it: the longer, the sooner it starts."""
    tails: dict[str, float] = {}
    for job in reversed(jobs):
        later = max((tails[other.name] for other in jobs if job.name in other.after), default=0.0)
        tails[job.name] = job.hours / job.most + later
    return tails


def _ready(jobs: tuple[Job, ...], people: int, crew: Crew, own: Own) -> tuple[tuple[Job, ...], float]:
    """The jobs with the places at each that this many people have tools for, and the work one person does in a slot."""
    tools = max(1.0, people / own["tools_for"])
    sized = tuple(replace(job, most=int(job.most * tools)) for job in jobs)
    return sized, SLOT_H * crew.crew_factor * crew.working_share


def _teams(jobs: tuple[Job, ...], people: int, each: float) -> list[dict[Job, int]]:
    """Slot by slot, how many are on which job. `each` is the work one person does in a slot."""
    left, tails = {job.name: job.hours for job in jobs}, _tails(jobs)
    order = sorted(jobs, key=lambda job: -tails[job.name])
    slots: list[dict[Job, int]] = []
    while any(hours > 1e-9 for hours in left.values()):
        ready = [job for job in order if left[job.name] > 1e-9 and all(left[name] <= 1e-9 for name in job.after)]
        free, slot = people, {}
        for job in ready:
            useful = min(job.most, math.ceil(left[job.name] / each - 1e-9), free)
            if useful:
                slot[job] = useful
                free -= useful
        for job, count in slot.items():
            left[job.name] = max(0.0, left[job.name] - count * each)
        slots.append(slot)
    return slots


def _named(slots: list[dict[Job, int]], people: int) -> list[dict[int, Job]]:
    """The same with persons in the teams: whoever is on a job stays on it as long as it needs them."""
    out: list[dict[int, Job]] = []
    for teams in slots:
        before = out[-1] if out else {}
        free, slot = set(range(1, people + 1)), {}
        for job, count in teams.items():
            for person in sorted(free, key=lambda person: (before.get(person) != job, person))[:count]:
                slot[person] = job
                free.discard(person)
        out.append(slot)
    return out


def plan_for(jobs: tuple[Job, ...], people: int, crew: Crew, own: Own = BOOK) -> DayPlan:
    """A plan for a given number of people; what does not fit into one morning goes on in the next.

    A field's worth of work gets its mornings by plain division and no stretches.
    """
    jobs, each = _ready(jobs, people, crew, own)
    length, work = _slots_in_a_day(crew), sum(job.hours for job in jobs) / each
    if work > MOST_SLOTS:
        return DayPlan(people, math.ceil(work / people / length), crew.day_h, ())
    slots = _named(_teams(jobs, people, each), people)
    stretches: list[Stretch] = []
    for first in range(0, len(slots), length):
        stretches += _stretches(slots[first : first + length], first // length + 1)
    last = len(slots) - (len(slots) - 1) // length * length if slots else 0
    mornings = max(1, math.ceil(len(slots) / length))
    return DayPlan(people, mornings, round(last * SLOT_H, 4), tuple(stretches))


def _slots_in_a_day(crew: Crew) -> int:
    return max(1, round(crew.day_h / SLOT_H))


def enough_people(jobs: tuple[Job, ...], at_least: int, crew: Crew, own: Own = BOOK) -> int:
    """The fewest people with whom the jobs end in one morning; where a few more cannot, `at_least`."""
    for people in range(at_least, at_least + int(own["few_more"]) + 1):
        sized, each = _ready(jobs, people, crew, own)
        if sum(job.hours for job in jobs) / each > MOST_SLOTS:
            break
        if len(_teams(sized, people, each)) <= _slots_in_a_day(crew):
            return people
    return at_least


def _stretches(slots: list[dict[int, Job]], morning: int) -> list[Stretch]:
    """Slots in which the same people do the same job, as one line."""
    out, running = [], {}
    for n, slot in enumerate([*slots, {}]):
        teams: dict[Job, tuple[int, ...]] = {}
        for person in sorted(slot):
            teams[slot[person]] = (*teams.get(slot[person], ()), person)
        for job, (team, start) in list(running.items()):
            if teams.get(job) != team:
                out.append(Stretch(job.name, job.task, morning, team, round(start * SLOT_H, 4), round(n * SLOT_H, 4)))
                del running[job]
        for job, team in teams.items():
            running.setdefault(job, (team, n))
    return sorted(out, key=lambda stretch: (stretch.start_h, stretch.end_h, stretch.job))


def day_plan(result: Takeoff, people: int | None = None, crew: Crew | None = None, own: Own = BOOK) -> DayPlan:
    """The jobs of a take-off in order. Without a number of people: as few as end the day on time, from the crew needed.

    Where a few more hands cannot end one morning in time, the plan is for two. `own` is the site's own numbers.
    """
    crew, jobs = crew or Crew.of(own), jobs_of(result.tasks, own)
    if people is None:
        people = enough_people(jobs, int(result.figures["people"].value), crew, own)
    return plan_for(jobs, people, crew, own)
