"""Forms of build days: setting one, changing it, marks, helpers, who came, what was built, and signing up."""

import datetime
from decimal import ROUND_HALF_UP, Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from conversions.common.measures import FT2_M2, INCH_M
from conversions.groups.models import Member
from conversions.groups.tenancy import GroupForm
from conversions.yards.reach import read_reach

from .gates import MARKS
from .models import Day

LESS = {"min_value": _("An area cannot be less than nothing."), "invalid": _("Write a number.")}


class DateField(forms.DateField):
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class TimeField(forms.TimeField):
    widget = forms.TimeInput(attrs={"type": "time"}, format="%H:%M")


def leaders(group):
    rows = Member.of(group).filter(Q(is_lead=True) | Q(is_organiser=True), ended_on=None)
    return rows.select_related("user").order_by("user__name", "pk")


class DayForm(GroupForm):
    """When, who leads, how many hands; the same fields for setting a day and changing it."""

    on = DateField(label=_("Date"))
    starts = TimeField(label=_("From"))
    ends = TimeField(label=_("Until"))
    rain_on = DateField(label=_("Rain date"), required=False)
    lead = forms.ModelChoiceField(None, label=_("Who leads"), empty_label=None)
    deputy = forms.ModelChoiceField(
        None, label=_("Who leads if they can't"), required=False, empty_label=_("nobody yet")
    )
    helpers_wanted = forms.IntegerField(label=_("Helpers wanted"), min_value=1, max_value=200)
    meeting_point = forms.CharField(
        label=_("Where everyone goes if something is wrong"),
        max_length=200,
        required=False,
        help_text=_("A place in the street, away from the house, such as the lamp post."),
    )
    notes = forms.CharField(
        label=_("For the crew: parking, toilet, water, wires above"),
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args, group, **kwargs):
        super().__init__(*args, group=group, **kwargs)
        self.fields["lead"].queryset = leaders(group)
        self.fields["deputy"].queryset = Member.of(group).filter(ended_on=None).select_related("user")
        if self.fields["deputy"].queryset.count() == 1:  # a group of one has nobody to choose from
            self.fields["lead"].widget = self.fields["deputy"].widget = forms.HiddenInput()

    def clean(self):
        data = super().clean()
        on, rain_on = data.get("on"), data.get("rain_on")
        if on and rain_on and rain_on <= on:
            self.add_error("rain_on", _("The rain date must come after the day itself."))
        if data.get("starts") and data.get("ends") and data["ends"] <= data["starts"]:
            self.add_error("ends", _("The end must come after the start."))
        if on and abs((on - self.group.today()).days) > 730:
            self.add_error("on", _("That is more than two years away. Check the year."))
        return data


class YardsField(forms.ModelMultipleChoiceField):
    """Agreed yards; one that has a day already says so, for a yard may take two."""

    def label_from_instance(self, yard) -> str:
        return _("%s, has a day already") % yard if yard.has_day else str(yard)


