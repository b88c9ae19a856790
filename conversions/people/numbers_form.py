"""The numbers of the book as a group reads and types them: sections, plain words, and the unit each is asked in."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.utils.translation import pgettext_lazy as pg

from conversions.common.measures import FOOT_M, FT2_M2, INCH_M, YD3_M3, number
from conversions.sizing.own import OWN, RATE, OwnValue

SECTIONS = (  # the engine's parts under the words of a build
    ("ground", gettext_lazy("Ground"), ("ground", "trench")),
    ("card", gettext_lazy("Cardboard"), ("cardboard",)),
    ("chips", gettext_lazy("Chips and compost"), ("mulch",)),
    ("beds", gettext_lazy("Beds"), ("beds",)),
    ("work", gettext_lazy("Work and crew"), ("work", "barrow")),
    ("rates", gettext_lazy("How long each job takes"), ("rates",)),
    ("learning", gettext_lazy("Learning from your own days"), ("learning",)),
)
JOBS = {
    "mow_short": gettext_lazy("Mowing short"),
    "cardboard_strip_tape_staples": gettext_lazy("Stripping tape and staples off the card"),
    "mark_out": gettext_lazy("Setting out the beds"),
    "edge_trench_light": gettext_lazy("Cutting the trench in light soil"),
    "edge_trench_medium": gettext_lazy("Cutting the trench in medium soil"),
    "edge_trench_heavy": gettext_lazy("Cutting the trench in heavy soil"),
    "cardboard_wet": gettext_lazy("Wetting lawn and card"),
    "cardboard_lay": gettext_lazy("Laying three layers of cardboard"),
    "frame_bed_precut": gettext_lazy("Building a framed bed from cut boards"),
    "chips_move_and_spread": gettext_lazy("Moving and spreading chips"),
    "fill_bed_compost": gettext_lazy("Filling framed beds with compost"),
    "mound_bed_compost": gettext_lazy("Heaping compost on mounded beds"),
    "planting_pocket": gettext_lazy("Making a planting pocket"),
    "seed_rows": gettext_lazy("Planting and sowing"),
    "water_in": gettext_lazy("Watering in"),
    "brief_and_setup": gettext_lazy("Signing in, safety talk, tools"),
    "tidy_and_pack": gettext_lazy("Tidying and packing up"),
}
SHARES = {
    "swell_light", "swell_medium", "swell_heavy", "chips_pin_slope", "chips_never_slope", "crew_factor", "working_share",
    "card_first_share", "chips_first_share", "tied_share", "slope_easy", "barrow_efficiency", "day_share",
}  # fmt: skip
SMALL_M = 0.6  # up to here a length is asked in millimetres or inches
NUMBER = re.compile(r"[-−]?\d+([.,]\d+)?|[-−]?[.,]\d+")


@dataclass(frozen=True)
class Unit:
    """One of the engine's units is this many of the shown ones, shown with so many digits."""

    words: str
    times: Decimal = Decimal(1)
    digits: int = 2


MINUTES = Decimal(60)
PLAIN = {  # the same in both systems
    "h": Unit(gettext_lazy("hours"), digits=1),
    "s": Unit(gettext_lazy("seconds"), digits=0),
    "people": Unit(gettext_lazy("people"), digits=0),
    "units": Unit(gettext_lazy("units"), digits=0),
    "degrees": Unit(gettext_lazy("degrees"), digits=0),
    "h/bed": Unit(gettext_lazy("hours a bed")),
    "h/pocket": Unit(gettext_lazy("minutes a pocket"), MINUTES, 1),
    "h/yard": Unit(gettext_lazy("minutes a yard"), MINUTES, 0),
    "h/person": Unit(gettext_lazy("minutes a person"), MINUTES, 0),
}
METRIC = {
    "m": Unit("m"),
    "m small": Unit("mm", Decimal(1000), 0),
    "m2": Unit("m²", digits=1),
    "m3": Unit("m³"),
    "barrow": Unit("L", Decimal(1000), 0),
    "kg/m2": Unit("kg/m²"),
    "kg/m3": Unit("kg/m³", digits=0),
    "m/s": Unit(gettext_lazy("metres a second")),
    "h/100 m2": Unit(gettext_lazy("minutes for 100 m²"), MINUTES, 0),
    "h/m2": Unit(gettext_lazy("minutes a m²"), MINUTES, 1),
    "h/m": Unit(gettext_lazy("minutes a metre"), MINUTES, 1),
    "h/m3": Unit(gettext_lazy("hours a m³")),
}
POUND_KG = Decimal("0.45359237")  # exact by definition: NIST Handbook 44, Appendix C
IMPERIAL = {
    "m": Unit(pg("unit", "ft"), 1 / FOOT_M, 1),
    "m small": Unit(pg("unit", "in"), 1 / INCH_M, 1),
    "m2": Unit("sq ft", 1 / FT2_M2, 0),
    "m3": Unit("cu yd", 1 / YD3_M3),
    "barrow": Unit("cu ft", 1 / FOOT_M**3, 1),
    "kg/m2": Unit("lb/sq ft", FT2_M2 / POUND_KG),
    "kg/m3": Unit("lb/cu yd", YD3_M3 / POUND_KG, 0),
    "m/s": Unit(gettext_lazy("feet a second"), 1 / FOOT_M, 1),
    "h/100 m2": Unit(gettext_lazy("minutes for 1,000 sq ft"), MINUTES * 10 * FT2_M2, 0),
    "h/m2": Unit(gettext_lazy("minutes for 10 sq ft"), MINUTES * 10 * FT2_M2, 1),
    "h/m": Unit(gettext_lazy("minutes a foot"), MINUTES * FOOT_M, 1),
    "h/m3": Unit(gettext_lazy("hours a cu yd"), YD3_M3),
}


