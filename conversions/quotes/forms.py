"""One form for each thing a person does with a quote that goes out, its answer, and the money that comes."""

import datetime
import uuid
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.common.dates import date_format
from conversions.groups.tenancy import GroupForm
from conversions.people.consents import QUESTIONS
from conversions.people.models import Consent

from .changes import day_sentences, sentences, version_of
from .dates import rain_date, saturdays
from .fields import LARGEST_PRICE, PlainNumberField
from .models import Payment, Quote, Reply
from .wording import day as day_in_words

CHOOSE = {"required": _("Choose one.")}
WHOSE = {"required": _("Write the name.")}
# Asked one by one, none of them ticked beforehand: what is not answered was not asked, and that is a no.
ASKED_HERE = {
    f"allow_{kind.replace(' ', '_')}": kind
    for kind in ("photo record", "photo public", "people in photo", "share name", "future")
}


class SendForm(GroupForm):
    """A sentence and a day, both as one likes; for a later version also what changed."""

    revision = forms.IntegerField(widget=forms.HiddenInput)
    day = forms.ChoiceField(label=_("Which day do you offer?"), widget=forms.RadioSelect, required=False)
    other_on = forms.DateField(
        label=_("Another day"), required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    sentence = forms.CharField(
        label=_("A sentence of your own"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    what_changed = forms.CharField(
        label=_("What changed since then, in words"), max_length=1000, required=False,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text=_("One sentence a line. Change them as you like; a new day is told by itself."),
    )  # fmt: skip
    worked_out = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, quote: Quote, before: Quote | None, **kwargs: Any):
        super().__init__(*args, group=quote.group, **kwargs)
        self.today = quote.group.today()
        self.before = version_of(before) if before else None
        self.derived = ""
        if self.before:
            self.derived = "\n".join(sentences(self.before, version_of(quote), quote.group))
            self.initial |= {"what_changed": self.derived, "worked_out": self.derived}
        else:
            del self.fields["what_changed"], self.fields["worked_out"]
        booked = booked_days(quote, self.today)
        offered = booked or saturdays(self.today)
        choices = [(on.isoformat(), day_in_words(on)) for on in offered]
        self.fields["day"].choices = [("", _("We agree on it together")), *choices]
        self.fields["day"].initial = choices[0][0] if booked else ""
        self.rain = {on.isoformat(): rain_on or rain_date(on) for on, rain_on in (booked or {}).items()}

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        offered = data.get("other_on") or self.fields["other_on"].to_python(data.get("day") or "")
        if offered and offered <= self.today:
            field = "other_on" if data.get("other_on") else "day"
            self.add_error(field, _("Offer a day that is still to come: tomorrow at the earliest."))
        elif offered and (offered - self.today).days > 366:
            self.add_error("other_on", _("This is more than a year away. Look at the year again."))
        data["offered_on"] = offered
        data["offered_rain_on"] = self.rain.get(offered.isoformat(), rain_date(offered)) if offered else None
        data["what_changed"] = self._told(data) if self.before and not self.errors else ""
        return data

    def _told(self, data: dict[str, Any]) -> str:
        """The sentences as they go out: untouched ones as the quote stands now, and the day that was just chosen."""
        typed, worked_out = (_lines(data.get(name, "")) for name in ("what_changed", "worked_out"))
        fresh = _lines(self.derived)
        if typed == worked_out:
            typed = fresh
        elif worked_out != fresh:
            self.data = {**self.data.dict(), "worked_out": self.derived}
            self.add_error(
                "what_changed", _("The quote changed after you wrote this. Now: %(words)s") % {"words": " ".join(fresh)}
            )
        return "\n".join([*typed, *day_sentences(self.before, data["offered_on"], data["offered_rain_on"])])


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def booked_days(quote: Quote, today: Any) -> dict[Any, Any]:
    """Days of this yard that already stand in the calendar, with their rain dates."""
    rows = quote.conversion.day_patches.filter(day__on__gt=today, day__state__in=["planned", "confirmed", "moved"])
    return dict(rows.order_by("day__on").values_list("day__on", "day__rain_on")[:3])


class ReplyForm(GroupForm):
    """What somebody told us, written down by an organiser."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    answer = forms.ChoiceField(label=_("What did they say?"), widget=forms.RadioSelect, error_messages=CHOOSE)
    route = forms.ChoiceField(
        label=_("How did they say it?"),
        choices=[("phone", _("On the phone, read back")), ("slip", _("On the slip")), ("person", _("In person"))],
        widget=forms.RadioSelect,
        error_messages=CHOOSE,
    )
    slip_of = forms.ChoiceField(
        label=_("If it is a slip: which plan does it name?"), widget=forms.RadioSelect, required=False
    )
    name = forms.CharField(label=_("Who decided"), max_length=120, error_messages=WHOSE)
    witness = forms.CharField(
        label=_("Who heard it read back"),
        max_length=120,
        required=False,
        help_text=_("For a phone call: read the price, the day and what they do back to them. Alone? Your own name."),
    )
    said_at = forms.DateTimeField(
        label=_("When"), widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
    )
    days = forms.CharField(label=_("Days that suit them"), max_length=200, required=False)
    words = forms.CharField(label=_("Anything else they said"), max_length=400, required=False)

    def __init__(self, *args: Any, quote: Quote, **kwargs: Any):
        kwargs.setdefault("initial", {})
        kwargs["initial"] |= {
            "uid": uuid.uuid4(),
            "name": quote.conversion.household.contact.name,
            "said_at": timezone.localtime(),
        }
        super().__init__(*args, group=quote.group, **kwargs)
        self.quote = quote
        self.sent = {str(one.pk): one for one in _sent_versions(quote)}
        if len(self.sent) > 1:
            self.fields["slip_of"].choices = [(pk, _plan_of(one)) for pk, one in self.sent.items()]
        else:
            del self.fields["slip_of"]
        agreed = quote.state == "accepted"
        wanted = ("talk",) if agreed else ("yes", "no", "talk")
        self.fields["answer"].choices = [(code, word) for code, word in Reply.ANSWERS if code in wanted]

    def clean_said_at(self) -> Any:
        said_at = self.cleaned_data["said_at"]
        if said_at > timezone.now() + datetime.timedelta(minutes=5):
            raise forms.ValidationError(_("This is still to come. Look at the date again."))
        return said_at

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        if data.get("route") == "phone" and not data.get("witness") and "witness" not in self.errors:
            self.add_error("witness", _("A yes on the phone needs somebody who heard it read back."))
        named = data.pop("slip_of", "")
        if data.get("route") == "slip" and "slip_of" in self.fields and "slip_of" not in self.errors:
            self._check_slip(named)
        return data

    def _check_slip(self, named: str) -> None:
        """A slip answers the plan it was cut from, and no other."""
        if not named:
            self.add_error("slip_of", _("Look at the date on the slip, and choose the plan it was cut from."))
        elif named != str(self.quote.pk):
            contact = self.quote.conversion.household.contact
            words = {"plan": _plan_of(self.sent[named]), "name": contact.name, "phone": contact.phone}
            ring = _("Ring %(name)s on %(phone)s") if contact.phone else _("Ask %(name)s")
            says = _("That slip was cut from another plan: %(plan)s. It cannot count for this one.") % words
            then = _("tell them what changed, and ask again.")
            self.add_error("slip_of", f"{says} {ring % words}: {then}")


def _sent_versions(quote: Quote) -> list[Quote]:
    rows = Quote.of(quote.group).filter(conversion=quote.conversion_id).exclude(sent_at=None)
    return list(rows.only("pk", "version", "sent_at", "group").order_by("version"))


def _plan_of(quote: Quote) -> str:
    on = timezone.localdate(quote.sent_at)
    return _("the one of %(on)s") % {"on": date_format(on, "j F Y")} + f" ({quote.version})"


class PaymentForm(GroupForm):
    """Money that came, or went back."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    way = forms.ChoiceField(
        label=_("Which way?"), choices=[("in", _("They gave us")), ("back", _("We gave back"))],
        widget=forms.RadioSelect, initial="in", error_messages=CHOOSE,
    )  # fmt: skip
    amount = PlainNumberField(label=_("How much"), largest=LARGEST_PRICE, places=3)
    on = forms.DateField(label=_("When"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    how = forms.ChoiceField(label=_("How"), choices=Payment.HOW, widget=forms.RadioSelect, error_messages=CHOOSE)
    words = forms.CharField(label=_("A note"), max_length=200, required=False)

    def __init__(self, *args: Any, group: Any, **kwargs: Any):
        kwargs.setdefault("initial", {"uid": uuid.uuid4(), "on": group.today(), "way": "in"})
        super().__init__(*args, group=group, **kwargs)
        self.fields["amount"].places = group.minor_digits

    def clean_amount(self) -> Any:
        amount = self.cleaned_data["amount"]
        if not amount:
            raise forms.ValidationError(_("Write how much it was."))
        return amount

    def clean_on(self) -> Any:
        on = self.cleaned_data["on"]
        if on > self.group.today():
            raise forms.ValidationError(_("This is still to come. Look at the date again."))
        return on

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        if data.pop("way", "in") == "back" and data.get("amount"):
            data["amount"] = -data["amount"]
        return data


class AnswerForm(forms.Form):
    """The household's own answer, behind a link: the button pressed is the answer."""

    uid = forms.UUIDField(widget=forms.HiddenInput)
    answer = forms.ChoiceField(choices=[(code, word) for code, word in Reply.ANSWERS if code in ("yes", "no", "talk")])
    name = forms.CharField(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": _("Write your name, so that we know who answered.")},
    )
    days = forms.CharField(
        label=_("Days that suit you"), max_length=200, required=False, help_text=_("Such as: Saturdays, not in August")
    )
    words = forms.CharField(
        label=_("Anything to ask or change"), max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        for name, kind in ASKED_HERE.items():
            self.fields[name] = forms.ChoiceField(
                label=QUESTIONS[kind], choices=Consent.ANSWERS, required=False, widget=forms.RadioSelect
            )

    def questions(self) -> list[Any]:
        return [self[name] for name in ASKED_HERE]

    def has_more(self) -> bool:
        """Something was typed or chosen in the part that is folded away."""
        return any(self[name].value() for name in ("days", "words", *ASKED_HERE))

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        said = {kind: data.pop(name, "") for name, kind in ASKED_HERE.items()}
        data["consents"] = {kind: answer for kind, answer in said.items() if answer}
        return data
