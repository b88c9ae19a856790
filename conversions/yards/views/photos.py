"""One picture: its bytes, behind the door; its page; and putting right what was said about it."""

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.db import IntegrityError
from django.db.models import QuerySet
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import get_conditional_response
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from conversions.groups.tenancy import fetch, open_to
from conversions.groups.ways import go

from .. import blurring, pictures
from ..forms.photos import BlurForm, MoveForm, PeopleForm, WhereForm
from ..models import Conversion, Photo


def _photos(request: HttpRequest) -> QuerySet[Photo]:
    return Photo.of(request.group).select_related("place", "patch", "by__user")


@open_to("visitor", "lead")
@require_safe
def photo(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """The bytes. A browser may keep them for its own person, and asks at the door each time whether it still may."""
    row = fetch(request, Photo, pk=pk)
    etag = f'"{row.pk}-{size}-{row.original_sha256[:16]}"'
    answer = get_conditional_response(request, etag=etag)
    if answer is None:
        try:
            picture = default_storage.open(row.thumb_key if size == "thumb" else row.view_key)
        except OSError as error:
            raise Http404 from error
        answer = FileResponse(picture, content_type="image/jpeg")
    answer["ETag"] = etag
    answer["Cache-Control"] = "private, no-cache"
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox"
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cross-Origin-Resource-Policy"] = "same-origin"
    return answer


@open_to("visitor", "lead")
@require_safe
def photo_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, fetch(request, _photos(request), pk=pk))


def _page(request: HttpRequest, row: Photo, status: int = 200, **bound: forms.Form) -> HttpResponse:
    yard = Conversion.of(request.group).for_lists().filter(place=row.place).first()
    same = list(row.place.photos.filter(slot=row.slot).exclude(pk=row.pk)) if row.slot in pictures.PAIRED else []
    context = {
        "place": "yards",
        "photo": row,
        "yard": yard,
        "why_private": pictures.why_private(row),
        "pairs": [pair for pair in _pairs([row, *same]) if row in (pair.before, pair.after)],
        "people_form": PeopleForm(initial={"people": row.people, "only_household": row.only_household}),
        "where_form": WhereForm(group=request.group, photo=row, initial={"slot": row.slot, "patch": row.patch_id}),
        "move_form": MoveForm(group=request.group, photo=row),
    }
    return render(request, "yards/photo.html", context | bound, status=status)


def _pairs(photos: list[Photo]) -> list[pictures.Pair]:
    return pictures.pairs(photos) + pictures.pairs(photos, after="follow-up")


@open_to("visitor", "lead")
def photo_blur(request: HttpRequest, pk: int) -> HttpResponse:
    """The picture under a grid: what is ticked cannot be made out in the copy."""
    row = fetch(request, _photos(request), pk=pk)
    form = BlurForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            copy = blurring.make_copy(photo=row, cells=form.chosen, by=request.member, uid=form.cleaned_data["uid"])
            messages.success(request, _("A blurred copy is made. Look at it: can anybody still be made out?"))
            return go(request, "photo-page", pk=copy.pk)
        except OSError:
            form.add_error(None, _("The file of this picture is gone. Take the picture again."))
        except (ValidationError, IntegrityError):
            form.add_error(None, _("This copy could not be kept. Open the page again."))
    context = {"place": "yards", "photo": row, "form": form}
    return render(request, "yards/photo_blur.html", context, status=400 if form.errors else 200)


@open_to("visitor", "lead")
@require_POST
def photo_people(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, _photos(request), pk=pk)
    form = PeopleForm(request.POST)
    if not form.is_valid():
        return _page(request, row, people_form=form)
    pictures.say_who_is_in_it(photo=row, **form.cleaned_data)
    messages.success(request, _("Kept."))
    return go(request, "photo-page", pk=pk)


@open_to("visitor", "lead")
@require_POST
def photo_where(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, _photos(request), pk=pk)
    form = WhereForm(request.POST, group=request.group, photo=row)
    if not form.is_valid():
        return _page(request, row, where_form=form)
    pictures.say_where(photo=row, **form.cleaned_data)
    messages.success(request, _("Kept."))
    return go(request, "photo-page", pk=pk)


@open_to("visitor", "lead")
@require_POST
def photo_move(request: HttpRequest, pk: int) -> HttpResponse:
    row = fetch(request, _photos(request), pk=pk)
    form = MoveForm(request.POST, group=request.group, photo=row)
    if not form.is_valid():
        return _page(request, row, move_form=form)
    yard = form.cleaned_data["yard"]
    pictures.move_to(photo=row, conversion=yard, by=request.member)
    messages.success(request, _("The picture stands with %(place)s now.") % {"place": yard.place})
    return go(request, "photo-page", pk=pk)
