"""Pages of a visit: booking it, walking the yard, being done."""

import datetime
import uuid

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from conversions.common.dates import date_format
from conversions.groups.tenancy import Stale, fetch, open_to
from conversions.groups.ways import go
from conversions.yards.models import Conversion

from . import actions, page, saving
from .forms import VisitForm
from .models import Visit
from .offers import offered_times


def _conversions(request: HttpRequest):
    return Conversion.of(request.group).select_related("place", "household__contact", "group")


@open_to("visitor")
def book(request: HttpRequest, pk: int) -> HttpResponse:
    conversion = fetch(request, _conversions(request), pk=pk)
    standing = conversion.visits.filter(state="planned").prefetch_related("goers__member__user").first()
    if request.method == "POST":
        form = VisitForm(request.POST, group=request.group, member=request.member)
        if form.is_valid():
            try:
                visit = _book(request, conversion, standing, form.cleaned_data)
                return go(request, "visit", pk=visit.pk)
            except Stale as stale:
                standing = stale.row
                when = date_format(timezone.localtime(standing.due_at), "j F, H:i")
                form.add_error(None, _("Somebody moved this visit to %(when)s. Move it again?") % {"when": when})
            except (actions.Conflict, IntegrityError):
                form.add_error(None, _("This page was used before. Look at the visit that is booked, then book again."))
            form.renew(standing)
    else:
        form = VisitForm(group=request.group, member=request.member, initial=_start(request, standing))
    times = offered_times(request.group)
    return render(
        request,
        "visits/book.html",
        {
            "place": "yards",
            "form": form,
            "yard": conversion,
            "standing": standing,
            "times": times,
            "by_two": "goers" in form.fields and not conversion.visits.exclude(state="planned").exists(),
        },  # fmt: skip
    )


def _start(request: HttpRequest, standing: Visit | None) -> dict:
    if standing is None:
        return {"uid": uuid.uuid4(), "goers": [request.member.pk]}
    when = timezone.localtime(standing.due_at)
    goers = [goer.member_id for goer in standing.goers.all() if not goer.called_off_at]
    length = int((standing.due_out_at - standing.due_at).total_seconds() // 60) if standing.due_out_at else 60
    start = {"on": when.date(), "at": when.time(), "goers": goers, "minutes": length}
    return {**start, "revision": standing.revision}


def _book(request: HttpRequest, conversion: Conversion, standing: Visit | None, data: dict) -> Visit:
    given = {"by": request.member, "due_at": data["due_at"], "goers": list(data.get("goers", []))}
    given["lasts"] = datetime.timedelta(minutes=data["minutes"])
    if data["uid"] is None and standing and data["revision"]:
        return actions.move_visit(visit=standing, revision=data["revision"], **given)
    return actions.book_visit(conversion=conversion, uid=data["uid"], **given)


@open_to("visitor")
def visit(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, page.visits_of(request.group), pk=pk)
    return render(request, "visits/visit.html", page.context(request, row))


@open_to("visitor")
@require_POST
def answer(request: HttpRequest, pk: int) -> HttpResponse:
    return _keep(request, pk, "")


@open_to("visitor")
@require_POST
def photo(request: HttpRequest, pk: int) -> HttpResponse:
    return _keep(request, pk, "#photos")


def _keep(request: HttpRequest, pk: int, anchor: str) -> HttpResponse:
    row = fetch(request, page.visits_of(request.group), pk=pk)
    outcome = saving.save(request, row)
    if not outcome.is_sound:
        shown = page.context(request, row, outcome.form, **outcome.words)
        return render(request, "visits/visit.html", shown, status=outcome.status)
    _say(request, outcome)
    wants_usual = "usual" in request.POST or request.POST.get("usual_on") == "1"
    address = reverse("visit", kwargs={"group": request.group.slug, "pk": pk})
    response = go(request, "visit", pk=pk)
    response["Location"] = address + ("?usual=1" if wants_usual else "") + anchor
    return response


def _say(request: HttpRequest, outcome: saving.Outcome) -> None:
    for words in outcome.plan.left:
        messages.warning(request, words)
    if outcome.plan.done:
        messages.success(request, " ".join([_("Kept."), *outcome.plan.done]))
    elif outcome.photos:
        words = ngettext("%(n)s picture kept.", "%(n)s pictures kept.", outcome.photos) % {"n": outcome.photos}
        messages.success(request, words)
    elif outcome.kept:
        messages.success(request, _("Kept."))


@open_to("visitor")
@require_POST
def done(request: HttpRequest, pk: int) -> HttpResponse:
    """What stands on the page is kept first; then the visit ends, unless something needs mending."""
    row = fetch(request, page.visits_of(request.group), pk=pk)
    outcome = saving.save(request, row)
    error, reason = "", saving.plain(request.POST.get("reason", ""))
    if outcome.is_sound:
        try:
            actions.finish_visit(visit=row, by=request.member, state=request.POST.get("end", "done"), reason=reason)
            return go(request, "yard", pk=row.conversion_id)
        except ValidationError as refused:
            error = " ".join(refused.messages)
        row = fetch(request, page.visits_of(request.group), pk=pk)
    shown = {**outcome.words, "end_error": error, "reason": reason}
    if outcome.is_sound:
        shown.pop("notes")
    return render(request, "visits/visit.html", page.context(request, row, **shown), status=outcome.status)
