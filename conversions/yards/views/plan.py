"""The plan page and what is done on it: patches, sides, beds, depths, keeping."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from conversions.groups.tenancy import Stale, open_to

from .. import actions, measure, sketch, walk
from ..drawing import plan_svg
from ..forms import BedForm, PatchForm, SettingsForm, side_data
from ..shown import plan_context
from .desk import Desk, desk, save, to_board, to_plan, to_shown


def _shape(request: HttpRequest) -> str:
    asked = request.POST.get("shape") or request.GET.get("shape") or "rectangle"
    return asked if asked in walk.SHAPES else "rectangle"


@open_to("visitor")
@require_GET
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    at = desk(request, pk)
    context = plan_context(at, request.group, request.member)
    if not at.document["patches"]:
        context["form"] = PatchForm(group=request.group, shape=_shape(request), document=at.document)
    return render(request, "yards/plan.html", context)


def _patch_page(request: HttpRequest, at: Desk, form: PatchForm) -> HttpResponse:
    context = {"place": "yards", "desk": at, "yard": at.yard, "form": form, "shapes": walk.SHAPES.values()}
    return render(request, "yards/plan_patch.html", context)


@open_to("visitor")
def patch_new(request: HttpRequest, pk: int) -> HttpResponse:
    at = desk(request, pk)
    form = PatchForm(request.POST or None, group=request.group, shape=_shape(request), document=at.document)
    if request.method == "POST" and form.is_valid():
        return save(request, at, sketch.with_patch(at.document, form.drawn))
    return _patch_page(request, at, form)


@open_to("visitor")
def patch(request: HttpRequest, pk: int, uid: str) -> HttpResponse:
    at = desk(request, pk)
    old = at.patch(uid)
    shape = _shape(request) if request.POST.get("shape") or request.GET.get("shape") else old["shape"]
    if shape not in walk.SHAPES:
        raise Http404  # an outline drawn elsewhere has no typed walk
    form = PatchForm(request.POST or None, group=request.group, shape=shape, document=at.document, patch=old)
    if request.method == "POST" and form.is_valid():
        drawn = {**form.drawn, "uid": old["uid"]}
        return save(request, at, sketch.with_patch(at.document, drawn), anchor="h-walk")
    return _patch_page(request, at, form)


@open_to("visitor")
@require_POST
def side(request: HttpRequest, pk: int, uid: str, corner: str) -> HttpResponse:
    """One side changed; the whole walk is read again, and shown again where it no longer closes."""
    at = desk(request, pk)
    old = at.patch(uid)
    if old["shape"] not in walk.SHAPES:
        return _drawn_side(request, at, old, corner)
    if corner not in walk.corners_of(old["shape"]):
        raise Http404
    options = {"group": request.group, "shape": old["shape"], "document": at.document, "patch": old}
    beyond = request.POST.get("beyond") or walk.beyond_of(old)[corner]
    form = PatchForm(side_data(PatchForm(**options), corner, request.POST.get("length"), beyond), **options)
    if form.is_valid():
        return save(request, at, sketch.with_patch(at.document, form.drawn), anchor=f"side-{uid}-{corner}")
    return _patch_page(request, at, form)


def _drawn_side(request: HttpRequest, at: Desk, old: dict, corner: str) -> HttpResponse:
    """What lies beyond a side of an outline drawn by hand; its corners are moved on the board."""
    beyond = request.POST.get("beyond")
    if beyond not in walk.BEYOND or all(row["id"] != corner for row in old["corners"]):
        raise Http404
    corners = [{**row, "beyond": beyond} if row["id"] == corner else row for row in old["corners"]]
    document = sketch.with_patch(at.document, {**old, "corners": corners})
    return save(request, at, document, anchor=f"side-{old['uid']}-{corner}")


@open_to("visitor")
@require_POST
def patch_remove(request: HttpRequest, pk: int, uid: str) -> HttpResponse:
    at = desk(request, pk)
    said = _("%(label)s is off the plan. Take back brings it back.") % {"label": at.patch(uid)["label"]}
    return save(request, at, sketch.without_patch(at.document, str(uid)), said)


@open_to("visitor")
def bed_new(request: HttpRequest, pk: int, uid: str, kind: str) -> HttpResponse:
    at = desk(request, pk)
    return _bed(request, at, at.patch(uid), kind, None)


@open_to("visitor")
def bed(request: HttpRequest, pk: int, uid: str) -> HttpResponse:
    at = desk(request, pk)
    old = sketch.bed_in(at.document, str(uid))
    if old is None:
        raise Http404
    if old.get("path"):  # a bed along a line is moved point by point
        return to_board(request, at.draft, pk)
    return _bed(request, at, at.patch(old["patch"]), old["kind"], old)


def _bed(request: HttpRequest, at: Desk, ground: dict, kind: str, old: dict | None) -> HttpResponse:
    options = {"kind": kind, "document": at.document, "patch": ground, "bed": old}
    form = BedForm(request.POST or None, group=request.group, **options)
    if request.method == "POST" and form.is_valid():
        return save(request, at, sketch.with_bed(at.document, {**(old or {}), **form.drawn}), anchor="h-beds")
    context = {"place": "yards", "desk": at, "yard": at.yard, "form": form, "patch": ground, "bed": old}
    return render(request, "yards/plan_bed.html", context | {"kind": measure.KINDS[kind]})


@open_to("visitor")
@require_POST
def bed_remove(request: HttpRequest, pk: int, uid: str) -> HttpResponse:
    at = desk(request, pk)
    return save(request, at, sketch.without_bed(at.document, str(uid)), anchor="h-beds")


@open_to("visitor")
def settings(request: HttpRequest, pk: int) -> HttpResponse:
    at = desk(request, pk)
    form = SettingsForm(request.POST or None, group=request.group, document=at.document)
    if request.method == "POST" and form.is_valid():
        return save(request, at, sketch.with_settings(at.document, form.settings), anchor="h-take")
    context = {"place": "yards", "desk": at, "yard": at.yard, "form": form}
    return render(request, "yards/plan_settings.html", context)


@open_to("visitor")
@require_POST
def back(request: HttpRequest, pk: int) -> HttpResponse:
    at = desk(request, pk)
    if not at.number:
        raise Http404
    try:
        actions.take_back(draft=at.draft, revision=at.revision, by=request.member)
    except Stale:
        messages.warning(request, _("The plan was saved in between. Look at it, then take back if you still want to."))
    if request.POST.get("from") == "board":
        return to_board(request, at.draft, pk)
    return to_plan(request, at.draft)


@open_to("visitor")
@require_POST
def keep(request: HttpRequest, pk: int) -> HttpResponse:
    at = desk(request, pk)
    if not at.number:
        return to_shown(request, at)
    try:
        actions.keep_draft(draft=at.draft, revision=at.revision, by=request.member)
        messages.success(request, _("The plan is kept."))
    except Stale:
        messages.warning(request, _("The plan was saved in between. Look at it, then keep it if it is right."))
    except ValidationError as error:
        for message in error.messages:
            messages.error(request, message)
    return to_plan(request, at.draft)


@open_to("visitor")
@require_POST
def numbers(request: HttpRequest, pk: int) -> HttpResponse:
    """Work an open drawing out with the numbers the group has now; it is a save, so it can be taken back."""
    at = desk(request, pk)
    if not at.number:
        return to_shown(request, at)
    return save(request, at, measure.with_own(at.document, request.group), anchor="h-take")


@open_to("visitor")
@require_POST
def try_out(request: HttpRequest, pk: int) -> HttpResponse:
    """The drawing of what is typed but not saved yet, for the page's script; answers with nothing when it has errors."""
    at = desk(request, pk)
    old = sketch.patch_in(at.document, request.POST.get("patch", ""))
    form = PatchForm(request.POST, group=request.group, shape=_shape(request), document=at.document, patch=old)
    if not form.is_valid():
        return JsonResponse({"svg": "", "says": ""})
    look = measure.look(sketch.with_patch(at.document, form.drawn), request.group)
    from_figures = measure.figure_rows(look.takeoff, request.group, ("cover", "trench"))
    says = ", ".join(f"{row['label']} {row['value_shown']} ({row['other_shown']})" for row in from_figures)
    svg = plan_svg(look.drawable, look.takeoff, prefix="try", compact=True, units=request.group.units)
    return JsonResponse({"svg": svg, "says": says})
