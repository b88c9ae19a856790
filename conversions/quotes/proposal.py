"""The plan a household gets: what is frozen of it, the context of its page and paper, and its PDF."""

import copy
import datetime
from dataclasses import dataclass, replace
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from django.utils import timezone, translation
from django.utils.translation import gettext as _

from conversions.common.languages import first_known
from conversions.visits.cautions import Caution, cautions_for
from conversions.visits.texts import ALWAYS, ASKING, COLD
from conversions.yards.drawing import plan_svg, section_svg

from . import wording
from .book import book
from .dates import valid_until
from .models import Quote
from .paper import print_plan
from .paper.rows import rows

SCHEMA = 1
EVERY_DAY = {caution.key for caution in (*ALWAYS, *COLD)}
LARGE_PRINT = "large print"


@dataclass(frozen=True)
class Paper:
    """A quote as it is about to leave the house: everything sending will freeze, and the bytes made of just that."""

    content: bytes
    title: str
    language: str
    variant: str
    sentence: str
    offered_on: datetime.date | None
    offered_rain_on: datetime.date | None
    what_changed: str
    valid_until: datetime.date
    sent_at: datetime.datetime
    frozen: dict[str, Any]


def offer(
    quote: Quote,
    *,
    sentence: str = "",
    offered_on: datetime.date | None = None,
    offered_rain_on: datetime.date | None = None,
    what_changed: str = "",
) -> Quote:
    """A copy of a quote as it would be sent this moment: dates set and figures frozen, nothing saved."""
    sending = copy.copy(quote)
    sending.sentence, sending.offered_on, sending.offered_rain_on = sentence, offered_on, offered_rain_on
    sending.what_changed = what_changed
    sending.sent_at = timezone.now()
    sending.valid_until = valid_until(quote.group.today(), offered_on)
    with translation.override(language_of(quote)):
        sending.frozen = freeze(sending)
    return sending


def prepare(quote: Quote, **said: Any) -> Paper:
    """Render the paper of a quote that is not sent yet. Slow, so it happens before the transaction that sends it."""
    sending = offer(quote, **said)
    return paper_of(sending, pdf(sending))


def paper_of(sending: Quote, content: bytes) -> Paper:
    with translation.override(language_of(sending)):
        words = title(sending)
    return Paper(
        content=content,
        title=words,
        language=language_of(sending),
        variant=LARGE_PRINT if is_large(sending) else "",
        sentence=sending.sentence,
        offered_on=sending.offered_on,
        offered_rain_on=sending.offered_rain_on,
        what_changed=sending.what_changed,
        valid_until=sending.valid_until,
        sent_at=sending.sent_at,
        frozen=sending.frozen,
    )


def language_of(quote: Quote) -> str:
    return first_known(quote.conversion.household.contact.language, quote.group.language)


def is_large(quote: Quote) -> bool:
    """They read large print, so that their paper is laid out anew for 18 pt."""
    return quote.conversion.household.contact.large_print


def title(quote: Quote) -> str:
    return _("Your garden at %(address)s") % {"address": quote.conversion.place.address}


def freeze(quote: Quote) -> dict[str, Any]:
    """Figures, prices and words as they stand now. No names: those stand only on the paper and in live rows."""
    group, draft = quote.group, quote.draft
    lines = [line.values for line in quote.lines.all()]
    return {
        "schema": SCHEMA,
        "engine_version": draft.engine_version,
        "site": draft.site,
        "takeoff": draft.takeoff,
        "shown": {
            "units": group.units,
            "currency": group.currency,
            "currency_after": group.currency_after,
            "minor_digits": group.minor_digits,
        },
        "prices": {item: _price_frozen(row) for item, row in book(group).items()},
        "total": str(quote.total()),
        "texts": _texts(quote, lines),
        "cautions": [_caution_frozen(c, lines) for c in cautions_for(quote.conversion) if c.household_text],
    }


def _caution_frozen(caution: Caution, lines: list[Any]) -> dict[str, Any]:
    """`is_ours` marks what this yard brings up, apart from what holds on every build day; `ask`: whom, when, whose cost."""
    asking = ASKING.get(caution.key)
    if asking and caution.key == "soil_untested" and any(line.item == "soil test" and line.is_in for line in lines):
        asking = replace(asking, cost=_("Our list says what the test costs and who pays for it."))
    return {
        "key": caution.key,
        "severity": caution.severity,
        "title": str(caution.title),
        "text": str(caution.household_text),
        "whom": str(caution.whom),
        "ask": str(asking or ""),
        "where": list(caution.where),
        "is_ours": caution.key not in EVERY_DAY,
    }


