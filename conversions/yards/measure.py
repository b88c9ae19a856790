"""The loader between rows and the sizing engine, and the words in which its answers are shown."""

import hashlib
import json
from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from conversions import sizing
from conversions.common import measures
from conversions.groups.models import Group

from . import inputs, sketch
from .models import Conversion, Draft

# what people read for each figure, in the order of the job; the rest stand under "and the rest"
SHARES = ("settling", "swell", "share of an hour worked", "crew factor")  # said as "20 %", not as 0.2
SHOWN = ("cover", "trench", "cardboard", "chips", "compost", "hours")
LABELS = {
    "measured": gettext_lazy("Measured"),
    "kept": gettext_lazy("Left as it is"),
    "cover": gettext_lazy("Lawn to cover"),
    "trench": gettext_lazy("Edge trench"),
    "trench_soil": gettext_lazy("Soil out of the trench"),
    "cardboard": gettext_lazy("Cardboard"),
    "cardboard_area": gettext_lazy("Cardboard, flat"),
    "cardboard_mass": gettext_lazy("Cardboard, weight"),
    "chips_in_place": gettext_lazy("Wood chips in place"),
    "chips": gettext_lazy("Wood chips"),
    "chips_loads": gettext_lazy("Loads of chips"),
    "compost_in_place": gettext_lazy("Compost in place"),
    "compost": gettext_lazy("Compost"),
    "beds": gettext_lazy("Beds"),
    "hours": gettext_lazy("Work"),
    "people": gettext_lazy("People"),
    "clock_hours": gettext_lazy("Hours on the clock"),
}
UNITS = {
    "m2": gettext_lazy("m²"), "m3": gettext_lazy("m³"), "m": gettext_lazy("m"), "kg": gettext_lazy("kg"),
    "h": gettext_lazy("hours"), "sheets": gettext_lazy("sheets"), "loads": gettext_lazy("loads"),
    "people": gettext_lazy("people"), "kg/m2": gettext_lazy("kg/m²"), "kg/m3": gettext_lazy("kg/m³"),
    "sheets a layer": gettext_lazy("sheets a layer"), **inputs.UNITS,
}  # fmt: skip
KINDS = {
    "mounded": gettext_lazy("mounded bed"),
    "framed": gettext_lazy("framed bed"),
    "pocket": gettext_lazy("planting pocket"),
}
DIGITS = {"m2": 2, "m3": 3, "m": 2, "h": 2}


@dataclass(frozen=True)
class Look:
    """What can be drawn and sized of a plan, and what stands in the way of the rest."""

    drawable: dict
    takeoff: dict
    problems: tuple[sizing.Problem, ...] = field(default=())

    @property
    def is_sound(self) -> bool:
        return bool(self.takeoff) and not self.problems


def site_of(draft: Draft) -> sizing.Site:
    return sizing.read_site(draft.site)


def takeoff_of(document: dict, group: Group | None = None) -> tuple[dict, tuple[sizing.Problem, ...]]:
    """The take-off as a plain dict, or an empty one and every problem that stops it."""
    try:
        site = sizing.read_site(document)
        if not site.patches:
            return {}, ()
        return sizing.takeoff(site, **pace_of(group)).as_dict(), ()
    except sizing.SiteError as error:
        return {}, error.problems


def pace_of(group: Group | None) -> dict[str, float]:
    """What the engine is told of a group's own pace: the factor on the book's hours, and from how many days."""
    learned = group.pace if group else {}
    return {"pace": float(learned.get("factor", 1.0)), "pace_days": int(learned.get("days", 0))}


def whose(figure: dict) -> str:
    """Where a figure comes from: the book, numbers the group set, or its own build days, and how many."""
    days = next((int(value) for label, value, _unit in figure.get("inputs", ()) if label == "logged days"), 0)
    if not days:
        return _("yours") if figure.get("origin") == "yours" else _("book")
    return ngettext("yours, from %(days)d day", "yours, from %(days)d days", days) % {"days": days}


def look(document: dict, group: Group | None = None) -> Look:
    """The plan as far as it can be sized: beds, then patches, that do not fit are left out and named."""
    takeoff, problems = takeoff_of(document, group)
    if not problems:
        return Look(document, takeoff)
    faulty = {problem.where.uid for problem in problems}
    patches = [patch["uid"] for patch in document.get("patches", []) if patch["uid"] not in faulty]
    beds = [bed["uid"] for bed in document.get("beds", []) if bed["uid"] not in faulty]
    drawable = sketch.only(document, patches, beds)
    takeoff, more = takeoff_of(drawable, group)
    return Look(drawable, takeoff, problems + more)


