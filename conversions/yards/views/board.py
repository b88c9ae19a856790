"""The drawing board: the page with the drawing and its list, the figures of what is not saved yet, and saving."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from conversions.groups.tenancy import open_to

from .. import acrosses, board, differences, drawn, limits, measure, retyping, settling
from ..board_page import board_context
from .desk import Desk, desk, press_of, store, to_board, to_both


@open_to("visitor")
def page(request: HttpRequest, pk: int) -> HttpResponse:
    """A script sends a uid with each drawing ("save") and asks for JSON: {"to", "drawing", "revision", "site"}, where and
    how it is saved, or {"words"} why it was not."""
    at = desk(request, pk)
    if request.method != "POST":
        return render(request, "yards/plan_board.html", board_context(at, request.group))
    return _drawn(request, at) if request.POST.get("site") else _from_list(request, at)


def _wants_json(request: HttpRequest) -> bool:
    return request.headers.get("Accept") == "application/json"


@open_to("visitor")
@require_GET
def offline(request: HttpRequest, pk: int) -> HttpResponse:
    """The board as a phone may keep it for a day: the drawing, and no name, number, address or code of anybody."""
    at = desk(request, pk)
    context = board_context(at, request.group) | {"is_offline": True, "group": request.group}
    return render(request, "yards/plan_board_offline.html", context)


def _drawn(request: HttpRequest, at: Desk) -> HttpResponse:
    document = drawn.read(request.POST["site"], at.document)
    if document is None:
        return _refuse(request, at, at.document, _("Your drawing could not be read. Nothing was changed."))
    return _save(request, at, document)


def _refuse(request: HttpRequest, at: Desk, document: dict, words: str) -> HttpResponse:
    if _wants_json(request):
        return JsonResponse({"words": words}, status=422)
    return _again(request, at, document, {"": words})


def _from_list(request: HttpRequest, at: Desk) -> HttpResponse:
    """The list without a script: what was typed, then the one thing that was pressed."""
    document, errors = retyping.read_list(at.document, request.POST, request.group.units)
    asked, uid, size = retyping.pressed(request.POST), None, []
    if asked == "add patch":
        size, wrong = retyping.size_of(request.POST, request.group.units)
        errors |= wrong
    if errors:
        return _again(request, at, document, errors)
    if asked:
        uid = press_of(request, at, document, asked)
        try:
            document = retyping.done(document, asked, uid, size)
        except KeyError as error:
            raise Http404 from error
    return _save(request, at, document, uid)


def _again(request: HttpRequest, at: Desk, document: dict, errors: dict[str, str]) -> HttpResponse:
    context = board_context(at, request.group, document, errors, request.POST)
    return render(request, "yards/plan_board.html", context, status=422)


def _save(request: HttpRequest, at: Desk, document: dict, uid: UUID | None = None) -> HttpResponse:
    if said := limits.refused(document, request.group.units, at.document):
        return _refuse(request, at, document, said)
    saved = store(request, at, settling.settled(document, at.document), uid)
    if not saved.theirs:
        messages.success(request, _("Saved."))
        answer = to_board(request, saved.draft, at.yard.pk)
    else:
        answer = to_both(request, saved.theirs, saved.draft)
    if _wants_json(request):
        told = {"drawing": saved.draft.number, "revision": saved.revision, "site": saved.site}
        return JsonResponse({"to": answer["Location"], **told})
    return answer


@open_to("visitor")
@require_POST
def try_board(request: HttpRequest, pk: int) -> JsonResponse:
    """Figures of what is drawn but not saved, and what they differ from the drawing as saved, or where that has none,
    from what the page showed a step before; nothing is written."""
    at = desk(request, pk)
    document = drawn.read(request.POST.get("site", ""), at.document)
    refused = _("This cannot be sized yet.")
    if document is not None:
        refused = limits.refused(document, request.group.units, at.document)
    if refused:
        return JsonResponse({"says": refused, "figures": [], "problems": {}, "across": []})
    look = measure.look(document, request.group)
    saved = at.draft.takeoff if at.draft and at.draft.revision == at.revision else None
    if saved is None:
        saved = measure.takeoff_of(at.document, request.group)[0]
    saved = saved if saved.get("figures") else differences.shown_before(request.POST.get("before", ""))
    figures = differences.rows(look.takeoff, saved, request.group)
    problems = board.problem_rows(document, look, request.group.units)
    across = [acrosses.said(patch, request.group.units) for patch in document["patches"]]
    says = differences.said(figures, board.problem_said(document, problems), is_first=not saved.get("figures"))
    return JsonResponse({"says": says, "figures": figures, "problems": problems, "across": across})
