"""What an answer changes in the open drawing: once, when it is given, and with a sentence that says so.

A kept drawing stays as it was promised, and one that somebody saves at this moment is theirs: a sentence says that too.
"""

import copy
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _

from conversions.common import measures
from conversions.groups.models import Member
from conversions.groups.tenancy import Stale
from conversions.sizing.catalogue import LAYERS
from conversions.yards.actions import open_draft, save_site
from conversions.yards.models import Conversion, Patch

from .checklist import Answers, read_answers
from .kinds import Detail
from .lengths import is_meant
from .models import Entry
from .questions import BY_CODE

CREEPING = ("runners", "bindweed")
# Where roots creep: a layer more than usual, which is four, and wide laps. Common practice, no source.
CREEPING_LAYERS, CREEPING_LAP_M = int(LAYERS.value) + 1, 0.20
FALL_OVER_M = 3  # the length over which the fall is asked for
SAME_M = 0.01  # nearer than a hand can move a tree on purpose


@dataclass(frozen=True)
class Written:
    """What the plan has now because of an answer, and what it could not take; sentences for whoever answered."""

    done: list[str] = field(default_factory=list)
    left: list[str] = field(default_factory=list)


Change = Callable[[dict, Answers, Written], None]  # site, answers, and what to say


def write_into_plan(*, conversion: Conversion, by: Member, questions: Iterable[str]) -> Written:
    """Take the answers to these questions into the open drawing; opens one where there is none and something to write."""
    asked, answers = set(questions), read_answers(conversion)
    changes = [change for needs, change in CHANGES if asked & set(needs)]
    drawing = conversion.drawing() if changes else None
    site, out = _changed(drawing.site if drawing else {}, changes, answers)
    if not out.done:
        return out
    if drawing is None:
        drawing = open_draft(conversion=conversion, by=by)
        site, out = _changed(drawing.site, changes, answers)
    if drawing.state != "open":
        return Written(left=[_("The plan is kept as it was promised, so it stays. Draw a new one to take this in.")])
    try:
        save_site(draft=drawing, revision=drawing.revision, site=site, by=by)
    except Stale:
        return Written(left=[_("Somebody saved the plan at this moment. Look there whether it has this answer.")])
    return out


def _changed(site: dict, changes: Iterable[Change], answers: Answers) -> tuple[dict, Written]:
    new, out = copy.deepcopy(site), Written()
    for change in changes:
        change(new, answers, out)
    return new, out


def _values(answers: Answers, question: str) -> list[tuple[Patch | None, dict]]:
    """Each stretch of ground with its one answer; where two stand, nobody has chosen yet."""
    scopes = answers.scopes(BY_CODE[question])
    return [(scope.patch, scope.values[0]) for scope in scopes if len(scope.values) == 1]


def _metres(answers: Answers, question: str, detail: str) -> float | None:
    row = _detail(question, detail)
    kept = [value[detail] for _patch, value in _values(answers, question) if detail in value]
    return max((one["m"] for one in kept if is_meant(row, one)), default=None)


def _detail(question: str, code: str) -> Detail:
    return next(detail for detail in BY_CODE[question].details if detail.code == code)


def _has_tree(value: dict) -> bool:
    return all(code in value and is_meant(_detail("trees", code), value[code]) for code in ("trunk", "off"))


def _set(site: dict, key: str, value: Any, out: Written, words: str) -> None:
    if value is not None and site.get(key) != value:
        site[key] = value
        out.done.append(words)


def _long(answers: Answers, metres: float | None) -> str:
    return measures.length(metres, answers.conversion.group.units) if metres is not None else ""


def _card(site: dict, answers: Answers, out: Written) -> None:
    if not any(value.get("grass") in CREEPING for _patch, value in _values(answers, "grass")):
        return
    card = site.get("cardboard", {})
    before, lap_before = card.get("layers", int(LAYERS.value)), card.get("lap_m", 0)
    layers, lap_m = _layers_for_creeping(card, before), max(lap_before, CREEPING_LAP_M)
    if layers != before:
        given = {"layers": layers, "before": before}
        out.done.append(_("The plan now has %(layers)s layers of card; before it was %(before)s.") % given)
    if lap_m != lap_before:
        lap = measures.length(lap_m, answers.conversion.group.units)
        out.done.append(_("The plan now has laps of %(length)s in the card.") % {"length": lap})
    site["cardboard"] = {**card, "layers": layers, "lap_m": lap_m}
    if layers < CREEPING_LAYERS:
        site["cardboard"]["creeping"] = layers


def _layers_for_creeping(card: dict, now: int) -> int:
    """One more than there was. Once: four and more are enough, and fewer are remembered under `creeping`."""
    return now if now >= CREEPING_LAYERS else max(now, card.get("creeping", now + 1))


def _gate(site: dict, answers: Answers, out: Written) -> None:
    metres = _metres(answers, "way_in", "gate")
    words = _("The plan now has a gate of %(length)s.") % {"length": _long(answers, metres)}
    _set(site, "gate_m", metres, out, words)


def _haul(site: dict, answers: Answers, out: Written) -> None:
    metres = _metres(answers, "haul", "far")
    words = _("The plan now has %(length)s from the heap to the lawn.") % {"length": _long(answers, metres)}
    _set(site, "haul_m", metres, out, words)


def _slope(site: dict, answers: Answers, out: Written) -> None:
    fall = _metres(answers, "fall", "drop")
    if fall is not None:
        slope = round(fall / FALL_OVER_M, 3)
        words = _("The plan now has a slope of %(share)s %%.") % {"share": measures.number(slope * 100)}
        _set(site, "slope", slope, out, words)


