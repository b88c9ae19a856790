"""The care sheet behind a link: the page and the kept paper, always the newest issue."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import translation
from django.views.decorators.http import require_safe

from conversions.people import links
from conversions.people.models import Link
from conversions.people.public import behind_link

from . import sheet as paper
from .models import CareSheet


def newest(link: Link) -> CareSheet:
    """The newest sheet of the garden the link was made for, so that an old printed link never shows old dates."""
    named = CareSheet.of(link.group).filter(pk=link.subject_id).values("conversion")
    sheets = CareSheet.of(link.group).filter(conversion__in=named).order_by("-n")
    sheet = sheets.select_related("conversion__group", "conversion__place", "conversion__household__contact").first()
    if sheet is None:
        raise links.Dead(link)
    return sheet


@require_safe
@behind_link("care")
def care(request: HttpRequest, link: Link) -> HttpResponse:
    sheet = newest(link)
    conversion = sheet.conversion
    with translation.override(paper.language_of(conversion)):
        today = conversion.group.today()
        page = paper.context(conversion, first_on=sheet.first_on, today=today)
        page["bands"] = [band for band in page["bands"] if band["until"] is None or band["until"] >= today]
        return render(request, "care/public.html", {**page, "token": links.token(link)})


@require_safe
@behind_link("care")
def care_paper(request: HttpRequest, link: Link) -> HttpResponse:
    return paper.kept(newest(link))
