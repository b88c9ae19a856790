"""Changing what a quote that is not sent yet says: its lines, the prices it waits for, the deposit."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST

from conversions.common import money
from conversions.common.asked import whole
from conversions.groups.tenancy import Stale, fetch
from conversions.groups.ways import go

from . import line_actions
from .book_forms import PricesForm
from .book_views import keep_prices
from .fields import written
from .line_forms import DepositForm, LineForm
from .models import Line, Quote
from .page import FASTER, fetch_quote, quote_page
from .units import counted

SENT = gettext_lazy("This quote was sent and stays as it is. Make a new version of it.")


@require_POST
def price(request: HttpRequest, pk: int) -> HttpResponse:
    """The prices this quote waits for, typed in place."""
    found = fetch_quote(request, pk)
    waiting = [line.item for line in found.missing()]
    form = PricesForm(request.POST, group=request.group, items=waiting)
    if waiting and not form.is_valid():
        return quote_page(request, found, price_form=form)
    if waiting:
        keep_prices(request, form)
    return go(request, "quote", pk=pk)


def line(request: HttpRequest, pk: int, n: int) -> HttpResponse:
    """One line: changed, left out or put back in."""
    found = fetch_quote(request, pk)
    row = fetch(request, found.lines.select_related("group"), n=n)
    do = {"out": line_actions.leave_out, "in": line_actions.put_back}.get(request.POST.get("do", ""))
    if do and found.state == "draft":
        return _press(request, found, row, do)
    return _edit(request, found, row)


def line_new(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """A line beside those of the book: something of their own, a tax, a grant."""
    found = fetch_quote(request, pk)
    if kind not in line_actions.FIRST_N:
        raise Http404
    units = {"own": "piece", "tax": "percent", "grant": "sum"}
    return _edit(request, found, Line(group=request.group, quote=found, item=kind, unit=units[kind]))


def _press(request: HttpRequest, quote: Quote, row: Line, do: Any) -> HttpResponse:
    """Out or in, by one button; pressed on an old page it still does what it says, once."""
    try:
        do(quote=quote, revision=whole(request.POST.get("revision")) or quote.revision, n=row.n)
    except (Stale, ValidationError):
        messages.error(request, FASTER)
    return go(request, "quote", pk=quote.pk)


def _edit(request: HttpRequest, quote: Quote, row: Line) -> HttpResponse:
    if quote.state != "draft":
        messages.warning(request, SENT)
        return go(request, "quote", pk=quote.pk)
    initial = {**(LineForm.as_typed(row) if row.pk else {}), "revision": quote.revision}
    initial.setdefault("brought_by", "group")
    initial.setdefault("paid_by", "household")
    form = LineForm(request.POST or None, line=row, initial=initial)
    if request.method != "POST" or not form.is_valid():
        return _line_page(request, quote, row, form)
    try:
        if row.pk:
            line_actions.change_line(quote=quote, n=row.n, **form.cleaned_data)
        else:
            line_actions.add_line(quote=quote, item=row.item, **form.cleaned_data)
    except ValidationError as error:
        form.add_error(None, error.messages)
        return _line_page(request, quote, row, form)
    except Stale as stale:
        if stale.row.state != "draft":
            messages.error(request, FASTER)
            return go(request, "quote", pk=quote.pk)
        form.data = {**form.data.dict(), "revision": stale.row.revision}
        return _line_page(request, stale.row, row, form, status=409)
    return go(request, "quote", pk=quote.pk)


def _line_page(request: HttpRequest, quote: Quote, row: Line, form: LineForm, status: int = 200) -> HttpResponse:
    """`status` 409: somebody saved meanwhile; both versions are shown, and keeping again keeps what was typed."""
    row = quote.lines.get(n=row.n) if row.pk else row
    page = {"place": "yards", "quote": quote, "row": row, "form": form, "is_stale": status == 409}
    now = counted(row.quantity, row.unit) if row.pk else ""
    return render(request, "quotes/line.html", {**page, "now": now}, status=status)


def deposit(request: HttpRequest, pk: int) -> HttpResponse:
    """A part of the price asked for before the build."""
    found = fetch_quote(request, pk)
    if found.state != "draft":
        messages.warning(request, SENT)
        return go(request, "quote", pk=pk)
    digits = request.group.minor_digits
    initial = {"revision": found.revision, "deposit": written(found.deposit, digits)}
    form = DepositForm(request.POST or None, group=request.group, initial=initial)
    if request.method == "POST" and form.is_valid():
        asked = form.cleaned_data["deposit"]
        if asked is not None and asked > found.total():
            total = money.shown(found.total(), request.group)
            form.add_error("deposit", _("They pay %(total)s in all; ask for that at most.") % {"total": total})
            return _deposit_page(request, found, form)
        try:
            line_actions.set_deposit(quote=found, **form.cleaned_data)
            return go(request, "quote", pk=pk)
        except Stale as stale:
            form.data = {**form.data.dict(), "revision": stale.row.revision}
            return _deposit_page(request, stale.row, form, status=409)
    return _deposit_page(request, found, form)


def _deposit_page(request: HttpRequest, quote: Quote, form: DepositForm, status: int = 200) -> HttpResponse:
    page = {"place": "yards", "quote": quote, "form": form, "total": quote.total(), "is_stale": status == 409}
    return render(request, "quotes/deposit.html", page, status=status)
