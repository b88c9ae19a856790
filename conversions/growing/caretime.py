"""How many minutes a week a garden asks for, from the area of its beds."""

import math
from dataclasses import dataclass

# Stephens and Carter 1980: 53.9 m2 took 68 hours over a season of 26 weeks, 2.9 minutes a square metre and week.
MINUTES_PER_M2 = 2.9
PEAK = 2.0  # the busiest weeks against the mean of the season: our own guess, no source
NOVICE = 1.5  # the first year against later ones: our own guess, no source
STEP = 5


@dataclass(frozen=True)
class CareTime:
    usual: int  # minutes a week over the season, once you know how
    busiest: int  # the busiest weeks of the first year


def care_time(bed_m2: float) -> CareTime:
    """Minutes a week for this much bed, up to the next five.

    >>> care_time(10.1)
    CareTime(usual=30, busiest=90)
    """
    usual = bed_m2 * MINUTES_PER_M2
    return CareTime(_up(usual), _up(usual * PEAK * NOVICE))


def bed_area(minutes: float) -> float:
    """How much bed people have time for who give it so many minutes a week, in their first year.

    >>> round(bed_area(30), 1)
    6.9
    """
    return minutes / (MINUTES_PER_M2 * NOVICE)


def _up(minutes: float) -> int:
    return max(STEP, STEP * math.ceil(round(minutes / STEP, 6)))
