"""Pages of the outbox: what is still to be told by hand, one message with its words, and the test message."""

import uuid

from django.conf import settings
from django.contrib import messages
from django.db.models import Q, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from conversions.builds.models import Day
from conversions.builds.roster import person_for
from conversions.care import actions as care
from conversions.care.models import CareSheet
from conversions.groups.models import Member
from conversions.groups.tenancy import fetch, open_to
from conversions.groups.ways import go
from conversions.people import letter_paper, letters, outbox
from conversions.people.forms import DoneForm
from conversions.people.models import Message

SHOWN = 60


def seen_by(member: Member) -> QuerySet[Message]:
    """Organisers see everything told; leads what belongs to build days; whoever runs one day, that day's."""
    rows = Message.of(member.group_id).select_related("person", "by__user", "done_by__user")
    if "organiser" in member.roles:
        return rows
    if "lead" in member.roles:
        return rows.exclude(day_id=None)
    runs = Day.of(member.group_id).filter(Q(lead=member) | Q(deputy=member))
    return rows.filter(day_id__in=runs.values("pk"))


@open_to("lead")
@require_safe
def outgoing(request: HttpRequest) -> HttpResponse:
    rows = seen_by(request.member)
    page = {
        "place": "week",
        "to_do": rows.filter(state__in=["by hand", "failed"])[:SHOWN],
        "waiting": rows.filter(state__in=["due", "leased"])[:SHOWN],
        "told": rows.filter(state="sent").order_by("-done_at")[:20],
        "has_server": bool(settings.EMAIL_HOST),
        "may_test": "organiser" in request.member.roles,
    }
    return render(request, "office/messages.html", page)


def _fetch(request: HttpRequest, pk: int) -> Message:
    return fetch(request, seen_by(request.member).select_related("person", "by__user", "link", "group"), pk=pk)


@open_to("lead", "visitor", "helper")
@require_safe
def message(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, _fetch(request, pk), DoneForm())


def _page(request: HttpRequest, row: Message, form: DoneForm, status: int = 200) -> HttpResponse:
    page = {
        "place": "week",
        "row": row,
        "letter": letters.compose(row, request),
        "form": form,
        "is_open": row.state in ("by hand", "failed"),
        "is_printed": letter_paper.is_printed(row),
        "has_server": bool(settings.EMAIL_HOST),
        "may_see_yard": bool(request.member.roles & {"organiser", "visitor", "lead"}),
    }
    return render(request, "office/message.html", page, status=status)


@open_to("lead", "visitor", "helper")
@require_POST
def done(request: HttpRequest, pk: int) -> HttpResponse:
    """Told, or tried in vain; the words typed go with it."""
    row = _fetch(request, pk)
    form = DoneForm(request.POST)
    if not form.is_valid():
        return _page(request, row, form, status=400)
    words = form.cleaned_data["words"]
    if request.POST.get("do") == "no answer":
        outbox.note_try(message=row, by=request.member, words=words)
        messages.info(request, _("Noted: nobody reached. It stays on the list."))
        return go(request, "message", pk=pk)
    if outbox.note_done(message=row, by=request.member, outcome=words):
        _hand_over(row, request.member)
        messages.success(request, _("Told: noted."))
    else:
        messages.info(request, _("Somebody was faster. Look at what stands now."))
        return go(request, "message", pk=pk)
    return go(request, "messages")


def _hand_over(row: Message, by: Member) -> None:
    """Whoever brought the care sheet has handed it over; it need not be noted a second time."""
    if row.kind == "care-sheet":
        for sheet in CareSheet.of(row.group).filter(pk=row.key.partition(":")[2]):
            care.hand_over(sheet=sheet, by=by)


@open_to("lead", "visitor", "helper")
@require_POST
def again(request: HttpRequest, pk: int) -> HttpResponse:
    if outbox.try_again(message=_fetch(request, pk)):
        messages.success(request, _("It goes out once more, to the address as it stands now."))
    return go(request, "message", pk=pk)


@open_to("lead", "visitor", "helper")
@require_safe
def paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The paper that goes with it, byte for byte."""
    row = _fetch(request, pk)
    if row.document is None or not row.document.content:
        raise Http404
    answer = HttpResponse(bytes(row.document.content), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{letters.file_name(row.document)}"'
    answer["Cache-Control"] = "private, no-store"
    return answer


@open_to("lead", "visitor", "helper")
@require_safe
def letter(request: HttpRequest, pk: int) -> HttpResponse:
    """The letter with its address, and before a call the page to ring from: to print. Nothing is kept of it."""
    answer = HttpResponse(letter_paper.print_letter(_fetch(request, pk)), content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="letter.pdf"'
    answer["Cache-Control"] = "private, no-store"
    return answer


@require_http_methods(["GET", "HEAD", "POST"])
def test(request: HttpRequest) -> HttpResponse:
    """Send me a test message: the same way every letter goes, and what came of it."""
    address = request.member.user.email
    if request.method == "POST":
        person = person_for(request.member)
        if not person.email:
            person.email = address
            person.save(update_fields=["email"])
        key = f"test:{uuid.uuid4()}"
        row = outbox.queue(key=key, kind="test", person=person, by=request.member, route="email")
        outbox.deliver_next(only=row)
        return go(request, "message", pk=row.pk)
    page = {"place": "week", "address": address, "has_server": bool(settings.EMAIL_HOST)}
    return render(request, "office/message_test.html", page)
