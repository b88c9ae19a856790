"""In what a thing is sold and counted: the words of each unit, which of them come whole, and how frames become boards."""

import math
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from conversions.common import measures

EACH = {
    "sheet": _("a sheet"),
    "m3": _("a cubic metre"),
    "bag": _("a bag"),
    "load": _("a load"),
    "hour": _("an hour"),
    "trip": _("a trip"),
    "bed": _("a bed"),
    "board": _("a board"),
    "set": _("a set"),
    "test": _("a test"),
    "piece": _("a piece"),
    "m": _("a metre"),
    "m2": _("a square metre"),
    "day": _("a day"),
    "sum": _("in all"),
}
AFTER = {
    "sheet": _("sheets"),
    "m3": _("m³"),
    "bag": _("bags"),
    "load": _("loads"),
    "hour": _("hours"),
    "trip": _("trips"),
    "bed": _("beds"),
    "board": _("boards"),
    "set": _("sets"),
    "test": _("tests"),
    "piece": _("pieces"),
    "m": _("m"),
    "m2": _("m²"),
    "day": _("days"),
    "sum": "",
    "percent": "%",
}
WHOLE = {"sheet", "bag", "load", "trip", "bed", "board", "set", "test", "piece"}
THOUSANDTH = Decimal("0.001")

# What each thing of the book may be sold in. The first is what the engine counts it in, and a new group's unit.
SOLD_IN = {
    "cardboard": ("sheet",),
    "chips": ("m3", "load", "bag"),
    "work": ("hour",),
    "tools": ("set",),
    "compost": ("m3", "bag", "load"),
    "compost delivery": ("trip",),
    "frame": ("bed", "board"),
    "plants": ("set",),
    "soil test": ("test",),
}
SIZED = {"bag": "m3", "load": "m3", "board": "m"}  # one of these has a size, and without it nothing can be counted
# A frame drawn a little higher than its boards stand is not given another course. Common practice, no source.
COURSE_FORGIVEN = Decimal("0.1")


def fits_step(quantity: Decimal, unit: str) -> bool:
    """Sheets, bags, trips and boards come whole; cubic metres and hours do not."""
    return quantity % (Decimal(1) if unit in WHOLE else THOUSANDTH) == 0


def counted(quantity: Decimal, unit: str) -> str:
    """A quantity with its unit: `counted(Decimal(291), "sheet") == "291 sheets"`; a sum of money counts nothing."""
    if unit == "sum":
        return ""
    n, is_whole = int(quantity), quantity == int(quantity) and unit != "m3"
    places = 0 if is_whole else 1
    if unit == "percent" and not is_whole:
        places = max(1, -quantity.normalize().as_tuple().exponent)
    words = {
        "sheet": ngettext("%(n)s sheet", "%(n)s sheets", n),
        "m3": "%(n)s m³",
        "bag": ngettext("%(n)s bag", "%(n)s bags", n),
        "load": ngettext("%(n)s load", "%(n)s loads", n),
        "hour": ngettext("%(n)s hour", "%(n)s hours", n),
        "trip": ngettext("%(n)s trip", "%(n)s trips", n),
        "bed": ngettext("%(n)s bed", "%(n)s beds", n),
        "board": ngettext("%(n)s board", "%(n)s boards", n),
        "set": ngettext("%(n)s set", "%(n)s sets", n),
        "test": ngettext("%(n)s test", "%(n)s tests", n),
        "piece": ngettext("%(n)s piece", "%(n)s pieces", n),
        "m": "%(n)s m",
        "m2": "%(n)s m²",
        "day": ngettext("%(n)s day", "%(n)s days", n),
        "percent": "%(n)s %%",
    }
    return words[unit] % {"n": measures.number(quantity, places)}


def frame_pieces(beds: Iterable[Mapping[str, Any]], face_m: Decimal) -> list[Decimal]:
    """The pieces of board that framed beds are made of, in metres: two long sides and two short ones for each course."""
    pieces: list[Decimal] = []
    for bed in beds:
        if bed["kind"] != "framed":
            continue
        long, wide, high, thick = (Decimal(str(bed[key])) for key in ("length_m", "width_m", "height_m", "board_m"))
        courses = max(1, math.ceil(high / face_m - COURSE_FORGIVEN))
        pieces += 2 * courses * [long, wide - 2 * thick]
    return pieces


def boards_needed(pieces: Iterable[Decimal], board_m: Decimal) -> int:
    """How many boards to buy when the longest pieces are cut first, each from the first board that still holds it.

    A piece longer than a board is joined from whole boards and a rest. The saw's own width is not counted.

    >>> boards_needed([Decimal("2.4")] * 2 + [Decimal("1.124")] * 2, Decimal("2.4"))
    3
    """
    whole, rests = 0, []
    for piece in sorted(pieces, reverse=True):
        whole += int(piece // board_m)
        rests.append(piece % board_m)
    left: list[Decimal] = []
    for piece in sorted((rest for rest in rests if rest), reverse=True):
        n = next((n for n, free in enumerate(left) if free >= piece), None)
        if n is None:
            left.append(board_m - piece)
        else:
            left[n] -= piece
    return whole + len(left)
