"""Pages for a household that stops or waits: by the organiser, and behind the household's own link."""

import contextlib
import datetime
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_POST

from conversions.common.dates import date_format
from conversions.groups.tenancy import fetch
from conversions.groups.ways import go
from conversions.people.letters import language_of
from conversions.people.models import Link, Message
from conversions.people.public import behind_link
from conversions.quotes.answers import Clash, Refused
from conversions.quotes.models import Quote
from conversions.yards.models import Conversion

from . import withdraw as leaving

ROUTES = [
    ("phone", gettext_lazy("on the phone")),
    ("person", gettext_lazy("in person")),
    ("slip", gettext_lazy("in writing")),
]
MONTHS = 18


class WithdrawForm(forms.Form):
    route = forms.ChoiceField(
        label=gettext_lazy("How did they say so?"), choices=ROUTES, widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose one.")},
    )  # fmt: skip
    name = forms.CharField(
        label=gettext_lazy("Who said it"),
        max_length=120,
        error_messages={"required": gettext_lazy("Write who said it.")},
    )
    words = forms.CharField(label=gettext_lazy("Anything they said"), max_length=300, required=False)


class NotNowForm(forms.Form):
    outcome = forms.ChoiceField(
        label=gettext_lazy("How is it?"),
        choices=[("waiting", gettext_lazy("They would like to wait")), ("declined", gettext_lazy("They said no"))],
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose one of the two.")},
    )
    ask_again_on = forms.TypedChoiceField(
        label=gettext_lazy("Ask again in"), required=False, coerce=datetime.date.fromisoformat, empty_value=None
    )

    def __init__(self, *args: Any, today: datetime.date, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self.fields["ask_again_on"].choices = [("", _("We do not ask")), *_months(today)]


def _months(today: datetime.date) -> list[tuple[str, str]]:
    """The months to come, each by its first day."""
    found = []
    for n in range(1, MONTHS + 1):
        years, month = divmod(today.month - 1 + n, 12)
        first = datetime.date(today.year + years, month + 1, 1)
        found.append((first.isoformat(), date_format(first, "F Y")))
    return found


def _yard(request: HttpRequest, pk: int) -> Conversion:
    rows = Conversion.of(request.group).for_lists().select_related("group", "household__contact", "place")
    return fetch(request, rows, pk=pk)


@require_http_methods(["GET", "HEAD", "POST"])
def withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Before: what goes back, and how they said so. Afterwards: what went back, and who may come instead."""
    row = _yard(request, pk)
    if row.outcome == "withdrawn":
        return _withdrawn(request, row)
    form = WithdrawForm(request.POST or None, initial={"name": row.household.contact.name})
    if request.method == "POST" and form.is_valid():
        try:
            leaving.withdraw(conversion=row, by=request.member, **form.cleaned_data)
            return go(request, "yard-withdraw", pk=pk)
        except ValidationError as error:
            form.add_error(None, error.messages)
        except (Refused, Clash, IntegrityError):
            form.add_error(None, _("Somebody was faster. Look at what stands now, then try again."))
    page = {
        "place": "yards",
        "yard": row,
        "form": form,
        "stays": leaving.why_not(row),
        "back": leaving.what_goes_back(row),
    }
    return render(request, "office/withdraw.html", page)


def _withdrawn(request: HttpRequest, row: Conversion) -> HttpResponse:
    days = {part.day for part in row.day_patches.select_related("day")}
    told = (
        Message.of(request.group).filter(kind="day-off", day_id__in=[day.pk for day in days]).exclude(state="dropped")
    )
    own = Message.of(request.group).filter(kind="withdrawn", conversion_id=row.pk).exclude(state="dropped")
    page = {
        "place": "yards",
        "yard": row,
        "went": leaving.went_back(row),
        "days": sorted(days, key=lambda day: day.on),
        "next": leaving.next_ready(row),
        "untold": (told | own).filter(state__in=["by hand", "failed"]).select_related("person", "document", "link"),
        "told": (told | own).filter(state__in=["due", "leased", "sent"]).count(),
        "may_take_up": leaving.may_take_up(row),
    }
    return render(request, "office/withdrawn.html", page)


@require_http_methods(["GET", "HEAD", "POST"])
def not_now(request: HttpRequest, pk: int) -> HttpResponse:
    row = _yard(request, pk)
    today = request.group.today()
    first = {"outcome": row.outcome, "ask_again_on": row.ask_again_on and row.ask_again_on.isoformat()}
    form = NotNowForm(request.POST or None, today=today, initial=first)
    if request.method == "POST" and form.is_valid():
        try:
            leaving.not_now(conversion=row, by=request.member, **form.cleaned_data)
            messages.success(request, _("Written down."))
            return go(request, "yard", pk=pk)
        except ValidationError as error:
            form.add_error(None, error.messages)
    return render(request, "office/not_now.html", {"place": "yards", "yard": row, "form": form})


@require_POST
def take_up(request: HttpRequest, pk: int) -> HttpResponse:
    row = _yard(request, pk)
    try:
        leaving.take_up(conversion=row, by=request.member)
        messages.success(request, _("The yard goes on. Days and helpers have to be set anew."))
    except (ValidationError, IntegrityError) as error:
        words = error.messages if isinstance(error, ValidationError) else [_("Somebody was faster. Try once more.")]
        messages.error(request, " ".join(words))
    return go(request, "yard", pk=pk)


# The address itself is the key and no cookie is used: see quotes/public.py.
@csrf_exempt
@require_http_methods(["GET", "HEAD", "POST"])
@behind_link("plan")
def by_link(request: HttpRequest, link: Link) -> HttpResponse:
    """“I changed my mind”: says what that does, then one press."""
    quote = Quote.of(link.group).select_related("group", "conversion__place", "conversion__household__contact__group")
    quote = quote.defer("frozen").get(pk=link.subject_id)
    row, contact = quote.conversion, quote.conversion.household.contact
    with translation.override(language_of(contact)), timezone.override(quote.group.zone):
        may = quote.state == "accepted" and not leaving.why_not(row)
        if request.method == "POST":
            if may:
                _press(request, row, link, contact.name)
            return HttpResponseRedirect(request.path)
        row.refresh_from_db(fields=["outcome"])
        page = {
            "group": quote.group,
            "contact": contact,
            "address": row.place.address,
            "may": may,
            "is_done": row.outcome == "withdrawn",
            "plan": request.path.removesuffix("withdraw/"),
        }
        return render(request, "office/withdraw_public.html", page)


def _press(request: HttpRequest, row: Conversion, link: Link, name: str) -> None:
    """Whoever was faster, or whatever has begun meanwhile: the page says next what stands."""
    words = request.POST.get("words", "").replace("\0", "")[:300]
    with contextlib.suppress(ValidationError, IntegrityError, Refused, Clash):
        leaving.withdraw(conversion=row, link=link, name=name, words=words)
