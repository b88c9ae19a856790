"""Person-hours: each task low, likely and high; their sum with a range, and the people they ask for."""

import math
from dataclasses import dataclass

from . import catalogue as book
from .learning import Learned
from .own import BOOK, RATE, Own, triple_of
from .rates import RATES
from .results import Task
from .values import Crew


@dataclass(frozen=True)
class Hours:
    """Work of a build day: mean, shown range, the two sds it lies between, and the people it takes at the least."""

    mean_h: float
    low_h: float
    high_h: float
    sd_independent_h: float
    sd_tied_h: float
    people: int


def pert_mean(low: float, likely: float, high: float) -> float:
    """The mean of three points.

    >>> pert_mean(5, 8, 17)
    9.0
    """
    return (low + 4 * likely + high) / 6


def pert_sd(low: float, high: float) -> float:
    """The stated convention, a sixth of the spread.

    >>> pert_sd(5, 17)
    2.0
    """
    return (high - low) / 6


def shown_sd(sd_independent: float, sd_tied: float, tied_share: float = BOOK["tied_share"]) -> float:
    """Between tasks that vary on their own and tasks that are all slow together.

    >>> round(shown_sd(3, 5), 3)
    4.123
    """
    return math.sqrt((1 - tied_share) * sd_independent**2 + tied_share * sd_tied**2)


def barrow_cycle_s(distance_m: float, own: Own = BOOK) -> float:
    """Seconds for one barrow: fill, wheel there, tip, walk back.

    >>> round(barrow_cycle_s(20), 1)
    148.9
    """
    walking_s = distance_m / own["barrow_loaded_m_s"] + distance_m / own["barrow_empty_m_s"]
    return book.BARROW["load_s"].value + book.BARROW["dump_s"].value + walking_s


def barrow_m3_per_h(distance_m: float, own: Own = BOOK) -> float:
    """What one person who fills and wheels moves in an hour.

    >>> round(barrow_m3_per_h(30), 3)
    1.509
    """
    trips = 3600 * own["barrow_efficiency"] / barrow_cycle_s(distance_m, own)
    return trips * own["barrow_load_m3"]


def far_haul_h_per_m3(haul_m: float, own: Own = BOOK) -> float:
    """Extra hours per m3 for a haul longer than the moving rates include: walking only, as filling and tipping cancel.

    >>> far_haul_h_per_m3(20), round(far_haul_h_per_m3(80), 3)
    (0.0, 0.383)
    """
    included = own["haul_included"]
    return max(0.0, 1 / barrow_m3_per_h(max(haul_m, included), own) - 1 / barrow_m3_per_h(included, own))


def moving_factor(gate_m: float | None, slope: float, own: Own = BOOK) -> float:
    """How much longer moving takes through a gap too narrow for a barrow, and on a slope.

    >>> moving_factor(None, 0), moving_factor(0.6, 0.1)
    (1.0, 1.875)
    """
    by_gate = own["bucket_factor"] if gate_m is not None and gate_m < own["narrow_gate"] else 1.0
    return by_gate * (own["slope_factor"] if slope > own["slope_easy"] else 1.0)


def layer_factor(layers: int) -> float:
    """The laying rate is for three to four layers; fewer or more take time in proportion.

    >>> layer_factor(2) * 3, layer_factor(3), layer_factor(4), layer_factor(6)
    (2.0, 1.0, 1.0, 1.5)
    """
    least, most = book.RATE_LAYERS.low, book.RATE_LAYERS.high
    return layers / least if layers < least else max(1.0, layers / most)


def row(
    task: str,
    quantity: float,
    pace: float = 1.0,
    extra_h: float = 0.0,
    when: str = "day",
    scale: float = 1.0,
    learned: Learned | None = None,
    own: Own = BOOK,
) -> Task:
    """One row of work. `scale` adjusts the rate, `extra_h` adds hours per unit, `pace` is the group's own factor.

    A rate learned for this very task takes the place of the book's or the group's own, and of the pace.

    >>> row("cardboard_lay", 50).likely_h
    2.0
    """
    rate, triple = RATES[task], triple_of(task, own)
    if learned:
        triple, pace = learned.triple(), 1.0
    hours = [quantity * (value * scale + extra_h) * pace for value in triple]
    origin = "yours" if learned or pace != 1.0 or own.has(RATE + task) else "book"
    return Task(task, round(quantity, 3), rate.unit, *(round(h, 4) for h in hours), when, origin)


def sum_up(tasks: tuple[Task, ...], crew: Crew, own: Own = BOOK) -> Hours:
    """Add the work of the day; the range is an 80 % range."""
    work = [task for task in tasks if task.when == "day"]
    mean = sum(pert_mean(task.low_h, task.likely_h, task.high_h) for task in work)
    sds = [pert_sd(task.low_h, task.high_h) for task in work]
    independent, tied = math.sqrt(sum(sd**2 for sd in sds)), sum(sds)
    spread = book.Z_80.value * shown_sd(independent, tied, own["tied_share"])
    return Hours(mean, max(0.0, mean - spread), mean + spread, independent, tied, people_needed(mean, crew))


def people_needed(hours: float, crew: Crew) -> int:
    """By plain division, as if nobody ever waited for anybody; the day plan may ask for a few more.

    >>> people_needed(19.4, Crew())
    10
    """
    each = crew.crew_factor * crew.working_share * crew.day_h
    return max(crew.least_people, math.ceil(hours / each - 1e-9))
