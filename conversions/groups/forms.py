"""Signing in, passwords, and the group's own page."""

import datetime
from decimal import ROUND_HALF_UP, Decimal

from django import forms
from django.conf import settings
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm, PasswordResetForm, SetPasswordForm
from django.core.exceptions import ValidationError
from django.utils.dates import MONTHS
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common import measures
from conversions.common.measures import FT2_M2
from conversions.common.throttle import too_often

from .fields import UNITS, zone_field
from .models import Group, User

LEAP_YEAR = 2000  # a year that has every date
RESETS_AN_HOUR = 5


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": gettext_lazy("This e-mail and password don't go together. Mind capital letters."),
        "inactive": gettext_lazy("This account is switched off."),
    }


class NewPasswordForm(SetPasswordForm):
    """Behind the link of a message: typed twice, because nobody sees it."""

    error_messages = {"password_mismatch": gettext_lazy("The two are not the same. Type both again.")}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        _plain(self)


class ChangePasswordForm(PasswordChangeForm):
    error_messages = {
        "password_mismatch": gettext_lazy("The two are not the same. Type both again."),
        "password_incorrect": gettext_lazy("This is not the password you have now."),
    }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["old_password"].label = gettext_lazy("The password you have now")
        _plain(self)


def _plain(form: forms.Form) -> None:
    form.fields["new_password1"].label = gettext_lazy("A new password")
    form.fields["new_password1"].help_text = gettext_lazy(
        "Ten letters or more; three words in a row are easy to keep in mind."
    )
    form.fields["new_password2"].label = gettext_lazy("The same again")
    form.fields["new_password2"].help_text = ""


