"""Pages of build days: the list, a new day, and one day before, during and after."""

import datetime
from decimal import Decimal
from itertools import groupby

from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from conversions.common.dates import date_format, time_format
from conversions.groups.models import Member
from conversions.groups.tenancy import Stale, fetch, open_to
from conversions.groups.ways import go
from conversions.people import links
from conversions.people.models import Link, Message
from conversions.yards import measure
from conversions.yards.drawing import band_words, plan_svg, set_out
from conversions.yards.models import Conversion
from conversions.yards.said import words_of

from . import actions, afterphotos, agreed, asbuilt, forms, gates, jobs, roster, where
from .glance import month_sheets
from .models import Day, SignUp

MOMENTS = ("before", "on", "after")
COMING = ("coming", "came")


def day_of(request: HttpRequest, pk: int, *, to_run: bool = False) -> Day:
    """One day this member may see, or 404; who may see it but not run it is refused."""
    day = fetch(request, Day.of(request.group).seen_by(request.member).for_lists(), pk=pk)
    if to_run and not day.may_run(request.member):
        raise PermissionDenied
    return day


@open_to("visitor", "lead", "helper")
@require_safe
def days(request: HttpRequest) -> HttpResponse:
    rows = Day.of(request.group).seen_by(request.member).for_lists()
    ahead = [(month, list(some)) for month, some in groupby(rows.open(), key=lambda day: day.on.replace(day=1))]
    past = list(rows.filter(state__in=["closed", "cancelled"]).order_by("-on", "-pk")[:30])
    own = where.days_of(request.member) if "helper" in request.member.roles else ()
    coming = [day for _month, some in ahead for day in some]
    for day in [*past, *coming]:
        day.called = where.title(day, request.member, request.group.today(), own)
    organises = "organiser" in request.member.roles
    waiting = agreed.yards_to_build(request.group).filter(has_day=False) if organises else []
    today = request.group.today()
    page = {"place": "days", "ahead": ahead, "past": past, "waiting": waiting, "organises": organises, "today": today}
    return render(request, "builds/days.html", page | {"sheets": month_sheets(coming, today)})


def new(request: HttpRequest) -> HttpResponse:
    kind = "rescue" if request.GET.get("kind") == "rescue" else "build"
    yards = agreed.yards_to_build(request.group) if kind == "build" else agreed.yards_to_mend(request.group)
    form = forms.NewDayForm(
        request.POST or None, group=request.group, yards=yards, initial=_first_values(request, yards)
    )
    if request.method == "POST" and form.is_valid():
        try:
            day = actions.plan_day(group=request.group, by=request.member, kind=kind, **form.cleaned_data)
            return go(request, "day", pk=day.pk)
        except ValidationError as error:
            forms.as_form_errors(form, error)
    context = {"place": "days", "form": form, "yards": yards, "kind": kind}
    return render(request, "builds/day_new.html", context)


def _first_values(request: HttpRequest, yards) -> dict:
    """What can be known before anything is typed: the yard asked for, the day offered to them, the usual hours."""
    today = request.group.today()
    text = request.GET.get("yard", "")
    chosen = [yard for yard in yards if str(yard.pk) == text] or (list(yards) if len(yards) == 1 else [])
    quote = agreed.quote_of(chosen[0]) if chosen else None
    offered = quote.offered_on if quote and quote.offered_on and quote.offered_on > today else None
    on = offered or forms.next_saturday(today)
    rain = quote.offered_rain_on if offered and quote.offered_rain_on else on + datetime.timedelta(days=7)
    last = Day.of(request.group).order_by("-pk").first()
    takeoffs = [agreed.papers_left(yard)[1] for yard in chosen]
    people = sum(int(agreed.figure(takeoff, "people")) for takeoff in takeoffs)
    may_lead = request.member.is_lead or request.member.is_organiser
    return {
        "conversions": [yard.pk for yard in chosen],
        "on": on,
        "rain_on": rain,
        "starts": last.starts if last else datetime.time(9, 30),
        "ends": last.ends if last else datetime.time(14),
        "lead": request.member.pk if may_lead else None,
        "helpers_wanted": people or 6,
    }


