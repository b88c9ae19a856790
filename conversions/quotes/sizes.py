"""How much one bag or load holds and how long one board is, as people say it: 50 l, 2 cu ft, 6 m³, 8 ft."""

import re
from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext as _

from conversions.common import measures

# Exact by definition: NIST Handbook 44, Appendix C (foot 0.3048 m, yard 0.9144 m); a litre is a thousandth of a m3.
FT3_M3 = measures.FOOT_M**3
LITRE_M3 = Decimal("0.001")
VOLUMES = {
    "l": LITRE_M3, "litre": LITRE_M3, "litres": LITRE_M3, "liter": LITRE_M3, "liters": LITRE_M3,
    "m3": Decimal(1), "m³": Decimal(1), "cubic metres": Decimal(1), "cubic meters": Decimal(1),
    "cu ft": FT3_M3, "ft3": FT3_M3, "ft³": FT3_M3, "cubic feet": FT3_M3,
    "cu yd": measures.YD3_M3, "yd3": measures.YD3_M3, "yd³": measures.YD3_M3, "yards": measures.YD3_M3,
    "cubic yards": measures.YD3_M3,
}  # fmt: skip
BARE = {("bag", "metric"): "l", ("bag", "imperial"): "cu ft", ("load", "metric"): "m3", ("load", "imperial"): "cu yd"}
MILLIONTH = Decimal("0.000001")
SIZE = re.compile(r"(?P<n>\d+(?:[.,]\d+)?)\s*(?P<unit>[^\d\s.,].*)?")


class NotASize(ValueError):
    """The text is no size; the message says what would be."""


def read_size(text: str, unit: str, units: str) -> Decimal:
    """m3 for a bag or a load, m for a board; a bare number is litres or cubic feet in a bag, m³ or cubic yards in a load.

    >>> read_size("50 l", "bag", "metric"), read_size("8", "load", "metric"), read_size("2.4", "board", "metric")
    (Decimal('0.050000'), Decimal('8.000000'), Decimal('2.400'))
    """
    if unit == "board":
        try:
            return measures.read_length(text, units).metres
        except measures.NotALength as error:
            raise NotASize(str(error)) from error
    found = SIZE.fullmatch(text.strip())
    words = " ".join((found["unit"] or BARE[unit, units]).lower().replace(".", "").split()) if found else ""
    if words not in VOLUMES:
        raise NotASize(_("Write it like 50 l, 2 cu ft or 6 m³."))
    size = (Decimal(found["n"].replace(",", ".")) * VOLUMES[words]).quantize(MILLIONTH, ROUND_HALF_UP)
    if not 0 < size < 100:
        raise NotASize(_("This is not what one holds. Look again."))
    return size


def size_in_words(size: Decimal | None, unit: str, units: str) -> str:
    """A size as one would say and type it: "50 l", "2 cu ft", "8 ft"."""
    if size is None:
        return ""
    if unit == "board":
        return measures.length(size, units)
    words = BARE[unit, units]
    number = (size / VOLUMES[words]).quantize(Decimal("0.01"), ROUND_HALF_UP).normalize()
    return f"{number:f} {words.replace('m3', 'm³')}"
