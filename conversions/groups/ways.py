"""The ways of an answer inside the current group: a redirect (the twin of {% go %}), and whose session a phone has."""

from django.http import HttpRequest, HttpResponseRedirect, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect


def go(request: HttpRequest, name: str, **kwargs: object) -> HttpResponseRedirect:
    return redirect(name, group=request.group.slug, **kwargs)


def session(request: HttpRequest) -> JsonResponse:
    """Whose session this is, and the token that a POST needs: asked by a phone before it sends what it kept."""
    return JsonResponse({"csrf": get_token(request), "member": request.member.pk})
