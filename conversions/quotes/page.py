"""The one page of a quote, in whatever state it is, with the form that was just refused where there is one."""

from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.groups.tenancy import fetch
from conversions.people import links
from conversions.people.models import Link, Message
from conversions.visits.checklist import stops
from conversions.yards.measure import whose

from . import outgoing, payments, proposal
from .book_forms import PricesForm
from .forms import PaymentForm, ReplyForm, SendForm
from .line_actions import why_not_sent
from .line_forms import YOUR_WORDS
from .models import BRINGERS, Line, Quote
from .pricing import ON_THE_SUM, LineValues
from .units import counted
from .wording import detail, if_not_free, listed, plain_name, sentence

FASTER = gettext_lazy("Somebody was faster. Look at what stands now, then try again.")


def fetch_quote(request: HttpRequest, pk: int) -> Quote:
    rows = Quote.of(request.group).select_related(
        "group", "draft", "made_by__user", "conversion__place", "conversion__household__contact"
    )
    return fetch(request, rows.prefetch_related("lines", "replies__by__user"), pk=pk)


def quote_page(request: HttpRequest, quote: Quote, status: int = 200, **forms: Any) -> HttpResponse:
    rows = [_row(line, request.group) for line in quote.lines.all()]
    page = {
        "place": "yards",
        "quote": quote,
        "contact": quote.conversion.household.contact,
        "total": quote.total(),
        "cover_m2": (quote.frozen or {"takeoff": quote.draft.takeoff})["takeoff"]["figures"]["cover"]["value"],
        "lines": [row for row in rows if row["line"].values.is_in],
        "left_out": [row for row in rows if not row["line"].values.is_in and may_put_in(row["line"])],
        "shares": _shares([row["line"].values for row in rows]),
        "missing": quote.missing(),
        "if_not_free": if_not_free([row["line"].values for row in rows], request.group),
        "before": proposal.earlier(quote),
        "is_expired": quote.is_expired(request.group.today()),
        **forms,
    }
    page |= _before_sending(quote, page) if quote.state == "draft" else _after_sending(request, quote, page)
    return render(request, "quotes/quote.html", page, status=status)


def _shares(lines: list[LineValues]) -> list[dict[str, Any]]:
    """Who brings what, in one line each; water always comes from their tap."""
    brought = [line for line in lines if line.is_in and line.item not in ON_THE_SUM]
    shares = []
    for code, word in BRINGERS:
        things = [plain_name(line) for line in brought if line.brought_by == code]
        if code == "household":
            things.append(_("water from their tap"))
        if things:
            shares.append({"code": code, "word": YOUR_WORDS.get(code, word), "things": sentence(listed(things))})
    return shares


def _before_sending(quote: Quote, page: dict[str, Any]) -> dict[str, Any]:
    more = {"stops": stops(quote.conversion), "why_not": [] if page["missing"] else why_not_sent(quote)}
    more["is_frame_drawn"] = any(
        line.item == "frame" and line.engine_quantity and not line.values.is_in for line in quote.lines.all()
    )
    if "send" not in page:
        more["send"] = SendForm(quote=quote, before=page["before"], initial={"revision": quote.revision})
    if page["missing"] and "price_form" not in page:
        more["price_form"] = PricesForm(group=quote.group, items=[line.item for line in page["missing"]])
    return more


def _after_sending(request: HttpRequest, quote: Quote, page: dict[str, Any]) -> dict[str, Any]:
    link = Link.of(request.group).filter(purpose="plan", subject_type="quote", subject_id=quote.pk).first()
    told = Message.of(request.group).filter(key=outgoing.sent_key(quote)).select_related("person")
    newer = _newer(quote)
    account = payments.account(quote)
    more = {
        "address": links.address(link, request) if link else "",
        "is_live": quote.state in ("sent", "accepted") and not page["is_expired"],
        "can_reply": quote.state in ("sent", "accepted", "declined") and not page["is_expired"],
        "said": sorted(quote.replies.all(), key=lambda said: said.pk, reverse=True),
        "newer": newer,
        "told": told.first(),
        "account": account,
        "takes_money": bool(account.asked or account.rows) and (quote.state == "accepted" or "pay" in page),
        "may_reissue": quote.state in ("sent", "expired", "declined") and not newer,
    }
    if "reply" not in page:
        more["reply"] = ReplyForm(quote=quote)
    if "pay" not in page:
        more["pay"] = PaymentForm(group=request.group)
    return more


def _row(line: Line, group: Any) -> dict[str, Any]:
    values, draft = line.values, line.quote.draft
    worked_out = values.quantity if values.engine_quantity is None else values.engine_quantity
    own_words = "" if line.item in ("own", *ON_THE_SUM) else detail(line.item, draft.site, draft.takeoff, group.units)
    back = replace(values, is_left_out=False, quantity=values.quantity or worked_out)
    return {
        "line": line,
        "counted": counted(values.quantity, values.unit),
        "worked_out": counted(worked_out, values.unit),
        "counted_back": counted(back.quantity, values.unit),
        "detail": line.words or own_words,
        "whose": whose(draft.takeoff["figures"]["hours"]) if line.item == "work" else "",
        "who_word": YOUR_WORDS.get(line.brought_by, line.get_brought_by_display()),
        "is_sum": line.item in ON_THE_SUM,
        "needs_price": values.needs_price(),
        "they_pay": values.amount(group.minor_digits) if line.paid_by == "household" else None,
    }


def may_put_in(line: Line) -> bool:
    return line.is_left_out or line.item == "soil test" or bool(line.engine_quantity)


def _newer(quote: Quote) -> Quote | None:
    rows = Quote.of(quote.group).filter(conversion=quote.conversion_id, version__gt=quote.version)
    return rows.exclude(state="withdrawn").order_by("-version").first()
