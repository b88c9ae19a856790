"""What the tape says from one corner to another."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.groups.tenancy import GroupForm

from .fields import LengthField


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

    @property
    def to_mend(self) -> list[dict]:
        """What the head of the plan page points to, far above this form: of which patch, which field, and why."""
        rows = [(field, " ".join(field.errors)) for field in self if field.errors]
        return [
            {"id": f"div_{field.auto_id}", "words": f"{self.patch['label']}, {field.label}: {why}"}
            for field, why in rows
        ]
