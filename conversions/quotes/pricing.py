"""A take-off and a price book in, the lines of a quote out. Plain values: no database, no clock."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from conversions.common import money
from conversions.sizing import round_up_to_step

from .units import boards_needed, frame_pieces

THOUSANDTH = Decimal("0.001")
ON_THE_SUM = ("tax", "grant")  # worked out after everything else, and never taxed themselves


@dataclass(frozen=True)
class PriceValues:
    """What one thing costs now. `price` None: not set, which is never the same as free.

    `pack`: it is sold in steps of so many units. `rounding`: up, nearest or none. `holds`: the size of one bag or load
    in m3, of one board in m; `face`: how high one board stands, in m.
    """

    unit: str
    pack: Decimal = Decimal(1)
    price: Decimal | None = None
    bringer: str = "group"
    rounding: str = "up"
    holds: Decimal | None = None
    face: Decimal | None = None


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


@dataclass(frozen=True)
class LineValues:
    """One line. `amount` is what its payer pays; None while a price it needs is not set.

    `fixed` is an amount worked out elsewhere (a tax on the sum); a grant takes its amount off the price.
    """

    item: str
    quantity: Decimal
    unit: str
    engine_quantity: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    unit_price: Decimal | None = None
    brought_by: str = "group"
    paid_by: str = "household"
    name: str = ""
    is_left_out: bool = False
    if_not_free_amount: Decimal | None = None
    if_not_free_by: str = "household"
    fixed: Decimal | None = None

    @property
    def is_in(self) -> bool:
        return self.quantity > 0 and not self.is_left_out

    def columns(self) -> dict[str, Any]:
        """What a row keeps of it."""
        return {name: value for name, value in vars(self).items() if name != "fixed"}

    def needs_price(self) -> bool:
        """True where the household is to pay for something nobody has put a price on."""
        is_ours = self.brought_by == "group" and self.paid_by == "household"
        return self.is_in and is_ours and self.fixed is None and self.unit_price is None

    def amount(self, digits: int) -> Decimal | None:
        """
        >>> LineValues("compost", Decimal("2.0"), "m3", unit_price=Decimal("48")).amount(2)
        Decimal('96.00')
        """
        if not self.is_in or self.brought_by != "group":
            return money.rounded(Decimal(0), digits)
        if self.fixed is not None:
            return money.rounded(self.fixed, digits)
        if self.unit_price is None:
            return None
        amount = money.rounded(self.quantity * self.unit_price, digits)
        return -amount if self.item == "grant" else amount

    def if_not_free(self, digits: int) -> Decimal | None:
        """At most so much would a gift cost if it did not come: what was agreed, else worked out; None: nobody knows."""
        if not self.is_in or self.brought_by != "free":
            return None
        if self.if_not_free_amount is not None:
            return money.rounded(self.if_not_free_amount, digits)
        return money.rounded(self.quantity * self.unit_price, digits) if self.unit_price else None


def price(
    takeoff: Mapping[str, Any], prices: Mapping[str, PriceValues], beds: Iterable[Mapping[str, Any]] = ()
) -> list[LineValues]:
    """Nine lines in the order of the book. A line that this yard does not need stands at quantity 0.

    `beds` are the plan's own, asked for only where frames are sold by the board.
    """
    return [_line(item, takeoff, prices.get(item, START[item]), list(beds)) for item in START]


def _line(item: str, takeoff: Mapping[str, Any], found: PriceValues, beds: list) -> LineValues:
    worked_out = _three(_sold(_quantity(item, takeoff, found, beds), found))
    line = LineValues(
        item, worked_out, found.unit, engine_quantity=worked_out, unit_price=found.price, brought_by=found.bringer
    )
    if item == "soil test":  # only when somebody offers it, so the engine has no figure for it
        return replace(line, engine_quantity=None)
    if item == "work":
        hours = takeoff["figures"]["hours"]
        return replace(line, low=_three(hours["low"]), high=_three(hours["high"]))
    return line


def _quantity(item: str, takeoff: Mapping[str, Any], found: PriceValues, beds: list) -> Decimal:
    """How much this yard needs, in the unit it is sold in, not yet rounded to how it is sold."""
    figures, kinds = takeoff["figures"], [bed["kind"] for bed in takeoff["beds"].values()]
    compost = _before_rounding(figures["compost"])
    return {
        "cardboard": lambda: _number(figures["cardboard"]["value"]),
        "chips": lambda: _in_units(figures["chips"], found),
        "work": lambda: _number(figures["hours"]["value"]),
        "tools": lambda: Decimal(1),
        "compost": lambda: _in_units(figures["compost"], found),
        "compost delivery": lambda: Decimal(1 if compost else 0),
        "frame": lambda: _frames(kinds, beds, found),
        "plants": lambda: Decimal(1 if kinds else 0),
        "soil test": lambda: Decimal(0),
    }[item]()


def _in_units(figure: Mapping[str, Any], found: PriceValues) -> Decimal:
    loose_m3 = _before_rounding(figure)
    return loose_m3 / found.holds if found.unit in ("bag", "load") and found.holds else loose_m3


def _frames(kinds: list[str], beds: list, found: PriceValues) -> Decimal:
    if found.unit == "board" and found.holds and found.face:
        return Decimal(boards_needed(frame_pieces(beds, found.face), found.holds))
    return Decimal(kinds.count("framed"))


def _sold(quantity: Decimal, found: PriceValues) -> Decimal:
    """To whole packs: up (forgiving a twentieth of one, as the engine does), to the nearest, or left as it is."""
    if found.rounding == "none":
        return quantity
    if found.rounding == "nearest" and quantity > 0:
        return max(Decimal(1), (quantity / found.pack).quantize(Decimal(1), ROUND_HALF_UP)) * found.pack
    return round_up_to_step(quantity, found.pack)


def _before_rounding(figure: Mapping[str, Any]) -> Decimal:
    """A loose volume as the engine has it before its own rounding: rounding twice would order too much."""
    return next(_number(value) for label, value, _unit in figure["inputs"] if label == "before rounding")


def household_pays(lines: Iterable[LineValues], digits: int) -> Decimal:
    """The sum of the lines as they are shown; lines without a price add nothing, and the page says so."""
    return money.total((line.amount(digits) for line in lines if line.paid_by == "household"), digits)


def tax(percent: Decimal, lines: Iterable[LineValues], digits: int) -> Decimal:
    """What a tax adds: so many per cent of what the household pays before taxes and grants, rounded once.

    >>> tax(Decimal("8.25"), [LineValues("frame", Decimal(1), "bed", unit_price=Decimal(74))], 2)
    Decimal('6.11')
    """
    base = household_pays((line for line in lines if line.item not in ON_THE_SUM), digits)
    return money.rounded(base * percent / 100, digits)


def _number(value: Any) -> Decimal:
    return Decimal(str(value))


def _three(value: Any) -> Decimal:
    return _number(value).quantize(THOUSANDTH, ROUND_HALF_UP)
