"""Choices that more than one page about groups and members asks for."""

from functools import cache
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from .models import Group, User

ROLES = [
    ("organiser", gettext_lazy("organises")),
    ("visitor", gettext_lazy("visits yards")),
    ("lead", gettext_lazy("leads build days")),
    ("reader", gettext_lazy("sees numbers only")),
]
ROLES_HINT = gettext_lazy(
    "As many as fit. Who organises may do everything. With nothing ticked they are a helper and see only the days they come to."
)
UNITS = Group._meta.get_field("units").choices


@cache
def zones() -> list[tuple[str, str]]:
    """Every place of the time zone list, such as Europe/London, and plain UTC."""
    return [(z, z.replace("_", " ")) for z in sorted(available_timezones()) if "/" in z and z[:3] != "Etc"] + [
        ("UTC", "UTC")
    ]


def zone_field() -> forms.ChoiceField:
    return forms.ChoiceField(label=gettext_lazy("Time zone"), choices=zones)


class RolesField(forms.MultipleChoiceField):
    """A set of roles; none at all is a helper."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, **kwargs):
        super().__init__(label=gettext_lazy("Roles"), choices=ROLES, required=False, help_text=ROLES_HINT, **kwargs)

    def clean(self, value) -> frozenset[str]:
        return frozenset(super().clean(value))


class AccountForm(forms.Form):
    """A new account: name, e-mail and password, each asked once."""

    your_name = forms.CharField(
        label=gettext_lazy("Your name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    email = forms.EmailField(
        label=gettext_lazy("Your e-mail"), max_length=254, widget=forms.EmailInput(attrs={"autocomplete": "username"})
    )
    password = forms.CharField(
        label=gettext_lazy("A password"),
        strip=False,
        help_text=gettext_lazy("Ten letters or more; three words in a row are easy to keep in mind."),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_email(self) -> str:
        email = self.cleaned_data["email"].lower()
        if User.objects.filter(email=email).exists():
            self.has_account = True
            raise ValidationError(_("There is an account with this e-mail. Sign in first, then open this page again."))
        return email

    def clean_password(self) -> str:
        password_validation.validate_password(self.cleaned_data["password"])
        return self.cleaned_data["password"]

    def account(self) -> User:
        """The account, not saved yet; the slow hash is made here, outside any transaction."""
        user = User(email=self.cleaned_data["email"], name=self.cleaned_data["your_name"])
        user.set_password(self.cleaned_data["password"])
        return user
