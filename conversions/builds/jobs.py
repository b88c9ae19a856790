"""The jobs of a day in their order, with what to mind and about when, from the agreed take-off."""

import datetime
import math
from dataclasses import dataclass, fields, replace
from decimal import Decimal

from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.sizing import Crew, Own, Task, dayplan, read_own
from conversions.sizing.dayplan import plan_for
from conversions.sizing.labour import pert_mean

from .agreed import figure
from .models import Day

ROUND_MIN, DAY_MIN = 5, 24 * 60
TENTH = Decimal("0.1")
TRENCH = "edge_trench"
TASK = [field.name for field in fields(Task)]


@dataclass(frozen=True)
class Job:
    words: str
    how: str
    minute: int | None  # of the day it begins at
    ends: int | None  # and the one it ends at
    hours: Decimal | None  # of work, however many hands share it
    when: str = "day"  # day, or before

    @property
    def starts(self) -> datetime.time | None:
        """None before the day, and for what would begin after midnight."""
        return _clock(self.minute)

    @property
    def until(self) -> datetime.time | None:
        return _clock(self.ends)


def _clock(minute: int | None) -> datetime.time | None:
    return None if minute is None or minute >= DAY_MIN else datetime.time(*divmod(minute, 60))


def jobs_of(day: Day, papers: list[tuple[dict, dict]]) -> list[Job]:
    """Every job of the day, its hours and its times as the engine plans a day for so many hands."""
    site = papers[0][0] if papers else {}
    chips = sum((figure(takeoff, "chips") for _site, takeoff in papers), Decimal(0))  # as they stand under supplies
    rows = _added_up([task for _site, takeoff in papers for task in takeoff.get("tasks", [])])
    out = [Job(*_words(row, site, day, chips), None, None, None, "before") for row in rows if row["when"] == "before"]
    own = read_own(site.get("own") or {})  # what the group set when the plan was drawn
    begins = day.starts.hour * 60 + day.starts.minute
    talked = begins + own["hours_brief_and_setup"] * 60
    brief = _("Sign in, safety talk, tools, look at the marks"), _("everyone; nothing is dug before this")
    out.append(Job(*brief, begins, _rounded(talked), None))
    on_the_day, last = _timed([row for row in rows if row["when"] == "day"], day.helpers_wanted, own)
    written, total = Decimal(0), 0.0
    for row, starts, ends in on_the_day:
        total += _mean(row)
        hours = Decimal(str(total)).quantize(TENTH) - written  # so that the rows add up to the hours of the plan
        written += hours
        out.append(Job(*_words(row, site, day, chips), _rounded(talked + starts), _rounded(talked + ends), hours))
    packs = talked + last
    tidy = _("Photo from the kerb, sweep, count the tools"), _("everyone")
    out.append(Job(*tidy, _rounded(packs), _rounded(packs + own["hours_tidy_and_pack"] * 60), None))
    return out


