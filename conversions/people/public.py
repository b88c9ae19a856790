"""What somebody sees whose link no longer opens anything: a human page with a phone number, never a bare error."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import translation

from conversions.groups.models import Group

from .links import Dead, read


def behind_link(purpose: str) -> Callable[[Callable], Callable]:
    """A page that a link of this purpose opens, without an account: the view gets the Link in place of the token.

    A token that opens nothing, and a view that raises Dead itself, answer with the page for dead links. Whatever is
    answered carries the headers of `private`.
    """

    def mark(view: Callable) -> Callable:
        @login_not_required
        @wraps(view)
        def opened(request: HttpRequest, token: str, **more: Any) -> HttpResponse:
            try:
                return private(view(request, read(purpose, token), **more))
            except Dead as error:
                return dead(request, error)

        return opened

    return mark


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
