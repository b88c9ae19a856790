"""Lengths measured across a patch, from corner to corner: they check the shape and change no figure."""

import copy
import math

from django.utils.translation import gettext as _

from conversions.common import measures

NEAR_M, NEAR_SHARE = 0.05, 0.01  # how far tape and sides may differ: common practice, no source


def with_across(document: dict, uid: str, data: dict) -> dict:
    """The document with one more length across; one between the same two corners takes the place of the earlier."""
    out = copy.deepcopy(document)
    patch = next(patch for patch in out["patches"] if patch["uid"] == uid)
    ends = {data["start"], data["end"]}
    rows = [row for row in measured(patch) if {row.get("from"), row.get("to")} != ends]
    row = {"from": data["start"], "to": data["end"], "tape_m": round(float(data["tape"].metres), 4)}
    patch["typed"] = {**(patch.get("typed") or {}), "measured": [*rows, row]}
    return out


def measured(patch: dict) -> list[dict]:
    return list((patch.get("typed") or {}).get("measured") or ())


def said(patch: dict, units: str) -> list[dict]:
    """{"words", "agrees"} of each length across that can be compared with the sides."""
    spots = {corner["id"]: (corner["x"], corner["y"]) for corner in patch.get("corners") or ()}
    out = []
    for row in measured(patch):
        a, b, tape = spots.get(row.get("from")), spots.get(row.get("to")), row.get("tape_m")
        if not (a and b and tape):
            continue
        sides = math.dist(a, b)
        words = _("%(from)s to %(to)s: the tape says %(tape)s, your sides give %(sides)s.") % {
            "from": row["from"],
            "to": row["to"],
            "tape": measures.length(tape, units),
            "sides": measures.length(sides, units),
        }
        agrees = abs(sides - tape) <= max(NEAR_M, NEAR_SHARE * tape)
        after = _("They agree.") if agrees else _("Measure the sides and this once more before you build.")
        out.append({"words": f"{words} {after}", "agrees": agrees})
    return out
