"""What changed in the group itself: who came in and went, new roles, new numbers; newest first, with who did it."""

from dataclasses import dataclass

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from conversions.groups.fields import ROLES
from conversions.groups.models import Group
from conversions.sizing.own import OWN

from .models import Event
from .numbers_form import label_of, shown, unit_of

PAGE = 40


@dataclass(frozen=True)
class Told:
    event: Event
    words: str
    notes: tuple[str, ...]


def role_words(roles: list[str]) -> str:
    return ", ".join(str(word) for role, word in ROLES if role in roles) or _("helper")


def told(event: Event, group: Group) -> Told:
    words = str(Event.VERBS[event.verb])
    if event.person:
        words = f"{event.person} {words}"
    return Told(event, words, tuple(_note(name, old, new, group) for name, (old, new) in event.changed.items()))


def _note(name: str, old: object, new: object, group: Group) -> str:
    if name == "roles":
        return _("%(old)s, now %(new)s") % {"old": role_words(old), "new": role_words(new)} if old else role_words(new)
    if name not in OWN:  # a number this engine does not have any more
        return name
    row = OWN[name]
    unit = unit_of(row, group.units)
    was, now = (_("the book") if value is None else f"{shown(value, unit)} {unit.words}" for value in (old, new))
    return _("%(what)s: from %(old)s to %(new)s") % {"what": label_of(row), "old": was, "new": now}


@require_safe
def history(request: HttpRequest) -> HttpResponse:
    rows = Event.of(request.group).filter(verb__in=Event.OF_THE_GROUP).select_related("by__user", "person")
    page = Paginator(rows, PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "rows": [told(event, request.group) for event in page]}
    return render(request, "people/history.html", context)
