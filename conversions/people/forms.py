"""What is typed about a person: how to reach them, what they allow, what came of telling them."""

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.groups.models import Group
from conversions.groups.tenancy import GroupForm

from .models import Consent, Person


class DoneForm(forms.Form):
    words = forms.CharField(
        label=gettext_lazy("What they said"),
        max_length=200,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class PersonForm(GroupForm):
    name = forms.CharField(label=gettext_lazy("Name"), max_length=120)
    route = forms.ChoiceField(
        label=gettext_lazy("How they like to be reached"), choices=Person.ROUTES, widget=forms.RadioSelect
    )
    phone = forms.CharField(label=gettext_lazy("Phone"), max_length=40, required=False)
    email = forms.EmailField(label=gettext_lazy("E-mail"), required=False)
    postal = forms.CharField(
        label=gettext_lazy("Postal address"),
        max_length=240,
        required=False,
        help_text=gettext_lazy("Only where it is not the garden’s."),
    )
    language = forms.ChoiceField(label=gettext_lazy("Language"), required=False)
    units = forms.ChoiceField(label=gettext_lazy("Measures on their papers"), required=False)
    large_print = forms.BooleanField(label=gettext_lazy("Large print on their papers"), required=False)
    can_do = forms.CharField(
        label=gettext_lazy("Glad to do"),
        max_length=240,
        required=False,
        help_text=gettext_lazy("Barrow, fork, cook, drive, …"),
    )
    seats = forms.IntegerField(label=gettext_lazy("Seats in their car"), min_value=0, max_value=60, required=False)
    first_aid = forms.BooleanField(label=gettext_lazy("First-aider"), required=False)
    under_18 = forms.BooleanField(label=gettext_lazy("Under 18"), required=False)
    revision = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        usual = [("", _("as the group"))]
        self.fields["language"].choices = usual + list(settings.LANGUAGES)
        self.fields["units"].choices = usual + list(Group._meta.get_field("units").choices)

    def clean(self) -> dict:
        data = super().clean()
        needed = {"phone": "phone", "text": "phone", "email": "email"}.get(data.get("route"))
        if needed and not data.get(needed) and needed not in self.errors:
            self.add_error(needed, ValidationError(_("Needed, if that is how they like to be reached.")))
        return data


FIELDS = tuple(name for name in PersonForm.base_fields if name != "revision")


def person_values(person: Person) -> dict:
    return {name: getattr(person, name) for name in (*FIELDS, "revision")}


class ConsentForm(GroupForm):
    kind = forms.ChoiceField(label=gettext_lazy("What you asked"), choices=Consent.KINDS, widget=forms.RadioSelect)
    answer = forms.ChoiceField(
        label=gettext_lazy("What they said"), choices=Consent.ANSWERS, widget=forms.RadioSelect
    )  # no default: not asked is not a yes
    how = forms.ChoiceField(
        label=gettext_lazy("How"),
        choices=[way for way in Consent.HOW if way[0] != "link"],  # their own page is theirs to press
        widget=forms.RadioSelect,
    )
    on = forms.DateField(label=gettext_lazy("When"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    child = forms.ModelChoiceField(
        label=gettext_lazy("About which child"),
        queryset=None,
        required=False,
        empty_label=gettext_lazy("none, about themselves"),
        help_text=gettext_lazy(
            "A parent or guardian answers for their child, and stands in the record as who said it."
        ),
    )
    child_name = forms.CharField(
        label=gettext_lazy("Or a child we have not written down: their first name"), max_length=120, required=False
    )

    def __init__(self, *args, person: Person, **kwargs):
        super().__init__(*args, **kwargs)
        children = Person.of(self.group).filter(under_18=True, erased_at=None).exclude(pk=person.pk)
        self.fields["child"].queryset = children
        if person.under_18:  # they do not answer for others, and a parent answers for them
            del self.fields["child"], self.fields["child_name"]
        elif not children.exists() and not self.data.get("child"):  # a child named here is never taken for nobody
            del self.fields["child"]

    def clean(self) -> dict:
        data = super().clean()
        if data.get("child") and data.get("child_name"):
            self.add_error("child_name", ValidationError(_("Choose a child or write a name, not both.")))
        return data

    def clean_on(self):
        on = self.cleaned_data["on"]
        if on > self.group.today():
            raise ValidationError(_("That day is still to come."))
        if on.year < 2000:
            raise ValidationError(_("That is long ago. Check the year."))
        return on
