"""What is pressed on a day's page: on or off, ready, who helps, who came, what was built; and the crew sheet."""

import uuid
from decimal import Decimal

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from conversions.common.asked import whole
from conversions.groups.tenancy import fetch, open_to

from . import actions, afterphotos, asbuilt, crewsheet, forms
from .models import Day, DayPatch, SignUp
from .views import back, day_of, page


@open_to("lead", "visitor", "helper")
@require_POST
def state(request: HttpRequest, pk: int) -> HttpResponse:
    row = day_of(request, pk, to_run=True)
    try:
        actions.set_state(day=row, to=request.POST.get("to", ""), by=request.member)
    except ValidationError as error:
        for words in error.messages:
            messages.error(request, words)
    return back(request, row)


@open_to("lead", "visitor", "helper")
@require_POST
def ready(request: HttpRequest, pk: int) -> HttpResponse:
    row = day_of(request, pk, to_run=True)
    fact = request.POST.get("fact", "")
    form = forms.MarksForm(request.POST) if fact == "marks" else None
    try:
        if form is None:
            is_there = request.POST.get("ready") == "1"
            actions.tick(day=row, fact=fact, is_ready=is_there, by=request.member)
            return back(request, row)
        if form.is_valid():
            actions.note_marks(day=row, by=request.member, **form.cleaned_data)
            return back(request, row)
    except ValidationError as error:
        if form is None:
            messages.error(request, " ".join(error.messages))
            return back(request, row)
        forms.as_form_errors(form, error)
    return page(request, row, "before", marks_form=form, marks_open=True)


@open_to("lead", "visitor", "helper")
@require_POST
def helpers(request: HttpRequest, pk: int) -> HttpResponse:
    """Write one name in, or take one out; whoever has an account may take out themselves and come back."""
    row = day_of(request, pk)
    if own := _own(request, row):
        return _come_or_not(request, row, own)
    row = day_of(request, pk, to_run=True)
    if request.POST.get("off"):
        try:
            actions.call_off(sign_up=fetch(request, SignUp, day=row, pk=request.POST["off"]))
        except ValidationError as error:
            messages.error(request, " ".join(error.messages))
        return back(request, row)
    form = forms.HelperForm(request.POST)
    if form.is_valid():
        try:
            actions.sign_up(day=row, by=request.member, **form.cleaned_data)
            return back(request, row)
        except (ValidationError, IntegrityError) as error:
            refused = error if isinstance(error, ValidationError) else ValidationError(_("Somebody was faster."))
            forms.as_form_errors(form, refused)
    return page(request, row, "before", helper_form=form)


def _own(request: HttpRequest, row: Day) -> SignUp | None:
    """The promise of whoever asks, when it is the one named."""
    named = whole(request.POST.get("off") or request.POST.get("come"))
    own = SignUp.of(request.group).filter(day=row, pk=named, person__member=request.member)
    return own.select_related("day", "person").first()


def _come_or_not(request: HttpRequest, row: Day, own: SignUp) -> HttpResponse:
    try:
        if request.POST.get("off"):
            actions.call_off(sign_up=own)
        else:
            actions.sign_up(day=row, person=own.person, role=own.role)
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    return back(request, row)


@open_to("lead", "visitor", "helper")
@require_POST
def came(request: HttpRequest, pk: int) -> HttpResponse:
    row = day_of(request, pk, to_run=True)
    form = forms.CameForm(request.POST)
    listed = SignUp.of(request.group).filter(day=row).exclude(state="off").values_list("person_id", flat=True)
    ticked = set(map(whole, request.POST.getlist("present")))
    if form.is_valid():
        data = form.cleaned_data
        present = set(listed) if data["everyone"] else ticked & set(listed)
        try:
            hours, others = data["hours"], data["others"] or 0
            actions.mark_came(day=row, present=present, others=others, hours=hours, by=request.member)
            return back(request, row)
        except ValidationError as error:
            forms.as_form_errors(form, error)
    return page(request, row, request.POST.get("at", "on"), came_form=form, ticked=ticked)


@open_to("lead", "visitor", "helper")
def built(request: HttpRequest, pk: int, patch_pk: int) -> HttpResponse:
    """One patch as built: as drawn in one tap, taken back in one tap, or a form for what differs."""
    row = day_of(request, pk, to_run=True)
    on_day = fetch(request, DayPatch.of(request.group).select_related("patch"), day=row, patch=patch_pk)
    how = request.POST.get("how")
    if how in ("as drawn", "nothing"):
        values = {} if how == "as drawn" else {"area_m2": Decimal("0.00"), "how": "measured", "is_complete": False}
        try:
            actions.record_as_built(day=row, patch=on_day.patch, by=request.member, **values)
        except ValidationError as error:
            messages.error(request, " ".join(error.messages))
        return back(request, row)
    form = forms.BuiltForm(request.POST or None, group=request.group, initial=_first_built(request, row, on_day))
    if request.method == "POST" and form.is_valid():
        data = dict(form.cleaned_data)
        is_complete = data.pop("whole") == "yes"
        try:
            actions.record_as_built(
                day=row, patch=on_day.patch, by=request.member, how="measured", is_complete=is_complete, **data
            )
            return back(request, row)
        except ValidationError as error:
            forms.as_form_errors(form, error)
    context = {"place": "days", "day": row, "on_day": on_day, "form": form, "drawn": asbuilt.as_drawn_m2(row, on_day)}
    return render(request, "builds/built.html", context)


def _first_built(request: HttpRequest, row: Day, on_day: DayPatch) -> dict:
    last = asbuilt.latest_as_built(row).get(on_day.patch_id)
    area = last.area_m2 if last else asbuilt.as_drawn_m2(row, on_day)
    area = forms.shown_area(area, request.group)
    return {"uid": uuid.uuid4(), "area_m2": area, "whole": "no" if last and not last.is_complete else None}


@open_to("lead", "visitor", "helper")
@require_POST
def photos(request: HttpRequest, pk: int) -> HttpResponse:
    """Pictures after the build, from the same spots as before."""
    row = day_of(request, pk, to_run=True)
    if not afterphotos.may_take(row, request.member, request.group.today()):
        messages.error(request, _("Pictures after the build can be kept from the day on."))
        return back(request, row)
    kept, errors = afterphotos.keep_all(request, row)
    if kept:
        messages.success(request, ngettext("%(n)s picture kept.", "%(n)s pictures kept.", kept) % {"n": kept})
    if not errors:
        answer = back(request, row)
        answer["Location"] += "#after-photos"
        return answer
    bound = afterphotos.context(request, row, errors) | {"people": request.POST.get("photo-people", "")}
    return page(request, row, request.POST.get("at", ""), **bound)


@open_to("lead", "visitor", "helper")
@require_safe
def crew_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    row = day_of(request, pk, to_run=True)
    answer = HttpResponse(crewsheet.pdf(row), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="crew-sheet-{row.on.isoformat()}.pdf"'
    answer["Cache-Control"] = "private, no-store"
    return answer
