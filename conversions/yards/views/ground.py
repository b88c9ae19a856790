"""Marking that the ground of a yard is that of another place, and taking that back."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from conversions.groups.tenancy import fetch, open_to
from conversions.groups.ways import go

from .. import same_ground
from ..forms import SameGroundForm
from ..models import Conversion
from .yards import edit_page


@open_to("visitor")
@require_POST
def same(request: HttpRequest, pk: int) -> HttpResponse:
    rows = Conversion.of(request.group).select_related("place__same_ground_as", "household__contact")
    row = fetch(request, rows, pk=pk)
    if request.POST.get("do") == "undo":
        return _undo(request, row)
    form = SameGroundForm(request.POST, group=request.group, place=row.place)
    if form.is_valid():
        try:
            place = same_ground.mark(place=row.place, other=form.cleaned_data["other"], by=request.member)
            messages.success(request, _("Kept. The square metres count at %s now.") % place.same_ground_as)
            return go(request, "yard", pk=pk)
        except ValidationError as error:
            form.add_error("other", error)
    return edit_page(request, row, status=400, ground_form=form)


def _undo(request: HttpRequest, row: Conversion) -> HttpResponse:
    same_ground.take_back(place=row.place, by=request.member)
    messages.success(request, _("They are two pieces of ground again."))
    if same_ground.is_uncounted(row.place):
        messages.info(request, _("A build day here counted nothing. Open that day again and close it: then it counts."))
    return go(request, "yard", pk=row.pk)
