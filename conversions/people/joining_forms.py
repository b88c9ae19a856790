"""Forms for starting a group, inviting, and changing roles."""

from django import forms
from django.utils.translation import gettext_lazy as _

from conversions.groups.fields import UNITS, AccountForm, RolesField, zone_field
from conversions.groups.tenancy import GroupForm


class NewGroupForm(forms.Form):
    """What a signed-in person is asked for a new group; everything else has a plain default."""

    name = forms.CharField(label=_("Name of your group"), max_length=120)
    units = forms.ChoiceField(label=_("You measure in"), choices=UNITS, widget=forms.RadioSelect, initial="metric")
    zone = zone_field()

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("zone", "UTC")


class StartForm(NewGroupForm, AccountForm):
    """The same for somebody without an account."""

    field_order = ["name", "your_name", "email", "password", "units", "zone"]


class InviteForm(GroupForm):
    name = forms.CharField(
        label=_("For whom"), max_length=120, required=False, help_text=_("Only for you, to tell the links apart.")
    )
    roles = RolesField()
    days = forms.TypedChoiceField(
        label=_("The link holds for"),
        coerce=int,
        choices=[(3, _("3 days")), (14, _("14 days")), (60, _("60 days"))],
        widget=forms.RadioSelect,
        initial=14,
    )


class RolesForm(forms.Form):
    roles = RolesField()
