"""What somebody writes down after looking in on a garden."""

from django import forms
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import GroupForm

ANSWERS = {
    "grass": (_("Is grass coming through?"), [("no", _("No")), ("edge", _("At the edges")), ("all over", _("All over")), ("not asked", _("Not asked"))]),
    "card": (_("Does cardboard show?"), [("no", _("No")), ("a little", _("A little")), ("a lot", _("A lot")), ("not asked", _("Not asked"))]),
    "plants": (_("How are the plants?"), [("well", _("Well")), ("poorly", _("Poorly")), ("leaves curl", _("New leaves curl")), ("not asked", _("Not asked"))]),
}  # fmt: skip
HOW = [("phone", _("Rang")), ("visit", _("Looked in")), ("message", _("Wrote"))]


class FollowUpForm(GroupForm):
    """Reached: three answers. Nobody reached: one press, and the follow-up stays due."""

    revision = forms.IntegerField(widget=forms.HiddenInput)
    how = forms.ChoiceField(label=_("How you tried"), choices=HOW, widget=forms.RadioSelect, initial="phone")
    grass = forms.ChoiceField(
        label=ANSWERS["grass"][0], choices=ANSWERS["grass"][1], widget=forms.RadioSelect, required=False
    )
    card = forms.ChoiceField(
        label=ANSWERS["card"][0], choices=ANSWERS["card"][1], widget=forms.RadioSelect, required=False
    )
    plants = forms.ChoiceField(
        label=ANSWERS["plants"][0], choices=ANSWERS["plants"][1], widget=forms.RadioSelect, required=False
    )
    note = forms.CharField(label=_("Note"), required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 3}))
    again_on = forms.DateField(
        label=_("Look again on"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text=_("Only where something needs another look."),
    )

    def __init__(self, *args, reached: bool = True, **kwargs):
        super().__init__(*args, **kwargs)
        for key in ANSWERS:
            self.fields[key].required = reached
            self.fields[key].error_messages["required"] = _("Choose one, or “Not asked”.")

    def findings(self) -> dict[str, str]:
        return {key: self.cleaned_data[key] for key in ANSWERS}

    def at(self, revision: int) -> "FollowUpForm":
        """The same typed answers against the row as it stands now."""
        data = self.data.copy()
        data["revision"] = revision
        return FollowUpForm(data, group=self.group)
