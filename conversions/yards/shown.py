"""The plan page's context: the drawing, the sides in order, the beds, and what it takes."""

import math
from itertools import pairwise

from django.utils.translation import gettext as _

from conversions import sizing
from conversions.common import measures
from conversions.groups.models import Group, Member

from . import acrosses, measure, sketch, walk
from .drawing import plan_svg
from .forms import AcrossForm
from .steps import DRAWERS

REST = tuple(key for key in measure.LABELS if key not in measure.SHOWN)


def plan_context(desk, group: Group, member: Member, across: AcrossForm | None = None) -> dict:
    """Everything the plan page shows. `desk` is views.desk.Desk; `across` a form that needs mending."""
    look = measure.look(desk.document, group)
    drawings = list(desk.yard.drafts.defer("site", "takeoff").select_related("by__user").order_by("number"))
    sized, counting = bool(look.takeoff), desk.yard.drawing()
    return {
        "place": "yards",
        "desk": desk,
        "yard": desk.yard,
        "look": look,
        "to_mend": across,
        "problems": measure.told(look, desk.document),
        "plan": plan_svg(look.drawable, look.takeoff, prefix="plan", units=group.units)
        if desk.document["patches"]
        else "",
        "plan_small": plan_svg(look.drawable, look.takeoff, prefix="small", compact=True, units=group.units)
        if desk.document["patches"]
        else "",
        "patches": [
            _patch_rows(patch, desk.document, look.takeoff, group, across) for patch in desk.document["patches"]
        ],
        "figures": measure.figure_rows(look.takeoff, group, measure.SHOWN),
        "rest": measure.figure_rows(look.takeoff, group, REST),
        "notices": _notices(look.takeoff),
        "others": [draft for draft in drawings if draft.state == "open" and draft.number != desk.number],
        "offers_fire_rule": "organiser" in member.roles and _may_need_fire_rule(desk.document, group),
        "has_old_numbers": bool(desk.number) and measure.has_old_numbers(desk.document, group),
        "is_kept": bool(desk.draft and desk.draft.state == "kept"),
        "can_take_back": bool(desk.number and desk.revision > 1),
        "can_keep": sized and look.is_sound,
        "counts": desk.draft is None or desk.draft == counting,
        "counting": counting,
        "may_quote": "organiser" in member.roles,
        "may_draw": bool(member.roles & DRAWERS),
        "shapes": walk.SHAPES.values(),
        "beyond": [
            {"code": code, "words": words, "texture": walk.BEYOND_TEXTURE[code]} for code, words in walk.BEYOND.items()
        ],
    }


def _notices(takeoff: dict) -> list[str]:
    rows = takeoff.get("advice", []) + takeoff.get("warnings", [])
    return list(
        dict.fromkeys(_(row["message"]).format(**row["values"]) for row in rows if row["code"] != "absurd-side")
    )


def _patch_rows(patch: dict, document: dict, takeoff: dict, group: Group, across: AcrossForm | None) -> dict:
    sized = takeoff.get("patches", {}).get(patch["uid"])
    cover = measures.area(sized["cover_m2"], group.units) if sized else ""
    beds = [_bed_row(bed, number, patch, takeoff, group) for number, bed in _numbered(document, patch["uid"])]
    return {
        "patch": patch,
        "sized": sized,
        "cover": cover,
        "cover_number": cover.partition(" ")[0],
        "cover_unit": cover.partition(" ")[2],
        "cover_other": sized and measures.area(sized["cover_m2"], measures.other(group.units)),
        "sides": side_rows(patch, sized, group),
        "beds": beds,
        "across": acrosses.said(patch, group.units),
        "across_form": _across_form(patch, group, across),
        "why_long": patch.get("typed", {}).get("why_long", ""),
        "is_typed": patch["shape"] in walk.SHAPES,
        "open_sides": sum(code == "open" for code in walk.beyond_of(patch).values()),
    }


def _across_form(patch: dict, group: Group, bound: AcrossForm | None) -> AcrossForm | None:
    """None where there is nothing across to measure: a circle, or three sides that fix the shape."""
    if len(patch.get("corners") or ()) < 4:
        return None
    return bound if bound and bound.patch["uid"] == patch["uid"] else AcrossForm(group=group, patch=patch)


