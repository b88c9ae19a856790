"""Whether the ground and its beds make sense: every problem in a sentence that names the corner, side or bed."""

from shapely.geometry import LineString
from shapely.geometry import Polygon as Shape
from shapely.validation import explain_validity

from . import beds as bedwork
from .own import Own
from .problems import Problem, Where
from .shapes import edges, hole_edges, outer, outline
from .values import Site, SiteBed, SitePatch
from .zones import KEPT, NO_BEDS, NO_MOUNDS, NO_POCKETS, zones

TOLERANCE_M = 0.002
CRUMB_M2 = 1e-4
LEAST_M2 = 0.1
LEAST_COVER_M2 = 0.05
BEND_SHARE = 0.93  # a square bend of a bed three widths long keeps more than this


def check(site: Site) -> tuple[Problem, ...]:
    """Everything that stops a take-off; an empty tuple means the site can be sized."""
    out: list[Problem] = []
    sound: dict[str, tuple] = {}
    for patch in site.patches:
        found = check_patch(site, patch)
        out += found
        if not found:
            sound[patch.uid] = (outline(patch), edges(patch), zones(site, patch))
    placed: list[tuple[SiteBed, object]] = []
    for bed in site.beds:
        found = check_bed_sizes(bed, site.own)
        if not found and bed.patch in sound:
            shape = bedwork.footprint(bed)
            found = _check_place(bed, shape, *sound[bed.patch]) + _check_overlap(bed, shape, placed)
            placed.append((bed, shape))
        out += found
    return tuple(out)


def _problem(code: str, uid: str, part: str, message: str, **values: object) -> Problem:
    return Problem(code, Where(uid, part), message, values)


def check_patch(site: Site, patch: SitePatch) -> list[Problem]:
    """Everything wrong with the ground of one patch."""
    if patch.circle:
        if patch.circle.diameter_m <= 0:
            return [_problem("zero-side", patch.uid, "across", "The circle has no size. Give how far it is across.")]
        return _check_features(patch) or _check_size(patch) or _check_strip(site, patch)
    if len(patch.corners) < 3:
        return [_problem("no-outline", patch.uid, "", "This patch has no outline yet. Walk round its edge.")]
    short = [edge for edge in edges(patch) if edge.length_m < TOLERANCE_M]
    if short:
        message = "Corners {side} are the same spot. Take one away or move it."
        return [_problem("zero-side", patch.uid, edge.name, message, side=edge.name) for edge in short]
    return _check_crossing(patch) or _check_features(patch) or _check_size(patch) or _check_strip(site, patch)


def _check_crossing(patch: SitePatch) -> list[Problem]:
    shape = outer(patch)
    if shape.is_valid:
        return []
    sides = [(edge, LineString(edge.points)) for edge in edges(patch)]
    for i, (one, line) in enumerate(sides):
        for other, across in sides[i + 2 :]:
            if other.end != one.start and line.intersects(across):
                message = "Side {side} crosses side {other}. Check the corners at both."
                return [_problem("crosses-itself", patch.uid, one.name, message, side=one.name, other=other.name)]
    if shape.area < CRUMB_M2:
        return [_problem("no-area", patch.uid, "", "The corners lie in one line, so there is no ground between them.")]
    message = "The outline crosses or touches itself ({reason})."
    return [_problem("crosses-itself", patch.uid, "", message, reason=explain_validity(shape))]


def _check_features(patch: SitePatch) -> list[Problem]:
    """Holes lie inside and apart; a wall or right of way names a side that is there."""
    out, around, taken = [], outer(patch), []
    for rim in hole_edges(patch):
        hole = Shape(rim.points)
        if not hole.is_valid or hole.area < CRUMB_M2:
            out.append(
                _problem(
                    "hole-crosses-itself", patch.uid, rim.name, "The edge of {hole} crosses itself.", hole=rim.name
                )
            )
        elif not around.contains(hole):
            side = min(edges(patch), key=lambda side: LineString(side.points).distance(hole)).name
            message = "{hole} lies outside the outline, or over side {side}. Move it inside."
            if around.disjoint(hole):
                message = "{hole} lies outside the outline, beyond side {side}. Move it inside."
            out.append(_problem("hole-outside", patch.uid, side, message, hole=rim.name, side=side))
        elif not Shape(around.exterior.coords, [rim.points]).is_valid:
            near = [side.name for side in edges(patch) if LineString(side.points).distance(hole) < TOLERANCE_M]
            side = near[0] if near else "-"
            message = "{hole} lies along side {side}. Move it inside, or walk the outline round it."
            out.append(_problem("hole-on-edge", patch.uid, side, message, hole=rim.name, side=side))
        elif any(hole.intersects(other) for other in taken):
            out.append(_problem("hole-overlap", patch.uid, rim.name, "{hole} lies over another hole.", hole=rim.name))
        taken.append(hole)
    known = {edge.id for edge in edges(patch)}
    for feature in patch.features:
        if feature.edge and feature.edge not in known:
            message = "The {kind} lies along a side that is not here: {edge}."
            out.append(_problem("no-such-side", patch.uid, feature.edge, message, kind=feature.kind, edge=feature.edge))
    return out


