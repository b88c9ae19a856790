"""Changing the lines of a quote that is not sent yet, each in one short transaction. Nothing is thrown away."""

from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from conversions.groups.tenancy import Stale, change
from conversions.yards import holds
from conversions.yards.hold_kinds import SENDING

from .models import Line, Quote
from .pricing import tax

# Lines that are not of the book stand below it: first what is added, then taxes, then grants.
FIRST_N = {"own": 101, "tax": 201, "grant": 301}
MAY_CHANGE = {
    "quantity", "unit", "unit_price", "brought_by", "paid_by", "words", "name", "is_left_out", "if_not_free_amount",
    "if_not_free_by",
}  # fmt: skip


def change_line(*, quote: Quote, revision: int, n: int, **said: Any) -> Line:
    """Change what is said of one line of a quote that is not sent yet. The engine's figure stays beside.

    `said` names columns of MAY_CHANGE; quantity 0 leaves a line out, and so does is_left_out, which keeps the quantity.
    """
    assert set(said) <= MAY_CHANGE, set(said) - MAY_CHANGE
    with transaction.atomic():
        take(quote, revision)
        line = quote.lines.get(n=n)
        was_bought = _is_bought(line)
        for name, value in said.items():
            setattr(line, name, value)
        save_line(line)
        if line.item == "compost" and was_bought != _is_bought(line):
            _follow_compost(quote, is_bought=not was_bought)
        follow_taxes(quote)
        line.refresh_from_db()
    return line


def leave_out(*, quote: Quote, revision: int, n: int) -> Line:
    """Off the paper and out of the sum; it stays in sight here, with all that was typed, and can come back."""
    return change_line(quote=quote, revision=revision, n=n, is_left_out=True)


def put_back(*, quote: Quote, revision: int, n: int) -> Line:
    line = quote.lines.get(n=n)
    quantity = line.quantity or line.engine_quantity or Decimal(1)
    return change_line(quote=quote, revision=revision, n=n, is_left_out=False, quantity=quantity)


def add_line(*, quote: Quote, revision: int, item: str, name: str, **said: Any) -> Line:
    """A line that is not in the book: something else ("own"), a tax in per cent, or a grant that takes off the price."""
    with transaction.atomic():
        take(quote, revision)
        last = quote.lines.filter(item=item).order_by("-n").first()
        line = Line(group=quote.group, quote=quote, item=item, name=name, n=last.n + 1 if last else FIRST_N[item])
        line.quantity, line.unit = Decimal(1), {"own": "piece", "tax": "percent", "grant": "sum"}[item]
        for key, value in said.items():
            setattr(line, key, value)
        line.amount = Decimal(0) if item == "tax" else line.values.amount(line.group.minor_digits)
        line.full_clean()
        line.save()
        follow_taxes(quote)
        line.refresh_from_db()
    return line


def set_deposit(*, quote: Quote, revision: int, deposit: Decimal | None) -> Quote:
    """A part of the price asked for before the build; None: none."""
    with transaction.atomic():
        take(quote, revision)
        quote.deposit = deposit
        quote.full_clean()
        quote.save(update_fields=["deposit"])
    return quote


def follow_taxes(quote: Quote) -> None:
    """Work out every tax of a quote anew, from the lines as they stand now."""
    lines = list(quote.lines.all())
    for line in lines:
        if line.item == "tax":
            line.amount = tax(line.quantity, [other.values for other in lines], quote.group.minor_digits)
            line.full_clean()
            line.save(update_fields=["amount"])


def why_not_sent(quote: Quote) -> list[str]:
    """What keeps a quote from being sent: somebody's no, or its figures; empty where they are in order."""
    if held := holds.why_not(quote.conversion, SENDING):
        return held
    if quote.missing():
        return [_("A price is missing. Type it first; 0 is a price too.")]
    total = quote.total()
    if total < 0:
        return [_("The grants are more than the price. Make one of them smaller.")]
    if quote.deposit is not None and quote.deposit > total:
        return [_("The deposit is more than the whole price. Make it smaller.")]
    return []


def _is_bought(line: Line) -> bool:
    return line.values.is_in and line.brought_by == "group"


def _follow_compost(quote: Quote, *, is_bought: bool) -> None:
    """A trip is paid for only where compost is bought."""
    for trip in quote.lines.filter(item="compost delivery"):
        trip.is_left_out, trip.quantity = not is_bought, trip.quantity or Decimal(1)
        save_line(trip)


def save_line(line: Line) -> None:
    line.amount = line.values.amount(line.group.minor_digits)
    line.full_clean()
    line.save()


def take(quote: Quote, revision: int) -> None:
    """Raise the revision of a quote that is still a draft, or Stale with what stands now."""
    still = Quote.of(quote.group).filter(state="draft", pk=quote.pk)
    if not still.exists():
        raise Stale(Quote.of(quote.group).get(pk=quote.pk))
    change(quote, revision)
