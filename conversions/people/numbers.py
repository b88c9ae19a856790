"""The numbers of the book that a group sets itself: its page, and the history of each change."""

import json
from collections.abc import Mapping

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from conversions.groups.models import Group, Member
from conversions.groups.ways import go
from conversions.sizing.own import OWN, read_own

from .history import note_event
from .numbers_form import NumbersForm


def change_own(*, group: Group, by: Member, changes: Mapping[str, float | None]) -> Group:
    """Set some numbers of the book anew; None goes back to the book. What nobody named stays.

    Raises SiteError for a number out of bounds.
    """
    with transaction.atomic():
        group = Group.objects.select_for_update(no_key=True).get(pk=group.pk)
        wanted = {name: value for name, value in (group.own | dict(changes)).items() if value is not None}
        own, had = read_own(wanted).as_dict(), group.own
        changed = {name: [had.get(name), own.get(name)] for name in OWN if had.get(name) != own.get(name)}
        if changed:
            group.own = own
            group.full_clean()
            group.save(update_fields=["own"])
            note_event(group=group, verb="numbers-changed", by=by, changed=changed)
    return group


def _read(text: str) -> dict[str, float]:
    """The numbers that stood on the page when it was made; anything else is as if none had."""
    try:
        rows = json.loads(text or "{}")
    except ValueError:
        return {}
    rows = rows if isinstance(rows, dict) else {}
    return {name: value for name, value in rows.items() if name in OWN and isinstance(value, int | float)}


@require_http_methods(["GET", "HEAD", "POST"])
def numbers(request: HttpRequest) -> HttpResponse:
    group = request.group
    was = _read(request.POST.get("was", "")) if request.method == "POST" else group.own
    form = NumbersForm(request.POST or None, own=was, units=group.units)
    if request.method == "POST" and form.is_valid():
        change_own(group=group, by=request.member, changes=form.changes())
        messages.success(request, _("Kept. Plans already kept and quotes already sent stay as they are."))
        return go(request, "numbers")
    page = {"form": form, "was": json.dumps(was), "own": group.own}
    return render(request, "people/numbers.html", page, status=400 if form.errors else 200)
