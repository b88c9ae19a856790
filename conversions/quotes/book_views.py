"""The price book's pages: all prices, one of them with its history, and the whole as a file out and in."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from conversions.groups.ways import go

from . import book_actions, book_file
from .book import book, history, in_words
from .book_forms import BookFileForm, PriceForm, PricesForm
from .page import FASTER
from .pricing import START


def prices(request: HttpRequest) -> HttpResponse:
    form = PricesForm(request.POST or None, group=request.group)
    if request.method == "POST" and form.is_valid():
        keep_prices(request, form)
        messages.success(request, _("Kept. Quotes already sent stay as they are."))
        return go(request, "prices")
    rows = [{"row": row, "field": form[item], "sold": in_words(row, request.group)} for item, row in form.rows.items()]
    return render(request, "quotes/prices.html", {"form": form, "rows": rows, "place": "yards"})


def keep_prices(request: HttpRequest, form: PricesForm) -> None:
    for item, new in form.new_prices().items():
        book_actions.set_price(group=request.group, item=item, price=new, by=request.member)
    if "currency" in form.fields:
        currency, after = form.cleaned_data["currency"], form.cleaned_data["currency_after"]
        book_actions.set_currency(group=request.group, currency=currency, currency_after=after)


def price(request: HttpRequest, slug: str) -> HttpResponse:
    """One thing of the book: how it is sold, what it costs from a day on, and what it cost before."""
    item = slug.replace("-", " ")
    if item not in START:
        raise Http404
    row = book(request.group)[item]
    form = PriceForm(request.POST or None, group=request.group, row=row)
    if request.method == "POST" and form.is_valid():
        try:
            book_actions.keep_row(
                group=request.group, item=item, values=form.values(), by=request.member,
                from_on=form.cleaned_data["from_on"],
            )  # fmt: skip
            messages.success(request, _("Kept. Quotes already sent stay as they are."))
            return go(request, "prices")
        except ValidationError as error:
            form.add_error(None, error.messages)
        except IntegrityError:
            form.add_error(None, FASTER)
    page: dict[str, Any] = {"place": "yards", "row": row, "form": form, "rows": history(request.group, item)}
    return render(request, "quotes/price.html", page)


@require_safe
def file_out(request: HttpRequest) -> HttpResponse:
    response = HttpResponse(book_file.write(request.group), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = 'attachment; filename="prices.csv"'
    return response


@require_http_methods(["GET", "POST"])
def file_in(request: HttpRequest) -> HttpResponse:
    """A file of prices: first what it would change, and only then, by a second press, the change itself."""
    if request.POST.get("do") == "write":
        return _write(request)
    form = BookFileForm(request.POST or None, request.FILES or None)
    if request.method != "POST" or not form.is_valid():
        return render(request, "quotes/prices_file.html", {"place": "yards", "form": form})
    return _preview(request, book_file.text_of(form.cleaned_data["file"]))


def _preview(request: HttpRequest, text: str) -> HttpResponse:
    read = book_file.read(text, request.group)
    page = {"place": "yards", "form": BookFileForm(), "read": read, "text": text}
    return render(request, "quotes/prices_file.html", page, status=422 if read.errors else 200)


def _write(request: HttpRequest) -> HttpResponse:
    text = request.POST.get("text", "")
    read = book_file.read(text, request.group)
    if read.errors:
        return _preview(request, text)
    try:
        book_actions.keep_rows(group=request.group, rows=read.new, by=request.member)
    except (ValidationError, IntegrityError):
        messages.error(request, FASTER)
        return _preview(request, text)
    messages.success(request, _("Kept. Quotes already sent stay as they are."))
    return go(request, "prices")
