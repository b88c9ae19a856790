"""A field for lengths as people say them: the unit stands beside it, both systems are echoed below."""

import re
from decimal import ROUND_HALF_UP, Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common.measures import Length, NotALength, read_length

BARE = re.compile(r"^[\d\s.,/½¼¾⅓⅔⅛⅜⅝⅞]+$")
UNIT_WORDS = {"metric": gettext_lazy("m"), "imperial": gettext_lazy("ft")}
PITCH_M = 100  # a football pitch is 90 to 120 m long (Laws of the Game, law 1; from memory)


class LengthField(forms.CharField):
    """Cleans to a Length; a bare number takes the unit that stands on the field."""

    def __init__(self, *, units: str, signed: bool = False, **kwargs):
        super().__init__(max_length=40, **kwargs)
        self.units, self.signed, self.unit = units, signed, UNIT_WORDS[units]
        self.widget.attrs |= {
            "data-length": units,
            "autocomplete": "off",
            "autocapitalize": "off",
            "enterkeyhint": "next",
        }

    def clean(self, value: str) -> Length | None:
        text = super().clean(value)
        if not text.strip():
            return None
        if self.signed:
            return self._signed(text.strip())
        return self._read(text)

    def _read(self, text: str) -> Length:
        try:
            return read_length(text, self.units)
        except NotALength as error:
            raise ValidationError(str(error)) from error

    def _signed(self, text: str) -> Length:
        if re.fullmatch(r"[-−–]?\s*0+(?:[.,]0+)?\s*(?:m|cm|ft|')?", text):
            return Length(Decimal(0), text)
        bare = re.sub(r"^[-−–+]\s*", "", text)
        length = self._read(bare)
        return Length(-length.metres if text[0] in "-−–" else length.metres, text)


def as_written(raw: str, typed_in: str, units: str) -> str:
    """Raw words for a field that now shows other units: a bare number gets the unit it was typed in."""
    if raw and typed_in != units and BARE.match(raw.strip()):
        return f"{raw.strip()} {UNIT_WORDS[typed_in]}"
    return raw


def long_question(length: Length) -> str:
    """What is asked about a side of 400 m: nothing is refused that somebody can give a reason for."""
    pitches = int((length.metres / PITCH_M).quantize(Decimal(1), ROUND_HALF_UP))
    if pitches > 1:
        asked = _("That is about %(count)d football pitches long. Check the unit.") % {"count": pitches}
    else:
        asked = _("That is as long as most of a football pitch. Check the unit.")
    return f"{asked} {_('If it is right, say why at the end of this form.')}"
