"""A take-off and a price book in, the lines of a quote out. Plain values: no database, no clock."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from conversions.common import money
from conversions.sizing import round_up_to_step

THOUSANDTH = Decimal("0.001")


@dataclass(frozen=True)
class PriceValues:
    """What one thing costs now. `price` None: not set, which is never the same as free."""

    unit: str
    pack: Decimal = Decimal(1)
    price: Decimal | None = None
    bringer: str = "group"


# A new group's book: what such groups give is free, what is bought has no price until somebody types one.
# Compost is sold by the half cubic metre: common practice, no source.
START: dict[str, PriceValues] = {
    "cardboard": PriceValues("sheet", price=Decimal(0)),
    "chips": PriceValues("m3", Decimal("0.1"), Decimal(0), "free"),
    "work": PriceValues("hour", Decimal("0.1"), Decimal(0)),
    "tools": PriceValues("set", price=Decimal(0)),
    "compost": PriceValues("m3", Decimal("0.5")),
    "compost delivery": PriceValues("trip"),
    "frame": PriceValues("bed"),
    "plants": PriceValues("set"),
    "soil test": PriceValues("test"),
}
STEPS = {"sheet": Decimal(1), "trip": Decimal(1), "bed": Decimal(1), "set": Decimal(1), "test": Decimal(1)}


@dataclass(frozen=True)
class LineValues:
    """One line. `amount` is what its payer pays; None while a price it needs is not set."""

    item: str
    quantity: Decimal
    unit: str
    engine_quantity: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    unit_price: Decimal | None = None
    brought_by: str = "group"
    paid_by: str = "household"

    @property
    def is_in(self) -> bool:
        return self.quantity > 0

    def needs_price(self) -> bool:
        """True where the household is to pay for something nobody has put a price on."""
        return self.is_in and self.brought_by == "group" and self.paid_by == "household" and self.unit_price is None

    def amount(self, digits: int) -> Decimal | None:
        """
        >>> LineValues("compost", Decimal("2.0"), "m3", unit_price=Decimal("48")).amount(2)
        Decimal('96.00')
        """
        if not self.is_in or self.brought_by != "group":
            return money.rounded(Decimal(0), digits)
        return None if self.unit_price is None else money.rounded(self.quantity * self.unit_price, digits)

    def if_not_free(self, digits: int) -> Decimal | None:
        """About what a gift would cost if it did not come; None where nobody knows."""
        if not self.is_in or self.brought_by != "free" or not self.unit_price:
            return None
        return money.rounded(self.quantity * self.unit_price, digits)


def price(takeoff: Mapping[str, Any], prices: Mapping[str, PriceValues]) -> list[LineValues]:
    """Nine lines in the order of the book. A line that this yard does not need stands at quantity 0."""
    return [_line(item, takeoff, prices.get(item, START[item])) for item in START]


def _line(item: str, takeoff: Mapping[str, Any], found: PriceValues) -> LineValues:
    worked_out = _quantity(item, takeoff, found)
    line = LineValues(
        item,
        _three(worked_out),
        found.unit,
        engine_quantity=_three(worked_out),
        unit_price=found.price,
        brought_by=found.bringer,
    )
    if item == "soil test":  # only when somebody offers it, so the engine has no figure for it
        return replace(line, engine_quantity=None)
    if item == "work":
        hours = takeoff["figures"]["hours"]
        return replace(line, low=_three(hours["low"]), high=_three(hours["high"]))
    return line


def _quantity(item: str, takeoff: Mapping[str, Any], found: PriceValues) -> Decimal:
    figures, kinds = takeoff["figures"], [bed["kind"] for bed in takeoff["beds"].values()]
    compost = round_up_to_step(_before_rounding(figures["compost"]), found.pack if item == "compost" else 1)
    return {
        "cardboard": lambda: round_up_to_step(_number(figures["cardboard"]["value"]), found.pack),
        "chips": lambda: _number(figures["chips"]["value"]),
        "work": lambda: _number(figures["hours"]["value"]),
        "tools": lambda: Decimal(1),
        "compost": lambda: compost,
        "compost delivery": lambda: Decimal(1 if compost else 0),
        "frame": lambda: Decimal(kinds.count("framed")),
        "plants": lambda: Decimal(1 if kinds else 0),
        "soil test": lambda: Decimal(0),
    }[item]()


def _before_rounding(figure: Mapping[str, Any]) -> Decimal:
    """Loose compost as the engine has it before its own rounding: rounding twice would order too much."""
    return next(_number(value) for label, value, _unit in figure["inputs"] if label == "before rounding")


def household_pays(lines: Iterable[LineValues], digits: int) -> Decimal:
    """The sum of the lines as they are shown; lines without a price add nothing, and the page says so."""
    return money.total((line.amount(digits) for line in lines if line.paid_by == "household"), digits)


def fits_step(quantity: Decimal, unit: str) -> bool:
    """Sheets, trips, beds, sets and tests come whole; cubic metres and hours do not."""
    return quantity % STEPS.get(unit, THOUSANDTH) == 0


def _number(value: Any) -> Decimal:
    return Decimal(str(value))


def _three(value: Any) -> Decimal:
    return _number(value).quantize(THOUSANDTH, ROUND_HALF_UP)