class NewDayForm(DayForm):
    conversions = YardsField(
        None,
        label=_("Whose yard"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose a yard that said yes.")},
    )
    field_order = ["conversions", "on", "starts", "ends", "rain_on", "lead", "helpers_wanted"]

    def __init__(self, *args, group, yards, **kwargs):
        super().__init__(*args, group=group, **kwargs)
        self.fields["conversions"].queryset = yards
        for later in ("deputy", "meeting_point", "notes"):
            del self.fields[later]


class ChangeDayForm(DayForm):
    revision = forms.IntegerField(widget=forms.HiddenInput)
    field_order = ["on", "starts", "ends", "rain_on", "lead", "deputy", "helpers_wanted", "meeting_point", "notes"]

    @classmethod
    def of(cls, day: Day, **kwargs):
        names = [name for name in cls.field_order if name not in ("lead", "deputy")]
        values = {name: getattr(day, name) for name in names}
        values |= {"lead": day.lead_id, "deputy": day.deputy_id, "revision": day.revision}
        return cls(group=day.group, initial=values, **kwargs)


class MarksForm(forms.Form):
    """What the locating service said, and how long their marks are good."""

    state = forms.ChoiceField(label=_("What did they say?"), choices=list(MARKS.items()), widget=forms.RadioSelect)
    until = DateField(label=_("Last day the marks are good for"), required=False)
    ticket = forms.CharField(label=_("Ticket number, or who told you"), max_length=60, required=False)


class HelperForm(forms.Form):
    """One name written in by whoever runs the day."""

    name = forms.CharField(label=_("Name"), max_length=120)
    phone = forms.CharField(label=_("Phone or e-mail"), max_length=120, required=False)

    def clean_phone(self):
        text = self.cleaned_data["phone"]
        if text.strip():
            read_reach(text)
        return text


class CameForm(forms.Form):
    """Who was there: ticked by person, more without a name, and the hours where they were not the whole day."""

    everyone = forms.BooleanField(required=False)
    others = forms.IntegerField(label=_("More, without names"), min_value=0, max_value=500, required=False)
    hours = forms.DecimalField(
        label=_("Hours each"), min_value=0, max_value=24, decimal_places=2, max_digits=4, required=False
    )


class BuiltForm(forms.Form):
    """One patch that is not as drawn: how much is finished, whether that is all of it, and why."""

    WHOLE = [("yes", _("Yes, all of it")), ("no", _("No, a part; the rest waits"))]
    uid = forms.UUIDField(widget=forms.HiddenInput)
    area_m2 = forms.DecimalField(
        label=_("Finished today"), min_value=0, max_digits=9, decimal_places=2, error_messages=LESS
    )
    whole = forms.ChoiceField(label=_("Is this patch done?"), choices=WHOLE, widget=forms.RadioSelect)
    why_different = forms.CharField(
        label=_("Why is it not as drawn?"),
        max_length=240,
        required=False,
        help_text=_(
            "A few words. Needed if the patch is done and its figure is another than the drawing’s, or if it was measured again."
        ),
    )
    layers = forms.IntegerField(label=_("Layers of cardboard"), min_value=1, max_value=20, required=False)
    depth_mm = forms.DecimalField(
        label=_("Chips poked in five places, thinnest"), min_value=0, max_value=1000, decimal_places=1, required=False
    )
    lawn_m2 = forms.DecimalField(
        label=_("The whole patch, measured again"),
        min_value=Decimal("0.01"),
        max_digits=9,
        decimal_places=2,
        required=False,
        help_text=_("Only if the drawing was wrong. Write why above."),
    )

    def __init__(self, *args, group, **kwargs):
        super().__init__(*args, **kwargs)
        self.group, self.is_imperial = group, group.units == "imperial"
        self.fields["why_different"].by_rule = True  # asked for by what the rest says: never "as you like"
        self.fields["area_m2"].unit = self.fields["lawn_m2"].unit = _("sq ft") if self.is_imperial else "m²"
        self.fields["depth_mm"].unit = _("in") if self.is_imperial else "mm"

    def clean_area_m2(self) -> Decimal:
        return metric_area(self.cleaned_data["area_m2"], self.group)

    def clean_lawn_m2(self) -> Decimal | None:
        typed = self.cleaned_data["lawn_m2"]
        return typed and metric_area(typed, self.group)

    def clean_depth_mm(self) -> int | None:
        typed = self.cleaned_data["depth_mm"]
        if typed is None:
            return None
        return int((typed * INCH_M * 1000).quantize(Decimal(1), ROUND_HALF_UP)) if self.is_imperial else int(typed)


class CorrectForm(forms.Form):
    """A counted figure that turned out wrong: what is true, and why."""

    seen_m2 = forms.DecimalField(widget=forms.HiddenInput, max_digits=9, decimal_places=2)
    to_m2 = forms.DecimalField(
        label=_("What is true"), min_value=0, max_digits=9, decimal_places=2, error_messages=LESS
    )
    reason = forms.CharField(
        label=_("Why was it wrong?"),
        max_length=240,
        help_text=_("Whoever reads the tally next year sees this."),
        error_messages={"required": _("Say why in a few words.")},
    )
    lawn_m2 = forms.DecimalField(
        label=_("The whole patch, measured again"),
        min_value=Decimal("0.01"),
        max_digits=9,
        decimal_places=2,
        required=False,
        help_text=_("Only if the drawing was wrong too."),
    )

    def __init__(self, *args, group, **kwargs):
        super().__init__(*args, **kwargs)
        self.group = group
        self.fields["to_m2"].unit = self.fields["lawn_m2"].unit = _("sq ft") if self._is_imperial else "m²"

    @property
    def _is_imperial(self) -> bool:
        return self.group.units == "imperial"

    def clean_to_m2(self) -> Decimal:
        """In square metres; a figure left as it was shown is the same figure, however it was rounded."""
        typed, seen = self.cleaned_data["to_m2"], self.cleaned_data.get("seen_m2")
        if seen is not None and typed == shown_area(seen, self.group):
            return seen
        return metric_area(typed, self.group)

    def clean_lawn_m2(self) -> Decimal | None:
        typed = self.cleaned_data["lawn_m2"]
        return typed and metric_area(typed, self.group)


class SignUpForm(forms.Form):
    """Somebody without an account who would like to help."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    name = forms.CharField(label=_("Your name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    phone = forms.CharField(
        label=_("Your phone or e-mail"),
        max_length=120,
        help_text=_("So that we can tell you if it rains. Only whoever runs the day sees it."),
    )
    role = forms.CharField(
        label=_("What you would be glad to do"),
        max_length=40,
        required=False,
        help_text=_("Hose, cardboard, barrow, rake, tea. Or: not lifting."),
    )

    def clean_phone(self):
        read_reach(self.cleaned_data["phone"])
        return self.cleaned_data["phone"]


def shown_area(m2: Decimal, group) -> Decimal:
    """An area as the form shows it: square metres, or square feet to one digit."""
    return m2 if group.units != "imperial" else (m2 / FT2_M2).quantize(Decimal("0.1"), ROUND_HALF_UP)


def metric_area(typed: Decimal, group) -> Decimal:
    """What was typed, in square metres."""
    return typed if group.units != "imperial" else (typed * FT2_M2).quantize(Decimal("0.01"), ROUND_HALF_UP)


def next_saturday(today: datetime.date) -> datetime.date:
    """The first Saturday that leaves a week to get ready.

    >>> next_saturday(datetime.date(2026, 5, 5))  # a Tuesday
    datetime.date(2026, 5, 16)
    """
    return today + datetime.timedelta(days=7 + (5 - today.weekday()) % 7)


def as_form_errors(form: forms.Form, error: ValidationError) -> None:
    """Put an action's refusal beside the field it is about, where the form has that field."""
    if not hasattr(error, "error_dict"):
        form.add_error(None, error)
        return
    for field, errors in error.error_dict.items():
        form.add_error(field if field in form.fields else None, errors)
