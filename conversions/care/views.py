"""Aftercare: what falls due, writing down what was found, and handing over care sheets."""

import datetime

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from conversions.groups.tenancy import Stale, fetch, open_to
from conversions.groups.ways import go

from . import actions, photos
from . import sheet as paper
from .forms import ANSWERS, HOW, FollowUpForm
from .models import CareSheet, FollowUp

SOON = datetime.timedelta(days=30)
LATER_SHOWN = 20


@open_to("lead")
def aftercare(request: HttpRequest) -> HttpResponse:
    today = request.group.today()
    due = FollowUp.of(request.group).due()
    rows = list(due.filter(due_on__lte=today + SOON))
    later = due.filter(due_on__gt=today + SOON)
    sheets = CareSheet.of(request.group).to_hand_over()
    context = {
        "place": "aftercare",
        "today": today,
        "now": [row for row in rows if row.due_on <= today],
        "soon": [row for row in rows if row.due_on > today],
        "later": later[:LATER_SHOWN],
        "later_count": later.count(),
        "sheets": sheets,
    }
    return render(request, "care/aftercare.html", context)


def _follow_ups(request: HttpRequest) -> QuerySet[FollowUp]:
    return FollowUp.of(request.group).select_related("conversion__place", "conversion__household__contact", "by__user")


@open_to("lead")
def follow_up(request: HttpRequest, pk: int) -> HttpResponse:
    rows = _follow_ups(request)
    row = fetch(request, rows, pk=pk)
    if request.method != "POST":
        return _follow_up_page(request, row, FollowUpForm(group=request.group, initial={"revision": row.revision}))
    reached = request.POST.get("outcome") != "no answer"
    kept, errors = photos.keep_all(request, row)
    form = FollowUpForm(request.POST, group=request.group, reached=reached)
    if not form.is_valid() or errors:
        return _follow_up_page(request, row, form, photo_errors=errors)
    try:
        _keep(request, row, form, reached)
    except Stale as stale:
        row = fetch(request, rows, pk=stale.row.pk)
        return _follow_up_page(request, row, form.at(row.revision), is_stale=True)
    except ValidationError as error:
        form.add_error(None, error)
        return _follow_up_page(request, row, form)
    return go(request, "follow-up", pk=pk) if kept else go(request, "aftercare")


@open_to("lead")
@require_POST
def follow_up_photo(request: HttpRequest, pk: int) -> HttpResponse:
    """Only the pictures: what was typed beside them stays on the page, not written down yet."""
    row = fetch(request, _follow_ups(request), pk=pk)
    kept, errors = photos.keep_all(request, row)
    if kept:
        words = ngettext("%(n)s picture kept.", "%(n)s pictures kept.", kept) % {"n": kept}
        messages.success(request, words)
    elif not errors:
        messages.info(request, _("Choose a picture first."))
    typed = {name: request.POST[name] for name in FollowUpForm.base_fields if name in request.POST}
    form = FollowUpForm(group=request.group, initial={"revision": row.revision} | typed)
    return _follow_up_page(request, row, form, photo_errors=errors)


def _keep(request: HttpRequest, row: FollowUp, form: FollowUpForm, reached: bool) -> None:
    data = form.cleaned_data
    common = {"follow_up": row, "revision": data["revision"], "by": request.member, "how": data["how"]}
    if not reached:
        actions.note_no_answer(**common)
        messages.info(request, _("Noted: nobody reached. It stays on the list."))
        return
    actions.record_follow_up(**common, findings=form.findings(), note=data["note"], again_on=data["again_on"])
    messages.success(request, _("Written down."))


def _follow_up_page(
    request: HttpRequest,
    row: FollowUp,
    form: FollowUpForm,
    is_stale: bool = False,
    photo_errors: dict[str, str] | None = None,
) -> HttpResponse:
    found = [(question, dict(choices).get(row.findings.get(key), "")) for key, (question, choices) in ANSWERS.items()]
    how = dict(HOW)
    tries = [(datetime.date.fromisoformat(one["on"]), how.get(one["how"], one["how"])) for one in row.tries]
    context = {
        "place": "aftercare",
        "row": row,
        "tries": tries,
        "how": how.get(row.how, ""),
        "form": form,
        "found": [pair for pair in found if pair[1]],
        "contact": row.conversion.household.contact,
        "is_stale": is_stale,
        "today": request.group.today(),
    }
    context |= photos.context(row, photo_errors)
    return render(request, "care/follow_up.html", context, status=409 if is_stale else 200)


def sheet_of(request: HttpRequest, pk: int) -> CareSheet:
    """One care sheet, for whoever ran its day: they hand it over at the gate."""
    sheet = fetch(request, CareSheet.of(request.group).select_related("document", "day"), pk=pk)
    if not sheet.day.may_run(request.member):
        raise PermissionDenied
    return sheet


@open_to("lead", "visitor", "helper")
def care_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    return paper.kept(sheet_of(request, pk))


@open_to("lead", "visitor", "helper")
@require_POST
def handed(request: HttpRequest, pk: int) -> HttpResponse:
    sheet = sheet_of(request, pk)
    actions.hand_over(sheet=sheet, by=request.member)
    messages.success(request, _("Handed over: noted."))
    if request.POST.get("from") == "day" or not request.member.roles & aftercare.roles:
        return go(request, "day-close", pk=sheet.day_id)
    return go(request, "aftercare")
