"""Shapes walked without signal: each comes with the uid the phone gave it and is drawn once.

A shape is added to what its walker drew since; over a drawing that somebody else saved meanwhile it becomes a drawing
of its own beside that, and a person picks.
"""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, JsonResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from conversions.common.asked import uid_of
from conversions.groups.tenancy import Stale, open_to
from conversions.groups.ways import session

from .. import actions, sketch, walk
from ..forms import PatchForm
from ..models import Draft
from .desk import Desk, desk


@open_to("visitor")
@require_http_methods(["GET", "HEAD", "POST"])
def queue(request: HttpRequest, pk: int) -> JsonResponse:
    """GET: whose session this is, and the token a POST needs. POST: one shape. 200 drawn, 422 with the reason."""
    at = desk(request, pk)
    if request.method != "POST":
        return session(request)
    shape = request.POST.get("shape", "")
    if shape not in walk.SHAPES:
        return JsonResponse({"words": _("There is no such shape.")}, status=422)
    uid = request.POST.get("uid", "")
    if actions.saved_as(at.yard, uid_of(uid)) or any(sketch.patch_in(row.site, uid) for row in at.yard.drafts.all()):
        return JsonResponse({"kept": 0})  # it came before, whether or not it is on the drawing still
    at = _since(at, request.member)
    form = PatchForm(request.POST, group=request.group, shape=shape, document=at.document)
    if not form.is_valid():
        return JsonResponse({"words": " ".join(_said(form))}, status=422)
    _draw(at, sketch.with_patch(at.document, form.drawn), request.member, uid_of(uid))
    return JsonResponse({"kept": 1})


def _said(form: PatchForm) -> list[str]:
    return [str(error) for errors in form.errors.values() for error in errors]


def _since(at: Desk, by: Any) -> Desk:
    """What this member drew after the state the phone saw, where nobody else came between; else that state itself."""
    mine = at.yard.drafts.filter(state="open").order_by("-saved_at").first()
    if mine is None or mine.by_id != by.pk:
        return at
    if _goes_back_to(mine, at) and not mine.saves.filter(revision__gt=_seen(mine, at)).exclude(by=by).exists():
        return Desk(at.yard, mine, mine.site, mine.revision)
    return at


def _goes_back_to(draft: Draft, at: Desk) -> bool:
    return not at.number or at.number in (draft.number, draft.parent.number if draft.parent else 0)


def _seen(draft: Draft, at: Desk) -> int:
    return at.revision if at.number == draft.number else 0


def _draw(at: Desk, document: dict, by: Any, uid: UUID | None) -> Draft:
    draft = at.draft if at.number else None
    revision = at.revision
    try:
        if draft is None:
            draft, revision = actions.open_draft(conversion=at.yard, by=by), 1
        return actions.save_site(draft=draft, revision=revision, site=document, by=by, uid=uid)
    except Stale as stale:
        return actions.save_beside(draft=stale.row, site=document, by=by, uid=uid)
