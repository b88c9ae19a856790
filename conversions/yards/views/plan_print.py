"""The plan alone as a paper, in colour or in black and white."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from conversions.groups.tenancy import open_to

from .. import plan_print as paper
from .desk import desk


@open_to("visitor")
@require_safe
def plan_print(request: HttpRequest, pk: int) -> HttpResponse:
    """The drawing on the desk, or the one asked for by its number. Kept nowhere."""
    at, bw = desk(request, pk), request.GET.get("bw") == "1"
    content = paper.pdf(yard=at.yard, draft=at.draft, document=at.document, group=request.group, bw=bw)
    answer = HttpResponse(content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{paper.file_name(at.yard, at.draft, bw)}"'
    answer["Cache-Control"] = "private, no-store"
    return answer
