"""Mulch: volume in place at a settled depth, what to order, bags, barrows and loads; and rounding to how it is sold."""

import math
from decimal import ROUND_CEILING, Decimal

from . import catalogue as book
from .own import BOOK, Own

EPSILON = 1e-9


def volume_m3(area_m2: float, depth_m: float) -> float:
    """
    >>> volume_m3(100, 0.09)
    9.0
    """
    return area_m2 * depth_m


def to_order_m3(in_place_m3: float, settling: float) -> float:
    """Loose volume that settles to the volume wanted; suppliers sell loose, so this is done once.

    >>> round(to_order_m3(9, 0.20), 6)
    11.25
    """
    return in_place_m3 / (1 - settling)


def round_up_to_step(quantity, step):
    """Up to whole steps, forgiving at most a twentieth of a step; something is never rounded to nothing.

    >>> round_up_to_step(2.002, 0.1), round_up_to_step(2.04, 0.1), round_up_to_step(1.74, 0.5)
    (2.0, 2.1, 2.0)
    """
    exact, size = Decimal(str(quantity)), Decimal(str(step))
    if exact <= 0:
        rounded = Decimal(0)
    else:
        forgiven = size * Decimal(str(book.FORGIVEN_SHARE.value))
        rounded = max(Decimal(1), ((exact - forgiven) / size).to_integral_value(ROUND_CEILING)) * size
    return rounded if isinstance(quantity, Decimal) else float(rounded)


def bags(needed_m3: float, bag_m3: float) -> int:
    """
    >>> bags(1.125, 0.05)
    23
    """
    return max(0, math.ceil(needed_m3 / bag_m3 - EPSILON))


def loads(needed_m3: float, density_kgm3: float, load_m3: float, payload_kg: float) -> int:
    """Loads by volume or by mass, whichever needs more.

    >>> loads(9, 280, 2.5, 750), loads(3, 700, 1.9, 700)
    (4, 3)
    """
    by_volume = math.ceil(needed_m3 / load_m3 - EPSILON)
    by_mass = math.ceil(needed_m3 * density_kgm3 / payload_kg - EPSILON)
    return max(0, by_volume, by_mass)


def barrows(needed_m3: float, own: Own = BOOK) -> int:
    """Barrow trips, each planned half full.

    >>> barrows(1.7)
    20
    """
    return max(0, math.ceil(needed_m3 / own["barrow_load_m3"] - EPSILON))
