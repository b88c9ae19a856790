"""A field for lengths as people say them: the unit stands beside it, both systems are echoed below."""

import re
from decimal import ROUND_HALF_UP, Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common.measures import INCH_M, Length, NotALength, read_length

BARE = re.compile(r"^[\d\s.,/½¼¾⅓⅔⅛⅜⅝⅞]+$")
UNIT_WORDS = {"metric": gettext_lazy("m"), "imperial": gettext_lazy("ft")}
SMALL = {"metric": "mm", "imperial": "in"}  # what a bare number means on a field for depths
COUNTS = {
    2: gettext_lazy("two"), 3: gettext_lazy("three"), 4: gettext_lazy("four"), 5: gettext_lazy("five"),
    6: gettext_lazy("six"), 7: gettext_lazy("seven"), 8: gettext_lazy("eight"), 9: gettext_lazy("nine"),
}  # fmt: skip
TINY_M = Decimal("0.1")  # about the width of a hand: common knowledge, no source
PITCH_M = 100  # a football pitch is 90 to 120 m long (Laws of the Game, law 1; from memory)


class LengthField(forms.CharField):
    """Cleans to a Length; a bare number takes the unit that stands on the field.

    small: the field is for depths, in mm or inches. may_follow: a blank is worked out from the other sides.
    """

    def __init__(self, *, units: str, signed: bool = False, small: bool = False, may_follow: bool = False, **kwargs):
        super().__init__(max_length=40, **kwargs)
        self.units, self.signed, self.may_follow = units, signed, may_follow
        self.small = SMALL[units] if small else ""
        self.unit = self.small or UNIT_WORDS[units]
        self.widget.attrs |= {
            "data-length": self.small or units,
            "autocomplete": "off",
            "autocapitalize": "off",
            "enterkeyhint": "next",
        }

    def clean(self, value: str) -> Length | None:
        if not (value or "").strip() and (self.may_follow or not self.required):
            return None
        text = super().clean(value)
        return self._signed(text.strip()) if self.signed else self._read(text)

    def _read(self, text: str) -> Length:
        spoken = f"{text.strip()} {self.small}" if self.small and BARE.match(text.strip()) else text
        try:
            return Length(read_length(spoken, self.units).metres, text.strip())
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


def in_small(metres: object, units: str) -> str:
    """A depth as a bare number of the field's own unit: 90 for 0.09 m, or 3.5 in inches."""
    exact = Decimal(str(metres))
    if units == "imperial":
        return f"{(exact / INCH_M).quantize(Decimal('0.1'), ROUND_HALF_UP).normalize():f}"
    return f"{int((exact * 1000).quantize(Decimal(1), ROUND_HALF_UP))}"


def is_tiny(length: Length | None) -> bool:
    """A side shorter than a hand is wide: mostly a slip of the point, or centimetres typed as metres."""
    return bool(length) and Decimal(0) < length.metres < TINY_M


def tiny_question(length: Length) -> str:
    return " ".join((_("That is less than the width of a hand. Check the unit."), _("If it is right, say why below.")))


def long_question(length: Length) -> str:
    """What is asked about a side of 400 m: nothing is refused that somebody can give a reason for."""
    pitches = int((length.metres / PITCH_M).quantize(Decimal(1), ROUND_HALF_UP))
    if pitches > 1:
        count = COUNTS.get(pitches, pitches)
        asked = _("That is about %(count)s football pitches long. Check the unit.") % {"count": count}
    else:
        asked = _("That is as long as most of a football pitch. Check the unit.")
    return " ".join((asked, _("If it is right, say why below.")))
