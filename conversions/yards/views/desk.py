"""What lies on the desk while a plan is drawn: the yard, its drawing, and the state somebody saw.

Every form of the plan page carries the number of the drawing and its revision. A change is made to the state that was
seen; when somebody saved in between, both drawings are shown and a person picks.
"""

import json
import uuid
from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from conversions import sizing
from conversions.groups.tenancy import Stale, fetch
from conversions.groups.ways import go

from .. import actions, measure
from ..drawing import plan_svg
from ..models import Conversion, Draft

KEYS = ("cover", "trench", "cardboard", "chips", "compost", "beds", "hours")


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


def _whole(text: str | None) -> int:
    return int(text) if text and text.isascii() and text.isdecimal() and len(text) < 9 else 0


def desk(request: HttpRequest, pk: int) -> Desk:
    """The yard and its drawing, as asked for; for a POST the document is the one that was seen."""
    rows = Conversion.of(request.group).select_related("place", "household__contact")
    yard = fetch(request, rows, pk=pk)
    asked = request.POST if request.method == "POST" else request.GET
    number = _whole(asked.get("drawing"))
    draft = fetch(request, yard.drafts.all(), number=number) if number else yard.drawing()
    if draft is None:
        return Desk(yard, None, measure.starting_document(yard), 0)
    if request.method != "POST":
        return Desk(yard, draft, draft.site, draft.revision if draft.state == "open" else 0)
    revision = _whole(request.POST.get("revision"))
    return Desk(yard, draft, draft.site_at(revision) if number else measure.starting_document(yard), revision)


def to_plan(request: HttpRequest, drawing: Draft, anchor: str = "") -> HttpResponse:
    answer = go(request, "plan", pk=drawing.conversion_id)
    newest = drawing.conversion.drawing()
    if newest and newest.pk != drawing.pk:
        answer["Location"] += f"?drawing={drawing.number}"
    answer["Location"] += f"#{anchor}" if anchor else ""
    return answer


def to_shown(request: HttpRequest, at: Desk) -> HttpResponse:
    return to_plan(request, at.draft) if at.draft else go(request, "plan", pk=at.yard.pk)


def read_mine(text: str) -> dict | None:
    """A drawing that came back from the page with both versions, or nothing when it is none."""
    try:
        document = sizing.write_site(sizing.read_site(json.loads(text)))
        for row in document["patches"] + document["beds"]:
            uuid.UUID(row["uid"])
    except (ValueError, RecursionError, AttributeError):  # a SiteError is a ValueError too
        return None
    return document


def save(request: HttpRequest, at: Desk, document: dict, said: str = "", anchor: str = "") -> HttpResponse:
    """Save a changed document and go back to the plan, or show both when somebody was faster."""
    try:
        if at.number or _whole(request.POST.get("drawing")):
            draft, revision = at.draft, at.revision
        else:
            draft, revision = actions.open_draft(conversion=at.yard, by=request.member), 1
        draft = actions.save_site(draft=draft, revision=revision, site=document, by=request.member)
    except Stale as stale:
        if json.loads(json.dumps(document)) == stale.row.site:
            return to_plan(request, stale.row, anchor)  # pressed twice: the first press did it
        return both(request, at.yard, stale.row, document)
    if said:
        messages.success(request, said)
    return to_plan(request, draft, anchor)


def both(request: HttpRequest, yard: Conversion, theirs: Draft, mine: dict) -> HttpResponse:
    """Two drawings side by side; nothing is merged and nothing is lost."""
    save_of_theirs = theirs.saves.select_related("by__user").order_by("-revision").first()
    sides = [_side(request, theirs.site, "theirs"), _side(request, mine, "mine")]
    context = {
        "place": "yards",
        "yard": yard,
        "theirs": theirs,
        "by": save_of_theirs.by if save_of_theirs else theirs.by,
        "at": save_of_theirs.at if save_of_theirs else theirs.saved_at,
        "is_kept": theirs.state == "kept",
        "sides": sides,
        "rows": _beside(*(side["figures"] for side in sides)),
        "mine": json.dumps(mine),
    }
    return render(request, "yards/plan_both.html", context, status=409)


def _side(request: HttpRequest, document: dict, prefix: str) -> dict:
    look = measure.look(document, request.group)
    svg = plan_svg(look.drawable, look.takeoff, prefix=prefix, compact=True, units=request.group.units)
    figures = {row["key"]: row for row in measure.figure_rows(look.takeoff, request.group, KEYS)}
    return {"whose": prefix, "plan": svg, "figures": figures, "problems": problem_words(look)}


def _beside(theirs: dict, mine: dict) -> list[dict]:
    rows = []
    for key in KEYS:
        pair = [side[key]["value_shown"] if key in side else _("not sized") for side in (theirs, mine)]
        rows.append({"label": measure.LABELS[key], "theirs": pair[0], "mine": pair[1], "differs": pair[0] != pair[1]})
    return rows


def problem_words(look: measure.Look) -> list[str]:
    return list(dict.fromkeys(measure.words(problem) for problem in look.problems))
