"""Strips left clear and other keep-outs of a patch: each with its reason, its shape and what it forbids."""

from dataclasses import dataclass

from shapely.geometry import LineString, Point
from shapely.geometry import Polygon as Shape
from shapely.ops import unary_union

from .own import BOOK, Own
from .results import KeptStrip, ZoneDrawn
from .shapes import Edge, edges, hole_edges, polygons
from .values import Feature, Ring, Site, SitePatch

QUAD_SEGS = 16

# Effects. Kept ground gets no card and no chips and is not counted as covered.
KEPT = "kept"
NO_TRENCH = "no trench"
NO_BEDS = "no beds"
NO_MOUNDS = "no mounds"  # only a lined frame may stand here
NO_POCKETS = "no pockets"
NO_DIGGING = "no digging"
THIN_CHIPS = "thin chips"

NOTHING_DUG = frozenset((NO_TRENCH, NO_POCKETS, NO_DIGGING))
SHUT = NOTHING_DUG | {NO_BEDS}

# Ground is taken in this order, so that a point under two rules counts once, for the first reason.
KEPT_ORDER = ("house wall", "fire strip", "right of way", "tree trunk")


@dataclass(frozen=True)
class Zone:
    """Ground under one rule: why, what it forbids, where it lies."""

    reason: str
    effects: frozenset[str]
    shape: Shape  # not yet cut to the patch
    where: str = ""
    label: str = ""

    def has(self, effect: str) -> bool:
        return effect in self.effects


def zones(site: Site, patch: SitePatch) -> tuple[Zone, ...]:
    """Every keep-out of a patch; the kept ones first, in the order in which they take ground."""
    sides = {edge.id: edge for edge in (*edges(patch), *hole_edges(patch))}
    out = _house(site, sides) + _fire(site, patch, sides)
    for feature in patch.features:
        if feature.kind == "tree":
            out += _tree(feature, site.own)
        elif feature.kind == "line" and is_kept_off(feature.service):
            out.append(_line(feature, site.own))
        elif feature.kind in ("painted wall", "right of way"):
            out.append(_along(feature, sides, site.own))
    order = {reason: n for n, reason in enumerate(KEPT_ORDER)}
    return tuple(sorted(out, key=lambda zone: order.get(zone.reason, len(order))))


def _near(points: Ring, width_m: float) -> Shape:
    """All ground within a distance of a line."""
    return LineString(points).buffer(width_m, quad_segs=QUAD_SEGS)


def _house(site: Site, sides: dict[str, Edge]) -> list[Zone]:
    """All ground within the strip's width of a house wall: kept clear, nothing dug or built there."""
    if not site.house_strip_m:
        return []
    walls = [side for side in sides.values() if side.beyond == "house"]
    return [Zone("house wall", SHUT | {KEPT}, _near(wall.points, site.house_strip_m), wall.name) for wall in walls]


def _fire(site: Site, patch: SitePatch, sides: dict[str, Edge]) -> list[Zone]:
    """Where a fire rule holds: no chips and no frames near buildings, nor near fences that burn."""
    if not site.fire_strip_m:
        return []
    safe = {corner.id for corner in patch.corners if not corner.burns}
    near = [
        side for side in sides.values() if side.beyond == "house" or (side.beyond == "fence" and side.id not in safe)
    ]
    lines = [(side.points, side.name) for side in near]
    for feature in patch.features:
        if feature.kind == "building":
            points = sides[feature.edge].points if feature.edge in sides else feature.points
            lines.append((points, feature.label or feature.edge))
    return [Zone("fire strip", SHUT | {KEPT}, _near(points, site.fire_strip_m), name) for points, name in lines]


def ring_radius_m(trunk_m: float, own: Own = BOOK) -> float:
    """How far from the middle of a tree nobody digs.

    >>> ring_radius_m(0.26), ring_radius_m(0.1)
    (3.12, 1.83)
    """
    return max(own["tree_ring_least"], own["tree_ring_factor"] * trunk_m)


def _tree(tree: Feature, own: Own) -> list[Zone]:
    """A bare collar round the bark, and a ring with thin chips and no digging."""
    at, trunk_m = Point(tree.x_m, tree.y_m), tree.trunk_m or 0.0
    collar = at.buffer(trunk_m / 2 + own["tree_collar"], quad_segs=QUAD_SEGS * 2)
    ring = at.buffer(ring_radius_m(trunk_m, own), quad_segs=QUAD_SEGS * 2)
    return [
        Zone("tree trunk", SHUT | {KEPT}, collar, label=tree.label),
        Zone("tree ring", SHUT | {THIN_CHIPS}, ring, label=tree.label),
    ]


def is_kept_off(service: str) -> bool:
    """Whether hand tools alone go near a line of this service. Marks in white say where somebody means to dig, and that
    nothing lies there (American Public Works Association, Uniform Color Code); what is not known is kept off."""
    return service.lower() != "proposed"


def _line(line: Feature, own: Own) -> Zone:
    """Hand tools only near a marked line: no trench, bed or pocket within the band."""
    band_m = line.width_m or own["line_band"]
    return Zone("marked line", SHUT, _near(line.points, band_m), label=line.label or line.service)


def _along(feature: Feature, sides: dict[str, Edge], own: Own) -> Zone:
    """An old-painted wall, or a right of way: along a side of the patch, or along a line of its own."""
    side = sides.get(feature.edge)
    points, name = (side.points, side.name) if side else (feature.points, feature.label)
    if feature.kind == "painted wall":
        effects = NOTHING_DUG | {NO_MOUNDS}
        width_m = feature.width_m or own["paint_strip"]
        return Zone("old paint", effects, _near(points, width_m), name, feature.label)
    width_m = feature.width_m if side else feature.width_m / 2  # a line of its own runs down the middle
    return Zone("right of way", SHUT | {KEPT}, _near(points, width_m), name, feature.label)


def union_of(found: tuple[Zone, ...], effect: str) -> Shape:
    """All ground with an effect."""
    return unary_union([zone.shape for zone in found if zone.has(effect)])


def kept_and_cover(ground: Shape, found: tuple[Zone, ...]) -> tuple[dict[str, Shape], Shape]:
    """Split the ground into what is kept, by reason, and what is covered; no point is counted twice."""
    kept: dict[str, list] = {}
    rest = ground
    for zone in found:
        if zone.has(KEPT) and zone.shape.intersects(rest):
            kept.setdefault(zone.reason, []).append(rest.intersection(zone.shape))
            rest = rest.difference(zone.shape)
    return {reason: unary_union(parts) for reason, parts in kept.items()}, unary_union(polygons(rest))


def strips_drawn(kept: dict[str, Shape], areas_m2: dict[str, float], drawn) -> tuple[KeptStrip, ...]:
    """What is kept, for a drawing."""
    return tuple(KeptStrip(reason, areas_m2[reason], drawn(shape)) for reason, shape in kept.items())


def zones_drawn(ground: Shape, found: tuple[Zone, ...], drawn) -> tuple[ZoneDrawn, ...]:
    """Every keep-out cut to the patch, for a drawing."""
    return tuple(
        ZoneDrawn(zone.reason, tuple(sorted(zone.effects)), drawn(zone.shape.intersection(ground)), zone.label)
        for zone in found
    )
