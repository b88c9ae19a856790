"""What a yard waits for: {% what_waits yard %}."""

from typing import Any

from django import template

from conversions.yards import holds
from conversions.yards.hold_kinds import BUILDING, RULES
from conversions.yards.hold_words import stands
from conversions.yards.models import Conversion, Hold

register = template.Library()
register.filter("stands", stands)  # {{ hold|stands }}
GOES_ON = ("enquiry", "visited", "quoted", "agreed", "booked")
BY_HAND = ("owner", "association", "strip", "rebate")  # the others come from the answers of a visit


@register.inclusion_tag("yards/_holds.html", takes_context=True)
def what_waits(context: dict[str, Any], yard: Conversion) -> dict[str, Any]:
    """Every hold with why it blocks, while the yard goes on; what was not needed after all is history."""
    request = context["request"]
    if yard.stage not in GOES_ON:
        return {}
    found = [row for row in yard.holds.all() if row.state != "not needed" or row.cleared_by_id]
    rows = [{"hold": row, "why": holds.why_here(row, BUILDING)} for row in found]
    for row in rows:
        row["is_stop"] = row["hold"].state == "refused" or RULES[row["hold"].kind].is_safety
    may_add = bool(request.member.roles & {"organiser", "visitor"})
    here = {row["hold"].kind for row in rows}
    kinds = [(code, word) for code, word in Hold.KINDS if code in BY_HAND and code not in here]
    return {"request": request, "yard": yard, "holds": rows, "may_add": may_add and kinds, "kinds": kinds}
