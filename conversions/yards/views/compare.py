"""Two drawings of a yard beside each other, and a length measured across that checks a shape."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from conversions.groups.tenancy import fetch, open_to
from conversions.groups.ways import go

from .. import measure
from ..acrosses import with_across
from ..drawing import plan_svg
from ..forms import AcrossForm
from ..models import Conversion, Draft
from ..shown import plan_context
from .desk import desk, save

KEYS = ("cover", "trench", "cardboard", "chips", "compost", "beds", "hours")


@open_to("visitor")
@require_GET
def compare(request: HttpRequest, pk: int) -> HttpResponse:
    """?one=, ?other=: the numbers of two drawings; the one that counts and the newest other where they are not named."""
    rows = Conversion.of(request.group).select_related("place", "household__contact")
    yard = fetch(request, rows, pk=pk)
    drawings = list(yard.drafts.select_related("by__user").order_by("number"))
    if len(drawings) < 2:
        return go(request, "plan", pk=pk)
    counts = yard.drawing()
    one = _named(drawings, request.GET.get("one")) or counts or drawings[-2]
    other = _named(drawings, request.GET.get("other")) or next(row for row in reversed(drawings) if row.pk != one.pk)
    sides = [_side(request, draft, which) for draft, which in ((one, "one"), (other, "other"))]
    context = {
        "place": "yards",
        "yard": yard,
        "drawings": drawings,
        "counts": counts,
        "sides": sides,
        "rows": _beside(*(side["figures"] for side in sides)),
    }
    return render(request, "yards/plan_compare.html", context)


def _named(drawings: list[Draft], number: str | None) -> Draft | None:
    return next((draft for draft in drawings if str(draft.number) == number), None)


def _side(request: HttpRequest, draft: Draft, which: str) -> dict:
    look = measure.look(draft.site, request.group)
    svg = plan_svg(look.drawable, look.takeoff, prefix=which, compact=True, units=request.group.units)
    figures = {row["key"]: row for row in measure.figure_rows(look.takeoff, request.group, KEYS)}
    may_use = draft.state == "open" and look.is_sound
    return {
        "which": which, "draft": draft, "plan": svg, "figures": figures, "problems": measure.told(look, draft.site), "may_use": may_use,
        "why_not": "" if may_use else _why_not(draft, look),
    }  # fmt: skip


def _why_not(draft: Draft, look: measure.Look) -> str:
    if draft.state != "open":
        return _("Kept already: it stays as it was promised.")
    if not draft.site.get("patches"):
        return _("It cannot be used yet: nothing is measured on it.")
    return _("It cannot be used yet: put right what does not fit.")


def _beside(one: dict, other: dict) -> list[dict]:
    rows = []
    for key in KEYS:
        pair = [side[key]["value_shown"] if key in side else _("not sized") for side in (one, other)]
        rows.append({"label": measure.LABELS[key], "one": pair[0], "other": pair[1], "differs": pair[0] != pair[1]})
    return rows


@open_to("visitor")
@require_POST
def across(request: HttpRequest, pk: int, uid: str) -> HttpResponse:
    """Keep what the tape says from one corner to another; a second one between the same two takes its place."""
    at = desk(request, pk)
    patch = at.patch(uid)
    form = AcrossForm(request.POST, group=request.group, patch=patch)
    if form.is_valid():
        document = with_across(at.document, patch["uid"], form.cleaned_data)
        return save(request, at, document, anchor=f"across-{patch['uid']}")
    context = plan_context(at, request.group, request.member, across=form)
    return render(request, "yards/plan.html", context, status=422)
