"""The work of a take-off: tasks in the order of the job, and the figures of hours, people and the clock."""

from dataclasses import dataclass

from . import beds as bedwork
from . import catalogue as book
from . import labour, mulch
from .dayplan import enough_people, jobs_of, plan_for
from .edges import section_m2
from .figures import figure
from .learning import Learned
from .own import Own, triple_of
from .results import Figure, Task
from .values import Crew, Site

AROUND = ("brief_and_setup", "tidy_and_pack")  # each person, on the clock and not in the hours of work


@dataclass(frozen=True)
class Logged:
    """What a group has learned from its own days."""

    pace: float
    days: int
    learned: dict[str, Learned]

    def taught(self, tasks: tuple[Task, ...] | list[Task]) -> bool:
        """Whether any of these hours come out of logged days."""
        return self.pace != 1.0 or any(task.task in self.learned for task in tasks)

    def inputs(self) -> tuple[tuple[str, float, str], ...]:
        """The pace and the days, as inputs of a figure; nothing where the book holds."""
        days = max([self.days, *(rate.days for rate in self.learned.values())])
        pace = (("pace", round(self.pace, 3), ""),) if self.pace != 1.0 else ()
        return (*pace, *((("logged days", days, "days"),) if days else ()))


def tasks_of(site: Site, figures: dict[str, Figure], logged: Logged) -> tuple[Task, ...]:
    """The work in the order of the job; loose volumes before rounding are what people move."""
    value = {key: figures[key].value for key in figures}
    moving, far = (
        labour.moving_factor(site.gate_m, site.slope, site.own),
        labour.far_haul_h_per_m3(site.haul_m, site.own),
    )
    count = {kind: sum(bed.kind == kind for bed in site.beds) for kind in ("framed", "pocket")}
    loose = {
        kind: mulch.to_order_m3(
            sum(bedwork.compost_m3(bed, site.own) for bed in site.beds if bed.kind == kind), site.compost_settling
        )
        for kind in ("framed", "mounded")
    }

    def row(task: str, quantity: float, scale: float = 1.0, extra_h: float = 0.0, when: str = "day") -> Task:
        return labour.row(task, quantity, logged.pace, extra_h, when, scale, logged.learned.get(task), site.own)

    rows = (
        row("mow_short", value["cover"] / 100, when="before"),
        row("cardboard_strip_tape_staples", value["cover"], when="before"),
        row("mark_out", 1 if site.patches else 0),
        row(f"edge_trench_{site.soil}", value["trench"], section_m2(site.trench) / book.RATE_TRENCH_SECTION.value),
        row("cardboard_wet", value["cover"]),
        row("cardboard_lay", value["cover"], labour.layer_factor(site.cardboard.layers)),
        row("frame_bed_precut", count["framed"]),
        row("chips_move_and_spread", _unrounded(figures["chips"]), moving, far * moving),
        row("fill_bed_compost", loose["framed"], moving, far * moving),
        row("mound_bed_compost", loose["mounded"], moving, far * moving),
        row("planting_pocket", count["pocket"]),
        row("seed_rows", value["beds"]),
        row("water_in", value["beds"]),
    )
    return tuple(task for task in rows if task.quantity)


def _unrounded(of: Figure) -> float:
    return next(value for label, value, _ in of.inputs if label == "before rounding")


def work_figures(site: Site, tasks: tuple[Task, ...], crew: Crew, logged: Logged) -> dict[str, Figure]:
    """Hours, the people with whom the day plan ends on time, and what the clock shows by that plan."""
    own = site.own
    total, jobs = labour.sum_up(tasks, crew, own), jobs_of(tasks, own)
    plan = plan_for(jobs, enough_people(jobs, total.people, crew, own), crew, own)
    day = [task for task in tasks if task.when == "day"]
    tasks_h = [(task.task, round(labour.pert_mean(task.low_h, task.likely_h, task.high_h), 3), "h") for task in day]
    sds = (("sd, independent", round(total.sd_independent_h, 3), "h"), ("sd, tied", round(total.sd_tied_h, 3), "h"))
    factors = (("crew factor", crew.crew_factor, ""), ("share of an hour worked", crew.working_share, ""))
    hours, people, mornings = ("hours of work", round(total.mean_h, 3), "h"), ("people", plan.people, ""), plan.mornings
    around = [(task, triple_of(task, own)[1], "h") for task in AROUND]
    low, high = round(total.low_h, 1), round(total.high_h, 1)
    origin = "yours" if logged.taught(day) else "book"
    needed = (hours, ("hours in a day", crew.day_h, "h"), *factors, ("smallest crew", crew.least_people, ""))
    planned = ("hours by the day plan", round((mornings - 1) * crew.day_h + plan.ends_h, 3), "h")
    clock = planned[1] + mornings * sum(row[1] for row in around)
    return {
        "hours": figure(
            "hours", round(total.mean_h, 1), *tasks_h, *sds, *logged.inputs(), low=low, high=high, origin=origin
        ),
        "people": figure("people", plan.people, *needed, ("by plain division", total.people, "people"), origin=origin),
        "clock_hours": figure(
            "clock_hours", round(clock, 1), hours, people, planned, *around, ("mornings", mornings, ""), origin=origin
        ),
    }


def around_of(people: float, own: Own) -> tuple[Task, ...]:
    """Sign-in and tidying, by each person."""
    return tuple(labour.row(task, people, when="around", own=own) for task in AROUND)
