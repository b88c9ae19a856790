"""The group's price book as it stands on a day: nine rows, from the last price kept for each."""

import datetime
from dataclasses import dataclass
from typing import Any

from .models import Price
from .pricing import START, PriceValues
from .units import EACH


@dataclass(frozen=True)
class BookRow:
    item: str
    values: PriceValues
    from_on: datetime.date | None

    @property
    def word(self) -> str:
        return dict(Price.ITEMS)[self.item]

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
