"""The price book as a file for a spreadsheet: written out, and read back with an error in words for each row."""

import csv
import datetime
import re
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.utils import formats
from django.utils.translation import gettext as _

from conversions.common import cells, money

from .book import BookRow, book
from .fields import LARGEST_PRICE, LARGEST_QUANTITY
from .models import BRINGERS, Price
from .pricing import PriceValues
from .units import EACH, SIZED, WHOLE

# The head and the codes below it stay the same in every language, so that a file goes from one group to another.
HEAD = ("item", "name", "unit", "holds", "face", "pack", "rounding", "price", "bringer", "from_on")
NEEDED = {"item", "price"}
MOST_ROWS = 200
NUMBERS = {"holds": 6, "face": 3, "pack": 3, "price": 4}  # and how many digits each keeps after the point


@dataclass(frozen=True)
class Change:
    """One row of the book that the file would change."""

    row: BookRow
    values: PriceValues
    from_on: datetime.date
    what: list[str]


@dataclass
class Read:
    """What a file says: changes to make, errors by line, and how many of its rows change nothing."""

    changes: list[Change] = field(default_factory=list)
    errors: list[tuple[int, str]] = field(default_factory=list)
    same: int = 0

    @property
    def new(self) -> list[tuple[str, PriceValues, datetime.date]]:
        return [(one.row.item, one.values, one.from_on) for one in self.changes]


def write(group: Any) -> bytes:
    """The book as it stands today; decimals and the sign between columns as the group's language has them."""
    point = formats.get_format("DECIMAL_SEPARATOR")
    rows = [_cells(row, point) for row in book(group).values()]
    return cells.write([HEAD, *rows], ";" if point == "," else ",")


def text_of(content: bytes) -> str:
    return cells.decoded(content)


def _cells(row: BookRow, point: str) -> list[str]:
    values = row.values
    numbers = {name: _plain(getattr(values, name), point) for name in NUMBERS}
    return [
        row.item, str(row.word), values.unit, numbers["holds"], numbers["face"], numbers["pack"], values.rounding,
        numbers["price"], values.bringer, row.from_on.isoformat() if row.from_on else "",
    ]  # fmt: skip


def _plain(value: Decimal | None, point: str) -> str:
    if value is None:
        return ""
    text = f"{value:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace(".", point)


def read(text: str, group: Any) -> Read:
    """Compare a file with the book. Nothing is written here."""
    found = Read()
    try:
        rows = cells.read(text)
    except csv.Error:
        found.errors.append((1, _("This is not a file of rows and columns. Save it as CSV.")))
        return found
    head = [name.lower() for name in rows[0]] if rows else []
    if not set(head) >= NEEDED or len(rows) > MOST_ROWS:
        found.errors.append((1, _("This is not a price book: its first line must name at least item and price.")))
        return found
    rows_now, seen = book(group), set()
    for line, row in enumerate(rows[1:], start=2):
        if not any(row):
            continue
        _read_row(found, line, dict(zip(head, row, strict=False)), rows_now, seen, group)
    return found


def _read_row(found: Read, line: int, said: dict[str, str], now: dict[str, BookRow], seen: set, group: Any) -> None:
    item = said.get("item", "").lower()
    if item not in now:
        found.errors.append((line, _("“%(item)s” is not in the price book.") % {"item": item[:40]}))
        return
    if item in seen:
        found.errors.append((line, _("%(name)s stands here a second time.") % {"name": now[item].word}))
        return
    seen.add(item)
    try:
        values = _values(said, now[item])
        from_on = _from_on(said.get("from_on", ""), group)
    except ValueError as error:
        found.errors.append((line, f"{now[item].word}: {error}"))
        return
    if values == now[item].values:
        found.same += 1
        return
    if problem := _refused(item, values, from_on, group):
        found.errors.append((line, f"{now[item].word}: {problem}"))
        return
    found.changes.append(Change(now[item], values, from_on, _what(now[item].values, values, group)))