def _numbered(document: dict, patch_uid: str) -> list[tuple[int, dict]]:
    return [(n, bed) for n, bed in enumerate(document.get("beds", []), start=1) if bed["patch"] == patch_uid]


def _may_need_fire_rule(document: dict, group: Group) -> bool:
    """A fence that burns stands beside this lawn, and nobody said yet whether a fire rule holds where the group works."""
    if group.fire_strip_m or document.get("fire_strip_m"):
        return False
    corners = [corner for patch in document["patches"] for corner in (patch.get("corners") or [patch.get("circle")])]
    return any(corner and corner.get("beyond") == "fence" and corner.get("burns", True) for corner in corners)


def side_rows(patch: dict, sized: dict | None, group: Group) -> list[dict]:
    """The sides in the order they are walked, each with its length as typed and in both systems."""
    shape, typed = patch["shape"], patch.get("typed", {})
    raw, rows = typed.get("lengths", {}), []
    bare = patch | {"features": [], "marks": []}  # what stands on it may be what nobody can read
    lengths = sizing.edge_lengths(sizing.read_site({"schema": 1, "patches": [bare]}).patches[0])
    corners = patch["corners"] or [{"id": walk.ROUND, **patch["circle"]}]
    for index, corner in enumerate(corners):
        after = corners[(index + 1) % len(corners)]["id"]
        name, metres = corner["id"], lengths[corner["id"]]
        own = "across" if name == walk.ROUND else name
        follows = walk.SHAPES[shape].follows.get(name) if shape in walk.SHAPES else None
        rows.append(
            {
                "corner": name,
                "words": _("Round") if name == walk.ROUND else walk.between(name, after),
                "shown": measures.length(metres, group.units),
                "other": measures.length(metres, measures.other(group.units)),
                "raw": raw.get(own, ""),
                "can_type": own in raw,
                "follows": follows and walk.side_words(shape, follows),
                "beyond": corner["beyond"],
                "beyond_words": walk.BEYOND[corner["beyond"]],
                "texture": walk.BEYOND_TEXTURE[corner["beyond"]],
                "then": _becomes(corner["beyond"], name, metres, sized, group),
            }
        )
    return rows


def _becomes(beyond: str, corner: str, metres: float, sized: dict | None, group: Group) -> str:
    """What this side turns into, in words."""
    if sized is None:
        return ""
    if beyond == "house":
        return _("a strip is kept clear, no trench")
    dug = sum(part["length_m"] for part in sized["trench_segments"] if part["edge"] == corner)
    if beyond not in walk.HARD:
        return _("no trench")
    if dug < 0.005:
        return _("no trench: it lies in ground that is not dug")
    said = _("trench %(length)s") % {"length": measures.length(dug, group.units)}
    left = metres - dug
    if left > 0.005:
        said += "; " + _("%(length)s not dug") % {"length": measures.length(left, group.units)}
    return said


def _bed_row(bed: dict, number: int, patch: dict, takeoff: dict, group: Group) -> dict:
    sized = takeoff.get("beds", {}).get(bed["uid"])
    top = sketch.top_of(patch)
    x, y = (bed["x"], bed["y"]) if "x" in bed else bed["path"][len(bed["path"]) // 2]
    if bed["kind"] == "pocket":
        size = measures.length(bed["top_m"], group.units)
    else:
        long = bed.get("length_m") or sum(math.dist(a, b) for a, b in pairwise(bed["path"])) + bed["width_m"]
        size = f"{measures.length(long, group.units)} × {measures.length(bed['width_m'], group.units)}"
    return {
        "bed": bed,
        "number": number,
        "kind": str(measure.KINDS[bed["kind"]]).capitalize(),
        "size": size,
        "area": sized and measures.area(sized["area_m2"], group.units),
        "left": measures.length(x, group.units),
        "top": measures.length(top - y, group.units),
        "texture": {"mounded": "compost", "framed": "timber", "pocket": "chip"}[bed["kind"]],
    }
