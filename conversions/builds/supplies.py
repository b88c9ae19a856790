"""What a day takes of card, chips and compost, and what comes of it: things are sold in whole bags and half cubic metres."""

from decimal import Decimal

from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.quotes.units import counted

from .agreed import figure, papers_of, quote_of
from .models import Day

KEYS = ("cardboard", "chips", "compost")


def supplies_of(day: Day, papers: list[tuple[dict, dict]]) -> dict[str, str]:
    """By what it is, how much: what is needed, and before it what comes where that is said otherwise; "" for none."""
    return {key: _amount(day, papers, key) for key in KEYS}


def _amount(day: Day, papers: list[tuple[dict, dict]], key: str) -> str:
    needed = sum((figure(takeoff, key) for _site, takeoff in papers), Decimal(0))
    if not needed:
        return ""
    unit, units = ("sheet" if key == "cardboard" else "m3"), day.group.units
    words, comes = _said(needed, unit, units), _comes(day, papers, key)
    shown = _said(*comes, units) if comes else words
    return words if shown == words else _("%(comes)s to come, %(needed)s needed") % {"comes": shown, "needed": words}


def _comes(day: Day, papers: list[tuple[dict, dict]], key: str) -> tuple[Decimal, str] | None:
    """As they agreed to it; not known where only a part of a yard is built, or where yards get it in different units."""
    found = []
    for conversion, paper in zip(day.yards, papers, strict=True):
        quote = quote_of(conversion)
        if quote is None or paper != papers_of(conversion, quote):
            return None
        lines = [line for line in quote.lines.all() if line.item == key and line.values.is_in and line.quantity]
        found += [(line.quantity, line.unit) for line in lines]
        if not lines and figure(paper[1], key):
            return None
    kinds = {unit for _quantity, unit in found}
    return (sum(quantity for quantity, _unit in found), kinds.pop()) if len(kinds) == 1 else None


def _said(quantity: Decimal, unit: str, units: str) -> str:
    if unit == "m3":
        return measures.volume(quantity, units)
    return _("%s sheets") % measures.number(quantity) if unit == "sheet" else counted(quantity, unit)
