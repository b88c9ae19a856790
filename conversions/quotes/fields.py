"""Fields for numbers, amounts and sizes as people write them."""

import re
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext_lazy as _

from .sizes import NotASize, read_size

LARGEST_PRICE = Decimal("99999")
LARGEST_QUANTITY = Decimal("9999")


class PlainNumberField(forms.CharField):
    """A number as people write it: 48, 48.50 or 48,50. A comma that could mean thousands is asked about."""

    default_error_messages = {
        "required": _("Write a number."),
        "invalid": _("Write a number, like 48 or 48.50."),
        "unclear": _("Is this %(small)s or %(large)s? Write it without the comma."),
    }

    def __init__(
        self,
        *,
        largest: Decimal,
        places: int,
        unit: Any = "",
        may_wait: bool = False,
        least: Decimal = Decimal(0),
        **kwargs: Any,
    ):
        self.places, self.unit, self.may_wait = places, unit, may_wait
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(**kwargs)
        self.limits = [
            MinValueValidator(least, _("This is too little.") if least else _("This cannot be less than nothing.")),
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
        number = self._read(text.replace(",", ".").replace("−", "-"))
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


class SizeField(forms.CharField):
    """How much one bag or load holds, or how long one board is: 50 l, 2 cu ft, 6 m3, 8 ft. Cleans to the raw text;
    the form reads it with `read`, because what a bare number means depends on the unit chosen beside it."""

    def __init__(self, **kwargs: Any):
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off"}))
        super().__init__(max_length=24, required=False, **kwargs)


def read_or_refuse(text: str, unit: str, units: str) -> Decimal:
    try:
        return read_size(text, unit, units)
    except NotASize as error:
        raise forms.ValidationError(str(error)) from error


def written(value: Decimal | None, least: int = 0) -> str:
    """A kept figure as one would type it: "48.00" comes back as 48, "4.6300" as 4.63."""
    if value is None:
        return ""
    whole, _dot, rest = f"{value:f}".partition(".")
    rest = rest.rstrip("0")
    return f"{whole}.{rest.ljust(least, '0')}" if rest else whole
