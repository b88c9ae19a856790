"""The jobs of a day in their order, with what to mind and about when, from the agreed take-off."""

import datetime
import math
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.sizing import Crew, read_own

from .models import Day

ROUND_MIN = 5


@dataclass(frozen=True)
class Job:
    words: str
    how: str
    minute: int | None  # of the day it begins at
    hours: Decimal | None  # of work, however many hands share it
    when: str = "day"  # day, or before

    @property
    def starts(self) -> datetime.time | None:
        """None before the day, and for what would begin after midnight."""
        return None if self.minute is None or self.minute >= 24 * 60 else datetime.time(*divmod(self.minute, 60))


def jobs_of(day: Day, papers: list[tuple[dict, dict]]) -> list[Job]:
    """Every job of the day. Times are a guess: the whole crew works through the list together."""
    site = papers[0][0] if papers else {}
    rows = _added_up([task for _site, takeoff in papers for task in takeoff.get("tasks", [])])
    on_the_day = [row for row in rows if row["when"] == "day"]
    out = [Job(*_words(row, site, day), None, None, "before") for row in rows if row["when"] == "before"]
    clock = float(day.starts.hour * 60 + day.starts.minute)
    brief = _("Sign in, safety talk, tools, look at the marks"), _("everyone; nothing is dug before this")
    out.append(Job(*brief, int(clock), None))
    own = read_own(site.get("own") or {})  # what the group set when the plan was drawn
    clock += own["hours_brief_and_setup"] * 60
    crew = Crew.of(own)
    share = day.helpers_wanted * crew.crew_factor * crew.working_share
    for row in on_the_day:
        hours = Decimal(str(row["likely_h"])).quantize(Decimal("0.1"))
        out.append(Job(*_words(row, site, day), _rounded(clock), hours))
        clock += row["likely_h"] / share * 60
    out.append(Job(_("Photo from the kerb, sweep, count the tools"), _("everyone"), _rounded(clock), None))
    return out


def hours_over(day: Day, jobs: list[Job]) -> int:
    """By how many whole hours, at least one, the list runs past the end of the day; 0 when it fits."""
    last = jobs[-1].minute if jobs else 0
    over = last - (day.ends.hour * 60 + day.ends.minute)
    return max(0, math.ceil(over / 60))


@dataclass(frozen=True)
class Clock:
    """What the list says at one moment: the job everybody is at, until when, and what comes after."""

    now: Job
    until: datetime.time | None
    then: list[Job]


def by_the_clock(jobs: list[Job], minute: int) -> Clock:
    """Before the day begins its first job is the one to see; after the last, the last."""
    listed = [job for job in jobs if job.when == "day"]
    begun = [n for n, job in enumerate(listed) if job.minute <= minute]
    at = begun[-1] if begun else 0
    then = listed[at + 1 :]
    return Clock(listed[at], then[0].starts if then else None, then[:3])


def _rounded(minutes: float) -> int:
    return round(minutes / ROUND_MIN) * ROUND_MIN


def _added_up(tasks: list[dict]) -> list[dict]:
    """The same task in two yards is one row."""
    rows: dict[str, dict] = {}
    for task in tasks:
        if task["task"] in rows:
            row = rows[task["task"]]
            for key in ("quantity", "likely_h"):
                row[key] += task[key]
        elif task["when"] != "around":
            rows[task["task"]] = dict(task)
    return list(rows.values())


def _words(row: dict, site: dict, day: Day) -> tuple[str, str]:
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
        amount = measures.volume(amount, units)
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