def _check_size(patch: SitePatch) -> list[Problem]:
    area_m2 = outline(patch).area
    if area_m2 >= LEAST_M2:
        return []
    message = "This patch comes to {area_m2} m². That is smaller than a doormat; check the lengths."
    return [_problem("too-small", patch.uid, "", message, area_m2=round(area_m2, 3))]


def _check_strip(site: Site, patch: SitePatch) -> list[Problem]:
    rest, last = outline(patch), None
    for zone in zones(site, patch):
        if zone.has(KEPT):
            rest, last = rest.difference(zone.shape), zone
    if last is None or rest.area > LEAST_COVER_M2:
        return []
    message = "The strip left clear along {side} is wider than the lawn, so nothing is left to cover."
    return [_problem("strip-wider-than-lawn", patch.uid, last.where, message, side=last.where or last.reason)]


def check_bed_sizes(bed: SiteBed, own: Own) -> list[Problem]:
    """Sizes that cannot be built, whatever the ground."""
    if bed.kind == "mounded":
        if bed.path and _bends_too_tight(bed):
            message = "This bed doubles back on itself. Open the bends to at least half its width, or take corners out."
            return [_problem("bend-too-tight", bed.uid, "path", message)]
        length_m = bedwork.overall_length_m(bed)
        if bed.ends == "round" and length_m < bed.width_m - 1e-9:
            message = "A round-ended bed cannot be shorter ({length_m} m) than it is wide ({width_m} m)."
            return [_problem("bed-too-short", bed.uid, "length_m", message, length_m=length_m, width_m=bed.width_m)]
        narrow = min(bed.width_m, length_m)
        most = bedwork.highest_m(narrow, own["repose"])
        if bed.height_m > most + 1e-9:
            message = "A mound {width_m} m wide can be at most {most_m} m high; {height_m} m would slide off."
            values = {"width_m": narrow, "most_m": int(most * 100) / 100, "height_m": bed.height_m}
            return [_problem("mound-too-steep", bed.uid, "height_m", message, **values)]
    if bed.kind == "framed" and min(bed.length_m, bed.width_m) <= 2 * bed.board_m:
        return [_problem("frame-all-board", bed.uid, "width_m", "The boards leave no room inside this frame.")]
    if bed.kind == "framed" and bed.height_m <= own["freeboard"]:
        return [_problem("frame-too-low", bed.uid, "height_m", "This frame is too low to hold any compost.")]
    if bed.kind == "pocket" and bed.bottom_m > bed.top_m:
        return [_problem("pocket-undercut", bed.uid, "bottom_m", "A pocket cannot be wider below than at the top.")]
    return []


def _bends_too_tight(bed: SiteBed) -> bool:
    """Whether a bed along a line covers clearly less ground than its length says, or has no length."""
    if len(set(bed.path)) < 2:
        return True
    shape, expected = bedwork.footprint(bed), bedwork.growing_area_m2(bed)
    return bool(shape.interiors) or shape.area < BEND_SHARE * expected


def _check_place(bed: SiteBed, shape, ground, sides, found) -> list[Problem]:
    if not ground.buffer(TOLERANCE_M, join_style="mitre").covers(shape):
        crossed = [side.name for side in sides if LineString(side.points).distance(shape) < TOLERANCE_M]
        if crossed:
            message = "This bed lies over side {side} of its patch. Move it inside or make it smaller."
            return [_problem("bed-outside", bed.uid, crossed[0], message, side=crossed[0])]
        return [_problem("bed-outside", bed.uid, "", "This bed lies outside its patch. Move it inside.")]
    shut = {NO_BEDS, *{"mounded": (NO_MOUNDS,), "pocket": (NO_POCKETS,)}.get(bed.kind, ())}
    for zone in found:
        if shut & zone.effects and zone.shape.intersection(shape).area > CRUMB_M2:
            message = "This bed lies in ground kept free of beds: {reason}. Move it away."
            return [_problem("bed-on-keep-out", bed.uid, zone.where, message, reason=zone.reason)]
    return []


def _check_overlap(bed: SiteBed, shape, placed: list[tuple[SiteBed, object]]) -> list[Problem]:
    for other, taken in placed:
        if other.patch == bed.patch and shape.intersection(taken).area > CRUMB_M2:
            message = "This bed lies over another one ({other}). Move one of them."
            return [_problem("bed-overlap", bed.uid, other.uid, message, other=other.uid)]
    return []
