"""Who is in the group: roles, invitations, and going."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from conversions.groups.models import Member
from conversions.groups.tenancy import fetch, open_to
from conversions.groups.ways import go

from . import actions, links
from .group_history import role_words
from .joining_forms import InviteForm, RolesForm
from .models_invite import Invite


@require_http_methods(["GET", "HEAD", "POST"])
def members(request: HttpRequest) -> HttpResponse:
    form = InviteForm(request.POST or None, group=request.group)
    if request.method == "POST" and form.is_valid():
        try:
            invite = actions.invite(group=request.group, by=request.member, **form.cleaned_data)
        except ValidationError as error:
            form.add_error(None, error)
        else:
            return redirect(f"{go(request, 'members').url}?new={invite.pk}#invite-{invite.pk}")
    return _page(request, form, status=400 if form.errors else 200)


def _page(request: HttpRequest, form: InviteForm, status: int = 200) -> HttpResponse:
    rows = Member.of(request.group).filter(ended_on=None).select_related("user").order_by("user__name", "user__email")
    people = [{"member": m, "words": role_words(m.roles), "form": roles_form(m)} for m in rows]
    invites = Invite.open_in(request.group).select_related("by__user").order_by("-pk")
    page = {
        "people": people,
        "form": form,
        "invites": [{"row": i, "words": role_words(i.roles), "address": links.address(i, request)} for i in invites],
        "new": request.GET.get("new", ""),
    }
    return render(request, "people/members.html", page, status=status)


def roles_form(member: Member, data=None) -> RolesForm:
    return RolesForm(data, prefix=f"m{member.pk}", initial={"roles": list(member.roles - {"helper"})})


@require_POST
def member_roles(request: HttpRequest, pk: int) -> HttpResponse:
    member = fetch(request, Member, pk=pk)
    form = roles_form(member, request.POST)
    try:
        if not form.is_valid():
            raise ValidationError(_("One of these roles is not known. Nothing was changed."))
        actions.change_roles(member=member, by=request.member, roles=form.cleaned_data["roles"])
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    else:
        messages.success(request, _("%(who)s: %(roles)s.") % {"who": member, "roles": role_words(member.roles)})
    still_in = member.pk != request.member.pk or member.is_organiser
    return go(request, "members" if still_in else "week")


@require_http_methods(["GET", "HEAD", "POST"])
def member_remove(request: HttpRequest, pk: int) -> HttpResponse:
    member = fetch(request, Member.of(request.group).filter(ended_on=None).select_related("user"), pk=pk)
    if member.pk == request.member.pk:
        return go(request, "leave")
    return _end(request, member)


@open_to("visitor", "lead", "reader", "helper")
@require_http_methods(["GET", "HEAD", "POST"])
def leave(request: HttpRequest) -> HttpResponse:
    return _end(request, request.member)


def _end(request: HttpRequest, member: Member) -> HttpResponse:
    """Ask once, then end it. The same page for oneself and for somebody else."""
    is_me = member.pk == request.member.pk
    error = None
    if request.method == "POST":
        try:
            actions.remove(member=member, by=request.member)
        except ValidationError as refused:
            error = " ".join(refused.messages)
        else:
            done = _("You have left %(group)s.") if is_me else _("%(who)s is no longer in the group.")
            messages.success(request, done % {"who": member, "group": request.group})
            return redirect("start") if is_me else go(request, "members")
    page = {"member": member, "is_me": is_me, "error": error}
    return render(request, "people/members_end.html", page, status=409 if error else 200)


@require_POST
def invite_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    if actions.revoke(invite=fetch(request, Invite, pk=pk)):
        messages.success(request, _("The invitation was taken back. Its link opens nothing now."))
    else:
        messages.warning(request, _("That invitation was used or taken back already."))
    return go(request, "members")
