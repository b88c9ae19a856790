"""The only edge of units: reads lengths as people say them, writes both systems. Inside everything is metres."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation

from django.utils import formats
from django.utils.translation import gettext as _

# Exact by definition: NIST Handbook 44, Appendix C (inch 25.4 mm, foot 0.3048 m, yard 0.9144 m).
INCH_M = Decimal("0.0254")
FOOT_M = Decimal("0.3048")
FT2_M2 = FOOT_M**2
YD3_M3 = Decimal("0.9144") ** 3
ABSURD_M = Decimal("60")  # longer than any house lawn's side; asked about, not refused


class NotALength(ValueError):
    """The text is no length; the message says what would be."""


@dataclass(frozen=True)
class Length:
    metres: Decimal  # rounded to the millimetre
    as_typed: str

    @property
    def is_absurd(self) -> bool:
        return self.metres > ABSURD_M


NUMBER = r"(?:\d+(?:[.,]\d+)?|[.,]\d+)"
FEET = r"(?:'|′|’|ft\.?|foot|feet)"
INCHES = r"(?:\"|″|”|''|’’|in\.?|inch(?:es)?)"
FEET_INCHES = re.compile(
    rf"^(?P<n>{NUMBER})?(?:\s*(?P<top>\d+)/(?P<bottom>\d+))?\s*{FEET}\s*"
    rf"(?:(?P<in>{NUMBER})?(?:\s*(?P<intop>\d+)/(?P<inbottom>\d+))?\s*{INCHES}?)?$",
    re.I,
)
ONLY_INCHES = re.compile(rf"^(?P<in>{NUMBER})?(?:\s*(?P<intop>\d+)/(?P<inbottom>\d+))?\s*{INCHES}$", re.I)
METRIC = re.compile(rf"^(?P<n>{NUMBER})\s*(?P<unit>mm|cm|m|metres?|meters?)?$", re.I)
METRES_CENTIMETRES = re.compile(r"^(?P<m>\d+)\s*m\s*(?P<cm>\d{1,2})(?:\s*cm)?$", re.I)
METRIC_M = {"mm": Decimal("0.001"), "cm": Decimal("0.01")}
FRACTIONS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}  # fmt: skip
LONGEST_TEXT = 24  # no length needs more signs; a longer text is a slip, and would only make huge numbers


def _number(text: str) -> Decimal:
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", text):
        spoken = text.replace(",", ".")
        raise NotALength(
            _("Is this %(small)s or %(large)s? Write one of the two.")
            % {"small": spoken.rstrip("0").rstrip("."), "large": text.replace(",", "")}
        )
    try:
        return Decimal(text.replace(",", "."))
    except InvalidOperation as error:  # pragma: no cover - the patterns let only numbers through
        raise NotALength(_("This is not a number.")) from error


def _mixed(whole: str | None, top: str | None, bottom: str | None) -> Decimal:
    """A whole number, a fraction, or both: 6, 1/2, 6 1/2."""
    value = _number(whole) if whole else Decimal(0)
    if top:
        if int(bottom) == 0:
            raise NotALength(_("A fraction cannot have nought below the line."))
        value += Decimal(int(top)) / Decimal(int(bottom))
    return value


def read_length(text: str, units: str) -> Length:
    """Metres out of "12'6\"", "12.5 ft", "3.81", "3,81 m"; a bare number takes `units` (metric or imperial).

    >>> read_length("12'6\\"", "metric").metres
    Decimal('3.810')

    Raises NotALength, whose message is for the reader; zero and negative are refused here too.
    """
    spoken = text.strip()
    for sign, written in FRACTIONS.items():
        spoken = spoken.replace(sign, written)
    spoken = re.sub(r"\s*/\s*", "/", re.sub(r"\s+", " ", spoken)).strip()
    if not spoken:
        raise NotALength(_("Write a length."))
    if spoken.startswith(("-", "−", "–")):
        raise NotALength(_("A length cannot be less than nothing."))
    if len(spoken) > LONGEST_TEXT:
        raise NotALength(_("We cannot read this. Write it like 3.81 m or 12'6\"."))
    metres = _metres(spoken, units).quantize(Decimal("0.001"), ROUND_HALF_UP)
    if metres <= 0:
        raise NotALength(_("A length must be more than nothing."))
    return Length(metres, text.strip())


def _metres(spoken: str, units: str) -> Decimal:
    if match := METRES_CENTIMETRES.match(spoken):
        return Decimal(match["m"]) + Decimal(match["cm"]) / 100
    if (match := FEET_INCHES.match(spoken)) and (match["n"] or match["top"]):
        feet = _mixed(match["n"], match["top"], match["bottom"])
        return feet * FOOT_M + _mixed(match["in"], match["intop"], match["inbottom"]) * INCH_M
    if (match := ONLY_INCHES.match(spoken)) and (match["in"] or match["intop"]):
        return _mixed(match["in"], match["intop"], match["inbottom"]) * INCH_M
    if match := METRIC.match(spoken):
        unit = (match["unit"] or "").lower()
        if not unit:
            return _number(match["n"]) * (FOOT_M if units == "imperial" else 1)
        return _number(match["n"]) * METRIC_M.get(unit, Decimal(1))
    raise NotALength(_("We cannot read this. Write it like 3.81 m or 12'6\"."))


def _decimal(value: object, digits: int) -> Decimal:
    return Decimal(str(value)).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)


def number(value: object, digits: int = 0) -> str:
    """A number as the reader's language writes it."""
    return formats.number_format(_decimal(value, digits), digits, force_grouping=True)


def feet_inches(metres: object) -> str:
    """`feet_inches("3.81") == "12 ft 6 in"`; to the nearest half inch."""
    halves = int((Decimal(str(metres)) / INCH_M * 2).quantize(Decimal(1), ROUND_HALF_UP))
    feet, left = divmod(halves, 24)
    inches = f"{left // 2}½" if left % 2 and left > 1 else "½" if left % 2 else str(left // 2)
    if not left:
        return f"{feet} ft"
    return f"{feet} ft {inches} in" if feet else f"{inches} in"


def length(metres: object, units: str = "metric") -> str:
    return feet_inches(metres) if units == "imperial" else f"{number(metres, 2)} m"


def area(m2: object, units: str = "metric", digits: int = 1) -> str:
    if units == "imperial":
        return f"{number(Decimal(str(m2)) / FT2_M2)} " + _("sq ft")
    return f"{number(m2, digits)} m²"


def volume(m3: object, units: str = "metric") -> str:
    if units == "imperial":
        return f"{number(Decimal(str(m3)) / YD3_M3, 1)} " + _("cu yd")
    return f"{number(m3, 1)} m³"


def other(units: str) -> str:
    return "metric" if units == "imperial" else "imperial"
