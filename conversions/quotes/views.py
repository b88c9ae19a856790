"""The organiser's pages: the price book, and a quote from its lines to the household's answer."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from conversions.groups.tenancy import Stale, fetch
from conversions.groups.ways import go
from conversions.people import links
from conversions.people.models import Link, Message
from conversions.visits.checklist import stops
from conversions.yards.actions import keep_draft
from conversions.yards.models import Conversion

from . import actions, answers, book_actions, line_actions, outgoing, proposal
from .forms import YOUR_WORDS, LineForm, PricesForm, ReplyForm, SendForm
from .models import Line, Quote
from .units import counted
from .wording import detail, if_not_free

FASTER = gettext_lazy("Somebody was faster. Look at what stands now, then try again.")


def prices(request: HttpRequest) -> HttpResponse:
    form = PricesForm(request.POST or None, group=request.group)
    if request.method == "POST" and form.is_valid():
        _keep_prices(request, form)
        messages.success(request, _("Kept. Quotes already sent stay as they are."))
        return go(request, "prices")
    page = {"form": form, "rows": [{"row": row, "field": form[item]} for item, row in form.rows.items()]}
    return render(request, "quotes/prices.html", {**page, "place": "yards"})


def _keep_prices(request: HttpRequest, form: PricesForm) -> None:
    for item, new in form.new_prices().items():
        book_actions.set_price(group=request.group, item=item, price=new, by=request.member)
    if "currency" in form.fields:
        currency, after = form.cleaned_data["currency"], form.cleaned_data["currency_after"]
        book_actions.set_currency(group=request.group, currency=currency, currency_after=after)


@require_POST
def draft(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep the plan as drawn, and make the quote from it."""
    conversion = fetch(request, Conversion, pk=pk)
    drawing = conversion.drawing()
    revision = request.POST.get("revision", "")
    try:
        if drawing is None:
            raise ValidationError(_("Draw the plan first; the quote is worked out from it."))
        if drawing.state == "open":
            wanted = int(revision) if revision.isdecimal() else drawing.revision
            drawing = keep_draft(draft=drawing, revision=wanted, by=request.member)
        made = actions.draft_quote(draft=drawing, by=request.member)
    except ValidationError as error:
        for message in error.messages:
            messages.error(request, message)
        return go(request, "plan", pk=pk)
    except (Stale, IntegrityError):
        messages.error(request, FASTER)
        return go(request, "plan", pk=pk)
    return go(request, "quote", pk=made.pk)


@require_GET
def quote(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, _fetch(request, pk))


def _fetch(request: HttpRequest, pk: int) -> Quote:
    rows = Quote.of(request.group).select_related(
        "group", "draft", "made_by__user", "conversion__place", "conversion__household__contact"
    )
    return fetch(request, rows.prefetch_related("lines", "replies__by__user"), pk=pk)


def _page(request: HttpRequest, quote: Quote, status: int = 200, **forms: Any) -> HttpResponse:
    """The one page of a quote, in whatever state it is, with the form that was just refused where there is one."""
    lines = [_row(line, request.group) for line in quote.lines.all()]
    page = {
        "place": "yards",
        "quote": quote,
        "contact": quote.conversion.household.contact,
        "total": quote.total(),
        "cover_m2": (quote.frozen or {"takeoff": quote.draft.takeoff})["takeoff"]["figures"]["cover"]["value"],
        "lines": [row for row in lines if row["line"].values.is_in],
        "left_out": [row for row in lines if not row["line"].values.is_in and _may_put_in(row["line"])],
        "missing": quote.missing(),
        "if_not_free": if_not_free([row["line"].values for row in lines], request.group),
        "before": proposal.earlier(quote),
        "is_expired": quote.is_expired(request.group.today()),
        **forms,
    }
    if quote.state == "draft":
        page["stops"] = stops(quote.conversion)
        page.setdefault("send", SendForm(quote=quote, initial={"revision": quote.revision}))
        if page["missing"]:
            items = [line.item for line in page["missing"]]
            page.setdefault("price_form", PricesForm(group=request.group, items=items))
    else:
        link = Link.of(request.group).filter(purpose="plan", subject_type="quote", subject_id=quote.pk).first()
        page["address"] = links.address(link, request) if link else ""
        page["is_live"] = quote.state in ("sent", "accepted") and not page["is_expired"]
        page["can_reply"] = quote.state in ("sent", "accepted", "declined") and not page["is_expired"]
        page["said"] = sorted(quote.replies.all(), key=lambda said: said.pk, reverse=True)
        page["newer"] = _newer(quote)
        told = Message.of(request.group).filter(key=outgoing.sent_key(quote)).select_related("person")
        page["told"] = told.first()
        page.setdefault("reply", ReplyForm(quote=quote))
    return render(request, "quotes/quote.html", page, status=status)


