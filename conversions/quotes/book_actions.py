"""Writing the price book: a new price from a day on, and the currency it is written in."""

import datetime
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F

from conversions.groups.models import Group, Member

from .book import book
from .line_actions import follow_taxes, save_line
from .models import Line, Price, Quote
from .pricing import PriceValues
from .pricing import price as price_lines


def set_price(*, group: Group, item: str, price: Decimal, by: Member | None, **said: Any) -> Price:
    """A new price from today on. `said` may name columns of PriceValues; what it leaves out stays as in the book."""
    values = replace(book(group)[item].values, price=price, **said)
    return keep_row(group=group, item=item, values=values, by=by)


def keep_row(
    *, group: Group, item: str, values: PriceValues, by: Member | None, from_on: datetime.date | None = None
) -> Price:
    """How one thing is sold and what it costs, from a day on (today); what held before stays in the book.

    A slip put right for the same day takes the place of that day's row. A quote already sent never moves.
    """
    from_on = from_on or group.today()
    with transaction.atomic():
        row = Price.of(group).select_for_update().filter(item=item, from_on=from_on).first()
        row = row or Price(group=group, item=item, from_on=from_on)
        row.take(values)
        row.by = by
        row.full_clean()
        row.save()
        if from_on <= group.today():
            _fill_missing(group, item, row)
    return row


def keep_rows(*, group: Group, rows: Iterable[tuple[str, PriceValues, datetime.date]], by: Member) -> list[Price]:
    """All the rows of a file, or none of them."""
    with transaction.atomic():
        return [keep_row(group=group, item=item, values=values, by=by, from_on=on) for item, values, on in rows]


def set_currency(*, group: Group, currency: str, currency_after: bool) -> Group:
    group.currency, group.currency_after = currency.strip(), currency_after
    group.full_clean()
    group.save(update_fields=["currency", "currency_after"])
    return group


def _fill_missing(group: Group, item: str, row: Price) -> None:
    """Quotes not sent yet that waited for this price get it; a price a quote already has is left alone."""
    waiting = Line.of(group).filter(item=item, unit_price=None, quote__state="draft").select_related("quote__draft")
    for line in waiting.select_for_update(of=("self",)):
        if line.unit != row.unit:
            _count_anew(line, row)
        line.unit_price = row.price
        save_line(line)
        follow_taxes(line.quote)
        Quote.of(group).filter(pk=line.quote_id).update(revision=F("revision") + 1)


def _count_anew(line: Line, row: Price) -> None:
    """It is sold in another unit now, so that the quantity in the old one has no price to wait for."""
    draft = line.quote.draft
    values = next(
        one for one in price_lines(draft.takeoff, {row.item: row.values}, draft.site["beds"]) if one.item == row.item
    )
    line.unit, line.engine_quantity = values.unit, values.engine_quantity
    if values.engine_quantity is not None:
        line.quantity = values.quantity
