"""Who is written down: a name, and a way to reach them."""

from django import forms
from django.utils.translation import gettext_lazy

from conversions.groups.tenancy import GroupForm

from ..reach import Reach, read_reach


class ReachForm(GroupForm):
    """What every form asks that writes down people who may be new to us."""

    name = forms.CharField(
        label=gettext_lazy("Name"), max_length=120, error_messages={"required": gettext_lazy("Write their name.")}
    )
    reach = forms.CharField(
        label=gettext_lazy("How to reach them"),
        max_length=120,
        help_text=gettext_lazy("A phone number or an e-mail."),
        error_messages={"required": gettext_lazy("Write a phone number or an e-mail address.")},
    )
    how: Reach  # what was typed, as it was read

    def clean_reach(self) -> str:
        self.how = read_reach(self.cleaned_data["reach"])
        return self.cleaned_data["reach"].strip()