def _row(line: Line, group: Any) -> dict[str, Any]:
    values, draft = line.values, line.quote.draft
    worked_out = replace(values, quantity=values.engine_quantity) if values.engine_quantity is not None else values
    return {
        "line": line,
        "counted": counted(values.quantity, values.unit),
        "worked_out": counted(worked_out.quantity, worked_out.unit),
        "detail": line.words or detail(line.item, draft.site, draft.takeoff, group.units),
        "who_word": YOUR_WORDS.get(line.brought_by, line.get_brought_by_display()),
        "needs_price": values.needs_price(),
        "they_pay": values.amount(group.minor_digits) if line.paid_by == "household" else None,
    }


def _may_put_in(line: Line) -> bool:
    return line.item == "soil test" or bool(line.engine_quantity)


def _newer(quote: Quote) -> Quote | None:
    rows = Quote.of(quote.group).filter(conversion=quote.conversion_id, version__gt=quote.version)
    return rows.exclude(state="withdrawn").order_by("-version").first()


@require_POST
def price(request: HttpRequest, pk: int) -> HttpResponse:
    """The prices this quote waits for, typed in place."""
    found = _fetch(request, pk)
    waiting = [line.item for line in found.missing()]
    form = PricesForm(request.POST, group=request.group, items=waiting)
    if waiting and not form.is_valid():
        return _page(request, found, price_form=form)
    if waiting:
        _keep_prices(request, form)
    return go(request, "quote", pk=pk)


def line(request: HttpRequest, pk: int, n: int) -> HttpResponse:
    """One line: changed, left out or put back in."""
    found = _fetch(request, pk)
    if found.state != "draft":
        messages.warning(request, _("This quote was sent and stays as it is. Make a new one from the plan."))
        return go(request, "quote", pk=pk)
    row = fetch(request, found.lines.select_related("group"), n=n)
    form = LineForm(_line_data(request, row), line=row, initial={**_as_typed(row), "revision": found.revision})
    if request.method == "POST" and form.is_valid():
        values = dict(form.cleaned_data)
        try:
            line_actions.change_line(quote=found, n=n, **values)
            return go(request, "quote", pk=pk)
        except Stale as stale:
            if stale.row.state != "draft":
                messages.error(request, FASTER)
                return go(request, "quote", pk=pk)
            return _line_page(request, stale.row, n, form, status=409)
    return _line_page(request, found, n, form)


def _as_typed(row: Line) -> dict[str, Any]:
    quantity = f"{row.quantity.normalize():f}"
    return {"quantity": quantity, "brought_by": row.brought_by, "paid_by": row.paid_by, "words": row.words}


def _line_data(request: HttpRequest, row: Line) -> Any:
    """What was posted; the two short buttons stand for the whole form with another quantity."""
    if request.method != "POST":
        return None
    if request.POST.get("do") not in ("out", "in"):
        return request.POST
    back = row.engine_quantity or Decimal(1)
    quantity = "0" if request.POST["do"] == "out" else f"{back:f}"
    return {**_as_typed(row), "quantity": quantity, "revision": request.POST.get("revision")}


