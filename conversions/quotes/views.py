"""The organiser's pages of a quote: made, sent, shown on paper, answered, made anew, paid."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from conversions.common.asked import whole
from conversions.groups.tenancy import Stale, fetch
from conversions.groups.ways import go
from conversions.yards.actions import keep_draft
from conversions.yards.models import Conversion

from . import actions, answers, payments, proposal
from .forms import PaymentForm, ReplyForm, SendForm
from .line_actions import why_not_sent
from .models import Quote
from .page import FASTER, fetch_quote, quote_page


@require_POST
def draft(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep the plan as drawn, and make the quote from it."""
    conversion = fetch(request, Conversion, pk=pk)
    drawing = conversion.drawing()
    try:
        if drawing is None:
            raise ValidationError(_("Draw the plan first; the quote is worked out from it."))
        if drawing.state == "open":
            seen = whole(request.POST.get("revision")) or drawing.revision
            drawing = keep_draft(draft=drawing, revision=seen, by=request.member)
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
    return quote_page(request, fetch_quote(request, pk))


@require_POST
def again(request: HttpRequest, pk: int) -> HttpResponse:
    """The next version of the same plan with today's prices, in one press."""
    found = fetch_quote(request, pk)
    if found.state == "draft":
        return go(request, "quote", pk=pk)
    try:
        made = actions.reissue(quote=found, by=request.member)
    except (ValidationError, IntegrityError):
        messages.error(request, FASTER)
        return go(request, "quote", pk=pk)
    messages.success(request, _("A new version with the prices of today. What you settled with them before holds on."))
    return go(request, "quote", pk=made.pk)


@require_POST
def send(request: HttpRequest, pk: int) -> HttpResponse:
    found = fetch_quote(request, pk)
    if found.state != "draft":  # pressed twice, or sent by somebody else: what stands is shown, nothing happens again
        return go(request, "quote", pk=pk)
    form = _send_form(request, found)
    if not form.is_valid():
        return quote_page(request, found, send=form)
    if problems := why_not_sent(found):
        form.add_error(None, problems)
        return quote_page(request, found, send=form)
    revision = form.cleaned_data["revision"]
    if revision != found.revision:
        return _stale_send(request, found, form)
    ready = proposal.prepare(found, **_said(form))
    try:
        actions.send_quote(quote=found, revision=revision, by=request.member, paper=ready)
        messages.success(request, _("Sent. How it reaches them, their link and the paper stand below."))
    except Stale as stale:
        return _stale_send(request, fetch_quote(request, stale.row.pk), form)
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
    return quote_page(request, quote, status=409, send=form)


@require_http_methods(["GET", "POST"])
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The paper as it was sent; for a quote not sent yet, how it would look with what is typed. Nothing is kept."""
    found = fetch_quote(request, pk)
    content = bytes(found.document.content) if found.document else _preview(request, found)
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="plan.pdf"'
    response["Cache-Control"] = "private, no-store"
    return response


def _preview(request: HttpRequest, quote: Quote) -> bytes:
    form = _send_form(request, quote)
    said = _said(form) if request.method == "POST" and form.is_valid() else {}
    return proposal.prepare(quote, **said).content


def _send_form(request: HttpRequest, quote: Quote) -> SendForm:
    return SendForm(request.POST or None, quote=quote, before=proposal.earlier(quote))


def _said(form: SendForm) -> dict[str, Any]:
    return {key: form.cleaned_data[key] for key in ("sentence", "offered_on", "offered_rain_on", "what_changed")}


@require_POST
def reply(request: HttpRequest, pk: int) -> HttpResponse:
    """What the household said on the phone, on the slip or in person."""
    found = fetch_quote(request, pk)
    form = ReplyForm(request.POST, quote=found)
    if not form.is_valid():
        if _was_pressed_twice(found, form.data.get("answer"), form.cleaned_data):
            return go(request, "quote", pk=pk)
        return quote_page(request, found, reply=form)
    try:
        answers.record_reply(quote=found, by=request.member, **form.cleaned_data)
    except answers.Refused:
        form.add_error(None, _("This version can no longer be answered. Send the newest one, or make a new one."))
        return quote_page(request, fetch_quote(request, pk), status=409, reply=form)
    except answers.Held as held:
        form.add_error("answer", [*held.words, _("Their yes counts once that is there. Until then write: let’s talk.")])
        return quote_page(request, fetch_quote(request, pk), status=409, reply=form)
    except (answers.Clash, ValidationError, IntegrityError):
        form.add_error(None, FASTER)
        return quote_page(request, fetch_quote(request, pk), status=409, reply=form)
    messages.success(request, _("Written down."))
    return go(request, "quote", pk=pk)


def _was_pressed_twice(quote: Quote, answer: str | None, typed: dict) -> bool:
    """The very same answer counts already: the first press wrote it down, and the second has nothing left to pick."""
    last = quote.replies.filter(counts=True, answer=answer).first()
    keys = ("uid", "route", "name", "witness", "days", "words", "said_at")
    return bool(last) and all(getattr(last, key) == typed[key] for key in keys if key in typed)


@require_POST
def pay(request: HttpRequest, pk: int) -> HttpResponse:
    """Money that came from them, or went back."""
    found = fetch_quote(request, pk)
    form = PaymentForm(request.POST, group=request.group)
    if not form.is_valid():
        return quote_page(request, found, pay=form)
    try:
        payments.record_payment(conversion=found.conversion, by=request.member, **form.cleaned_data)
    except ValidationError as error:
        form.add_error("amount", error.messages)
        return quote_page(request, found, pay=form)
    except (answers.Clash, IntegrityError):
        form.add_error(None, FASTER)
        return quote_page(request, found, status=409, pay=form)
    messages.success(request, _("Written down."))
    return go(request, "quote", pk=pk)
