"""A line of a quote that is not sent yet: changed, or added beside those of the book; and the deposit."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from conversions.common import measures
from conversions.groups.tenancy import GroupForm

from .fields import LARGEST_PRICE, LARGEST_QUANTITY, PlainNumberField, written
from .models import BRINGERS, DECIDERS, PAYERS, Line
from .units import AFTER, EACH, fits_step

YOUR_WORDS = {"household": _("They bring")}
OWN_UNITS = ("piece", "hour", "day", "m", "m2", "m3", "bag", "load", "trip", "sum")
WHO = ("brought_by", "paid_by", "if_not_free_amount", "if_not_free_by")
ASKED = {
    "own": ("name", "quantity", "unit", "unit_price", *WHO),
    "tax": ("name", "quantity"),
    "grant": ("name", "unit_price"),
}
OF_THE_BOOK = ("quantity", *WHO, "words")
NAMES = {
    "own": (_("What is it?"), _("Such as: the old fence taken away")),
    "tax": (_("Which tax?"), _("Such as: sales tax")),
    "grant": (_("Whose grant?"), _("Such as: the water district")),
}


class LineForm(GroupForm):
    """Asks only for what such a line has; an empty `line` that is not kept yet makes a new one."""

    revision = forms.IntegerField(widget=forms.HiddenInput)
    name = forms.CharField(max_length=80, error_messages={"required": _("Write what it is.")})
    quantity = PlainNumberField(label=_("How much"), largest=LARGEST_QUANTITY, places=3)
    unit = forms.ChoiceField(label=_("Counted in"), choices=[(unit, EACH[unit]) for unit in OWN_UNITS])
    unit_price = PlainNumberField(label=_("Price of one"), largest=LARGEST_PRICE, places=4)
    brought_by = forms.ChoiceField(label=_("Who brings it"), choices=BRINGERS, widget=forms.RadioSelect)
    paid_by = forms.ChoiceField(label=_("Who pays"), choices=PAYERS, widget=forms.RadioSelect)
    if_not_free_amount = PlainNumberField(
        label=_("If it is given free and does not come: at most"), largest=LARGEST_PRICE, places=3, required=False,
    )  # fmt: skip
    if_not_free_by = forms.ChoiceField(
        label=_("Who decides then?"), choices=DECIDERS, widget=forms.RadioSelect, required=False
    )
    words = forms.CharField(
        label=_("Words beside it"), max_length=240, required=False,
        help_text=_("Instead of what we would write there."),
    )  # fmt: skip

    def __init__(self, *args: Any, line: Line, **kwargs: Any):
        super().__init__(*args, group=line.group, **kwargs)
        self.line = line
        asked = ("revision", *ASKED.get(line.item, OF_THE_BOOK))
        for name in set(self.fields) - set(asked):
            del self.fields[name]
        self.order_fields(asked)
        self._word(line)

    def _word(self, line: Line) -> None:
        fields, digits = self.fields, line.group.minor_digits
        if line.item in NAMES:
            fields["name"].label, fields["name"].help_text = NAMES[line.item]
        if line.item == "tax":
            fields["quantity"].label = _("How many per cent")
        if line.item == "grant":
            fields["unit_price"].label, fields["unit_price"].places = _("How much it takes off"), digits
        if "quantity" in fields and line.item != "own":
            fields["quantity"].unit = AFTER[line.unit]
        if "brought_by" in fields:
            fields["brought_by"].choices = [(code, YOUR_WORDS.get(code, word)) for code, word in BRINGERS]
            fields["if_not_free_amount"].places = digits
            fields["if_not_free_amount"].help_text = self._about(line)
        if line.engine_quantity is not None:
            worked_out = measures.number(line.engine_quantity, 1 if line.unit in ("m3", "hour") else 0)
            fields["quantity"].help_text = _("Worked out from the plan: %(n)s") % {"n": worked_out}

    def _about(self, line: Line) -> Any:
        if not line.unit_price:
            return _("Empty: we say that we ask first, and name no sum.")
        about = written(line.unit_price * line.quantity, self.group.minor_digits)
        return _("Empty: what it costs in the price book, now %(amount)s.") % {"amount": about}

    @staticmethod
    def as_typed(line: Line) -> dict[str, Any]:
        """What stands in the fields of a line before anybody types."""
        digits = line.group.minor_digits
        return {
            "name": line.name,
            "quantity": written(line.quantity),
            "unit": line.unit,
            "unit_price": written(line.unit_price, digits),
            "brought_by": line.brought_by,
            "paid_by": line.paid_by,
            "if_not_free_amount": written(line.if_not_free_amount, digits),
            "if_not_free_by": line.if_not_free_by,
            "words": line.words,
        }

    def clean_if_not_free_by(self) -> str:
        return self.cleaned_data["if_not_free_by"] or self.line.if_not_free_by

    def clean_unit_price(self) -> Decimal:
        price = self.cleaned_data["unit_price"]
        if self.line.item == "grant" and not price:
            raise forms.ValidationError(_("Write how much it takes off."))
        return price

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        quantity, unit = data.get("quantity"), data.get("unit", self.line.unit)
        if quantity is None:
            return data
        if self.line.item == "tax" and not 0 < quantity <= 100:
            self.add_error("quantity", _("Write the per cent, such as 8.25."))
        elif self.line.item != "tax" and not fits_step(quantity, unit):
            self.add_error("quantity", _("Only whole numbers here."))
        elif self.line.item == "own" and not quantity:
            self.add_error("quantity", _("Write how much of it."))
        return data


class DepositForm(GroupForm):
    """A part of the price asked for before the build; empty: none."""

    revision = forms.IntegerField(widget=forms.HiddenInput)
    deposit = PlainNumberField(
        label=_("When they say yes they pay"), largest=LARGEST_PRICE, places=3, required=False,
        help_text=_("A part of the price. Empty: nothing before the work is done."),
    )  # fmt: skip

    def __init__(self, *args: Any, group: Any, **kwargs: Any):
        super().__init__(*args, group=group, **kwargs)
        self.fields["deposit"].places = group.minor_digits

    def clean_deposit(self) -> Decimal | None:
        return self.cleaned_data["deposit"] or None