def moment(day: Day) -> str:
    """The page that fits the clock: before the day, on it, or once it is over."""
    now = timezone.localtime()
    if day.state in ("closed", "cancelled") or day.on < now.date():
        return "after" if day.state != "cancelled" else "before"
    if day.on > now.date():
        return "before"
    return "after" if now.time() > day.ends else "on"


@open_to("visitor", "lead", "helper")
@require_safe
def day(request: HttpRequest, pk: int) -> HttpResponse:
    row = day_of(request, pk)
    if "helper" in request.member.roles and not row.may_run(request.member):
        own = SignUp.of(request.group).filter(day=row, person__member=request.member).first()
        is_told = bool(own) and own.state != "off" and where.is_told(row, request.group.today())
        context = {"is_told": is_told, "streets": where.streets(row)}
        return render(request, "builds/day_helper.html", {"place": "days", "day": row, "own": own} | context)
    return page(request, row, request.GET.get("at", ""))


def leads_too(row: Day, member: Member) -> list[Day]:
    """Other days of the same hours and the same lead that `member` may see: nobody stands in two yards."""
    if not row.is_open:
        return []
    rows = (
        Day.of(row.group)
        .seen_by(member)
        .open()
        .filter(on=row.on, lead=row.lead_id, starts__lt=row.ends, ends__gt=row.starts)
    )
    return list(rows.exclude(pk=row.pk).for_lists())


def page(request: HttpRequest, row: Day, at: str = "", **bound) -> HttpResponse:
    at = at if at in MOMENTS else moment(row)
    runs = row.may_run(request.member)
    came, hours = roster.helpers_and_hours(row)
    built = asbuilt.latest_as_built(row)
    patches = [
        {"row": patch, "built": built.get(patch.patch_id), "drawn": asbuilt.as_drawn_m2(row, patch)}
        for patch in row.day_patches.all()
    ]
    context = {
        "place": "days",
        "day": row,
        "at": at,
        "runs": runs,
        "patches": patches,
        "all_built": all(patch["built"] for patch in patches),
        "built_m2": sum((patch["built"].area_m2 for patch in patches if patch["built"]), Decimal("0.00")),
        "sign_ups": SignUp.of(request.group).filter(day=row).exclude(state="off").select_related("person"),
        "came": came,
        "hours": hours,
        "what_said": [(yard, said) for yard in row.yards if (said := words_of(yard))],
        "leads_too": leads_too(row, request.member),
        "days_to_go": (row.on - request.group.today()).days,
        "untold": Message.of(request.group).filter(day_id=row.pk).exclude(kind="care-sheet").to_do() if runs else [],
    }
    context |= _parts(request, row, at) | bound
    return render(request, f"builds/day_{at}.html", context)


def _link(request: HttpRequest, row: Day) -> str:
    """The address where people sign up; it was made with the day, so that reading the page changes nothing."""
    made = Link.of(request.group).filter(purpose="sign-up", subject_type="day", subject_id=row.pk, person=None)
    return links.address(made[0], request) if made else ""


