"""Pages that put a slip right: each says first what will happen, then asks why, then does it."""

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.builds.views import day_of
from conversions.groups.tenancy import Stale, fetch, open_to
from conversions.groups.ways import go
from conversions.quotes import taken_back
from conversions.quotes.models import Quote
from conversions.yards.models import Conversion, Photo

from . import undo


class WhyForm(forms.Form):
    reason = forms.CharField(label=gettext_lazy("Why"), max_length=240, help_text=gettext_lazy("A word or two."))
    revision = forms.IntegerField(widget=forms.HiddenInput, required=False)


def _form(request: HttpRequest, **first: Any) -> WhyForm:
    return WhyForm(request.POST or None, initial=first)


def _page(request: HttpRequest, form: WhyForm, status: int = 200, **context: Any) -> HttpResponse:
    return render(request, "office/put_right.html", {"form": form, **context}, status=status)


def _told(form: WhyForm, error: ValidationError) -> None:
    form.add_error("reason" if hasattr(error, "error_dict") else None, error.messages)


@open_to("visitor")
def enquiry(request: HttpRequest, pk: int) -> HttpResponse:
    """An enquiry written down twice, or by mistake."""
    rows = Conversion.of(request.group).select_related("group", "place", "household__contact")
    row = fetch(request, rows, pk=pk)
    form, stays = _form(request, reason=_("Written down twice")), undo.why_enquiry_stays(row)
    if request.method == "POST" and form.is_valid():
        try:
            other = undo.take_back_enquiry(conversion=row, by=request.member, reason=form.cleaned_data["reason"])
            messages.success(request, _("The enquiry is taken back."))
            return go(request, "yard", pk=other.pk) if other else go(request, "yards")
        except ValidationError as error:
            _told(form, error)
    context = {
        "place": "yards",
        "title": _("Take this enquiry back"),
        "about": str(row),
        "stays": stays,
        "goes": undo.what_goes(row),
        "twins": undo.twins(row)[:5],
        "button": _("Take it back"),
        "back": reverse("yard", args=[request.group.slug, pk]),
    }
    return _page(request, form, **context)


@open_to("visitor")
def photo(request: HttpRequest, pk: int) -> HttpResponse:
    """A picture that somebody who can be seen in it wants out."""
    row = fetch(request, Photo.of(request.group).select_related("group", "place"), pk=pk)
    form = _form(request, reason=_("Asked by somebody in it"))
    if request.method == "POST" and form.is_valid():
        yard = Conversion.of(request.group).filter(place=row.place).order_by("-pk").first()
        undo.remove_photo(photo=row, by=request.member, reason=form.cleaned_data["reason"])
        messages.success(request, _("The picture is taken out."))
        return go(request, "yard", pk=yard.pk) if yard else go(request, "yards")
    context = {
        "place": "yards",
        "title": _("Take this picture out"),
        "about": f"{row.place}, {row.get_slot_display()}",
        "goes": [
            _("The picture goes for good, with the file as it came. It cannot be brought back."),
            _("Blurred copies of it stay. Take those out one by one, if they should go too."),
        ],
        "button": _("Take it out"),
        "back": reverse("photo-page", args=[request.group.slug, pk]),
    }
    return _page(request, form, **context)


def reply(request: HttpRequest, pk: int) -> HttpResponse:
    """An answer that was not theirs, or that was written down wrongly."""
    rows = Quote.of(request.group).select_related("group", "conversion__place", "conversion__household__contact")
    quote = fetch(request, rows, pk=pk)
    form, stays = _form(request), taken_back.why_not(quote)
    if request.method == "POST" and form.is_valid():
        try:
            taken_back.take_back_answer(quote=quote, by=request.member, reason=form.cleaned_data["reason"])
            messages.success(request, _("The answer is taken back. The quote waits for theirs."))
            return go(request, "quote", pk=pk)
        except ValidationError as error:
            _told(form, error)
    context = {
        "place": "yards",
        "title": _("Take their answer back"),
        "about": f"{quote.conversion}: {quote.get_state_display()}",
        "stays": [stays] if stays else [],
        "goes": [
            _("The quote waits for an answer again; their link works on."),
            _("What was said stays on record, and no longer counts."),
        ],
        "button": _("Take the answer back"),
        "back": reverse("quote", args=[request.group.slug, pk]),
    }
    return _page(request, form, **context)


@open_to("visitor", "lead", "helper")
def day(request: HttpRequest, pk: int) -> HttpResponse:
    """A day that was closed too early."""
    row = day_of(request, pk, to_run=True)
    form, stays, status = _form(request, revision=row.revision), undo.why_day_stays(row), 200
    if request.method == "POST" and form.is_valid():
        try:
            revision = form.cleaned_data["revision"] or 0
            undo.reopen_day(day=row, by=request.member, revision=revision, reason=form.cleaned_data["reason"])
            messages.success(request, _("The day is open again. Close it once more when everything is written."))
            return go(request, "day", pk=pk)
        except Stale as stale:
            form.data = {**form.data.dict(), "revision": stale.row.revision}
            form.add_error(None, _("Somebody changed this day while your page was open. Look once more."))
            status = 409
        except ValidationError as error:
            _told(form, error)
    context = {
        "place": "days",
        "title": _("Open the day again"),
        "about": row.title,
        "stays": [stays] if stays else [],
        "goes": undo.what_reopens(row),
        "button": _("Open it again"),
        "back": reverse("day-close", args=[request.group.slug, pk]),
    }
    return _page(request, form, status=status, **context)
