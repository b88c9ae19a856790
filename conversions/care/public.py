"""The care sheet behind a link: the page and the kept paper, always the newest issue."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import translation
from django.views.decorators.http import require_safe

from conversions.people import links
from conversions.people.public import dead, private

from . import sheet as paper
from .models import CareSheet


def newest(token: str) -> CareSheet:
    """The newest sheet of the garden the link was made for, so that an old printed link never shows old dates."""
    link = links.read("care", token)
    named = CareSheet.of(link.group).filter(pk=link.subject_id).values("conversion")
    sheets = CareSheet.of(link.group).filter(conversion__in=named).order_by("-n")
    sheet = sheets.select_related("conversion__group", "conversion__place", "conversion__household__contact").first()
    if sheet is None:
        raise links.Dead(link)
    return sheet


@login_not_required
@require_safe
def care(request: HttpRequest, token: str) -> HttpResponse:
    try:
        sheet = newest(token)
    except links.Dead as error:
        return dead(request, error)
    conversion = sheet.conversion
    with translation.override(paper.language_of(conversion)):
        today = conversion.group.today()
        page = paper.context(conversion, first_on=sheet.first_on, today=today)
        page["bands"] = [band for band in page["bands"] if band["until"] is None or band["until"] >= today]
        return private(render(request, "care/public.html", {**page, "token": token}))


@login_not_required
@require_safe
def care_paper(request: HttpRequest, token: str) -> HttpResponse:
    try:
        sheet = newest(token)
    except links.Dead as error:
        return dead(request, error)
    return private(paper.kept(sheet))
