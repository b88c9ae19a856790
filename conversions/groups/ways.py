"""Redirects inside the current group; the twin of {% go %}."""

from django.http import HttpRequest, HttpResponseRedirect
from django.shortcuts import redirect


def go(request: HttpRequest, name: str, **kwargs: object) -> HttpResponseRedirect:
    return redirect(name, group=request.group.slug, **kwargs)
