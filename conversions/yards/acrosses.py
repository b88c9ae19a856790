"""Lengths measured across a patch, from corner to corner: they check the shape and change no figure."""

import copy
import math

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common import measures
from conversions.groups.tenancy import GroupForm

from .forms.fields import LengthField

NEAR_M, NEAR_SHARE = 0.05, 0.01  # how far tape and sides may differ: common practice, no source


class AcrossForm(GroupForm):
    """From which corner to which, and what the tape says. Needs a patch with corners."""

    start = forms.ChoiceField(label=gettext_lazy("From corner"))
    end = forms.ChoiceField(label=gettext_lazy("To corner"))

    def __init__(self, *args, patch: dict, **kwargs):
        super().__init__(*args, auto_id=f"across_{patch['uid']}_%s", **kwargs)
        self.patch = patch
        letters = [corner["id"] for corner in patch.get("corners") or ()]
        for name in ("start", "end"):
            self.fields[name].choices = [(letter, letter) for letter in letters]
        if len(letters) > 3:
            self.initial = {"start": letters[0], "end": letters[2], **self.initial}
        self.fields["tape"] = LengthField(
            units=self.group.units,
            label=_("The tape says"),
            error_messages={"required": _("Write a length.")},
        )

    def clean(self) -> dict:
        data = super().clean()
        if data.get("start") and data.get("start") == data.get("end"):
            raise ValidationError({"end": _("Pick two corners.")})
        return data


def with_across(document: dict, uid: str, data: dict) -> dict:
    """The document with one more length across; one between the same two corners takes the place of the earlier."""
    out = copy.deepcopy(document)
    patch = next(patch for patch in out["patches"] if patch["uid"] == uid)
    ends = {data["start"], data["end"]}
    rows = [row for row in measured(patch) if {row.get("from"), row.get("to")} != ends]
    row = {"from": data["start"], "to": data["end"], "tape_m": round(float(data["tape"].metres), 4)}
    patch["typed"] = {**(patch.get("typed") or {}), "measured": [*rows, row]}
    return out


def measured(patch: dict) -> list[dict]:
    return list((patch.get("typed") or {}).get("measured") or ())


def said(patch: dict, units: str) -> list[dict]:
    """{"words", "agrees"} of each length across that can be compared with the sides."""
    spots = {corner["id"]: (corner["x"], corner["y"]) for corner in patch.get("corners") or ()}
    out = []
    for row in measured(patch):
        a, b, tape = spots.get(row.get("from")), spots.get(row.get("to")), row.get("tape_m")
        if not (a and b and tape):
            continue
        sides = math.dist(a, b)
        words = _("%(from)s to %(to)s: the tape says %(tape)s, your sides give %(sides)s.") % {
            "from": row["from"],
            "to": row["to"],
            "tape": measures.length(tape, units),
            "sides": measures.length(sides, units),
        }
        agrees = abs(sides - tape) <= max(NEAR_M, NEAR_SHARE * tape)
        after = _("They agree.") if agrees else _("Measure the sides and this once more before you build.")
        out.append({"words": f"{words} {after}", "agrees": agrees})
    return out