def _soil(site: dict, answers: Answers, out: Written) -> None:
    found = [value.get("feel") for _patch, value in _values(answers, "feel")]
    kinds = {"light": _("light"), "medium": _("medium"), "heavy": _("heavy")}
    soil = found[0] if found and found[0] in kinds else None
    words = _("The plan now has this soil: %(kind)s.") % {"kind": kinds.get(soil or "", "")}
    _set(site, "soil", soil, out, words)


def _fire(site: dict, answers: Answers, out: Written) -> None:
    if not any(value.get("fire") == "yes" for _patch, value in _values(answers, "fire")):
        return
    rule = answers.conversion.group.fire_strip_m
    metres = _metres(answers, "fire", "wide") or (float(rule) if rule else None)
    words = _("The plan now keeps %(length)s free along what burns.") % {"length": _long(answers, metres)}
    _set(site, "fire_strip_m", metres, out, words)


def _trees(site: dict, answers: Answers, out: Written) -> None:
    """A tree with its trunk, where side, way along it and distance are known; its ring follows from the trunk."""
    sizes = {patch: value for patch, value in _values(answers, "trees") if _has_tree(value)}
    for patch, where in _values(answers, "tree_at"):
        tree = sizes.get(patch) or sizes.get(None)
        drawn = _patch_of(site, patch)
        if not tree or not drawn or where.get("at") not in ("outside", "inside"):
            continue
        row = _tree(drawn, where, tree)
        if row is None:
            out.left.append(_("The tree is not on the plan: %(patch)s has no such side.") % {"patch": drawn["label"]})
            continue
        others = [feature for feature in drawn.get("features", []) if feature.get("by") != "visit"]
        if [*others, row] != drawn.get("features", []):
            drawn["features"] = [*others, row]
            out.done.append(_("The plan now has the tree with its ring."))
    _no_trees(site, answers, out)


def _no_trees(site: dict, answers: Answers, out: Written) -> None:
    """Where the answer says there is none, the tree of an earlier answer goes; one moved by hand since stays."""
    said = {str(patch.uid) if patch else "": value.get("trees") for patch, value in _values(answers, "trees")}
    for drawn in site.get("patches", []):
        if said.get(drawn["uid"], said.get("")) != "none":
            continue
        written = _written_before(drawn, answers)
        ours = [feature for feature in drawn.get("features", []) if feature.get("by") == "visit"]
        gone = [feature for feature in ours if any(_is_same_tree(feature, row) for row in written)]
        if gone:
            drawn["features"] = [feature for feature in drawn["features"] if feature not in gone]
            out.done.append(_("The plan no longer has the tree: the answer says there is none."))
        if len(gone) < len(ours):
            out.left.append(_("A tree on the plan was moved by hand, so it stays. If it is gone, take it away there."))


def _written_before(drawn: dict, answers: Answers) -> list[dict]:
    """Each tree that answers of any time put into this patch, where they put it."""
    rows = Entry.of(answers.conversion.group_id).filter(visit__conversion=answers.conversion)
    rows = rows.filter(Q(patch=None) | Q(patch__uid=drawn["uid"]), question__in=("trees", "tree_at"))
    given = list(rows.values_list("question", "value"))
    trees = [value for question, value in given if question == "trees" and {"trunk", "off"} <= set(value)]
    places = [value for question, value in given if question == "tree_at" and value.get("at") in ("outside", "inside")]
    return [row for where in places for tree in trees if (row := _tree(drawn, where, tree))]


def _tree(drawn: dict, where: dict, tree: dict) -> dict | None:
    """The row of a plan's document; nothing where the patch has no such side."""
    point = _beside(drawn, where, tree["off"]["m"])
    if point is None:
        return None
    return {"kind": "tree", "x": point[0], "y": point[1], "trunk_m": tree["trunk"]["m"], "label": "", "by": "visit"}


def _is_same_tree(one: dict, other: dict) -> bool:
    return all(math.isclose(one[key], other[key], abs_tol=SAME_M) for key in ("x", "y", "trunk_m"))


def _patch_of(site: dict, patch: Patch | None) -> dict | None:
    """The drawn patch; of an answer for the whole yard the only one there is."""
    rows = [row for row in site.get("patches", []) if patch is None or row["uid"] == str(patch.uid)]
    return rows[0] if len(rows) == 1 else None


def _beside(drawn: dict, where: dict, off_m: float) -> tuple[float, float] | None:
    """The point off a side: `along` it from its first corner (its middle if not said), inside or beyond the edge.

    Corners run clockwise, so the lawn lies to the right of each side.
    """
    corners = drawn.get("corners") or []
    ids = [corner["id"].upper() for corner in corners]
    side = str(where.get("side", "")).strip().upper()
    if side not in ids:
        return None
    first, second = corners[ids.index(side)], corners[(ids.index(side) + 1) % len(corners)]
    dx, dy = second["x"] - first["x"], second["y"] - first["y"]
    length = math.hypot(dx, dy)
    if not length:
        return None  # two corners on one spot have no side between them
    along = where["along"]["m"] if "along" in where else length / 2
    beyond = off_m if where["at"] == "outside" else -off_m
    x = first["x"] + (dx * along - dy * beyond) / length
    y = first["y"] + (dy * along + dx * beyond) / length
    return round(x, 3), round(y, 3)


# Which questions bring which change.
CHANGES: tuple[tuple[tuple[str, ...], Change], ...] = (
    (("grass",), _card),
    (("way_in",), _gate),
    (("haul",), _haul),
    (("fall",), _slope),
    (("feel",), _soil),
    (("fire",), _fire),
    (("trees", "tree_at"), _trees),
)
