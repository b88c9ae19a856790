"""What a phone kept while it had no signal, taken in row by row: one answer, one note, one picture, or the end of a visit.

A row carries the uid the phone gave it, so sending it twice keeps it once. The server's clock counts; the phone's is told.
"""

import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpRequest, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from conversions.groups.tenancy import fetch, open_to
from conversions.groups.ways import session

from . import actions, page, saving
from .models import Visit
from .page import visits_of


@open_to("visitor")
@require_http_methods(["GET", "HEAD", "POST"])
def queue(request: HttpRequest, pk: int) -> JsonResponse:
    """GET: whose session this is, and the token a POST needs. POST: one row. 200 kept, 409 or 422 with the reason."""
    visit = fetch(request, visits_of(request.group), pk=pk)
    if request.method != "POST":
        return session(request)
    outcome = saving.save(request, visit, device_at=_told(request.POST.get("device_at", "")))
    if not outcome.is_sound:
        return JsonResponse({"words": " ".join(_reasons(outcome))}, status=409 if outcome.status == 409 else 422)
    try:
        _end(request, visit)
    except ValidationError as refused:
        return JsonResponse({"words": " ".join(refused.messages)}, status=422)
    return JsonResponse(_shown(request, fetch(request, visits_of(request.group), pk=pk), outcome))


def _told(text: str) -> datetime.datetime | None:
    """When the phone says it was written; what is no moment, or lies outside the years we count, is nobody's."""
    try:
        moment = parse_datetime(text)
        return moment.astimezone(datetime.UTC) if moment and moment.tzinfo else None
    except (ValueError, OverflowError):
        return None


def _reasons(outcome: saving.Outcome) -> list[str]:
    if outcome.theirs is not None:
        return [_("Somebody wrote notes here meanwhile. Open the visit and keep yours once more.")]
    if outcome.is_repeat:
        return [_("This was kept before with another answer.")]
    typed = [str(error) for errors in outcome.form.errors.values() for error in errors]
    return [*typed, *outcome.photo_errors.values(), *([outcome.note_error] if outcome.note_error else [])]


def _end(request: HttpRequest, visit: Visit) -> None:
    state = request.POST.get("end")
    if state:
        reason = saving.plain(request.POST.get("reason", ""))
        actions.finish_visit(visit=visit, by=request.member, state=state, reason=reason)


def _shown(request: HttpRequest, visit: Visit, outcome: saving.Outcome) -> dict[str, Any]:
    """What the page changes at once: the cautions an answer raised, how much is answered, and where notes stand now."""
    context = page.context(request, visit)
    cards = context["every_card"]
    return {
        "kept": outcome.kept + outcome.photos,
        "flags": {
            card.question.code: render_to_string("visits/_flags.html", {"card": card}, request) if card.flags else ""
            for card in cards  # all of them: an answer may bring up, or settle, what stands beside another one
        },
        "plan": [*outcome.plan.done, *outcome.plan.left],
        "meter": render_to_string("visits/_meter.html", context, request),
        "open": render_to_string("visits/_open.html", context, request),
        "raised": render_to_string("visits/_raised.html", context, request),
        "notes": {"notes": visit.notes, "notes_was": context["notes_was"], "revision": visit.revision},
    }


@open_to("visitor")
@require_safe
def offline(request: HttpRequest, pk: int) -> Any:
    """The visit as a phone may keep it for a day: the questions, and no name, number, address, code or answer."""
    visit = fetch(request, visits_of(request.group), pk=pk)
    return render(request, "visits/offline.html", page.blank(request, visit))
