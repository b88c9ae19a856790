"""What changed between two versions of a quote, in words for the household. Plain values in, sentences out."""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as lazy

from conversions.common import measures, money

from . import wording
from .models import Quote
from .pricing import ON_THE_SUM, LineValues
from .units import counted

# Each whole, because "is" and "are" cannot be put together from pieces in every language.
GONE = {
    "cardboard": lazy("The cardboard is gone."),
    "chips": lazy("The wood chips are gone."),
    "work": lazy("Our work is gone."),
    "tools": lazy("The tools are gone."),
    "compost": lazy("The compost is gone."),
    "compost delivery": lazy("Compost delivery is gone."),
    "frame": lazy("The wooden frame is gone."),
    "plants": lazy("The plants are gone."),
    "soil test": lazy("The soil test is gone."),
}
NEW = {
    "cardboard": lazy("The cardboard is new."),
    "chips": lazy("The wood chips are new."),
    "work": lazy("Our work is new."),
    "tools": lazy("The tools are new."),
    "compost": lazy("The compost is new."),
    "compost delivery": lazy("Compost delivery is new."),
    "frame": lazy("A wooden frame is new."),
    "plants": lazy("The plants are new."),
    "soil test": lazy("A soil test is new."),
}
FOLLOW_THE_LAWN = {"cardboard", "chips", "work", "compost delivery"}  # one sentence about the lawn says it for them


@dataclass(frozen=True)
class Version:
    """What a household would notice of one version."""

    lines: list[LineValues]
    total: Decimal
    cover_m2: float
    beds: list[str]
    offered_on: datetime.date | None = None
    rain_on: datetime.date | None = None


def version_of(quote: Quote) -> Version:
    takeoff = (quote.frozen or {"takeoff": quote.draft.takeoff})["takeoff"]
    return Version(
        lines=[line.values for line in quote.lines.all()],
        total=quote.total(),
        cover_m2=takeoff["figures"]["cover"]["value"],
        beds=wording.beds_in_words(takeoff),
        offered_on=quote.offered_on,
        rain_on=quote.offered_rain_on,
    )


def sentences(before: Version, now: Version, shown: Any) -> list[str]:
    """What is another in plan, lines and price. The day is told by `day_sentences`: it is chosen at sending."""
    return [*_plan(before, now, shown), *_lines(before.lines, now.lines, shown), *_price(before, now, shown)]


def day_sentences(before: Version, offered_on: datetime.date | None, rain_on: datetime.date | None) -> list[str]:
    """
    >>> day_sentences(Version([], Decimal(0), 1, []), datetime.date(2026, 5, 16), None)
    ['The day is now Saturday 16 May.']
    """
    if offered_on != before.offered_on:
        if offered_on is None:
            return [_("We find a new day together.")]
        return [_("The day is now %(day)s.") % {"day": wording.day(offered_on)}]
    if rain_on and rain_on != before.rain_on:
        return [_("The rain date is now %(day)s.") % {"day": wording.day(rain_on)}]
    return []


def _plan(before: Version, now: Version, shown: Any) -> list[str]:
    told = []
    was, is_now = (measures.area(one.cover_m2, shown.units) for one in (before, now))
    if was != is_now:
        told.append(_("The lawn we turn is now %(now)s; it was %(was)s.") % {"now": is_now, "was": was})
    if before.beds != now.beds:
        beds = wording.listed(now.beds)
        told.append(_("The beds are now: %(beds)s.") % {"beds": beds} if beds else _("There are no beds now."))
    return told


def _lines(before: Iterable[LineValues], now: Iterable[LineValues], shown: Any) -> list[str]:
    old, new = _by_key(before), _by_key(now)
    told = [_gone(old[key]) for key in old if key not in new]
    told += [_new(new[key], shown) for key in new if key not in old]
    for key in new:
        if key in old:
            told += _changed(old[key], new[key], shown)
    return told


def _by_key(lines: Iterable[LineValues]) -> Mapping[tuple[str, str], LineValues]:
    """The lines that are in; those of the book by their item, the others by what they are called."""
    return {(line.item, line.name): line for line in lines if line.is_in}


def _gone(line: LineValues) -> str:
    return str(GONE[line.item]) if line.item in GONE else _("No longer in it: %(name)s.") % {"name": line.name}


def _new(line: LineValues, shown: Any) -> str:
    if line.item in NEW:
        return str(NEW[line.item])
    amount = line.amount(shown.minor_digits)
    if line.item == "grant":
        return _("New: a grant, %(name)s, takes off %(amount)s.") % {
            "name": line.name,
            "amount": money.shown(-amount, shown),
        }
    if not amount or line.paid_by != "household":
        return _("New: %(name)s.") % {"name": line.name}
    return _("New: %(name)s, %(amount)s.") % {"name": line.name, "amount": money.shown(amount, shown)}


def _changed(old: LineValues, new: LineValues, shown: Any) -> list[str]:
    told, thing = [], wording.plain_name(new)
    if old.brought_by != new.brought_by:
        told.append(wording.sentence(_brings(new) % {"thing": thing}))
    if old.paid_by != new.paid_by:
        told.append(wording.sentence(_pays(new) % {"thing": thing}))
    if new.item in ON_THE_SUM:
        amounts = [line.amount(shown.minor_digits) for line in (old, new)]
        if new.item == "grant" and amounts[0] != amounts[1]:
            told.append(
                _("%(name)s takes off %(now)s; it was %(was)s.")
                % {"name": new.name, "now": money.shown(-amounts[1], shown), "was": money.shown(-amounts[0], shown)}
            )
    elif new.item not in FOLLOW_THE_LAWN and (old.quantity, old.unit) != (new.quantity, new.unit):
        counts = {"now": counted(new.quantity, new.unit), "was": counted(old.quantity, old.unit)}
        told.append(wording.sentence(_("%(thing)s: now %(now)s; it was %(was)s.") % {"thing": thing, **counts}))
    return told


def _brings(line: LineValues) -> str:
    return {
        "group": _("We now bring %(thing)s."),
        "household": _("You now bring %(thing)s."),
        "free": _("%(thing)s: given free now."),
    }[line.brought_by]


def _pays(line: LineValues) -> str:
    return {
        "household": _("You now pay for %(thing)s."),
        "group": _("Our group now pays for %(thing)s."),
        "donor": _("A donor now pays for %(thing)s."),
        "grant": _("A grant now pays for %(thing)s."),
    }[line.paid_by]


def _price(before: Version, now: Version, shown: Any) -> list[str]:
    if before.total == now.total:
        return []
    was, is_now = money.shown(before.total, shown), money.shown(now.total, shown)
    if not now.total:
        return [_("You now pay nothing; it was %(was)s.") % {"was": was}]
    if now.total < before.total:
        return [_("The price falls from %(was)s to %(now)s.") % {"was": was, "now": is_now}]
    return [_("The price rises from %(was)s to %(now)s.") % {"was": was, "now": is_now}]
