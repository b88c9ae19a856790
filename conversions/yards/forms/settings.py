"""How the group works here: depths, layers, soil, distance. Each has its usual value."""

from decimal import Decimal

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common import measures
from conversions.groups.tenancy import GroupForm

from .fields import LengthField, in_small

LEAST_CHIPS_M = Decimal("0.05")  # 50 mm, the least over sound card: common practice, no source
LONG = ("haul", "fire_strip")  # in metres or feet; the others are depths
MOST_CHIPS_M = Decimal("0.3")  # thicker chips keep the rain out: common practice, no source
# More than this is a slip of the unit. Our own guess, no source.
MOST_M = {"trench_width": 1, "trench_depth": Decimal("0.6"), "haul": 500, "fire_strip": 30}


class SettingsForm(GroupForm):
    layers = forms.IntegerField(
        label=gettext_lazy("Layers of cardboard"),
        min_value=1,
        max_value=8,
        help_text=gettext_lazy("Usually 3; 4 where the grass has runners."),
    )
    soil = forms.ChoiceField(
        label=gettext_lazy("Soil"),
        choices=[
            ("light", gettext_lazy("Light, sandy")),
            ("medium", gettext_lazy("Medium")),
            ("heavy", gettext_lazy("Heavy clay")),
        ],
        widget=forms.RadioSelect,
    )

    def __init__(self, *args, document: dict, **kwargs):
        super().__init__(*args, **kwargs)
        self.document, units = document, self.group.units
        self.now = {
            "depth": document["mulch"]["depth_m"],
            "trench_width": document["trench"]["width_m"],
            "trench_depth": document["trench"]["depth_m"],
            "haul": document["haul_m"],
        }
        if self.group.fire_strip_m or document.get("fire_strip_m"):
            self.now["fire_strip"] = document.get("fire_strip_m", 0)
        words = {
            "depth": _("Chips, once settled"),
            "trench_width": _("Trench, wide"),
            "trench_depth": _("Trench, deep"),
            "haul": _("From the heap to the lawn"),
            "fire_strip": _("Kept free along buildings and fences that burn"),
        }
        for name in self.now:
            self.fields[name] = LengthField(
                units=units,
                small=name not in LONG,
                label=words[name],
                error_messages={"required": _("Write a length.")},
            )
        if "fire_strip" in self.fields:
            self.fields["fire_strip"].required = False
            self.fields["fire_strip"].help_text = _("As the fire rules of your area say. Empty: no rule holds here.")
        self.order_fields(["depth", "layers", "trench_width", "trench_depth", "soil", "haul"])
        self.initial = {**{name: self._written(name) for name in self.now}, **self._chosen(), **self.initial}

    def _chosen(self) -> dict:
        return {"layers": self.document["cardboard"]["layers"], "soil": self.document["soil"]}

    def _written(self, name: str) -> str:
        if name == "fire_strip" and not self.now[name]:
            return ""
        if name not in LONG:
            return in_small(self.now[name], self.group.units)
        return measures.feet_inches(self.now[name]) if self.group.units == "imperial" else f"{self.now[name]:g}"

    def clean_depth(self):
        depth = self.cleaned_data["depth"]
        if depth.metres < LEAST_CHIPS_M:
            raise forms.ValidationError(_("Too thin: the card will show. Use 75 to 100 mm."))
        if depth.metres > MOST_CHIPS_M:
            raise forms.ValidationError(_("Too thick: rain will not get through. Use 75 to 100 mm."))
        return depth

    def clean(self) -> dict:
        data = super().clean()
        for name, most in MOST_M.items():
            if data.get(name) and data[name].metres > most:
                self.add_error(name, _("That is more than anybody would dig or carry here. Check the unit."))
        return data

    @property
    def settings(self) -> dict:
        """The part of the plan's document that this form changes."""
        metres = {name: self._metres(name) for name in self.now}
        strip = {"fire_strip_m": metres["fire_strip"]} if "fire_strip" in metres else {}
        return strip | {
            "soil": self.cleaned_data["soil"],
            "haul_m": metres["haul"],
            "cardboard": {"layers": self.cleaned_data["layers"]},
            "mulch": {"depth_m": metres["depth"]},
            "trench": {"width_m": metres["trench_width"], "depth_m": metres["trench_depth"]},
        }

    def _metres(self, name: str) -> float:
        length = self.cleaned_data[name]
        if length is None:
            return 0.0
        return float(self.now[name]) if length.as_typed == self._written(name) else float(length.metres)
