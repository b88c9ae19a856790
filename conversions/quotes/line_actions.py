"""Changing the lines of a quote that is not sent yet, each in one short transaction."""

from decimal import Decimal

from django.db import transaction

from conversions.groups.tenancy import Stale, change

from .models import Line, Quote


def change_line(
    *, quote: Quote, revision: int, n: int, quantity: Decimal, brought_by: str, paid_by: str, words: str = ""
) -> Line:
    """Change one line of a quote that is not sent yet; quantity 0 leaves it out. The engine's figure stays beside."""
    with transaction.atomic():
        _take(quote, revision)
        line = quote.lines.get(n=n)
        was_bought = _is_bought(line)
        line.quantity, line.brought_by, line.paid_by, line.words = quantity, brought_by, paid_by, words
        _save_line(line)
        if line.item == "compost" and was_bought != _is_bought(line):
            _follow_compost(quote, is_bought=not was_bought)
    return line


def _is_bought(line: Line) -> bool:
    return line.quantity > 0 and line.brought_by == "group"


def _follow_compost(quote: Quote, *, is_bought: bool) -> None:
    """A trip is paid for only where compost is bought."""
    for trip in quote.lines.filter(item="compost delivery"):
        trip.quantity = Decimal(1) if is_bought else Decimal(0)
        _save_line(trip)


def _save_line(line: Line) -> None:
    line.amount = line.values.amount(line.group.minor_digits)
    line.full_clean()
    line.save(update_fields=["quantity", "brought_by", "paid_by", "words", "amount"])


def _take(quote: Quote, revision: int) -> None:
    """Raise the revision of a quote that is still a draft, or Stale with what stands now."""
    still = Quote.of(quote.group).filter(state="draft", pk=quote.pk)
    if not still.exists():
        raise Stale(Quote.of(quote.group).get(pk=quote.pk))
    change(quote, revision)
