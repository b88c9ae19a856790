"""What belongs to an account or to the whole group: the start page, dusk, and the group's own page."""

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from . import actions
from .forms import GroupPageForm, UsesForm
from .ways import go

LOOK_AGE = 60 * 60 * 24 * 365


def may_start() -> bool:
    """Whether anybody may start a group here, or only whoever runs the site."""
    return settings.REGISTRATION == "open"


def start(request: HttpRequest) -> HttpResponse:
    memberships = list(request.user.memberships.filter(ended_on=None).select_related("group").order_by("group__name"))
    if len(memberships) == 1:
        return redirect("week", group=memberships[0].group.slug)
    return render(request, "groups/start.html", {"memberships": memberships, "may_start": may_start})


def _back(request: HttpRequest) -> HttpResponse:
    back = request.POST.get("back", "")
    safe = url_has_allowed_host_and_scheme(back, allowed_hosts={request.get_host()}, require_https=request.is_secure())
    return redirect(back if safe else "start")


@require_POST
def speak(request: HttpRequest) -> HttpResponse:
    """The language of whoever is signed in, on every phone and in every group of theirs."""
    language = request.POST.get("language", "")
    answer = _back(request)
    if language in dict(settings.LANGUAGES):
        actions.choose_language(user=request.user, language=language)
        answer.set_cookie(settings.LANGUAGE_COOKIE_NAME, language, max_age=LOOK_AGE, samesite="Lax", httponly=True)
    return answer


@require_POST
def look(request: HttpRequest) -> HttpResponse:
    """Light or dusk, kept on this phone only and never chosen by the phone itself."""
    answer = _back(request)
    if request.POST.get("look") == "dusk":
        answer.set_cookie("look", "dusk", max_age=LOOK_AGE, httponly=True, samesite="Lax", secure=request.is_secure())
    else:
        answer.delete_cookie("look", samesite="Lax")
    return answer


@require_http_methods(["GET", "HEAD", "POST"])
def group_edit(request: HttpRequest) -> HttpResponse:
    group = request.group
    form = GroupPageForm(request.POST or None, group=group, initial=GroupPageForm.what_stands(group))
    if request.method == "POST" and form.is_valid():
        actions.change_group(group=group, **form.values())
        messages.success(request, _("Kept."))
        return go(request, "group-edit")
    return render(request, "groups/group.html", {"form": form}, status=400 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def uses(request: HttpRequest) -> HttpResponse:
    """What this group works with beyond the plain rules: all off until somebody wants it."""
    form = UsesForm(request.POST or None, group=request.group)
    if request.method == "POST" and form.is_valid():
        if form.has_changed():
            actions.change_group(group=request.group, fire_strip_m=form.cleaned_data["fire_strip"])
        messages.success(request, _("Kept."))
        return go(request, "uses")
    return render(request, "groups/uses.html", {"form": form}, status=400 if form.errors else 200)
