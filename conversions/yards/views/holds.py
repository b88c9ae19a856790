"""Pages of what stops us: how one hold stands, the paper that clears it, and setting it aside by two."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from conversions.common.asked import whole
from conversions.groups.tenancy import Stale, fetch, open_to
from conversions.groups.ways import go
from conversions.people.models import Document

from .. import holds
from ..forms.hold import HoldForm, ReasonForm
from ..hold_kinds import BUILDING, RULES
from ..hold_override import ask_override, confirm_override, keep_override, organisers, why_not_overridden
from ..models import Conversion, Hold

FASTER = gettext_lazy("Somebody changed this while your page was open. Look once more.")


def _hold(request: HttpRequest, pk: int) -> Hold:
    rows = Hold.of(request.group).for_lists().select_related("group", "document").defer("document__content")
    return fetch(request, rows, pk=pk)


@open_to("visitor")
@require_http_methods(["GET", "HEAD", "POST"])
def hold(request: HttpRequest, pk: int) -> HttpResponse:
    row = _hold(request, pk)
    if request.method != "POST":
        return _page(request, row)
    form = HoldForm(request.POST, request.FILES, hold=row)
    if not form.is_valid():
        return _page(request, row, form=form)
    try:
        _settle(request, row, form)
    except Stale as stale:
        form.data = {**request.POST.dict(), "revision": stale.row.revision}
        form.add_error(None, str(FASTER))
        return _page(request, _hold(request, pk), 409, form=form)
    except ValidationError as error:
        _beside(form, error)
        return _page(request, row, form=form)
    messages.success(request, _("Written down."))
    return go(request, "yard", pk=row.conversion_id)


def _settle(request: HttpRequest, row: Hold, form: HoldForm) -> None:
    content, paper = form.cleaned_data.get("page"), None
    with transaction.atomic():
        if content:
            paper = Document(group=row.group, kind="signed page", title=str(row)[:200], content=content)
            paper.full_clean()
            paper.save()
        holds.settle(hold=row, by=request.member, document=paper, **form.said())


def _beside(form: Any, error: ValidationError) -> None:
    found = error.error_dict if hasattr(error, "error_dict") else {None: error.error_list}
    for name, problems in found.items():
        form.add_error(name if name in form.fields else None, problems)


def _page(request: HttpRequest, row: Hold, status: int = 200, **forms: Any) -> HttpResponse:
    organises = "organiser" in request.member.roles
    page = {
        "place": "yards",
        "hold": row,
        "rule": RULES[row.kind],
        "why": holds.why_here(row, BUILDING),
        "is_alone": organises and organisers(row.group_id) < 2,
        "may_override": organises and not why_not_overridden(row),
        "why_never": why_not_overridden(row) if row.is_waiting or row.state == "refused" else "",
        "is_mine": row.by_id == request.member.pk,
        "form": HoldForm(hold=row),
        "reason_form": ReasonForm(),
        "visit": row.conversion.visits.order_by("-pk").first() if row.kind == "ask" else None,
    }
    return render(request, "yards/hold.html", page | forms, status=status)


@require_POST
def override(request: HttpRequest, pk: int) -> HttpResponse:
    """Asked by one organiser, confirmed by another, or left as it was."""
    row, do = _hold(request, pk), request.POST.get("do", "ask")
    given = {"hold": row, "revision": whole(request.POST.get("revision")) or 0, "by": request.member}
    form = ReasonForm(request.POST)
    try:
        if do == "ask":
            if not form.is_valid():
                return _page(request, row, reason_form=form)
            ask_override(**given, reason=form.cleaned_data["reason"])
        elif do == "confirm":
            confirm_override(**given)
        else:
            keep_override(**given)
    except Stale:
        messages.warning(request, str(FASTER))
        return go(request, "hold", pk=pk)
    except ValidationError as error:
        form.errors.clear()
        form.add_error(None, error.messages)
        return _page(request, row, 409, reason_form=form)
    messages.success(request, _("Written down, with your name."))
    return go(request, "hold", pk=pk)


@open_to("visitor")
@require_safe
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The signed page as it was kept."""
    document = _hold(request, pk).document
    if document is None or not document.content:
        raise Http404
    content = bytes(document.content)
    response = HttpResponse(content, content_type="application/pdf" if content[:5] == b"%PDF-" else "image/jpeg")
    response["Content-Disposition"] = "inline"
    response["Cache-Control"] = "private, no-store"
    return response


@open_to("visitor")
@require_POST
def new(request: HttpRequest, pk: int) -> HttpResponse:
    """Something to wait for that no answer of the visit brought up."""
    row = fetch(request, Conversion.of(request.group).select_related("group"), pk=pk)
    try:
        made = holds.open_hold(conversion=row, kind=request.POST.get("kind", ""), by=request.member)
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
        return go(request, "yard", pk=pk)
    return go(request, "hold", pk=made.pk) if made else go(request, "yard", pk=pk)
