"""The price book: all prices at once, one of them with how it is sold, and the file that comes back."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import GroupForm

from .book import BookRow, book
from .fields import LARGEST_PRICE, LARGEST_QUANTITY, PlainNumberField, SizeField, read_or_refuse, written
from .models import BRINGERS, Price
from .pricing import PriceValues
from .sizes import size_in_words
from .units import EACH, SIZED, SOLD_IN, WHOLE

CURRENCY_LABEL = _("What do you write before or after an amount?")
LARGEST_FILE = 64 * 1024  # nine rows are not a kilobyte


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


class PriceForm(GroupForm):
    """One thing of the book: its price from a day on, in what it is sold, and who usually brings it."""

    price = PlainNumberField(
        label=_("Price"), largest=LARGEST_PRICE, places=4, help_text=_("0 is a price too: it means free.")
    )
    unit = forms.ChoiceField(label=_("Sold by"), widget=forms.RadioSelect)
    holds = SizeField(label=_("One holds"), help_text=_("A bag, load or board has a size: 50 l, 2 cu ft, 6 m³, 2.4 m."))
    face = SizeField(label=_("One board is high"), help_text=_("How high one board stands: 14 cm, 5½ in."))
    pack = PlainNumberField(
        label=_("Sold in steps of"), largest=LARGEST_QUANTITY, places=3, least=Decimal("0.001"),
        help_text=_("Such as 0.5, where it comes by the half; 25, where it comes in bundles of 25."),
    )  # fmt: skip
    rounding = forms.ChoiceField(label=_("Rounded"), choices=Price.ROUNDINGS, widget=forms.RadioSelect)
    bringer = forms.ChoiceField(label=_("Who usually brings it"), choices=BRINGERS, widget=forms.RadioSelect)
    from_on = forms.DateField(
        label=_("Holds from"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": _("Write the day.")},
    )  # fmt: skip

    def __init__(self, *args: Any, group: Any, row: BookRow, **kwargs: Any):
        self.row, values, self.today = row, row.values, group.today()
        kwargs.setdefault("initial", self._as_it_stands(row, group))
        super().__init__(*args, group=group, **kwargs)
        choices = SOLD_IN[row.item]
        self.fields["unit"].choices = [(unit, EACH[unit]) for unit in choices]
        self.fields["price"].unit = "" if len(choices) > 1 else EACH[values.unit]
        self.fields["bringer"].choices = [
            ("household", _("They bring")) if c == "household" else (c, w) for c, w in BRINGERS
        ]
        if len(choices) == 1:
            del self.fields["unit"]
        if not SIZED.keys() & set(choices):
            del self.fields["holds"]
        if "board" not in choices:
            del self.fields["face"]

    @staticmethod
    def _as_it_stands(row: BookRow, group: Any) -> dict[str, Any]:
        values = row.values
        return {
            "price": written(values.price, group.minor_digits),
            "unit": values.unit,
            "holds": size_in_words(values.holds, values.unit, group.units) if values.unit in SIZED else "",
            "face": size_in_words(values.face, "board", group.units),
            "pack": written(values.pack),
            "rounding": values.rounding,
            "bringer": values.bringer,
            "from_on": group.today(),
        }

    def clean_from_on(self) -> Any:
        on = self.cleaned_data["from_on"]
        if on < self.today:
            raise forms.ValidationError(_("What was said in the past stays. Choose today or a day to come."))
        if (on - self.today).days > 366:
            raise forms.ValidationError(_("This is more than a year away. Look at the year again."))
        return on

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        unit = data.setdefault("unit", self.row.values.unit)
        for name, words in (("holds", _("Write how much one holds.")), ("face", _("Write how high one board stands."))):
            is_asked = unit in SIZED if name == "holds" else unit == "board"
            data[name] = self._size(name, unit, words) if is_asked else None
        if "pack" in data and unit in WHOLE and data["pack"] % 1:
            self.add_error("pack", _("It comes whole, so write a whole number."))
        return data

    def _size(self, name: str, unit: str, missing: Any) -> Decimal | None:
        text = self.data.get(self.add_prefix(name), "").strip()
        if text and text == self.initial[name] and unit == self.initial["unit"]:
            return getattr(self.row.values, name)  # not touched: what is kept is finer than what is shown
        try:
            if not text:
                raise forms.ValidationError(missing)
            return read_or_refuse(text, "board" if name == "face" else unit, self.group.units)
        except forms.ValidationError as error:
            self.add_error(name, error)
            return None

    def values(self) -> PriceValues:
        data = self.cleaned_data
        return PriceValues(
            data["unit"], data["pack"], data["price"], data["bringer"], data["rounding"], data["holds"], data["face"]
        )  # fmt: skip


class BookFileForm(forms.Form):
    """The price book as a file that comes back; what is in it is read by `book_file`."""

    file = forms.FileField(
        label=_("Your file"), error_messages={"required": _("Choose the file first.")},
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv"}),
    )  # fmt: skip

    def clean_file(self) -> bytes:
        file = self.cleaned_data["file"]
        if file.size > LARGEST_FILE:
            raise forms.ValidationError(_("This file is far too large for a price book. Is it the right one?"))
        return file.read()
