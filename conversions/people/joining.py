"""Coming in: the page behind an invitation, and starting a group; both open to people without an account."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from conversions.common.throttle import too_often
from conversions.groups.fields import AccountForm
from conversions.groups.models import Group, Member

from . import actions, links
from .group_history import role_words
from .joining_forms import NewGroupForm, StartForm
from .public import private

BACKEND = "django.contrib.auth.backends.ModelBackend"
STARTS_AN_HOUR = 10


def at_home(response: HttpResponse) -> HttpResponse:
    """As behind every link, but our own pages may know where their form came from: this one does use a cookie."""
    private(response)["Referrer-Policy"] = "same-origin"
    return response


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest, token: str) -> HttpResponse:
    try:
        invite = links.read_invite(token)
        return at_home(_join(request, token, invite))
    except links.Dead as error:
        page = {"invite": error.link, "group": error.link and error.link.group}
        return at_home(render(request, "people/invite_dead.html", page, status=410 if error.link else 404))


def _join(request: HttpRequest, token: str, invite) -> HttpResponse:
    form = None if request.user.is_authenticated else AccountForm(request.POST or None)
    page = {
        "invite": invite,
        "group": invite.group,
        "words": role_words(invite.roles),
        "form": form,
        "path": request.path,
    }
    if form is None:
        page["is_in"] = Member.of(invite.group).filter(user=request.user, ended_on=None).exists()
    if request.method == "POST" and (form is None or form.is_valid()):
        try:
            member = actions.join(invite=invite, user=form.account() if form else request.user)
        except actions.AlreadyIn:
            return redirect("week", group=invite.group.slug)
        except (ValidationError, IntegrityError) as error:  # the same e-mail, a moment before, from elsewhere
            if form is None:
                messages.error(request, _lost(error))
                return redirect(request.path)
            form.add_error(None, _lost(error))
        else:
            return _welcome(request, member)
    return render(request, "people/invite_join.html", page, status=400 if form and form.errors else 200)


def _lost(error: Exception) -> str:
    if isinstance(error, ValidationError):
        return " ".join(error.messages)
    return _("Somebody was faster with this name or e-mail. Press once more.")


def _welcome(request: HttpRequest, member: Member) -> HttpResponse:
    if not request.user.is_authenticated:
        login(request, member.user, backend=BACKEND)
    messages.success(request, _("Welcome to %(group)s.") % {"group": member.group})
    return redirect("week", group=member.group.slug)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def group_start(request: HttpRequest) -> HttpResponse:
    if settings.REGISTRATION != "open":
        others = Group.objects.exclude(phone="").order_by("name")[:20]
        return render(request, "people/start_closed.html", {"others": others}, status=403)
    form = (NewGroupForm if request.user.is_authenticated else StartForm)(request.POST or None)
    status = 200
    if request.method == "POST":
        if form.is_valid() and too_often("start", request.META["REMOTE_ADDR"], most=STARTS_AN_HOUR):
            form.add_error(
                None, _("Many groups were started from here within the hour. Wait an hour, then press again.")
            )
            status = 429
        elif form.is_valid():
            try:
                return _welcome(request, _start(request, form))
            except (ValidationError, IntegrityError) as error:
                form.add_error(None, _lost(error))
        status = max(status, 400)
    return render(request, "people/start.html", {"form": form}, status=status)


def _start(request: HttpRequest, form: NewGroupForm) -> Member:
    told = form.cleaned_data
    user = request.user if request.user.is_authenticated else form.account()
    return actions.start_group(name=told["name"], user=user, zone=told["zone"], units=told["units"])