def _price_frozen(row: Any) -> dict[str, Any]:
    values = row.values
    price = None if values.price is None else str(values.price)
    return {"price": price, "unit": values.unit, "pack": str(values.pack), "bringer": values.bringer}


def _texts(quote: Quote, lines: list[Any]) -> dict[str, Any]:
    site, takeoff, group = quote.draft.site, quote.draft.takeoff, quote.group
    hours = hours_of(quote)
    return {
        "hours": hours,
        "what": wording.what(site, takeoff),
        "when": wording.when(quote.offered_on, quote.offered_rain_on, hours),
        "pay": wording.pay(lines, quote.total(), group, quote.deposit),
        "do": wording.to_do(takeoff, quote.offered_on),
        "cannot_promise": wording.cannot_promise(),
        "if_not_free": wording.if_not_free(lines, group),
        "details": {
            line.item: line.words or wording.detail(line.item, site, takeoff, group.units) for line in quote.lines.all()
        },
    }


def hours_of(quote: Quote) -> str:
    """From when till when, where a build day already stands in the calendar."""
    if quote.offered_on is None:
        return ""
    booked = quote.conversion.day_patches.filter(day__on=quote.offered_on).exclude(day__state="cancelled")
    first = booked.select_related("day").first()
    return wording.clock(first.day.starts, first.day.ends) if first else ""


def context(quote: Quote) -> dict[str, Any]:
    """What page and paper say. Reads the frozen figures and the copied lines, and names from the live rows."""
    frozen = quote.frozen
    shown = SimpleNamespace(**frozen["shown"])
    takeoff, conversion, before = frozen["takeoff"], quote.conversion, earlier(quote)
    return {
        "quote": quote,
        "group": quote.group,
        "title": title(quote),
        "conversion": conversion,
        "contact": conversion.household.contact,
        "tenure": conversion.household.tenure,
        "caller": str(quote.made_by),
        "ring": wording.ring(quote.group, str(quote.made_by)),
        "shown": shown,
        "texts": frozen["texts"],
        "changes": quote.changes if before else [],
        "ours": [caution for caution in frozen["cautions"] if caution["is_ours"]],
        "every_day": [caution for caution in frozen["cautions"] if not caution["is_ours"]],
        "later": wording.later(),
        "total": Decimal(frozen["total"]),
        "cover_m2": takeoff["figures"]["cover"]["value"],
        "rows": rows(quote, shown),
        "sent_on": local_date(quote.sent_at, quote.group) if quote.sent_at else quote.group.today(),
        "before": before,
        "number": number(quote),
    }


def local_date(at: datetime.datetime, group: Any) -> datetime.date:
    with timezone.override(group.zone):
        return timezone.localdate(at)


def earlier(quote: Quote) -> Quote | None:
    """The version sent before this one, whose place it takes."""
    return _sent_before(quote).order_by("-version").first()


def number(quote: Quote) -> int:
    """How many plans this household was sent so far, this one too: what a slip and a call name it by."""
    return 1 + _sent_before(quote).count()


def _sent_before(quote: Quote) -> Any:
    rows = Quote.of(quote.group).filter(conversion=quote.conversion_id, version__lt=quote.version)
    return rows.exclude(sent_at=None)


def drawings(quote: Quote) -> dict[str, Any]:
    """The plan for a wide screen and a narrow one, and the cut; each with its own ids."""
    site, takeoff, units = _drawn(quote)
    return {
        "plan": plan_svg(site, takeoff, prefix="pw", units=units),
        "plan_compact": plan_svg(site, takeoff, prefix="pc", compact=True, units=units),
        "section": section_svg(site, takeoff, prefix="se", units=units),
        "section_compact": section_svg(site, takeoff, prefix="sc", compact=True, units=units),
    }


def _drawn(quote: Quote) -> tuple[dict, dict, str]:
    return quote.frozen["site"], quote.frozen["takeoff"], quote.frozen["shown"]["units"]


def pdf(quote: Quote) -> bytes:
    """The bytes of the paper, from what `quote.frozen` holds."""
    with translation.override(language_of(quote)), timezone.override(quote.group.zone):
        return print_plan(quote, context(quote), is_large=is_large(quote))
