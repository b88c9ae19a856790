"""Writing the price book: a new price from a day on, and the currency it is written in."""

import datetime
from dataclasses import replace
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F

from conversions.groups.models import Group, Member

from .book import book
from .models import Line, Price, Quote


def set_price(
    *,
    group: Group,
    item: str,
    price: Decimal,
    by: Member | None,
    from_on: datetime.date | None = None,
    **said: Any,
) -> Price:
    """A new price from a day on; a slip put right for the same day takes the place of that day's row.

    `said` may name unit, pack, rounding, holds, face or bringer; what it leaves out stays as it is in the book.
    """
    from_on = from_on or group.today()
    with transaction.atomic():
        values = replace(book(group, from_on)[item].values, price=price, **said)
        row = Price.of(group).select_for_update().filter(item=item, from_on=from_on).first()
        row = row or Price(group=group, item=item, from_on=from_on)
        row.take(values)
        row.by = by
        row.full_clean()
        row.save()
        if from_on <= group.today():
            _fill_missing(group, item, row)
    return row


def set_currency(*, group: Group, currency: str, currency_after: bool) -> Group:
    group.currency, group.currency_after = currency.strip(), currency_after
    group.full_clean()
    group.save(update_fields=["currency", "currency_after"])
    return group


def _fill_missing(group: Group, item: str, row: Price) -> None:
    """Quotes not sent yet that waited for this price get it; a price a quote already has is left alone."""
    waiting = (
        Line.of(group).filter(item=item, unit=row.unit, unit_price=None, quote__state="draft").select_related("quote")
    )
    for line in waiting.select_for_update(of=("self",)):
        line.unit_price = row.price
        line.amount = line.values.amount(group.minor_digits)
        line.full_clean()
        line.save(update_fields=["unit_price", "amount"])
        Quote.of(group).filter(pk=line.quote_id).update(revision=F("revision") + 1)
