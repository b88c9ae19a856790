"""The plan a household gets: what is frozen of it, the context of its page and paper, and its PDF."""

import copy
import datetime
from dataclasses import dataclass
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from django.conf import settings
from django.utils import timezone, translation
from django.utils.translation import gettext as _

from conversions.common import pdf as paper
from conversions.visits.cautions import Caution, cautions_for
from conversions.visits.texts import ALWAYS, COLD
from conversions.yards.drawing import plan_svg, section_svg

from . import wording
from .book import book
from .dates import valid_until
from .models import Quote
from .rooms import SECTION_MM, largest, layout_of

WHO = {"group": "w", "household": "y", "free": "f"}
SCHEMA = 1
EVERY_DAY = {caution.key for caution in (*ALWAYS, *COLD)}
# Letters beside the usual paragraphs: from the first on, one of those moves to page 3; from the second on, 12 pt.
LONG_WORDS, VERY_LONG_WORDS = 120, 300
FOR_TENANTS, SHORTER_PAGE = 120, 60  # the same, for the words to tenants and what Letter has less than A4
TITLE_LINE, SECOND_LINE = 40, 90  # letters on one line of the title, and what a second line of it takes


@dataclass(frozen=True)
class Paper:
    """A quote as it is about to leave the house: everything sending will freeze, and the bytes made of just that."""

    content: bytes
    title: str
    language: str
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
        sentence=sending.sentence,
        offered_on=sending.offered_on,
        offered_rain_on=sending.offered_rain_on,
        what_changed=sending.what_changed,
        valid_until=sending.valid_until,
        sent_at=sending.sent_at,
        frozen=sending.frozen,
    )


def language_of(quote: Quote) -> str:
    known = dict(settings.LANGUAGES)
    wanted = quote.conversion.household.contact.language or quote.group.language
    return wanted if wanted in known else settings.LANGUAGE_CODE


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
        "cautions": [_caution_frozen(c) for c in cautions_for(quote.conversion) if c.household_text],
    }


def _caution_frozen(caution: Caution) -> dict[str, Any]:
    """`is_ours` marks what this yard brings up, apart from what holds on every build day."""
    return {
        "key": caution.key,
        "severity": caution.severity,
        "title": str(caution.title),
        "text": str(caution.household_text),
        "whom": str(caution.whom),
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
        "pay": wording.pay(lines, quote.total(), group),
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
    letters = _letters_on_first_page(quote)
    return {
        "quote": quote,
        "group": quote.group,
        "title": title(quote),
        "conversion": conversion,
        "contact": conversion.household.contact,
        "tenure": conversion.household.tenure,
        "caller": str(quote.made_by),
        "shown": shown,
        "texts": frozen["texts"],
        "ours": [caution for caution in frozen["cautions"] if caution["is_ours"]],
        "every_day": [caution for caution in frozen["cautions"] if not caution["is_ours"]],
        "is_long": letters > LONG_WORDS,
        "is_very_long": letters > VERY_LONG_WORDS,
        "total": Decimal(frozen["total"]),
        "cover_m2": takeoff["figures"]["cover"]["value"],
        "rows": rows(quote, shown),
        "sent_on": local_date(quote.sent_at, quote.group) if quote.sent_at else quote.group.today(),
        "before": before,
        "number": 1 + _sent_before(quote).count() if before else 1,
    }


def _letters_on_first_page(quote: Quote) -> int:
    letters = len(quote.conversion.wish) + len(quote.sentence)
    letters += FOR_TENANTS if quote.conversion.household.tenure != "own" else 0
    letters += SECOND_LINE if len(title(quote)) > TITLE_LINE else 0
    return letters + (SHORTER_PAGE if quote.group.paper == "Letter" else 0)


def local_date(at: datetime.datetime, group: Any) -> datetime.date:
    with timezone.override(group.zone):
        return timezone.localdate(at)


def earlier(quote: Quote) -> Quote | None:
    """The version sent before this one, whose place it takes."""
    return _sent_before(quote).order_by("-version").first()


def _sent_before(quote: Quote) -> Any:
    rows = Quote.of(quote.group).filter(conversion=quote.conversion_id, version__lt=quote.version)
    return rows.exclude(sent_at=None)


def rows(quote: Quote, shown: Any) -> list[dict[str, Any]]:
    """The one table: each line that is in, then what the household has at home."""
    frozen = quote.frozen
    table = []
    for line in quote.lines.all():
        values = line.values
        if not values.is_in:
            continue
        amount, detail = values.amount(shown.minor_digits), frozen["texts"]["details"].get(line.item, "")
        table.append(
            {
                "word": line.get_item_display(),
                "detail": detail,
                "on_paper": detail if line.item == "frame" or line.words else "",  # the rest stands on the page only
                "how_much": wording.how_much(values, frozen["takeoff"], shown.units),
                "who": WHO[line.brought_by],
                "who_word": line.get_brought_by_display(),
                "amount": amount if line.paid_by == "household" else Decimal(0),
                "is_missing": values.needs_price(),
                "payer": "" if line.paid_by == "household" or not amount else line.get_paid_by_display(),
            }
        )
    return table + _yours()


def _yours() -> list[dict[str, Any]]:
    you = {"who": "y", "who_word": _("You bring"), "amount": Decimal(0), "is_missing": False, "payer": ""}
    return [
        {**you, "word": _("Water from your tap"), "detail": "", "how_much": _("on the day")},
        {**you, "word": _("Hands"), "detail": "", "how_much": _("only if you can")},
    ]


def drawings(quote: Quote) -> dict[str, Any]:
    """The plan for a wide screen and a narrow one, and the cut; each with its own ids."""
    site, takeoff, units = _drawn(quote)
    return {
        "plan": plan_svg(site, takeoff, prefix="pw", units=units),
        "plan_compact": plan_svg(site, takeoff, prefix="pc", compact=True, units=units),
        "section": section_svg(site, takeoff, prefix="se", units=units),
        "section_compact": section_svg(site, takeoff, prefix="sc", compact=True, units=units),
    }


def paper_drawings(quote: Quote) -> dict[str, Any]:
    """A small plan for the first page; for the second the plan true to scale, and the cut where there is room for it."""
    site, takeoff, units = _drawn(quote)
    layout, scale, room = layout_of(site, quote.group.paper)
    width_mm = SECTION_MM[quote.group.paper]
    return {
        "mini": plan_svg(site, takeoff, prefix="pq", few=True, units=units, patch=largest(site, takeoff)),
        "plan": plan_svg(site, takeoff, prefix="pp", paper=True, units=units, scale=scale, width_mm=room[0]),
        "section": section_svg(site, takeoff, prefix="ps", paper=True, units=units, width_mm=width_mm),
        "scale": scale,
        "layout": layout,
    }


def _drawn(quote: Quote) -> tuple[dict, dict, str]:
    return quote.frozen["site"], quote.frozen["takeoff"], quote.frozen["shown"]["units"]


def pdf(quote: Quote) -> bytes:
    """The bytes of the paper, from what `quote.frozen` holds."""
    with translation.override(language_of(quote)), timezone.override(quote.group.zone):
        page = {**context(quote), **paper_drawings(quote)}
        return paper.render("quotes/paper.html", page)
