"""What somebody sees whose link no longer opens anything: a human page with a phone number, never a bare error."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import translation

from conversions.groups.models import Group

from .links import Dead


def private(response: HttpResponse) -> HttpResponse:
    """Headers of every page behind a link: its address is a key, so it is told to nobody and kept nowhere."""
    response["Referrer-Policy"] = "no-referrer"
    response["Cache-Control"] = "private, no-store"
    response["X-Robots-Tag"] = "noindex, nofollow"
    return response


def dead(request: HttpRequest, error: Dead) -> HttpResponse:
    """410 where the token named a link that was taken back or ran out, 404 where it named nothing.

    A token that names nothing says nothing about its group either, so then every group here that has a phone is listed.
    """
    group = error.link.group if error.link else None
    if group:
        translation.activate(group.language)
    others = [] if group else list(Group.objects.exclude(phone="").order_by("name")[:20])
    page = {"group": group, "others": others, "link": error.link}
    return private(render(request, "people/dead_link.html", page, status=410 if error.link else 404))