def _parts(request: HttpRequest, row: Day, at: str) -> dict:
    """What only one of the three pages needs."""
    papers = [agreed.papers_on(row, yard) for yard in row.yards]
    if at == "before":
        ready, work = gates.ready(row), jobs.jobs_of(row, papers)
        return {
            "open_gates": [gate for gate in ready if gate.state != "ok"],
            "ready_gates": [gate for gate in ready if gate.state == "ok"],
            "next": next((gate for gate in ready if gate.state != "ok"), None),
            "has_stop": any(gate.state == "stop" for gate in ready),
            "jobs": work,
            "late": jobs.hours_over(row, work),
            "whose": measure.whose(papers[0][1].get("figures", {}).get("hours", {})) if papers else "",
            "link": _link(request, row),
            "chain": roster.chain(
                row, SignUp.of(request.group).filter(day=row, state__in=COMING).select_related("person")
            ),
            "marks_form": forms.MarksForm(initial=gates.marks_of(row)),
            "helper_form": forms.HelperForm(),
        }
    if at == "on":
        stops = [gate for gate in gates.ready(row) if gate.state == "stop"]
        plans = [plan for n, yard in enumerate(row.yards) for plan in _plans(row, yard, n)]
        work, now = jobs.jobs_of(row, papers), timezone.localtime()
        minute = now.hour * 60 + now.minute if row.on == now.date() else 0
        clock, pictures = jobs.by_the_clock(work, minute), afterphotos.context(request, row)
        said = {"marks": gates.marks_of(row), "marks_until": gates.marks_until(row)}
        said["band"] = band_words(row.group.units, *(site for site, _takeoff in papers))
        return said | {"plans": plans, "stops": stops, "jobs": work, "clock": clock, "now": now} | pictures
    return afterphotos.context(request, row)


def _plans(day: Day, conversion: Conversion, n: int) -> list[dict]:
    """Each patch of the day drawn by itself, with the distances of its beds as the crew sheet has them."""
    site, takeoff = agreed.papers_of(conversion)
    pegs, units = set_out(site, takeoff), day.group.units
    ours = {str(row.patch.uid) for row in day.day_patches.all() if row.conversion_id == conversion.pk}
    look = {"compact": True, "setout": True, "units": units}
    return [
        {
            "label": patch["label"],
            "svg": plan_svg(site, takeoff, prefix=f"day{n}p{m}", patch=patch["uid"], **look),
            "pegs": [peg for peg in pegs if peg.patch == patch["uid"]],
        }
        for m, patch in enumerate(site.get("patches", []))
        if patch["uid"] in ours
    ]


def back(request: HttpRequest, row: Day) -> HttpResponse:
    """To the page the button was pressed on."""
    answer = go(request, "day", pk=row.pk)
    at = request.POST.get("at", "")
    if at in MOMENTS:
        answer["Location"] += f"?at={at}"
    return answer


@open_to("lead", "visitor", "helper")
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    row = day_of(request, pk, to_run=True)
    if request.method != "POST":
        return render(
            request, "builds/day_edit.html", {"place": "days", "day": row, "form": forms.ChangeDayForm.of(row)}
        )
    form = forms.ChangeDayForm(request.POST, group=request.group)
    if not form.is_valid():
        return render(request, "builds/day_edit.html", {"place": "days", "day": row, "form": form})
    values = dict(form.cleaned_data)
    try:
        actions.change_day(day=row, revision=values.pop("revision"), by=request.member, **values)
        return go(request, "day", pk=pk)
    except Stale as stale:
        return _both_versions(request, stale.row, form)
    except ValidationError as error:
        forms.as_form_errors(form, error)
    return render(request, "builds/day_edit.html", {"place": "days", "day": row, "form": form})


def _in_words(value: object) -> object:
    """Dates and times as every other page writes them."""
    if isinstance(value, datetime.date):
        return date_format(value, "D j M Y")
    return time_format(value, "G:i") if isinstance(value, datetime.time) else value


def _both_versions(request: HttpRequest, theirs: Day, form: forms.ChangeDayForm) -> HttpResponse:
    """Somebody saved meanwhile: what stands, what was typed, and one press for either."""
    rows = []
    for name, field in form.fields.items():
        mine, other = form.cleaned_data.get(name), getattr(theirs, name)
        if name != "revision" and (mine or "") != (other or ""):
            rows.append({"label": field.label, "mine": _in_words(mine), "theirs": _in_words(other)})
    data = form.data.copy()
    data["revision"] = theirs.revision
    again = forms.ChangeDayForm(data, group=request.group)
    context = {"place": "days", "day": theirs, "rows": rows, "form": again}
    return render(request, "builds/day_stale.html", context, status=409)
