"""What stops a yard, on pages of parts that stand to the left: {% what_stops yard %}."""

from collections.abc import Iterator
from typing import Any

from django import template

from conversions.visits.checklist import stops
from conversions.visits.effects import KINDS
from conversions.yards import holds
from conversions.yards.hold_kinds import BUILDING, RULES
from conversions.yards.models import Conversion

register = template.Library()

BEFORE_DIGGING = ("enquiry", "visited", "quoted", "agreed", "booked")


@register.inclusion_tag("office/_stops.html", takes_context=True)
def what_stops(context: dict[str, Any], yard: Conversion) -> dict[str, Any]:
    """Every stop that holds now, a line each, for who draws; nothing once it is dug, or where nobody goes on."""
    row = Conversion.of(yard.group_id).with_facts().select_related("group", "place", "household").get(pk=yard.pk)
    if row.stage not in BEFORE_DIGGING:
        return {}
    return {"request": context["request"], "yard": row, "stops": list(_lines(row))}


def _lines(yard: Conversion) -> Iterator[dict[str, Any]]:
    """A hold says how its matter stands now, settled or not; of the answers of a visit only those are told beside the
    holds that opened none. Open questions are one line, however many they are."""
    rows, asks = list(yard.holds.select_related("group", "patch")), False
    for hold in rows:
        why = holds.why_here(hold, BUILDING)
        if not why or hold.state != "refused" and not RULES[hold.kind].is_safety or hold.kind == "ask" and asks:
            continue
        asks = asks or hold.kind == "ask"
        yield {"what": hold.get_kind_display(), "why": why, "patch": hold.patch, "hold": hold}
    known = {(hold.kind, hold.patch_id) for hold in rows}
    for row in stops(yard):
        patch = row["patch"]
        if row["kind"] == "stop" and (KINDS.get(row["question"]), patch and patch.pk) not in known:
            yield {"what": row["words"], "why": row["why"], "patch": patch}
