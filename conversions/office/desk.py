"""Pages for whoever answers the telephone: finding somebody, and all we hold on them."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from conversions.groups.tenancy import fetch, open_to
from conversions.people.models import Person

from . import access
from . import search as finding


@open_to("visitor", "lead")
@require_safe
def search(request: HttpRequest) -> HttpResponse:
    asked = request.GET.get("q", "").strip()[:120]
    context = {
        "asked": asked,
        "found": finding.find(request.group, request.member, asked),
        "may_see_all": "organiser" in request.member.roles,
    }
    return render(request, "office/search.html", context)


@require_safe
def person_all(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything we hold on one person, to read out or to print and hand over."""
    person = fetch(request, Person.of(request.group).select_related("member__user"), pk=pk)
    context = {
        "person": person,
        "account": access.account_of(person),
        "sections": access.all_on(person),
        "today": request.group.today(),
    }
    return render(request, "office/person_all.html", context)