def sha_of(document: dict) -> str:
    return hashlib.sha256(json.dumps(document, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def starting_document(conversion: Conversion) -> dict:
    """What a new drawing starts from: the group's own numbers, and the strip of its fire rule where one holds."""
    document, strip = with_own(_before(conversion), conversion.group), conversion.group.fire_strip_m
    if strip and not document.get("fire_strip_m"):
        return document | {"fire_strip_m": float(strip)}
    return document


def has_old_numbers(document: dict, group: Group) -> bool:
    """Whether the group set its numbers anew since this drawing was begun."""
    return (document.get("own") or {}) != group.own


def with_own(document: dict, group: Group) -> dict:
    """The drawing worked out with the numbers the group has now."""
    rest = {key: value for key, value in document.items() if key != "own"}
    return rest | {"own": group.own} if group.own else rest


def _before(conversion: Conversion) -> dict:
    """The last kept drawing, or the place's patches from an earlier run, or nothing."""
    kept = conversion.drafts.filter(state="kept").order_by("-kept_at").first()
    if kept:
        return kept.site
    earlier = (
        Draft.of(conversion.group)
        .filter(conversion__place=conversion.place_id, state="kept")
        .exclude(conversion=conversion)
        .order_by("-conversion__number", "-kept_at")
        .first()
    )
    if earlier is None:
        return sketch.new_document()
    return sketch.only(earlier.site, [patch["uid"] for patch in earlier.site["patches"]], [])


def words(problem: sizing.Problem, names: dict[str, str] | None = None) -> str:
    """The sentence of a problem in the reader's language; the engine's sentences are constants.

    The engine knows the other bed by its uid alone, which no reader does: it is named, or not told at all.
    """
    if problem.code != "bed-overlap":
        return _(problem.message).format(**problem.values)
    if other := (names or {}).get(str(problem.values["other"])):
        return _(problem.message).format(other=other)
    return _("This bed lies over another one. Move one of them.")


def names_of(document: dict) -> dict[str, str]:
    """What patches and beds are called, by uid: a patch as it was named, a bed by its kind and number."""
    names = {patch["uid"]: patch["label"] for patch in document.get("patches", [])}
    for number, bed in enumerate(document.get("beds", []), start=1):
        names[bed["uid"]] = f"{str(KINDS[bed['kind']]).capitalize()} {number}"
    return names


def told(look: Look, document: dict) -> list[dict]:
    """Each problem of a drawing once, with the name of its patch or bed; for lists that stand beside no bed."""
    names = names_of(document)
    rows = {(names.get(problem.where.uid, ""), words(problem, names)): None for problem in look.problems}
    return [{"name": name, "words": sentence} for name, sentence in rows]


def quantity(value: float, unit: str, units: str = "metric", digits: int | None = None) -> str:
    """One figure with its unit, as a person writes it in metric or imperial."""
    if unit == "m2":
        return measures.area(value, units, 1 if digits is None else digits)
    if unit == "m3":
        return measures.volume(value, units) if digits is None else f"{measures.number(value, digits)} m³"
    if unit == "m":
        return measures.length(value, units)
    places = DIGITS.get(unit, 0) if digits is None else digits
    shown = measures.number(value, places if value != int(value) else 0)
    return f"{shown} {UNITS.get(unit, unit)}".strip()


def _input(label: str, value: float, unit: str) -> dict:
    if label in SHARES and not unit:
        shown = f"{measures.number(value * 100)} %"
    elif unit in ("m2", "m3", "m"):
        digits = max(DIGITS[unit], 3 if abs(value) < 0.1 else 0)  # the cut of a trench is 0.015 m², not 0.02
        shown = f"{measures.number(value, digits)} {UNITS[unit]}"
    else:
        trimmed = measures.number(value, 3).rstrip("0").rstrip(".,") if value != int(value) else measures.number(value)
        shown = f"{trimmed} {UNITS.get(unit, unit)}".strip()
    return {"label": KINDS.get(label) or LABELS.get(label) or inputs.said(label), "shown": shown}


def figure_rows(takeoff: dict, group: Group, keys: tuple[str, ...] | None = None) -> list[dict]:
    """The figures ready to be opened: shown in both systems, with inputs, formula, rounding and source."""
    figures = takeoff.get("figures", {})
    chosen = [key for key in (keys or LABELS) if key in figures]
    return [_figure_row(figures[key], figures, group) for key in chosen]


def _figure_row(figure: dict, figures: dict, group: Group) -> dict:
    key, unit, value = figure["key"], figure["unit"], figure["value"]
    imperial = unit in ("m2", "m3", "m")
    shown = quantity(value, unit, group.units if imperial else "metric", 0 if key == "hours" else None)
    number, _space, unit_shown = (
        shown.partition(" ") if not (unit == "m" and group.units == "imperial") else (shown, "", "")
    )
    return {
        "key": key,
        "label": LABELS[key],
        "value_shown": shown,
        "number": number,
        "unit": unit_shown,
        "other_shown": quantity(value, unit, measures.other(group.units)) if imperial else _beside(key, figures),
        "inputs": [_input(*row) for row in figure["inputs"]],
        "formula": _(figure["formula"]),
        "rounding": _(figure["rounding"]),
        "source": _(figure["source"]),
        "whose": whose(figure) if key == "hours" or figure["origin"] == "yours" else "",
    }


def _beside(key: str, figures: dict) -> str:
    """The one line that makes a plain count easy to picture."""
    if key == "cardboard":
        layers = next(value for label, value, _unit in figures[key]["inputs"] if label == "layers")
        return _("%(layers)d layers") % {"layers": layers}
    if key == "hours" and "people" in figures:
        low, high = figures[key]["low"], figures[key]["high"]
        return _("between %(low)s and %(high)s; %(people)d people, about %(clock)s hours") % {
            "low": measures.number(low),
            "high": measures.number(high),
            "people": figures["people"]["value"],
            "clock": measures.number(figures["clock_hours"]["value"], 1),
        }
    return ""
