"""The group's price book as it stands on a day: nine rows, from the last price kept for each."""

import datetime
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common import measures

from .models import Price
from .pricing import START, PriceValues
from .sizes import size_in_words
from .units import EACH, SIZED

OF_SIZE = {
    "bag": gettext_lazy("bags of %(size)s"),
    "load": gettext_lazy("loads of %(size)s"),
    "board": gettext_lazy("boards of %(size)s"),
}
UNSAID = (Decimal(1), Decimal("0.1"))  # steps that nobody would call steps
BRINGS = {
    "group": gettext_lazy("we bring it"),
    "household": gettext_lazy("they bring it"),
    "free": gettext_lazy("given free"),
}


@dataclass(frozen=True)
class BookRow:
    item: str
    values: PriceValues
    from_on: datetime.date | None

    @property
    def word(self) -> str:
        return dict(Price.ITEMS)[self.item]

    @property
    def slug(self) -> str:
        return self.item.replace(" ", "-")

    @property
    def unit_word(self) -> str:
        return EACH[self.values.unit]


def book(group: Any, on: datetime.date | None = None) -> dict[str, BookRow]:
    """All nine rows in the order of the job; an item without a row of its own stands as a new group's book has it."""
    latest: dict[str, Price] = {}
    for row in Price.of(group).filter(from_on__lte=on or group.today()).order_by("item", "from_on", "pk"):
        latest[row.item] = row
    return {item: _row(item, latest.get(item)) for item in START}


def _row(item: str, row: Price | None) -> BookRow:
    if row is None:
        return BookRow(item, START[item], None)
    return BookRow(item, row.values, row.from_on)


def history(group: Any, item: str) -> list[Price]:
    """Every price ever kept for one thing, the newest day first; a day still to come stands there too."""
    return list(Price.of(group).filter(item=item).select_related("by__user").order_by("-from_on", "-pk"))


def in_words(row: BookRow, group: Any) -> str:
    """How a thing is sold, in a few words: "by the bag of 50 l, in steps of 10; we bring it"."""
    values, parts = row.values, []
    if values.unit in SIZED and values.holds:
        size = size_in_words(values.holds, values.unit, group.units)
        parts.append(OF_SIZE[values.unit] % {"size": size})
    if values.pack not in UNSAID and values.rounding != "none":
        parts.append(_("in steps of %(pack)s") % {"pack": measures.number(values.pack, _places(values.pack))})
    parts.append(str(BRINGS[values.bringer]))
    return ", ".join(parts)


def _places(value: Decimal) -> int:
    return max(0, -int(value.normalize().as_tuple().exponent))
