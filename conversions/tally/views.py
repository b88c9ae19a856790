"""The tally of one year: figures, months, and the same as a spreadsheet."""

from decimal import Decimal

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from conversions.common import measures
from conversions.common.measures import FT2_M2
from conversions.common.money import rounded
from conversions.groups.tenancy import open_to

from . import counts, spreadsheet
from .strip import strip


def asked_year(request: HttpRequest) -> int:
    """The year in the address, if there is one to look at; else this one."""
    text = request.GET.get("year", "")
    return (
        int(text) if text.isascii() and text.isdecimal() and 1900 < int(text[:5]) < 3000 else request.group.today().year
    )


def adds_up(parts: list[Decimal], total: Decimal, units: str) -> bool:
    """Whether the figures as they are shown, each rounded by itself, make the total that is shown.

    >>> adds_up([Decimal("30.05"), Decimal("30.05")], Decimal("60.10"), "metric")  # 30.1 and 30.1 beside 60.1
    False
    """
    shown = [rounded(m2 / FT2_M2, 0) if units == "imperial" else rounded(m2, 1) for m2 in (*parts, total)]
    return sum(shown[:-1]) == shown[-1]


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
        "is_rounded": not (
            adds_up([month.m2 for month in year.months], year.total_m2, request.group.units)
            and adds_up([month.growing_m2 for month in year.months], year.growing_m2, request.group.units)
        ),
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