class ForgottenForm(PasswordResetForm):
    """Says the same whether the e-mail is known or not, and writes to one address a few times an hour only."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["email"].label = gettext_lazy("E-mail")

    def get_users(self, email: str):
        """Also whoever has no password yet, such as the first organiser of a new group."""
        return User.objects.filter(email=email.lower(), is_active=True)

    def save(self, **kwargs) -> None:
        if not too_often("forgotten", self.cleaned_data["email"], most=RESETS_AN_HOUR):
            super().save(**kwargs | {"extra_email_context": {"base": settings.BASE_URL}})


class GroupPageForm(forms.Form):
    name = forms.CharField(label=gettext_lazy("Name"), max_length=120)
    phone = forms.CharField(
        label=gettext_lazy("Phone that people may ring"),
        max_length=40,
        required=False,
        help_text=gettext_lazy("It stands on every paper and behind every link."),
        widget=forms.TextInput(attrs={"inputmode": "tel"}),
    )
    phone_hours = forms.CharField(
        label=gettext_lazy("When they may ring"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("After six, say."),
    )
    postal = forms.CharField(
        label=gettext_lazy("Where a letter reaches you"),
        max_length=240,
        required=False,
        help_text=gettext_lazy("It stands on the slip that households send back, and on your letters."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    goal = forms.IntegerField(min_value=1, max_value=10_000_000, required=False)
    season_day = forms.IntegerField(label=gettext_lazy("The season ends on"), min_value=1, max_value=31)
    season_month = forms.TypedChoiceField(label=gettext_lazy("of"), coerce=int, choices=list(MONTHS.items()))
    language = forms.ChoiceField(
        label=gettext_lazy("Words and dates as you say them"),
        choices=[
            ("en", gettext_lazy("pavement, kerb, 9 May")),
            ("en-us", gettext_lazy("sidewalk, curb, May 9")),
            ("es", gettext_lazy("acera, bordillo, 9 de mayo")),
        ],
        widget=forms.RadioSelect,
    )
    units = forms.ChoiceField(label=gettext_lazy("You measure in"), choices=UNITS, widget=forms.RadioSelect)
    paper = forms.ChoiceField(
        label=gettext_lazy("Paper"), choices=[("A4", "A4"), ("Letter", "Letter")], widget=forms.RadioSelect
    )
    currency = forms.CharField(
        label=gettext_lazy("What you write beside an amount"),
        max_length=8,
        required=False,
        help_text=gettext_lazy("Such as $ or kr."),
    )
    currency_after = forms.TypedChoiceField(
        label=gettext_lazy("Where it stands"),
        coerce=lambda value: value == "after",
        choices=[("before", gettext_lazy("before the amount")), ("after", gettext_lazy("after the amount"))],
        widget=forms.RadioSelect,
    )
    minor_digits = forms.TypedChoiceField(
        label=gettext_lazy("Digits after the point"), coerce=int, choices=[(0, "0"), (2, "2"), (3, "3")],
        widget=forms.RadioSelect,
    )  # fmt: skip
    zone = zone_field()
    originals_days = forms.IntegerField(
        label=gettext_lazy("Days that pictures are kept as they came"),
        min_value=0,
        max_value=3650,
        required=False,
        help_text=gettext_lazy(
            "They hold the place where they were taken, so nobody is shown them. After that only the shrunk ones stay."
        ),
    )

    def __init__(self, *args, group: Group, **kwargs):
        super().__init__(*args, **kwargs)
        self.group, self.year = group, group.today().year
        self.fields["goal"].label = _("Lawn you hope to convert in %(year)s") % {"year": self.year}
        self.fields["goal"].unit = _("sq ft") if group.units == "imperial" else "m²"
        if group.zone not in dict(self.fields["zone"].choices):
            self.fields["zone"].choices = [(group.zone, group.zone), *self.fields["zone"].choices]

    @classmethod
    def what_stands(cls, group: Group) -> dict:
        goal = group.goal(group.today().year)
        if goal and group.units == "imperial":
            goal = int((Decimal(goal) / FT2_M2).quantize(Decimal(1), ROUND_HALF_UP))
        plain = (
            "name",
            "phone",
            "phone_hours",
            "postal",
            "language",
            "units",
            "paper",
            "currency",
            "minor_digits",
            "zone",
            "originals_days",
        )
        return {
            **{name: getattr(group, name) for name in plain},
            "goal": goal,
            "season_day": group.season_ends_day,
            "season_month": group.season_ends_month,
            "currency_after": "after" if group.currency_after else "before",
        }

    def clean(self) -> dict:
        data = super().clean()
        if "season_day" in data and "season_month" in data:
            try:
                datetime.date(LEAP_YEAR, data["season_month"], data["season_day"])
            except ValueError:
                self.add_error("season_day", ValidationError(_("This month has no such day.")))
        return data

    def clean_postal(self) -> str:
        """The lines as they go on an envelope, without the empty ones."""
        return "\n".join(line.strip() for line in self.cleaned_data["postal"].splitlines() if line.strip())

    def values(self) -> dict:
        """The group's fields, out of what was typed."""
        told = dict(self.cleaned_data)
        if told["originals_days"] is None:  # left empty: nothing was decided
            del told["originals_days"]
        goal, goals = told.pop("goal"), dict(self.group.goals)
        if "goal" in self.changed_data:
            goals.pop(str(self.year), None)
            if goal:
                goals[str(self.year)] = self._square_metres(goal)
        told["season_ends_day"] = told.pop("season_day")
        told["season_ends_month"] = told.pop("season_month")
        return told | {"goals": goals}

    def _square_metres(self, goal: int) -> int:
        if self.group.units != "imperial":
            return goal
        return int((goal * FT2_M2).quantize(Decimal(1), ROUND_HALF_UP))


class UsesForm(forms.Form):
    """What a group works with beyond the plain rules. Each is off while its field is empty."""

    fire_strip = forms.CharField(
        label=gettext_lazy("How wide a strip stays free"),
        max_length=24,
        required=False,
        help_text=gettext_lazy("Leave it empty where no fire rule holds."),
    )

    def __init__(self, *args, group: Group, **kwargs):
        super().__init__(*args, **kwargs)
        self.units = group.units
        self.fields["fire_strip"].unit = _("ft") if group.units == "imperial" else _("m")
        self.initial["fire_strip"] = self._written(group.fire_strip_m)

    def _written(self, metres: Decimal | None) -> str:
        if not metres:
            return ""
        return measures.feet_inches(metres) if self.units == "imperial" else f"{metres.normalize():f}"

    def clean_fire_strip(self) -> Decimal | None:
        text = self.cleaned_data["fire_strip"].strip()
        if not text:
            return None
        try:
            metres = measures.read_length(text, self.units).metres.quantize(Decimal("0.01"), ROUND_HALF_UP)
        except measures.NotALength as error:
            raise ValidationError(str(error)) from error
        if not Decimal("0.1") <= metres <= 30:
            raise ValidationError(_("Between 0.1 m and 30 m. Check the unit."))
        return metres
