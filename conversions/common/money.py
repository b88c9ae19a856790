"""Money: rounded half up to the group's digits, and written the group's way. Decimal, never float."""

from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from django.utils import formats


def rounded(amount: Decimal, digits: int) -> Decimal:
    """`rounded(Decimal("2.675"), 2) == Decimal("2.68")`."""
    return Decimal(amount).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)


def total(amounts: Iterable[Decimal | None], digits: int) -> Decimal:
    """The sum of amounts, each rounded first: what is shown adds up to what is shown."""
    return sum((rounded(a, digits) for a in amounts if a is not None), rounded(Decimal(0), digits))


def shown(amount: Decimal, group: Any) -> str:
    """An amount as the group writes it: "$277.00", "277,00 kr", "−$78.00", or a plain number until a currency is known."""
    exact = rounded(amount, group.minor_digits)
    number = formats.number_format(abs(exact), group.minor_digits, force_grouping=True)
    if group.currency:
        number = f"{number} {group.currency}" if group.currency_after else f"{group.currency}{number}"
    return f"−{number}" if exact < 0 else number  # a minus stands before the sign of the currency
