"""Writing down an enquiry, and changing it later."""

import datetime
import uuid

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.groups.tenancy import GroupForm
from conversions.people.models import Person

from ..models import Conversion, Household
from ..reach import known_people, known_places
from .person import ReachForm

ANOTHER = "another"
MOST_OFFERED = 4


def _area(rows: int) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows})


class EnquiryForm(ReachForm):
    address = forms.CharField(
        label=gettext_lazy("Street and number"),
        max_length=200,
        error_messages={"required": gettext_lazy("Write the street and the number.")},
    )
    tenure = forms.ChoiceField(
        label=gettext_lazy("Do they own or rent?"),
        choices=[
            ("own", gettext_lazy("Own")),
            ("rent", gettext_lazy("Rent")),
            ("shared", gettext_lazy("Shared")),
            ("not sure", gettext_lazy("Not sure")),
        ],
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose one. Not sure is fine too.")},
    )
    wish = forms.CharField(
        label=gettext_lazy("What they would like, in their words"), max_length=400, required=False, widget=_area(2)
    )
    unit = forms.CharField(label=gettext_lazy("Flat or unit"), max_length=40, required=False)
    note = forms.CharField(label=gettext_lazy("Note for us"), max_length=2000, required=False, widget=_area(2))
    large_print = forms.BooleanField(label=gettext_lazy("Large print on their papers"), required=False)
    known = forms.CharField(required=False)
    uid = forms.UUIDField(widget=forms.HiddenInput, error_messages={"invalid": gettext_lazy("Open this page again.")})

    more = ("wish", "unit", "note", "large_print")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("uid", uuid.uuid4())
        self.offers: list[dict] = []

    @property
    def more_is_open(self) -> bool:
        return any(self[name].errors or (self.is_bound and self[name].value()) for name in self.more)

    def clean(self) -> dict:
        data = super().clean()
        if not self.errors and not Conversion.of(self.group).filter(uid=data["uid"]).exists():
            self._choose(data)
        return data

    def _choose(self, data: dict) -> None:
        """A known address or number is offered, and used only when somebody says so."""
        self.offers = self._known(data)
        if not self.offers:
            return
        chosen = next((offer for offer in self.offers if offer["value"] == data["known"]), None)
        if chosen:
            data.update(chosen["use"])
        elif data["known"] != ANOTHER:
            self.add_error("known", _("We know this address or number. Which is it?"))

    def _known(self, data: dict) -> list[dict]:
        offers = []
        places = known_places(self.group, data["address"], data["unit"])[:MOST_OFFERED]
        for place in places:
            for household in place.households.filter(until_on=None).select_related("contact"):
                words = _("Same place, same people: %(name)s, %(place)s")
                offers.append(_offer("household", household, words, household.contact, place, place))
            offers.append(_offer("place", place, _("Same place, new people: %(place)s"), None, place, place))
        seen = {offer["use"]["household"].contact_id for offer in offers if "household" in offer["use"]}
        people = known_people(self.group, self.how).exclude(pk__in=seen)[:MOST_OFFERED]
        for person in people:
            last = person.households.select_related("place").order_by("-pk").first()
            words = _("Same people, another place: %(name)s, now at %(place)s") if last else _("Same person: %(name)s")
            offers.append(_offer("person", person, words, person, last and last.place, last and last.place))
        return offers


def _offer(kind: str, row, words: str, contact: Person | None, place, at) -> dict:
    standing = at.conversions.filter(closed_on=None).order_by("-pk").first() if at else None
    return {
        "value": f"{kind}-{row.pk}",
        "words": words % {"name": contact, "place": place},
        "use": {kind: row},
        "yard": standing if kind != "place" or not at.households.exists() else None,
    }


class YardForm(GroupForm):
    """What was written about a yard, to be changed; the address stays, because papers have gone there."""

    name = forms.CharField(label=gettext_lazy("Name"), max_length=120)
    phone = forms.CharField(label=gettext_lazy("Phone"), max_length=40, required=False)
    email = forms.EmailField(label=gettext_lazy("E-mail"), required=False)
    route = forms.ChoiceField(
        label=gettext_lazy("How they like to be reached"), choices=Person.ROUTES, widget=forms.RadioSelect
    )
    tenure = forms.ChoiceField(
        label=gettext_lazy("Do they own or rent?"), choices=Household.TENURES, widget=forms.RadioSelect
    )
    unit = forms.CharField(label=gettext_lazy("Flat or unit"), max_length=40, required=False)
    large_print = forms.BooleanField(label=gettext_lazy("Large print on their papers"), required=False)
    wish = forms.CharField(
        label=gettext_lazy("What they would like, in their words"), max_length=400, required=False, widget=_area(3)
    )
    note = forms.CharField(label=gettext_lazy("Note for us"), max_length=2000, required=False, widget=_area(3))
    gate_code = forms.CharField(
        label=gettext_lazy("Code of the gate"),
        max_length=60,
        required=False,
        help_text=gettext_lazy("Shown on the visit only, to those who visit."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    gate_until = forms.DateField(
        label=gettext_lazy("Forget the code after"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    revision = forms.IntegerField(widget=forms.HiddenInput)
    person_revision = forms.IntegerField(widget=forms.HiddenInput)

    def clean_gate_until(self) -> datetime.date | None:
        until = self.cleaned_data["gate_until"]
        if until and until < self.group.today() and self.cleaned_data.get("gate_code"):
            raise ValidationError(_("That day is over. Choose the last day somebody needs the code."))
        return until

    def clean(self) -> dict:
        data = super().clean()
        if data.get("gate_code") and not data.get("gate_until") and "gate_until" not in self.errors:
            self.add_error("gate_until", ValidationError(_("Until when do we need the code? It is forgotten then.")))
        needed = {"phone": "phone", "text": "phone", "email": "email"}.get(data.get("route"))
        if needed and not data.get(needed) and needed not in self.errors:
            self.add_error(needed, ValidationError(_("Needed, if that is how they like to be reached.")))
        return data


def yard_values(conversion: Conversion) -> dict:
    """What the form is filled with, and what stands when two people changed the same yard."""
    contact = conversion.household.contact
    code = getattr(conversion.place, "gate_code", None)
    is_good = bool(code) and code.is_good(conversion.group.today())
    return {
        "name": contact.name, "phone": contact.phone, "email": contact.email, "route": contact.route,
        "tenure": conversion.household.tenure, "unit": conversion.place.unit, "large_print": contact.large_print,
        "wish": conversion.wish, "note": conversion.note, "revision": conversion.revision,
        "person_revision": contact.revision,
        "gate_code": code.code if is_good else "", "gate_until": code.until_on if is_good else None,
    }  # fmt: skip
