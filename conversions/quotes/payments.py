"""Money that came from a household: written down once, never changed; what went back is written down too."""

import datetime
import uuid
from dataclasses import dataclass
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from conversions.common import money
from conversions.groups.models import Member
from conversions.people.history import note_event
from conversions.yards.models import Conversion

from .answers import Clash
from .models import Payment, Quote


@dataclass(frozen=True)
class Account:
    """What one household was asked for, what it gave, and what is still open (less than nothing: too much came)."""

    asked: Decimal
    rows: list[Payment]
    paid: Decimal
    open: Decimal
    deposit: Decimal | None  # None: no deposit was asked for
    deposit_open: Decimal


def account(quote: Quote) -> Account:
    """The money of a yard, against what this version asks for."""
    digits, asked = quote.group.minor_digits, quote.total()
    rows = list(quote.conversion.payments.select_related("by__user"))
    paid = money.total((row.amount for row in rows), digits)
    deposit = None if quote.deposit is None else money.rounded(quote.deposit, digits)
    deposit_open = max(Decimal(0), deposit - paid) if deposit else Decimal(0)
    return Account(asked, rows, paid, asked - paid, deposit, deposit_open)


def record_payment(
    *,
    conversion: Conversion,
    by: Member,
    on: datetime.date,
    amount: Decimal,
    how: str,
    words: str = "",
    uid: uuid.UUID | None = None,
) -> Payment:
    """Add one payment; less than nothing is given back, and never more than came. A repeated `uid` is one row."""
    row = Payment(
        group=conversion.group, conversion=conversion, by=by, on=on, amount=amount, how=how, words=words,
        uid=uid or uuid.uuid4(),
    )  # fmt: skip
    with transaction.atomic():
        Conversion.of(conversion.group_id).select_for_update().get(pk=conversion.pk)
        if kept := Payment.of(conversion.group_id).filter(uid=row.uid).first():
            if (kept.conversion_id, kept.amount, kept.on) != (row.conversion_id, row.amount, row.on):
                raise Clash
            return kept
        came = money.total((one.amount for one in conversion.payments.all()), conversion.group.minor_digits)
        if amount < 0 and came + amount < 0:
            raise ValidationError({"amount": _("That is more than they have given so far.")})
        row.full_clean()
        row.save()
        note_event(group=conversion.group, verb="payment", by=by, conversion=conversion)
    return row
