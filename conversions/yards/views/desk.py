"""What lies on the desk while a plan is drawn: the yard, its drawing, and the state somebody saw.

Every form of the plan page carries the number of the drawing and its revision. A change is made to the state that was
seen; when somebody saved in between, both drawings are shown and a person picks.
"""

import json
from dataclasses import dataclass
from uuid import NAMESPACE_OID, UUID, uuid5

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from conversions.common.asked import uid_of, whole
from conversions.groups.tenancy import Stale, fetch
from conversions.groups.ways import go

from .. import actions, measure, naming
from ..models import Conversion, Draft, DraftSave


@dataclass
class Desk:
    yard: Conversion
    draft: Draft | None  # what is shown; only an open one is written to
    document: dict
    revision: int  # of the open drawing; 0 where the next save begins a new one

    @property
    def number(self) -> int:
        """The number that forms carry: an open drawing's, else 0."""
        return self.draft.number if self.draft and self.draft.state == "open" else 0

    def patch(self, uid: object) -> dict:
        found = next((patch for patch in self.document["patches"] if patch["uid"] == str(uid)), None)
        if found is None:
            raise Http404
        return found


def desk(request: HttpRequest, pk: int) -> Desk:
    """The yard and its drawing, as asked for; for a POST the document is the one that was seen."""
    rows = Conversion.of(request.group).select_related("place", "household__contact")
    yard = fetch(request, rows, pk=pk)
    asked = request.POST if request.method == "POST" else request.GET
    number = whole(asked.get("drawing"))
    draft = fetch(request, yard.drafts.all(), number=number) if number else yard.drawing()
    if draft is None:
        return Desk(yard, None, measure.starting_document(yard), 0)
    if request.method != "POST":
        return Desk(yard, draft, draft.site, draft.revision if draft.state == "open" else 0)
    revision = whole(request.POST.get("revision")) or 0
    return Desk(yard, draft, draft.site_at(revision) if number else measure.starting_document(yard), revision)


def to_plan(request: HttpRequest, drawing: Draft, anchor: str = "") -> HttpResponse:
    answer = go(request, "plan", pk=drawing.conversion_id)
    newest = drawing.conversion.drawing()
    if newest and newest.pk != drawing.pk:
        answer["Location"] += f"?drawing={drawing.number}"
    answer["Location"] += f"#{anchor}" if anchor else ""
    return answer


def to_board(request: HttpRequest, draft: Draft | None, pk: int) -> HttpResponse:
    answer = go(request, "plan-board", pk=pk)
    if draft:
        answer["Location"] += f"?drawing={draft.number}"
    return answer


def to_shown(request: HttpRequest, at: Desk) -> HttpResponse:
    return to_plan(request, at.draft) if at.draft else go(request, "plan", pk=at.yard.pk)


@dataclass(frozen=True)
class Saved:
    """A drawing as it was saved, and where somebody saved or kept it meanwhile, theirs."""

    draft: Draft
    revision: int
    site: dict
    theirs: Draft | None = None


def _as_it_was(known: DraftSave) -> Saved:
    is_beside = known.revision == 1  # the first state of a drawing that its page did not open
    return Saved(known.draft, known.revision, known.site, known.draft.parent if is_beside else None)


def store(request: HttpRequest, at: Desk, document: dict, uid: UUID | None = None) -> Saved:
    """Save what was drawn. Where somebody saved or kept it meanwhile nothing is merged or saved over: both stand, and a
    person picks. Sent twice is saved once, and answered as it was the first time, whatever was saved since."""
    uid = uid or uid_of(request.POST.get("save"))
    if known := actions.saved_as(at.yard, uid):
        return _as_it_was(known)
    document = naming.known_again(at.yard.place, document)
    try:
        if at.number or whole(request.POST.get("drawing")):
            draft, revision = at.draft, at.revision
        else:
            draft, revision = actions.open_draft(conversion=at.yard, by=request.member), 1
        draft = actions.save_site(draft=draft, revision=revision, site=document, by=request.member, uid=uid)
        return Saved(draft, draft.revision, draft.site)
    except Stale as stale:
        theirs, document = stale.row, json.loads(json.dumps(document))
    if known := actions.saved_as(at.yard, uid):  # sent twice at once: the other one was first
        return _as_it_was(known)
    if document == theirs.site:
        return Saved(theirs, theirs.revision, theirs.site)
    mine = actions.save_beside(draft=theirs, site=document, by=request.member, uid=uid)
    return Saved(mine, mine.revision, mine.site, theirs)


def press_of(request: HttpRequest, at: Desk, typed: dict, asked: str) -> UUID:
    """The uid of a button pressed without a script: the same for the same press on the same state, so that a double
    press is one. A drawing not begun yet is told from later ones by how many were kept."""
    seen = (request.POST.get("drawing"), request.POST.get("revision"), at.yard.drafts.filter(state="kept").count())
    return uuid5(NAMESPACE_OID, json.dumps([at.yard.pk, *seen, measure.sha_of(typed), asked]))


def save(request: HttpRequest, at: Desk, document: dict, said: str = "", anchor: str = "") -> HttpResponse:
    """Save a changed document and go back to the plan, or show both drawings when somebody was faster."""
    saved = store(request, at, document)
    if saved.theirs:
        return to_both(request, saved.theirs, saved.draft)
    if said:
        messages.success(request, said)
    return to_plan(request, saved.draft, anchor)


def to_both(request: HttpRequest, theirs: Draft, mine: Draft) -> HttpResponse:
    said = _("Somebody saved this plan while you were drawing. Both drawings are kept: yours is number %(number)s.")
    messages.warning(request, said % {"number": mine.number})
    answer = go(request, "plan-compare", pk=theirs.conversion_id)
    answer["Location"] += f"?one={theirs.number}&other={mine.number}"
    return answer
