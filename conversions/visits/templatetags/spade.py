"""What keeps the spade out of a yard, for pages of parts that stand to the left: {% what_blocks yard %}, {% take_care yard %}."""

from typing import Any

from django import template

from conversions.visits.cautions import raised_cautions
from conversions.visits.checklist import read_answers, stops
from conversions.yards.models import Conversion

register = template.Library()

BEFORE_DIGGING = ("enquiry", "visited", "quoted", "agreed", "booked")


@register.inclusion_tag("visits/_blocks.html", takes_context=True)
def what_blocks(context: dict[str, Any], yard: Conversion) -> dict[str, Any]:
    """Stops with their reason, then what nobody answered yet; nothing before anybody was there, or after it is dug.

    `yard` came through `yards.steps.with_rows`, so that its visits are at hand.
    """
    request = context["request"]
    begun = [visit for visit in yard.visits.all() if visit.state in ("under way", "done", "cut short")]
    if not begun or yard.stage not in BEFORE_DIGGING:
        return {}
    found = stops(yard)
    return {
        "request": request,
        "stops": [row for row in found if row["kind"] == "stop"],
        "unanswered": [row for row in found if row["kind"] == "unanswered"],
        "visit": max(begun, key=lambda visit: visit.pk),
        "may_answer": bool(request.member.roles & {"organiser", "visitor"}),
    }


@register.inclusion_tag("visits/_care.html", takes_context=True)
def take_care(context: dict[str, Any], yard: Conversion) -> dict[str, Any]:
    """The advice that the answers of a visit brought up, for as long as somebody may dig; stops stand elsewhere."""
    if yard.stage not in BEFORE_DIGGING or not _was_visited(yard):
        return {}
    found = raised_cautions(read_answers(yard))
    return {"request": context["request"], "advice": [row for row in found if row.severity == "advice"]}


def _was_visited(yard: Conversion) -> bool:
    return any(visit.state in ("under way", "done", "cut short") for visit in yard.visits.all())
