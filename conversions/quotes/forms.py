"""One form for each thing a person does with a price, a quote or an answer."""

import datetime
import re
import uuid
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.common import measures
from conversions.groups.tenancy import GroupForm

from .book import book
from .dates import rain_date, saturdays
from .models import BRINGERS, PAYERS, Quote, Reply
from .units import AFTER, fits_step
from .wording import day as day_in_words

LARGEST_PRICE = Decimal("99999")
LARGEST_QUANTITY = Decimal("9999")
CHOOSE = {"required": _("Choose one.")}
WHOSE = {"required": _("Write the name.")}
CURRENCY_LABEL = _("What do you write before or after an amount?")


class PlainNumberField(forms.CharField):
    """A number as people write it: 48, 48.50 or 48,50. A comma that could mean thousands is asked about."""

    default_error_messages = {
        "required": _("Write a number."),
        "invalid": _("Write a number, like 48 or 48.50."),
        "unclear": _("Is this %(small)s or %(large)s? Write it without the comma."),
    }

    def __init__(self, *, largest: Decimal, places: int, unit: Any = "", may_wait: bool = False, **kwargs: Any):
        self.places, self.unit, self.may_wait = places, unit, may_wait
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(**kwargs)
        self.limits = [
            MinValueValidator(Decimal(0), _("This cannot be less than nothing.")),
            MaxValueValidator(largest, _("This is more than we can believe. Look again.")),
        ]

    def validate(self, value: str) -> None:
        """A field that may wait is asked for in earnest, and still lets the rest of its form be kept."""
        if not self.may_wait:
            super().validate(value)

    def clean(self, value: Any) -> Decimal | None:
        text = re.sub(r"\s", "", super().clean(value))
        if not text:
            return None
        if re.fullmatch(r"[1-9]\d{0,2},\d{3}", text):
            small, large = text.replace(",", "."), text.replace(",", "")
            raise forms.ValidationError(self.error_messages["unclear"] % {"small": small, "large": large})
        number = self._read(text.replace(",", "."))
        for limit in self.limits:
            limit(number)
        return number

    def _read(self, text: str) -> Decimal:
        try:
            number = Decimal(text) if re.fullmatch(r"[-+]?\d+(\.\d+)?", text) else None
        except InvalidOperation:  # pragma: no cover - the pattern lets only numbers through
            number = None
        if number is None or -number.as_tuple().exponent > self.places:
            raise forms.ValidationError(self.error_messages["invalid"])
        return number


def written(value: Decimal | None, least: int = 0) -> str:
    """A kept figure as one would type it: "48.00" comes back as 48, "4.6300" as 4.63."""
    if value is None:
        return ""
    whole, _dot, rest = f"{value:f}".partition(".")
    rest = rest.rstrip("0")
    return f"{whole}.{rest.ljust(least, '0')}" if rest else whole


class PricesForm(GroupForm):
    """Prices for some rows of the book, all nine or just those a quote waits for; an empty one stays not set."""

    currency = forms.CharField(label=CURRENCY_LABEL, max_length=8, required=False)
    currency_after = forms.BooleanField(label=_("It stands after the amount"), required=False)

    def __init__(self, *args: Any, group: Any, items: list[str] | None = None, **kwargs: Any):
        super().__init__(*args, group=group, **kwargs)
        self.rows = {item: row for item, row in book(group).items() if items is None or item in items}
        self.asks_all = items is None
        if items is not None and group.currency:
            del self.fields["currency"], self.fields["currency_after"]
        else:
            self.fields["currency"].initial = group.currency
            self.fields["currency_after"].initial = group.currency_after
        for item, row in self.rows.items():
            self.fields[item] = PlainNumberField(
                label=row.word,
                required=not self.asks_all,
                may_wait=True,
                largest=LARGEST_PRICE,
                places=4,
                unit=row.unit_word,
                initial=written(row.values.price, group.minor_digits),
            )
        self.order_fields([*self.rows, "currency", "currency_after"])

    def clean(self) -> dict[str, Any]:
        if not self.asks_all and not self.errors and not self.new_prices():
            self.add_error(next(iter(self.rows)), _("Write a price. 0 is a price too: it means free."))
        return self.cleaned_data

    def new_prices(self) -> dict[str, Decimal]:
        """What differs from the book. A price that was emptied stays as it was: a book forgets nothing."""
        typed = {item: self.cleaned_data.get(item) for item in self.rows}
        return {item: p for item, p in typed.items() if p is not None and p != self.rows[item].values.price}


class LineForm(GroupForm):
    revision = forms.IntegerField(widget=forms.HiddenInput)
    quantity = PlainNumberField(label=_("How much"), largest=LARGEST_QUANTITY, places=3)
    brought_by = forms.ChoiceField(label=_("Who brings it"), choices=BRINGERS, widget=forms.RadioSelect)
    paid_by = forms.ChoiceField(label=_("Who pays"), choices=PAYERS, widget=forms.RadioSelect)
    words = forms.CharField(
        label=_("Words beside it"),
        max_length=240,
        required=False,
        help_text=_("Instead of what we would write there."),
    )

    def __init__(self, *args: Any, line: Any, **kwargs: Any):
        super().__init__(*args, group=line.group, **kwargs)
        self.line = line
        self.fields["quantity"].unit = AFTER[line.unit]
        self.fields["brought_by"].choices = [(code, YOUR_WORDS.get(code, word)) for code, word in BRINGERS]
        if line.engine_quantity is not None:
            worked_out = measures.number(line.engine_quantity, 1 if line.unit in ("m3", "hour") else 0)
            self.fields["quantity"].help_text = _("Worked out from the plan: %(n)s") % {"n": worked_out}

    def clean_quantity(self) -> Decimal:
        quantity = self.cleaned_data["quantity"]
        if not fits_step(quantity, self.line.unit):
            raise forms.ValidationError(_("Only whole numbers here."))
        return quantity


YOUR_WORDS = {"household": _("They bring")}


class SendForm(GroupForm):
    """A sentence and a day, both as one likes."""

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

    def __init__(self, *args: Any, quote: Quote, **kwargs: Any):
        super().__init__(*args, group=quote.group, **kwargs)
        self.today = quote.group.today()
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
        return data


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
        agreed = quote.state == "accepted"
        wanted = ("talk", "withdraw") if agreed else ("yes", "no", "talk")
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