def _line_page(request: HttpRequest, quote: Quote, n: int, form: LineForm, status: int = 200) -> HttpResponse:
    """`status` 409: somebody saved meanwhile; both versions are shown, and keeping again keeps what was typed."""
    row = quote.lines.get(n=n)
    if status == 409:
        form.data = {**form.data.dict(), "revision": quote.revision} if hasattr(form.data, "dict") else form.data
    page = {"place": "yards", "quote": quote, "row": row, "form": form, "is_stale": status == 409}
    return render(request, "quotes/line.html", {**page, "now": counted(row.quantity, row.unit)}, status=status)


@require_POST
def send(request: HttpRequest, pk: int) -> HttpResponse:
    found = _fetch(request, pk)
    if found.state != "draft":  # pressed twice, or sent by somebody else: what stands is shown, nothing happens again
        return go(request, "quote", pk=pk)
    form = SendForm(request.POST, quote=found)
    if not form.is_valid():
        return _page(request, found, send=form)
    if found.missing():
        form.add_error(None, _("A price is missing. Type it first; 0 is a price too."))
        return _page(request, found, send=form)
    revision = form.cleaned_data["revision"]
    if revision != found.revision:
        return _stale_send(request, found, form)
    ready = proposal.prepare(found, **_said(form))
    try:
        actions.send_quote(quote=found, revision=revision, by=request.member, paper=ready)
        messages.success(request, _("Sent. How it reaches them, their link and the paper stand below."))
    except Stale as stale:
        return _stale_send(request, _fetch(request, stale.row.pk), form)
    except (ValidationError, IntegrityError):
        messages.error(request, FASTER)
    return go(request, "quote", pk=pk)


def _stale_send(request: HttpRequest, quote: Quote, form: SendForm) -> HttpResponse:
    """Somebody changed the quote under the sender's hands: it is shown as it stands now, with what was typed."""
    if quote.state != "draft":
        return go(request, "quote", pk=quote.pk)
    form.data = {**request.POST.dict(), "revision": quote.revision}
    form.add_error(
        None, _("Somebody changed this quote while you looked at it. Here is what stands now; then send it.")
    )
    return _page(request, quote, status=409, send=form)


@require_http_methods(["GET", "POST"])
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The paper as it was sent; for a quote not sent yet, how it would look with what is typed. Nothing is kept."""
    found = _fetch(request, pk)
    content = bytes(found.document.content) if found.document else _preview(request, found)
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="plan.pdf"'
    response["Cache-Control"] = "private, no-store"
    return response


def _preview(request: HttpRequest, quote: Quote) -> bytes:
    form = SendForm(request.POST or None, quote=quote)
    said = _said(form) if request.method == "POST" and form.is_valid() else {}
    return proposal.prepare(quote, **said).content


def _said(form: SendForm) -> dict[str, Any]:
    return {key: form.cleaned_data[key] for key in ("sentence", "offered_on", "offered_rain_on")}


@require_POST
def reply(request: HttpRequest, pk: int) -> HttpResponse:
    """What the household said on the phone, on the slip or in person."""
    found = _fetch(request, pk)
    form = ReplyForm(request.POST, quote=found)
    if not form.is_valid():
        return _page(request, found, reply=form)
    try:
        answers.record_reply(quote=found, by=request.member, **form.cleaned_data)
    except answers.Refused:
        form.add_error(None, _("This version can no longer be answered. Send the newest one, or make a new one."))
        return _page(request, _fetch(request, pk), status=409, reply=form)
    except (answers.Clash, ValidationError, IntegrityError):
        form.add_error(None, FASTER)
        return _page(request, _fetch(request, pk), status=409, reply=form)
    messages.success(request, _("Written down."))
    return go(request, "quote", pk=pk)