def _values(said: dict[str, str], row: BookRow) -> PriceValues:
    """The row as the file has it; a column that is not there, and a price left empty, stays as the book has it."""
    values = row.values
    for name in ("unit", "rounding", "bringer"):
        if said.get(name):
            values = replace(values, **{name: said[name].lower()})
    for name, places in NUMBERS.items():
        if said.get(name):
            values = replace(values, **{name: _number(said[name], places)})
    if values.unit != row.values.unit and values.unit in WHOLE and not said.get("pack"):
        values = replace(values, pack=Decimal(1))  # the steps were those of the old unit
    if "unit" in said and values.unit not in SIZED:
        values = replace(values, holds=None, face=None)
    return values


def _number(text: str, places: int) -> Decimal:
    """A number with the group's decimal sign, or with the other one where it cannot mean thousands.

    Raises ValueError with words for the reader.
    """
    point = formats.get_format("DECIMAL_SEPARATOR")
    other = "." if point == "," else ","
    plain = re.sub(r"[\s\u00a0\u202f]", "", text)
    if point not in plain and re.fullmatch(rf"-?[1-9]\d{{0,2}}(?:\{other}\d{{3}})+", plain):
        small, large = plain.replace(other, point, 1), plain.replace(other, "")
        raise ValueError(_("is this %(small)s or %(large)s?") % {"small": small, "large": large})
    plain = plain.replace(other, ".") if point not in plain else plain.replace(point, ".")
    if not re.fullmatch(r"-?\d{1,12}(\.\d+)?", plain):
        raise ValueError(_("“%(text)s” is not a number.") % {"text": text[:40]})
    number = Decimal(plain)
    if number < 0:
        raise ValueError(_("%(text)s is less than nothing.") % {"text": text[:40]})
    if -int(number.normalize().as_tuple().exponent) > places:
        raise ValueError(_("%(text)s has too many digits after the point.") % {"text": text[:40]})
    return number


def _from_on(text: str, group: Any) -> datetime.date:
    """From when a changed row holds: a day to come as the file says it, else today, because the past stays as it was."""
    today = group.today()
    if not text:
        return today
    try:
        return max(today, datetime.date.fromisoformat(text))
    except ValueError as error:
        raise ValueError(_("write the day like %(day)s.") % {"day": today.isoformat()}) from error


def _refused(item: str, values: PriceValues, from_on: datetime.date, group: Any) -> str:
    """Why the book would not take it, in words; empty where it would."""
    if values.price is None:
        return _("write a price; 0 is a price too.")
    if values.price > LARGEST_PRICE or values.pack > LARGEST_QUANTITY:
        return _("this is more than we can believe.")
    if values.unit in WHOLE and values.pack % 1:
        return _("it comes whole, so its steps must be whole numbers.")
    row = Price(group=group, item=item, from_on=from_on)
    row.take(values)
    try:
        row.full_clean(validate_unique=False, validate_constraints=False)
    except ValidationError as error:
        return " ".join(error.messages)
    return ""


def _what(old: PriceValues, new: PriceValues, group: Any) -> list[str]:
    """What a change changes, in words: "price: $48.00, now $52.00"."""
    words = {"pack": _("steps of"), "holds": _("one holds"), "face": _("one board is high")}
    names = {"bringer": dict(BRINGERS), "rounding": dict(Price.ROUNDINGS)}
    told = []
    if old.price != new.price:
        was = _("not set") if old.price is None else money.shown(old.price, group)
        told.append(_("price %(now)s; it was %(was)s") % {"now": money.shown(new.price, group), "was": was})
    for name in ("bringer", "rounding"):
        if getattr(old, name) != getattr(new, name):
            label = _("who usually brings it") if name == "bringer" else _("rounded")
            told.append(f"{label}: {names[name][getattr(new, name)]}")
    if old.unit != new.unit:
        told.append(_("sold by: %(unit)s") % {"unit": EACH[new.unit]})
    point = formats.get_format("DECIMAL_SEPARATOR")
    for name, label in words.items():
        if getattr(old, name) != getattr(new, name):
            told.append(f"{label} {_plain(getattr(new, name), point) or '–'}")
    return told
