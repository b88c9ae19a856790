"""A bed typed by numbers: where its middle stands, and how large it is."""

import uuid

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions import sizing
from conversions.common import measures
from conversions.groups.tenancy import GroupForm

from .. import measure, sketch
from .fields import LengthField, in_small

FIELDS = {  # kind: (field, words, usual in metres)
    "mounded": (
        ("length_m", gettext_lazy("Long"), 3.0),
        ("width_m", gettext_lazy("Wide"), 1.2),
        ("height_m", gettext_lazy("High, once settled"), 0.15),
    ),
    "framed": (
        ("length_m", gettext_lazy("Long, outside"), 2.4),
        ("width_m", gettext_lazy("Wide, outside"), 1.2),
        ("height_m", gettext_lazy("High"), 0.2),
        ("board_m", gettext_lazy("Board, thick"), 0.038),
    ),
    "pocket": (
        ("top_m", gettext_lazy("Across at the top"), 0.4),
        ("bottom_m", gettext_lazy("Across below"), 0.2),
        ("height_m", gettext_lazy("High, heaped"), 0.2),
    ),
}
SMALL_ONES = ("height_m", "board_m", "top_m", "bottom_m")  # spoken of in millimetres or inches
DIRECTIONS = [("0", gettext_lazy("Along A to B")), ("90", gettext_lazy("Across"))]


class BedForm(GroupForm):
    uid = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args, kind: str, document: dict, patch: dict, bed: dict | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.kind, self.document, self.patch, self.bed = kind, document, patch, bed
        units = self.group.units
        self._add("left", _("Its middle, from the left"), units)
        self._add("top", _("Its middle, from the top"), units)
        for name, words, _usual in FIELDS[kind]:
            self._add(name, words, units, small=name in SMALL_ONES)
        if kind != "pocket":
            self.fields["turn_deg"] = forms.ChoiceField(
                label=_("Which way it lies"), choices=self._turns(), widget=forms.RadioSelect
            )
        self.initial = {**self._initial(), **self.initial}

    def _add(self, name: str, words: object, units: str, small: bool = False) -> None:
        self.fields[name] = LengthField(
            units=units,
            label=words,
            signed=name in ("left", "top"),
            small=small,
            error_messages={"required": _("Write a length.")},
        )

    def _turns(self) -> list[tuple[str, object]]:
        """The two usual directions, and the one a first layout found along a slanting side."""
        turn = f"{self.bed.get('turn_deg', 0):g}" if self.bed else "0"
        choices = list(DIRECTIONS)
        if turn not in dict(choices):
            choices.append((turn, _("Turned %(turn)s°, as it lies now") % {"turn": turn}))
        return choices

    def _initial(self) -> dict:
        top, right = sketch.top_of(self.patch), sketch.right_of(self.patch)
        at = self.bed or {"x": right / 2, "y": top / 2}
        sizes = self.bed or {name: usual for name, _words, usual in FIELDS[self.kind]}
        shown = {name: self._written(sizes[name], name in SMALL_ONES) for name, _words, _usual in FIELDS[self.kind]}
        return {
            "uid": self.bed["uid"] if self.bed else uuid.uuid4(),
            "left": self._written(at["x"]),
            "top": self._written(top - at["y"]),
            "turn_deg": f"{sizes.get('turn_deg', 0):g}",
            **shown,
        }

    def _written(self, metres: float, small: bool = False) -> str:
        if small:
            return in_small(metres, self.group.units)
        if self.group.units == "imperial":
            return measures.feet_inches(round(metres, 3))
        return f"{round(metres, 3):g}"

    def clean(self) -> dict:
        data = super().clean()
        if not self.errors:
            self._place(data)
        return data

    def _place(self, data: dict) -> None:
        """Put the bed on the plan and say beside its field what is in the way."""
        sizes = {name: self._metres(data, name) for name, _words, _usual in FIELDS[self.kind]}
        y = sketch.top_of(self.patch) - self._metres(data, "top")
        self.drawn = {
            "uid": str(data["uid"]),
            "patch": self.patch["uid"],
            "kind": self.kind,
            "x": self._metres(data, "left"),
            "y": round(y, 3),
            **sizes,
        }
        if self.kind != "pocket":
            self.drawn["turn_deg"] = float(data["turn_deg"])
        try:
            site = sizing.read_site(sketch.with_bed(self.document, self.drawn))
            problems = sizing.check(site)
        except sizing.SiteError as error:
            problems = error.problems
        for problem in problems:
            if problem.where.uid == self.drawn["uid"] or problem.where.part == self.drawn["uid"]:
                field = problem.where.part if problem.where.part in self.fields else None
                self.add_error(field, measure.words(problem))

    def _metres(self, data: dict, name: str) -> float:
        """As typed; a length shown rounded to half an inch and not touched keeps the length it stood for."""
        if self.bed and data[name].as_typed == self.initial[name]:
            kept = {"left": self.bed["x"], "top": sketch.top_of(self.patch) - self.bed["y"], **self.bed}
            return round(float(kept[name]), 3)
        return float(data[name].metres)
