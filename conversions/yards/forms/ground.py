"""Saying that two places are one piece of ground."""

from django import forms
from django.utils.translation import gettext_lazy

from conversions.groups.tenancy import GroupForm

from .. import same_ground
from ..models import Place


class PlaceField(forms.ModelChoiceField):
    """A place with who lives there now, because two halves of a house share their address."""

    def label_from_instance(self, place: Place) -> str:
        names = [str(home) for home in place.households.all() if home.until_on is None]
        return f"{place} ({', '.join(names)})" if names else str(place)


class SameGroundForm(GroupForm):
    other = PlaceField(
        None,
        label=gettext_lazy("The same ground as"),
        empty_label=gettext_lazy("Choose a place"),
        error_messages={"required": gettext_lazy("Choose the place it is.")},
    )

    def __init__(self, *args, place: Place, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["other"].queryset = same_ground.choices(place)
        found = same_ground.twins(place)
        self.twins = [self.fields["other"].label_from_instance(twin) for twin in found]
        if len(found) == 1:
            self.initial.setdefault("other", found[0].pk)
