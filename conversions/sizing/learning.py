"""Learning from logged days: one pace for a group, and a rate per task where hours were logged by task."""

import math
from dataclasses import dataclass

from .own import BOOK, Own, triple_of


@dataclass(frozen=True)
class Learned:
    """A mean with its sd, and how many days stand behind it. 0 days: the book."""

    mean: float
    sd: float
    days: int

    def triple(self) -> tuple[float, float, float]:
        """Low, likely and high whose three-point mean and sd are these."""
        return max(0.0, self.mean - 3 * self.sd), self.mean, self.mean + 3 * self.sd


def usable(days: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Days with both a quantity and hours; one without hours teaches nothing."""
    return [(q, h) for q, h in days if q and h and math.isfinite(q) and math.isfinite(h) and q > 0 and h > 0]


def capped(days: list[tuple[float, float]], share: float = BOOK["day_share"]) -> list[tuple[float, float]]:
    """No single day counts for more than the others together: a larger one is scaled down, its own ratio kept.

    >>> capped([(10, 20), (1, 1)])
    [(1.0, 2.0), (1, 1)]
    """
    total, out = sum(q for q, _ in days), []
    for q, h in days:
        most = (total - q) * share / (1 - share)
        factor = min(1.0, most / q) if len(days) > 1 else 1.0
        out.append((q * factor, h * factor) if factor < 1 else (q, h))
    return out


def ratio(days: list[tuple[float, float]]) -> float:
    """Hours over quantities, all days together; not the mean of daily ratios.

    >>> round(ratio([(5.4, 9.0), (8.0, 11.5), (3.2, 6.1), (10.5, 17.2)]), 5)
    1.61624
    """
    return sum(h for _, h in days) / sum(q for q, _ in days)


def ratio_error(days: list[tuple[float, float]]) -> float:
    """Standard error of the ratio; needs two days or more.

    >>> round(ratio_error([(5.4, 9.0), (8.0, 11.5), (3.2, 6.1), (10.5, 17.2)]), 4)
    0.0742
    """
    n, r = len(days), ratio(days)
    mean_q = sum(q for q, _ in days) / n
    return math.sqrt(sum((h - r * q) ** 2 for q, h in days) / (n - 1) / n) / mean_q


def blend(mean: float, sd: float, found: float, error: float) -> tuple[float, float]:
    """The book's mean and what was found, each weighed by how sure it is.

    >>> [round(value, 4) for value in blend(1.58333, 0.25, 1.61624, 0.0742)]
    [1.6136, 0.0711]
    """
    if error <= 0:
        return found, 0.0
    weight = (1 / sd**2) / (1 / sd**2 + 1 / error**2)
    return weight * mean + (1 - weight) * found, (1 / sd**2 + 1 / error**2) ** -0.5


def shrunk(mean: float, worth: float, days: list[tuple[float, float]]) -> float:
    """For few days: the book counts as `worth` units already done.

    >>> round(shrunk(1.58333, 10, [(5.4, 9.0), (8.0, 11.5), (3.2, 6.1), (10.5, 17.2)]), 5)
    1.60737
    """
    return (worth * mean + sum(h for _, h in days)) / (worth + sum(q for q, _ in days))


def learn(mean: float, sd: float, worth: float, logged: list[tuple[float, float]], own: Own = BOOK) -> Learned:
    """A rate out of the book and the days logged: three days or fewer by the short form, more by their own spread."""
    days = capped(usable(logged), own["day_share"])
    if not days:
        return Learned(mean, sd, 0)
    short = shrunk(mean, worth, days)
    done = sum(q for q, _ in days)
    short_sd = sd * math.sqrt(worth / (worth + done))
    if len(days) <= 3:
        return Learned(short, short_sd, len(days))
    error = ratio_error(days)
    if error <= 0:
        return Learned(short, short_sd, len(days))
    return Learned(*blend(mean, sd, ratio(days), error), len(days))


def learn_pace(days: list[tuple[float, float]], own: Own = BOOK) -> Learned:
    """A group's factor on the book's hours from days of (hours by the book, hours of work done), kept within belief.

    >>> round(learn_pace([(20.0, 26.0), (16.0, 20.0)]).mean, 4)
    1.1222
    """
    found = learn(1.0, own["pace_sd"], own["book_hours"], days, own)
    mean = min(max(found.mean, own["pace_least"]), own["pace_most"])
    return Learned(mean, found.sd, found.days)


def learn_rate(task: str, days: list[tuple[float, float]], own: Own = BOOK) -> Learned:
    """Hours per unit of a task from days of (quantity, hours)."""
    low, likely, high = triple_of(task, own)
    mean, sd = (low + 4 * likely + high) / 6, (high - low) / 6
    found = learn(mean, sd, own["book_units"], days, own)
    low, high = mean * own["pace_least"], mean * own["pace_most"]
    return Learned(min(max(found.mean, low), high), found.sd, found.days)
