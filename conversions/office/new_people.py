"""The page for writing down that other people live at a yard now."""

import datetime
import uuid

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.groups.tenancy import fetch, open_to
from conversions.groups.ways import go
from conversions.people.models import Person
from conversions.yards.forms import ReachForm
from conversions.yards.models import Conversion, Household
from conversions.yards.reach import known_people, read_reach

from . import moving

NEW = "new"


class NewPeopleForm(ReachForm):
    known = forms.ChoiceField(label=gettext_lazy("We know this number"), required=False, widget=forms.RadioSelect)
    tenure = forms.ChoiceField(
        label=gettext_lazy("Do they own or rent?"),
        choices=Household.TENURES,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose one. Not sure is fine too.")},
    )
    moved_on = forms.DateField(
        label=gettext_lazy("Living there since"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text=gettext_lazy("About right will do."),
    )
    large_print = forms.BooleanField(label=gettext_lazy("Large print on their papers"), required=False)
    uid = forms.UUIDField(widget=forms.HiddenInput, error_messages={"invalid": gettext_lazy("Open this page again.")})

    def __init__(self, *args, since: datetime.date, **kwargs):
        super().__init__(*args, **kwargs)
        self.since, self.people = since, []
        self.initial.setdefault("uid", uuid.uuid4())
        self.initial.setdefault("moved_on", self.group.today())
        self.fields["known"].choices = self._known()
        if not self.people:
            del self.fields["known"]

    def _known(self) -> list[tuple[str, str]]:
        try:
            how = read_reach(self.data.get("reach", ""))
        except ValidationError:
            return []
        self.people = list(known_people(self.group, how)[:4])
        rows = [(str(person.pk), _("Same person: %(name)s") % {"name": person}) for person in self.people]
        return [*rows, (NEW, _("Somebody else"))]

    def clean_moved_on(self) -> datetime.date:
        on = self.cleaned_data["moved_on"]
        if on > self.group.today():
            raise ValidationError(_("That is still to come. Write it down once they live there."))
        if on < self.since:
            raise ValidationError(_("The people before came later than that. Check the date."))
        return on

    def clean(self) -> dict:
        data = super().clean()
        if "known" in self.fields and not data.get("known") and "known" not in self.errors:
            self.add_error("known", _("We know this number. Who is it?"))
        return data

    @property
    def person(self) -> Person | None:
        return next((one for one in self.people if str(one.pk) == self.cleaned_data.get("known")), None)

    @property
    def who(self) -> moving.Newcomers:
        names = ("name", "reach", "tenure", "moved_on", "large_print")
        return moving.Newcomers(**{name: self.cleaned_data[name] for name in names}, person=self.person)


@open_to("visitor")
def new_people(request: HttpRequest, pk: int) -> HttpResponse:
    rows = Conversion.of(request.group).select_related("group", "place", "household__contact")
    row = fetch(request, rows, pk=pk)
    form = NewPeopleForm(request.POST or None, group=request.group, since=row.household.from_on)
    if request.method == "POST" and form.is_valid():
        try:
            new = moving.new_people(conversion=row, who=form.who, by=request.member, uid=form.cleaned_data["uid"])
            moving.give_sheets(household=new.household, by=request.member)
            messages.success(
                request, _("Kept. Now read them the notice, and ask what they allow: nothing is allowed yet.")
            )
            return go(request, "person", pk=new.household.contact_id)
        except ValidationError as error:
            form.add_error(None, error)
        except IntegrityError:
            form.add_error(None, _("Somebody was faster. Try once more."))
    context = {
        "place": "yards",
        "yard": row,
        "form": form,
        "problem": moving.why_not(row),
        "is_built": moving.is_built(row),
    }
    return render(request, "office/new_people.html", context)
