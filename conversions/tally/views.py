"""The tally of one year: figures, months, and the same as a spreadsheet."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from conversions.common import measures
from conversions.groups.tenancy import open_to

from . import counts, spreadsheet
from .strip import strip


def asked_year(request: HttpRequest) -> int:
    """The year in the address, if there is one to look at; else this one."""
    text = request.GET.get("year", "")
    return (
        int(text) if text.isascii() and text.isdecimal() and 1900 < int(text[:5]) < 3000 else request.group.today().year
    )


@open_to("reader", "lead", "visitor")
def tally(request: HttpRequest) -> HttpResponse:
    year = counts.year(request.group, asked_year(request))
    years = counts.years(request.group)
    today = request.group.today()
    context = {
        "place": "tally",
        "year": year,
        "years": years if year.year in years else [year.year, *years],
        "until": today if year.year == today.year else None,
        "may_download": bool(request.member.roles & {"organiser", "reader"}),
        "may_close": bool(request.member.roles & {"organiser", "lead"}),
        "goal_shown": year.goal_m2 and measures.area(year.goal_m2, request.group.units, 0),
        "strip": strip(year.months, year.total_m2, year.goal_m2, request.group.units),
    }
    return render(request, "tally/tally.html", context)


@open_to("reader")
def ground_csv(request: HttpRequest) -> HttpResponse:
    year = asked_year(request)
    response = HttpResponse(
        spreadsheet.write(counts.ledger(request.group, year)), content_type="text/csv; charset=utf-8"
    )
    response["Content-Disposition"] = f'attachment; filename="ground-{year}.csv"'
    return response
