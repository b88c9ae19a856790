"""Lengths in the answers of a visit: read in the unit that stands beside the field, and said in the group's own."""

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.yards.forms.fields import BARE, SMALL, UNIT_WORDS, in_small

from .kinds import Detail

PLAIN = {"metric": "m", "imperial": "ft"}  # as it is kept, in every language


def unit_of(detail: Detail, units: str) -> str:
    """What a bare number means on this field."""
    return SMALL[units] if detail.kind == "small length" else PLAIN[units]


def unit_words(detail: Detail, units: str) -> Any:
    return SMALL[units] if detail.kind == "small length" else UNIT_WORDS[units]


def read(detail: Detail, raw: str, units: str) -> dict:
    """As it is kept: metres, and what was typed with its unit. Raises ValueError in words a visitor can act on."""
    typed = f"{raw} {unit_of(detail, units)}" if BARE.match(raw) else raw
    metres = measures.read_length(typed, units).metres
    if metres > Decimal(str(detail.most_m)):
        said = _("That would be %(length)s, and more than %(most)s is hardly meant. Check the unit.")
        most = {"length": measures.length(metres, units), "most": measures.length(detail.most_m, units)}
        raise ValueError(said % most)
    return {"m": float(metres), "typed": typed}


def typed_again(detail: Detail, kept: dict, units: str) -> str:
    """What stands in the field: bare where it was typed in the field's own unit. What was kept bare, before units stood
    beside the fields, was metres or feet."""
    typed = kept["typed"]
    if BARE.match(typed):
        typed = f"{typed} {_unit_then(typed, kept['m'])}"
    number = typed.removesuffix(f" {unit_of(detail, units)}")
    return number if BARE.match(number) else typed


def _unit_then(typed: str, metres: float) -> str:
    return next((unit for units, unit in PLAIN.items() if _reads_as(typed, units, metres)), "m")


def _reads_as(typed: str, units: str, metres: float) -> bool:
    return abs(float(measures.read_length(typed, units).metres) - metres) < 0.001


def said(detail: Detail, kept: dict, units: str) -> str:
    if detail.kind == "small length" and kept["m"] <= detail.most_m:
        return f"{in_small(kept['m'], units)} {SMALL[units]}"
    return measures.length(kept["m"], units)


def is_same(one: dict, other: dict) -> bool:
    """Whether two answers say the same; how a length was written is no matter."""
    return _bare(one) == _bare(other)


def _bare(value: dict) -> dict:
    return {key: part["m"] if isinstance(part, dict) and "m" in part else part for key, part in value.items()}


def is_meant(detail: Detail, kept: dict) -> bool:
    """False for what was kept before anything was refused, and that nobody can have meant."""
    return kept["m"] <= detail.most_m
