"""Signing up to help, and calling off again, behind a link and without an account."""

import uuid

from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt

from conversions.groups.models import Member
from conversions.people import links
from conversions.people.models import Link
from conversions.people.public import behind_link

from . import actions, forms, roster, where
from .models import Day, SignUp


# The address itself is the key: a foreign page does not know it. And a page that tells no referrer sends its form with an
# empty origin, which the usual check would refuse.
@csrf_exempt
@behind_link("sign-up")
def sign_up(request: HttpRequest, link: Link) -> HttpResponse:
    """The day's own link asks for a name; the link made for one person says "you are coming"."""
    day = Day.of(link.group).for_lists().filter(pk=link.subject_id).first()
    if day is None:
        raise links.Dead(link)
    timezone.activate(link.group.zone)
    translation.activate(link.group.language)
    return _mine(request, link, day) if link.person else _ask(request, link, day)


def standing(day: Day) -> str:
    """How things are, for a stranger: open, full, off or past."""
    if day.state == "cancelled":
        return "off"
    if day.state == "closed" or day.on < day.group.today():
        return "past"
    return "open" if roster.places_left(day) else "full"


def _context(link, day: Day) -> dict:
    told = where.is_told(day, link.group.today())  # shown on the own page only
    context = {"group": link.group, "day": day, "streets": where.streets(day), "standing": standing(day)}
    return context | {"is_told": told}


def _ask(request: HttpRequest, link, day: Day) -> HttpResponse:
    context = _context(link, day)
    form = forms.SignUpForm(request.POST or None, initial={"uid": uuid.uuid4()} | _account(request, link.group))
    status = 200
    if request.method == "POST" and form.is_valid():
        try:
            member = _member_person(request, link.group)
            row = actions.sign_up(day=day, person=member, **form.cleaned_data)
            # a name and a number prove nobody: only the press that made the row, or an account, opens the own page
            if member or row.uid == form.cleaned_data["uid"]:
                mine = links.make("sign-up", "day", day, person=row.person)
                return redirect("sign-up-public", token=links.token(mine))
            context = _context(link, day) | {"standing": "listed"}
        except roster.Full:
            context["standing"] = "full"
            status = 409
        except ValidationError as error:
            forms.as_form_errors(form, error)
            context = _context(link, day)
        except IntegrityError:
            form.add_error(None, _("Somebody pressed at the same moment. Press once more."))
    context |= {"form": form, "left": roster.places_left(day)}
    return render(request, "builds/sign_up.html", context, status=status)


def _member(request: HttpRequest, group) -> Member | None:
    if not request.user.is_authenticated:
        return None
    return Member.of(group).filter(user=request.user, ended_on=None).select_related("user").first()


def _account(request: HttpRequest, group) -> dict:
    member = _member(request, group)
    return {"name": str(member), "phone": member.user.email} if member else {}


def _member_person(request: HttpRequest, group):
    """Somebody signed in to this group signs up as themselves, so that the day shows among their own."""
    member = _member(request, group)
    return roster.person_for(member) if member else None


def _mine(request: HttpRequest, link: Link, day: Day) -> HttpResponse:
    row = SignUp.of(link.group).filter(day=day, person=link.person).select_related("day", "person").first()
    if row is None:
        raise links.Dead(link)
    context = _context(link, day) | {"row": row, "contact": row.person}  # whose wish for large print the page follows
    if request.method == "POST":
        try:
            if request.POST.get("do") == "off":
                actions.call_off(sign_up=row)
            elif request.POST.get("do") == "come":
                actions.sign_up(day=day, person=row.person, role=row.role)
            return redirect("sign-up-public", token=links.token(link))
        except ValidationError as error:
            context |= {"trouble": " ".join(error.messages)}
    return render(request, "builds/coming.html", context)
