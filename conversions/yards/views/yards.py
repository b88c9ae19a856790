"""The list of yards, one yard, and writing down an enquiry."""

import uuid

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from conversions.common import measures
from conversions.common.asked import uid_of
from conversions.groups.models import Group
from conversions.groups.tenancy import Stale, fetch, open_to
from conversions.groups.ways import go
from conversions.people.models import Message

from .. import enquiries, measure, pictures, same_ground, steps
from ..drawing import plan_svg
from ..forms import EnquiryForm, SameGroundForm, YardForm, yard_values
from ..models import Conversion
from ..models.living import APART, STAGE_NUMBER, STAGES
from ..said import words_of
from ..story import layers, story

PAGE = 25


@open_to("visitor", "lead")
@require_GET
def yards(request: HttpRequest) -> HttpResponse:
    asked, stage = request.GET.get("q", "").strip(), request.GET.get("stage", "")
    found = list(Conversion.of(request.group).matching(asked).with_facts().order_by("-pk"))
    counts = [{"code": "", "word": _("All"), "number": 0, "count": len(found)}]
    for code, word in STAGES + APART:
        count = sum(row.stage == code for row in found)
        if count or code in STAGE_NUMBER:
            counts.append({"code": code, "word": word, "number": STAGE_NUMBER.get(code, 0), "count": count})
    chosen = [row.pk for row in found if not stage or row.stage == stage]
    page = Paginator(chosen, PAGE).get_page(request.GET.get("page"))
    rows = steps.with_rows(Conversion.of(request.group).for_lists().filter(pk__in=list(page)), request.group)
    listed = [_row(row, request.group) for row in rows]
    context = {"place": "yards", "rows": listed, "page": page, "counts": counts, "stage": stage, "q": asked}
    return render(request, "yards/yards.html", context | {"shown": len(chosen), "total": _total(request.group)})


def _total(group: Group) -> int:
    return Conversion.of(group).count()


def _row(yard: Conversion, group: Group) -> dict:
    """What was built there; planned where nothing is built yet."""
    m2 = steps.built_m2(yard) or sum(row.planned_m2 for row in yard.planned.all())
    number, _space, unit = measures.area(m2, group.units).partition(" ") if m2 else ("", "", "")
    return {"yard": yard, "step": steps.next_step(yard, group.today()), "number": number, "unit": unit}


def _yard(request: HttpRequest, pk: int) -> Conversion:
    return fetch(request, steps.with_rows(Conversion.of(request.group).for_lists(), request.group), pk=pk)


@open_to("visitor", "lead")
@require_GET
def yard(request: HttpRequest, pk: int) -> HttpResponse:
    row, today = _yard(request, pk), request.group.today()
    roles = request.member.roles
    drawing = row.drawing() or row.built_by.drawing()  # of a garden taken over: the plan it was built by
    look = measure.look(drawing.site, request.group) if drawing and drawing.site.get("patches") else None
    step = steps.next_step(row, today)
    untold = Message.of(request.group).filter(conversion_id=row.pk).to_do()
    photos = list(row.place.photos.all())
    context = {
        "place": "yards",
        "yard": row,
        "contact": row.household.contact,
        "step": step,
        "ways": step.for_roles(roles),
        "drawing": drawing,
        "plan": look and plan_svg(look.drawable, look.takeoff, prefix="yard", units=request.group.units),
        "plan_small": look
        and plan_svg(look.drawable, look.takeoff, prefix="small", compact=True, units=request.group.units),
        "built_m2": steps.built_m2(row if row.built_by == row else _yard(request, row.built_by.pk)),
        "figures": look
        and measure.figure_rows(look.takeoff, request.group, ("cover", "cardboard", "chips", "compost")),
        "story": [(part, bool(part.roles & roles)) for part in story(row, today, alone=request.member.is_alone)],
        "layers": layers(row),
        "said": words_of(row),
        "same_as_this": same_ground.others(row.place),
        "photos": photos[::-1],
        "pairs": pictures.pairs(photos) + pictures.pairs(photos, after="follow-up"),
        "others": Conversion.of(request.group)
        .filter(place=row.place)
        .exclude(pk=row.pk)
        .select_related("household__contact"),
        "papers": [quote for quote in row.quotes.all() if quote.document_id],
        "care_sheets": _care_sheets(row) if roles & steps.LEADERS else [],
        "untold": untold if "organiser" in roles else untold.exclude(day_id=None) if roles & steps.LEADERS else [],
        "may_draw": bool(roles & steps.DRAWERS),
        "may_quote": "organiser" in roles,
        "may_lead": bool(roles & steps.LEADERS),
        "may_begin": bool(roles & steps.DRAWERS)
        and row.stage in ("built", "growing", "not now", "ended")
        and not row.household.until_on,
        "may_move": bool(roles & steps.DRAWERS) and not row.household.until_on,
        "again_uid": uuid.uuid4(),
    }
    return render(request, "yards/yard.html", context)


