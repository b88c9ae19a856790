"""The start page of somebody signed in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render


def start(request: HttpRequest) -> HttpResponse:
    memberships = list(request.user.memberships.filter(ended_on=None).select_related("group").order_by("group__name"))
    if len(memberships) == 1:
        return redirect("week", group=memberships[0].group.slug)
    return render(request, "groups/start.html", {"memberships": memberships})