def unit_of(row: OwnValue, units: str) -> Unit:
    """The unit a number is shown and typed in."""
    if row.name in SHARES:
        return Unit("%", Decimal(100), 0)
    if row.unit in PLAIN:
        return PLAIN[row.unit]
    system = IMPERIAL if units == "imperial" else METRIC
    if row.unit == "m" and row.most <= SMALL_M:
        return system["m small"]
    if row.name == "barrow_load_m3":
        return system["barrow"]
    return system.get(row.unit) or Unit(gettext_lazy("times"))


def in_unit(value: float, unit: Unit) -> Decimal:
    """An engine's number in the shown unit, rounded as it is shown."""
    return (Decimal(str(value)) * unit.times).quantize(Decimal(1).scaleb(-unit.digits), ROUND_HALF_UP)


def shown(value: float, unit: Unit) -> str:
    """`shown(0.15, METRIC["m small"]) == "150"`; no digits that are nought."""
    found = in_unit(value, unit).normalize()
    return number(found, max(0, -found.as_tuple().exponent))


def label_of(row: OwnValue) -> str:
    job = JOBS.get(row.name.removeprefix(RATE)) if row.part == "rates" else None
    return capfirst(str(job or _(row.label)))


class NumberField(forms.CharField):
    """One number of the book, in the group's unit. Empty, or as in the book: None. Else the engine's own number."""

    def __init__(self, row: OwnValue, units: str):
        self.row, self.in_units = row, unit_of(row, units)
        self.unit = self.in_units.words
        self.book = shown(row.default, self.in_units)
        words = _("The book: %(book)s %(unit)s. Source: %(source)s.")
        help_text = words % {"book": self.book, "unit": self.unit, "source": _(row.source)}
        super().__init__(label=label_of(row), required=False, max_length=20, help_text=help_text)
        self.widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}

    @property
    def bounds(self) -> dict[str, str]:
        least, most = shown(self.row.least, self.in_units), shown(self.row.most, self.in_units)
        return {"least": least, "most": most, "unit": str(self.unit)}

    def clean(self, value: str) -> float | None:
        text = super().clean(value).strip()
        if not text:
            return None
        if not NUMBER.fullmatch(text):
            raise ValidationError(_("Write a number, such as %(book)s.") % {"book": self.book})
        typed = Decimal(text.replace("−", "-").replace(",", "."))
        least, most = in_unit(self.row.least, self.in_units), in_unit(self.row.most, self.in_units)
        if not least <= typed <= most:
            raise ValidationError(_("Write a number from %(least)s to %(most)s %(unit)s.") % self.bounds)
        if self.row.is_whole and typed != int(typed):
            raise ValidationError(_("Write a whole number."))
        if typed == in_unit(self.row.default, self.in_units):
            return None
        # 6 ft is 1.8288 m; a bound of 1.83 m, shown as 6 ft, must let it through
        return min(max(round(float(typed / self.in_units.times), 6), self.row.least), self.row.most)


class NumbersForm(forms.Form):
    """Every number a group may set. `own` is what stood when the page was made: what others changed since stays."""

    def __init__(self, *args, own: Mapping[str, float], units: str, **kwargs):
        super().__init__(*args, **kwargs)
        for row in OWN.values():
            field = self.fields[row.name] = NumberField(row, units)
            if row.name in own:
                field.initial = shown(own[row.name], field.in_units)

    def sections(self) -> list[dict]:
        """The fields under their headings, those the group set first."""
        out = []
        for code, words, parts in SECTIONS:
            fields = [self[row.name] for row in OWN.values() if row.part in parts]
            changed = sum(1 for field in fields if field.value())
            bad = any(field.errors for field in fields)
            out.append(
                {"code": code, "words": words, "fields": fields, "changed": changed, "is_open": bool(changed or bad)}
            )
        return out

    def changes(self) -> dict[str, float | None]:
        """Name and new number of what was typed anew; None: back to the book."""
        return {name: self.cleaned_data[name] for name in self.changed_data}
