"""What needs somebody this week, and closing a build day."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from conversions.builds import ledger
from conversions.builds.models import Day
from conversions.builds.roster import helpers_and_hours
from conversions.builds.views import day_of
from conversions.care.models import CareSheet, FollowUp
from conversions.common import measures
from conversions.groups.tenancy import Stale, open_to
from conversions.groups.ways import go
from conversions.people import links
from conversions.people.models import Link
from conversions.tally import counts
from conversions.tally.strip import strip
from conversions.yards.models.living import STAGES

from . import close_day as closing
from . import this_week
from .waiting import set_aside_alone


@open_to("visitor", "lead", "reader", "helper")
def week(request: HttpRequest) -> HttpResponse:
    group, member = request.group, request.member
    found = this_week.needs(group, member)
    may_count = bool(member.roles & {"organiser", "visitor", "lead", "reader"})
    may_see_yards = bool(member.roles & {"organiser", "visitor", "lead"})
    context = {
        "place": "week",
        "today": group.today(),
        "needs": found[: this_week.SHOWN],
        "needs_count": min(len(found), this_week.SHOWN),
        "later": found[this_week.SHOWN :],
        "later_count": len(found) - this_week.SHOWN,
        "week": this_week.week(group.today(), found),
        "may_enquire": bool(member.roles & {"organiser", "visitor"}),
        "may_count": may_count,
        "may_see_yards": may_see_yards,
        "set_aside": set_aside_alone(group) if may_see_yards else [],
        **(ground(group) if may_count else {}),
        **(standing(group) if may_see_yards else {}),
    }
    return render(request, "office/week.html", context)


def ground(group) -> dict:
    """This year's square metres against what was hoped for."""
    year = group.today().year
    months = counts.months(group, year)
    total = sum((month.m2 for month in months), counts.NOTHING)
    goal = group.goal(year)
    return {
        "total_m2": total,
        "goal_m2": goal,
        "has_ground": bool(months or goal),
        "goal_shown": goal and measures.area(goal, group.units, 0),
        "months": months,
        "strip": strip(months, total, goal, group.units),
    }


def standing(group) -> dict:
    """Whether there is no yard yet, and where the only one stands: lessons for a group that begins."""
    yards = list(this_week.first_yards(group))
    if len(yards) != 1:
        return {"has_no_yard": not yards, "lesson": [] if yards else this_week.lesson()}
    yard = yards[0]
    reached = yard.stage_number
    names = ["lawn", "soil", "card", "chip", "compost", "plant", "plant"]
    rows = [
        {"word": word, "texture": texture, "is_done": n <= reached, "is_now": n == reached, "is_next": n == reached + 1}
        for n, ((_code, word), texture) in enumerate(zip(STAGES, names, strict=True), start=1)
    ]
    return {"only_yard": yard, "stages": rows[::-1]}


@open_to("lead", "visitor", "helper")
def close(request: HttpRequest, pk: int) -> HttpResponse:
    """GET: what would be counted; after closing, what was. POST: close. For whoever runs the day."""
    day = day_of(request, pk, to_run=True)
    if day.state == "closed":
        if request.method == "POST":
            messages.info(request, _("This day was closed already. Nothing is counted twice."))
        return closed_page(request, day)
    if request.method != "POST":
        return confirm_page(request, day)
    try:
        closing.check(day, closing.written(day))
        revision = int(request.POST.get("revision", "0"))
        closing.close_day(day=day, by=request.member, revision=revision, sheets=closing.papers(day))
    except Stale as stale:
        messages.warning(
            request, _("Somebody changed this day while your page was open. Look once more, then close it.")
        )
        return confirm_page(request, day_of(request, stale.row.pk, to_run=True), status=409)
    except (ValidationError, ValueError) as error:
        day = day_of(request, pk, to_run=True)
        problems = error.messages if isinstance(error, ValidationError) else [_("Press once more.")]
        return confirm_page(request, day, problems=problems, status=422)
    messages.success(request, _("The day is closed."))
    return go(request, "day-close", pk=day.pk)


def confirm_page(request: HttpRequest, day: Day, problems=(), status: int = 200) -> HttpResponse:
    rows = closing.written(day)
    helpers, hours = helpers_and_hours(day)
    counted = [one for one in rows if one.as_built and one.as_built.area_m2]
    context = {
        "place": "days",
        "day": day,
        "rows": rows,
        "is_ready": all(one.as_built for one in rows) and day.is_open and day.held_on <= request.group.today(),
        "is_early": day.held_on > request.group.today(),
        "total_m2": sum((one.as_built.area_m2 for one in counted if day.kind == "build"), ledger.NOTHING),
        "sheets": closing.sheets_due(day, rows),
        "helpers": helpers,
        "hours": hours,
        "problems": problems,
    }
    return render(request, "office/close.html", context, status=status)


def closed_page(request: HttpRequest, day: Day) -> HttpResponse:
    rows = closing.counted(day)
    sheets = (
        CareSheet.of(request.group)
        .filter(day=day)
        .select_related("conversion__place", "conversion__household__contact")
    )
    sheets = list(sheets)
    made = Link.of(request.group).filter(purpose="care", subject_id__in=[sheet.pk for sheet in sheets])
    addresses = {link.subject_id: links.address(link, request) for link in made}
    due = FollowUp.of(request.group).due().filter(conversion__day_patches__day=day).distinct()
    helpers, hours = helpers_and_hours(day)
    context = {
        "place": "days",
        "day": day,
        "rows": rows,
        "total_m2": sum((row.stands_m2 for row in rows if row.kind != "other ground"), ledger.NOTHING),
        "sheets": [(sheet, addresses.get(sheet.pk, "")) for sheet in sheets],
        "due": due[:3],
        "helpers": helpers,
        "hours": hours,
        "may_look_after": bool(request.member.roles & {"organiser", "lead"}),
        "may_count": bool(request.member.roles & {"organiser", "visitor", "lead", "reader"}),
        "may_correct": request.member.is_organiser,
    }
    return render(request, "office/closed.html", context)
