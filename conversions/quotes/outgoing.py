"""What a household is told about its quote: that it is there, and that it is about to run out."""

from django.utils import translation

from conversions.common import money
from conversions.groups.models import Member
from conversions.people import letters, links, outbox
from conversions.people.models import Message

from .models import Quote
from .proposal import number

REMIND_DAYS = (14, 7)  # before it runs out


def sent_key(quote: Quote) -> str:
    return f"quote-sent:{quote.pk}"


def tell(*, quote: Quote, by: Member) -> Message:
    """Queue the plan to the household, by their own route; older versions nobody was told of yet are taken back."""
    older = Quote.of(quote.group).filter(conversion=quote.conversion_id).exclude(pk=quote.pk)
    for before in older.only("pk"):
        be_quiet(before)
    return _queue(quote, key=sent_key(quote), kind="quote-sent", by=by)


def remind(*, quote: Quote, days: int) -> Message:
    """Queue the reminder `days` before it runs out, from whoever made the quote."""
    return _queue(quote, key=f"quote-reminder:{quote.pk}:{days}", kind="quote-reminder", by=quote.made_by)


def be_quiet(quote: Quote) -> None:
    """They answered, or there is a newer version: what nobody told them yet need not be told."""
    keys = [sent_key(quote), *(f"quote-reminder:{quote.pk}:{days}" for days in REMIND_DAYS)]
    outbox.drop(quote.group, keys=keys)


def _queue(quote: Quote, *, key: str, kind: str, by: Member) -> Message:
    contact = quote.conversion.household.contact
    with translation.override(letters.language_of(contact)):
        total = money.shown(quote.total(), quote.group)
    values = {
        "address": quote.conversion.place.address,
        "version": quote.version,
        "number": number(quote),
        "sentence": quote.sentence,
        "offered_on": _text(quote.offered_on),
        "rain_on": _text(quote.offered_rain_on),
        "until": _text(quote.valid_until),
        "total": total,
    }
    return outbox.queue(
        key=key, kind=kind, person=contact, by=by, conversion=quote.conversion, values=values,
        link=links.make("plan", "quote", quote), document=quote.document,
    )  # fmt: skip


def _text(date) -> str:
    return date.isoformat() if date else ""