def _timed(rows: list[dict], people: int, own: Own) -> tuple[list[tuple[dict, float, float]], float]:
    """Each row with the minutes after the talk it begins and ends at, in order; and when the last one ends.

    However long it takes, it is one day here: that it runs over is said, and the crew leaves patches for another.
    """
    crew = replace(Crew.of(own), day_h=float(DAY_MIN // 60))
    tasks = [Task(**{name: row[name] for name in TASK}) for row in _added_up(rows, one_trench=True)]
    plan = plan_for(dayplan.jobs_of(tuple(tasks), own), max(1, people), crew, own)
    times: dict[str, list[float]] = {}
    for one in plan.stretches:
        before = (one.morning - 1) * DAY_MIN
        times.setdefault(_kind(one.task), []).extend((before + one.start_h * 60, before + one.end_h * 60))
    out = []
    for row in rows:
        at = times.get(_kind(row["task"]), [float(DAY_MIN)])  # of more work than anybody plans by the minute: later
        out.append((row, min(at), max(at)))
    return sorted(out, key=lambda one: one[1]), max((ends for _row, _starts, ends in out), default=0.0)


def _mean(row: dict) -> float:
    return pert_mean(row["low_h"], row["likely_h"], row["high_h"])


def _kind(task: str) -> str:
    return TRENCH if task.startswith(TRENCH) else task


def hours_over(day: Day, jobs: list[Job]) -> int:
    """By how many whole hours, at least one, the list runs past the end of the day; 0 when it fits."""
    last = jobs[-1].ends if jobs else 0
    over = last - (day.ends.hour * 60 + day.ends.minute)
    return max(0, math.ceil(over / 60))


@dataclass(frozen=True)
class Clock:
    """What the list says at one moment: the jobs people are at, until when nothing new begins, and what comes after."""

    now: list[Job]
    until: datetime.time | None
    then: list[Job]


def by_the_clock(jobs: list[Job], minute: int) -> Clock:
    """Before the day begins its first job is the one to see; after the last, the last."""
    listed = [job for job in jobs if job.when == "day"]
    begun = [job for job in listed if job.minute <= minute] or listed[:1]
    then = [job for job in listed if job not in begun]
    now = [job for job in begun if job.ends > minute] or begun[-1:]
    return Clock(now, then[0].starts if then else None, then[:3])


def _rounded(minutes: float) -> int:
    return round(minutes / ROUND_MIN) * ROUND_MIN


def _added_up(tasks: list[dict], one_trench: bool = False) -> list[dict]:
    """The same task in two yards is one row; for the day plan trenches in two kinds of soil are one too."""
    rows: dict[str, dict] = {}
    for task in tasks:
        key = _kind(task["task"]) if one_trench else task["task"]
        if key in rows:
            for name in ("quantity", "low_h", "likely_h", "high_h"):
                rows[key][name] += task[name]
        elif task["when"] != "around":
            rows[key] = dict(task)
    return list(rows.values())


def _words(row: dict, site: dict, day: Day, chips: Decimal) -> tuple[str, str]:
    """A job and what to mind while doing it, with the depths of this very plan."""
    units, amount, task = day.group.units, row["quantity"], row["task"]
    trench, card, mulch = site.get("trench", {}), site.get("cardboard", {}), site.get("mulch", {})

    def small(metres: float | None) -> str:
        return measures.feet_inches(metres) if units == "imperial" else f"{round((metres or 0) * 1000)} mm"

    if task.startswith("edge_trench"):
        size = {"wide": small(trench.get("width_m")), "deep": small(trench.get("depth_m"))}
        return (
            _("Cut the trench, %s") % measures.length(amount, units),
            _("%(wide)s wide, %(deep)s deep; only where the plan has ticks") % size,
        )
    if task == "cardboard_lay":
        return (
            _("Cardboard, %(n)s layers, laps %(lap)s") % {"n": card.get("layers"), "lap": small(card.get("lap_m"))},
            _("staples and tape off; joints never above joints"),
        )
    if task == "chips_move_and_spread":
        amount = measures.volume(chips or amount, units)
        return _("Chips, fork, barrow, rake, about %s") % amount, _("%s deep when settled") % small(
            mulch.get("depth_m")
        )
    if task in ("fill_bed_compost", "mound_bed_compost"):
        amount = measures.volume(amount, units)
        framed = task == "fill_bed_compost"
        words = _("Compost into the framed beds, about %s") if framed else _("Compost on the mounded beds, about %s")
        return words % amount, _("damp it first; it settles by about a fifth")
    return _plain(task, amount)


def _plain(task: str, amount: float) -> tuple[str, str]:
    number = measures.number(amount)
    known = {
        "mow_short": (_("Mow short, leave the cuttings"), _("before the marks are painted, not after")),
        "cardboard_strip_tape_staples": (_("Strip tape and staples off the card"), _("gloves on")),
        "mark_out": (_("Set out the beds with string"), _("two tapes, from the two corners named on the plan")),
        "cardboard_wet": (_("Wet the lawn, then each layer"), _("one hose, all the time")),
        "frame_bed_precut": (_("Build the framed beds, %s") % number, _("level, on the cardboard")),
        "planting_pocket": (_("Planting pockets, %s") % number, _("heaped compost, never cut through where runners grow")),
        "seed_rows": (_("Plant and sow"), _("framed beds first")),
        "water_in": (_("Water in"), _("slowly, twice")),
    }  # fmt: skip
    return known.get(task, (task.replace("_", " ").capitalize(), ""))
