"""Whether a yard goes on: a no sets it aside as "Not now", a yes or a new quote takes it up again."""

from conversions.yards.models import Conversion

from .models import Quote


def set_aside(quote: Quote) -> None:
    """They said no. Where an earlier version still holds by their yes, the yard goes on with that one."""
    if not Quote.of(quote.group_id).filter(conversion=quote.conversion_id, state="accepted").exists():
        _move(quote, [""], "declined")


def take_up(quote: Quote) -> None:
    _move(quote, ["declined", "waiting"], "")


def _move(quote: Quote, was: list[str], outcome: str) -> None:
    Conversion.of(quote.group_id).filter(pk=quote.conversion_id, outcome__in=was).update(outcome=outcome)
