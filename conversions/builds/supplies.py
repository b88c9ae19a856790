"""What a day takes of card, chips and compost, and what comes of it: things are sold in whole bags and half cubic metres."""

from decimal import Decimal

from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.quotes.models import Line, Quote
from conversions.quotes.units import counted
from conversions.yards.models import Conversion

from .agreed import figure, papers_of, part_of, quote_of
from .models import Day

KEYS = ("cardboard", "chips", "compost")


def supplies_of(day: Day, quotes: list[Quote | None] | None = None) -> dict[str, str]:
    """By what it is, how much: what is needed, and before it what comes where that is said otherwise; "" for none.

    `quotes`: what each yard of the day agreed to, where that was looked up already.
    """
    yards = day.yards
    found = zip(yards, quotes or [quote_of(yard) for yard in yards], strict=True)
    parts = [_part(day, yard, quote) for yard, quote in found]
    return {key: _amount(day, parts, key) for key in KEYS}


def _part(day: Day, conversion: Conversion, quote: Quote | None) -> tuple[dict, list[Line] | None]:
    """What is built of a yard that day, and the lines it agreed to; no lines where the day is for a part of it only."""
    whole = papers_of(conversion, quote)
    uids = {str(row.patch.uid) for row in day.day_patches.all() if row.conversion_id == conversion.pk}
    here = part_of(whole, uids, day.group)
    return here[1], list(quote.lines.all()) if quote and here is whole else None


def _amount(day: Day, parts: list[tuple[dict, list[Line] | None]], key: str) -> str:
    needed = sum((figure(takeoff, key) for takeoff, _lines in parts), Decimal(0))
    if not needed:
        return ""
    unit, units = ("sheet" if key == "cardboard" else "m3"), day.group.units
    words, comes = _said(needed, unit, units), _comes(parts, key)
    shown = _said(*comes, units) if comes else words
    return words if shown == words else _("%(comes)s to come, %(needed)s needed") % {"comes": shown, "needed": words}


def _comes(parts: list[tuple[dict, list[Line] | None]], key: str) -> tuple[Decimal, str] | None:
    """As they agreed to it; not known where only a part of a yard is built, or where yards get it in different units."""
    found = []
    for takeoff, lines in parts:
        ours = [line for line in lines or () if line.item == key and line.values.is_in and line.quantity]
        found += [(line.quantity, line.unit) for line in ours]
        if lines is None or not ours and figure(takeoff, key):
            return None
    kinds = {unit for _quantity, unit in found}
    return (sum(quantity for quantity, _unit in found), kinds.pop()) if len(kinds) == 1 else None


def _said(quantity: Decimal, unit: str, units: str) -> str:
    if unit == "m3":
        return measures.volume(quantity, units)
    return _("%s sheets") % measures.number(quantity) if unit == "sheet" else counted(quantity, unit)
