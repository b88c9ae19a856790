"""What may be said about one picture: who is in it, where it was taken, which yard it is of."""

import uuid

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common.photos import GRID
from conversions.groups.tenancy import GroupForm

from ..models import Conversion, Photo


class PeopleForm(forms.Form):
    people = forms.ChoiceField(
        label=gettext_lazy("Is someone in this picture?"), choices=Photo.PEOPLE, widget=forms.RadioSelect
    )
    only_household = forms.BooleanField(label=gettext_lazy("Everybody in it lives here"), required=False)


class BlurForm(forms.Form):
    """Which squares of the picture must not be seen; all of it where somebody says so."""

    cells = forms.MultipleChoiceField(
        required=False, choices=[(f"{row}-{column}", "") for row in range(GRID) for column in range(GRID)]
    )
    whole = forms.BooleanField(label=gettext_lazy("Blur the whole picture"), required=False)
    uid = forms.UUIDField(widget=forms.HiddenInput, error_messages={"invalid": gettext_lazy("Open this page again.")})

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("uid", uuid.uuid4())

    def clean(self) -> dict:
        data = super().clean()
        if not data.get("cells") and not data.get("whole") and not self.errors:
            raise forms.ValidationError(_("Tick at least one square, or the whole picture."))
        return data

    @property
    def chosen(self) -> list[tuple[int, int]]:
        if self.cleaned_data["whole"]:
            return [(row, column) for row in range(GRID) for column in range(GRID)]
        return [tuple(int(n) for n in cell.split("-")) for cell in self.cleaned_data["cells"]]

    @property
    def squares(self) -> list[dict]:
        """Every square, row by row, with the words for those who cannot see it and whether it is ticked."""
        ticked = self["cells"].value() or []
        words = _("row %(row)d, square %(column)d")
        return [
            {"value": f"{r}-{c}", "words": words % {"row": r + 1, "column": c + 1}, "is_ticked": f"{r}-{c}" in ticked}
            for r in range(GRID)
            for c in range(GRID)
        ]


class WhereForm(GroupForm):
    slot = forms.ChoiceField(label=gettext_lazy("Taken"), choices=Photo.SLOTS, widget=forms.RadioSelect)
    patch = forms.ModelChoiceField(
        None, label=gettext_lazy("Of which patch"), required=False,
        empty_label=gettext_lazy("the ground as a whole"),
    )  # fmt: skip

    def __init__(self, *args, photo: Photo, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["patch"].queryset = photo.place.patches.all()


class MoveForm(GroupForm):
    yard = forms.ModelChoiceField(
        None, label=gettext_lazy("The yard it is of"), empty_label=gettext_lazy("Choose a yard")
    )

    def __init__(self, *args, photo: Photo, **kwargs):
        super().__init__(*args, **kwargs)
        yards = Conversion.of(photo.group_id).exclude(place=photo.place_id).order_by("place__search", "-pk")
        self.fields["yard"].queryset = yards.select_related("place", "household__contact")
