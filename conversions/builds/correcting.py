"""Putting a counted figure right after its day is closed: the row stays, a correction with its reason is added."""

from decimal import Decimal

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from conversions.groups.tenancy import fetch
from conversions.groups.ways import go

from . import forms, ledger
from .models import Ground
from .views import day_of


def correct(request: HttpRequest, pk: int, ground_pk: int) -> HttpResponse:
    """Organisers only: the ledger is what funders are told."""
    day = day_of(request, pk)
    rows = Ground.of(request.group).filter(corrects=None).select_related("patch__place")
    ground = fetch(request, rows, day=day, pk=ground_pk)
    stands = ledger.stands(ground)
    first = {"seen_m2": stands, "to_m2": forms.shown_area(stands, request.group)}
    form = forms.CorrectForm(request.POST or None, group=request.group, initial=first)
    if request.method == "POST" and form.is_valid():
        try:
            ledger.set_right(ground=ground, by=request.member, **form.cleaned_data)
            messages.success(request, _("Corrected. The first figure stays in the record."))
            return go(request, "day-close", pk=pk)
        except ledger.NoRoom as error:
            form.add_error("to_m2", error.messages)
        except ValidationError as error:
            _told(form, error, ledger.stands(ground))
    earlier = ground.corrections.select_related("by__user")
    context = {"place": "days", "day": day, "ground": ground, "stands": stands, "form": form, "earlier": earlier}
    return render(request, "builds/correct.html", context)


def _told(form: forms.CorrectForm, error: ValidationError, now: Decimal) -> None:
    """Each refusal beside its field; whoever came second goes on from the figure that stands now."""
    if getattr(error, "code", "") == "stale":
        form.data = form.data.copy()
        form.data["seen_m2"] = str(now)
    named = {"m2": "to_m2", "why": "reason"}
    if hasattr(error, "error_dict"):
        error = ValidationError({named.get(field, field): told for field, told in error.error_dict.items()})
    forms.as_form_errors(form, error)
