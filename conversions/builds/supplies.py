"""What a day takes of card, chips and compost, and what comes of it: things are sold in whole bags and half cubic metres."""

from decimal import Decimal

from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.quotes.models import Line, Quote
from conversions.quotes.units import counted

from .agreed import figure, papers_of, papers_on, quote_of
from .models import Day

KEYS = ("cardboard", "chips", "compost")


def supplies_of(day: Day) -> dict[str, str]:
    """By what it is, how much: what is needed, and before it what comes where that is said otherwise; "" for none."""
    quotes = [quote_of(yard) for yard in day.yards]
    papers = [papers_on(day, yard, quote) for yard, quote in zip(day.yards, quotes, strict=True)]
    agreed = zip(day.yards, quotes, papers, strict=True)
    is_whole = all(quote and paper == papers_of(yard, quote) for yard, quote, paper in agreed)
    lines = [_lines(quote) for quote in quotes] if is_whole else []
    takeoffs = [takeoff for _site, takeoff in papers]
    return {key: _amount(key, takeoffs, lines, day.group.units) for key in KEYS}


def _lines(quote: Quote) -> list[Line]:
    return [line for line in quote.lines.all() if line.values.is_in and line.quantity]


def _amount(key: str, takeoffs: list[dict], lines: list[list[Line]], units: str) -> str:
    needed = sum((figure(takeoff, key) for takeoff in takeoffs), Decimal(0))
    if not needed:
        return ""
    words = _said(needed, "sheet" if key == "cardboard" else "m3", units)
    comes = _comes(key, takeoffs, lines) if lines else None
    shown = _said(*comes, units) if comes else words
    return words if shown == words else _("%(comes)s to come, %(needed)s needed") % {"comes": shown, "needed": words}


def _comes(key: str, takeoffs: list[dict], lines: list[list[Line]]) -> tuple[Decimal, str] | None:
    """As they agreed to it; not known where only a part of a yard is built, or where yards get it in different units."""
    found = []
    for takeoff, of_yard in zip(takeoffs, lines, strict=True):
        ours = [(line.quantity, line.unit) for line in of_yard if line.item == key]
        if not ours and figure(takeoff, key):
            return None
        found += ours
    kinds = {unit for _quantity, unit in found}
    return (sum(quantity for quantity, _unit in found), kinds.pop()) if len(kinds) == 1 else None


def _said(quantity: Decimal, unit: str, units: str) -> str:
    if unit == "m3":
        return measures.volume(quantity, units)
    return _("%s sheets") % measures.number(quantity) if unit == "sheet" else counted(quantity, unit)