def _care_sheets(row: Conversion) -> list[dict]:
    """The newest first, and which one counts: none while the day of the newest is open again."""
    rows = list(row.care_sheets.select_related("day").order_by("-n"))
    return [
        {"sheet": sheet, "counts": sheet == rows[0] and sheet.day.state == "closed", "is_old": sheet != rows[0]}
        for sheet in rows
    ]


@open_to("visitor")
def enquiry(request: HttpRequest) -> HttpResponse:
    asked = {"reach": request.GET.get("reach", "")}  # the number searched for in vain
    form = EnquiryForm(request.POST or None, group=request.group, initial=asked)
    if request.method == "POST" and form.is_valid():
        data = {key: value for key, value in form.cleaned_data.items() if key != "known"}
        try:
            row = enquiries.take_enquiry(group=request.group, by=request.member, **data)
            return go(request, "yard", pk=row.pk)
        except enquiries.AlreadyKept as kept:
            form.add_error(None, _("You kept an enquiry from this page before. Keep again to write down another one."))
            form.kept_before = kept.conversion
            form.data = form.data.copy()
            form.data["uid"] = str(uuid.uuid4())
        except (ValidationError, IntegrityError) as error:
            form.add_error(None, _words(error))
    return render(request, "yards/enquiry.html", {"place": "yards", "form": form})


def _words(error: Exception) -> list[str]:
    return error.messages if isinstance(error, ValidationError) else [_("Somebody was faster. Try once more.")]


@open_to("visitor")
@require_POST
def again(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, Conversion, pk=pk)
    uid = uid_of(request.POST.get("uid"))
    try:
        new = enquiries.start_again(conversion=row, by=request.member, uid=uid)
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
        return go(request, "yard", pk=pk)
    messages.success(request, _("A new run has begun. Its plan starts from the patches drawn before."))
    return go(request, "yard", pk=new.pk)


@open_to("visitor")
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, Conversion.of(request.group).select_related("place", "household__contact"), pk=pk)
    form = YardForm(request.POST or None, group=request.group, initial=yard_values(row))
    context: dict = {}
    if request.method == "POST" and form.is_valid():
        try:
            enquiries.change_yard(conversion=row, by=request.member, **form.cleaned_data)
            return go(request, "yard", pk=row.pk)
        except Stale:
            context = _both(request, row, form)
        except (ValidationError, IntegrityError) as error:
            form.add_error(None, _words(error))
    return edit_page(request, row, **{"form": form} | context)


def edit_page(request: HttpRequest, row: Conversion, status: int = 200, **bound) -> HttpResponse:
    """What was written about a yard, and whether its ground is that of another place."""
    context = {
        "place": "yards",
        "yard": row,
        "form": YardForm(group=request.group, initial=yard_values(row)),
        "ground_form": SameGroundForm(group=request.group, place=row.place),
        "same_as_this": same_ground.others(row.place),
    }
    return render(request, "yards/yard_edit.html", context | bound, status=status)


def _both(request: HttpRequest, row: Conversion, form: YardForm) -> dict:
    """What stands and what was typed, field by field where they differ; the form may then be kept as typed."""
    now = fetch(request, Conversion.of(request.group).select_related("place", "household__contact"), pk=row.pk)
    stands = yard_values(now)
    typed = YardForm(form.data.copy(), group=request.group)
    typed.data["revision"], typed.data["person_revision"] = stands["revision"], stands["person_revision"]
    typed.is_valid()
    differs = [
        {"label": field.label, "theirs": stands[name], "mine": form.cleaned_data[name]}
        for name, field in form.fields.items()
        if not field.widget.is_hidden and stands[name] != form.cleaned_data[name]
    ]
    return {"form": typed, "differs": differs, "is_stale": True}
