"""Pages of the people we know: all of them, one of them, changing what we know, and what they allow."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from conversions.common.fold import asks
from conversions.groups.tenancy import Stale, fetch, open_to
from conversions.groups.ways import go

from . import consents
from .actions import change_person
from .forms import FIELDS, ConsentForm, PersonForm, person_values
from .models import Event, Message, Person

PAGE = 40


@require_safe
def people(request: HttpRequest) -> HttpResponse:
    asked = request.GET.get("q", "").strip()[:80]
    rows = Person.of(request.group).filter(erased_at=None).prefetch_related("households__conversions__place")
    if asked:
        rows = rows.filter(asks(asked, "search"))
    page = Paginator(rows.order_by("search", "pk"), PAGE).get_page(request.GET.get("page"))
    context = {"place": "yards", "page": page, "q": asked, "total": Person.of(request.group).count()}
    return render(request, "people/people.html", context)


@open_to("visitor")
@require_safe
def person(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, Person.of(request.group).select_related("member__user"), pk=pk)
    return _page(request, row, ConsentForm(group=request.group, person=row, initial={"on": request.group.today()}))


def _page(request: HttpRequest, row: Person, form: ConsentForm, status: int = 200) -> HttpResponse:
    is_organiser = "organiser" in request.member.roles
    told = Message.of(request.group).filter(person=row).exclude(state="dropped").order_by("-made_at", "-pk")
    events = Event.of(request.group).filter(person=row).select_related("by__user")
    context = {
        "place": "yards",
        "person": row,
        "yards": [yard for home in row.households.all() for yard in home.conversions.select_related("place")],
        "days": row.sign_ups.exclude(state="off").select_related("day").order_by("-day__on")[:10],
        "consents": consents.standing(row),
        "for_children": consents.of_children(row),
        "notice": consents.NOTICES[consents.NOTICE_VERSION],
        "form": form,
        "told": told.select_related("person", "done_by__user")[:10] if is_organiser else [],
        "events": events[:20],
        "is_organiser": is_organiser,
    }
    return render(request, "people/person.html", context, status=status)


@open_to("visitor")
@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, Person, pk=pk)
    form = PersonForm(request.POST or None, group=request.group, initial=person_values(row))
    context = {"place": "yards", "person": row, "form": form}
    if request.method == "POST" and form.is_valid():
        try:
            change_person(person=row, by=request.member, **form.cleaned_data)
            messages.success(request, _("Kept."))
            return go(request, "person", pk=pk)
        except Stale as stale:
            context |= _both(request, stale.row, form)
        except (ValidationError, IntegrityError) as error:
            words = error.messages if isinstance(error, ValidationError) else [_("Somebody was faster. Try once more.")]
            form.add_error(None, words)
    status = 409 if context.get("differs") is not None else 200
    return render(request, "people/person_edit.html", context, status=status)


def _both(request: HttpRequest, now: Person, form: PersonForm) -> dict:
    """What stands and what was typed, where they differ; the form may then be kept as typed."""
    typed = PersonForm(form.data.copy(), group=request.group)
    typed.data["revision"] = now.revision
    typed.is_valid()
    differs = [
        {"label": typed.fields[name].label, "theirs": getattr(now, name), "mine": typed.cleaned_data.get(name)}
        for name in FIELDS
        if getattr(now, name) != typed.cleaned_data.get(name)
    ]
    return {"form": typed, "differs": differs}


@open_to("visitor")
@require_POST
def consent(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, Person.of(request.group).select_related("member__user"), pk=pk)
    form = ConsentForm(request.POST, group=request.group, person=row)
    if not form.is_valid():
        return _page(request, row, form, status=400)
    consents.write_consent(person=row, by=request.member, **form.cleaned_data)
    messages.success(request, _("Written down."))
    return go(request, "person", pk=pk)
