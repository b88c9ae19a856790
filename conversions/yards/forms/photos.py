"""What may be said about one picture: who is in it, where it was taken, which yard it is of."""

from django import forms
from django.utils.translation import gettext_lazy

from conversions.groups.tenancy import GroupForm

from ..models import Conversion, Photo


class PeopleForm(forms.Form):
    people = forms.ChoiceField(
        label=gettext_lazy("Is someone in this picture?"), choices=Photo.PEOPLE, widget=forms.RadioSelect
    )
    only_household = forms.BooleanField(label=gettext_lazy("Everybody in it lives here"), required=False)


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
