"""Strips left clear and other keep-outs of a patch: each with its reason, its shape and what it forbids."""

from dataclasses import dataclass

from shapely.geometry import LineString, Point
from shapely.ops import unary_union

from . import catalogue as book
from .shapes import edges, polygons
from .values import KeptStrip, Site, SitePatch, ZoneDrawn

QUAD_SEGS = 16

KEPT, NO_TRENCH, NO_BEDS, NO_POCKETS, NO_DIGGING, THIN_CHIPS = (
    "kept", "no trench", "no beds", "no pockets", "no digging", "thin chips",
)  # fmt: skip


@dataclass(frozen=True)
class Zone:
    reason: str
    effects: frozenset[str]
    shape: object  # shapely polygon, not yet cut to the patch
    where: str = ""
    label: str = ""

    def has(self, effect: str) -> bool:
        return effect in self.effects


def zones(site: Site, patch: SitePatch) -> tuple[Zone, ...]:
    """Every keep-out of a patch; the kept ones first, in the order in which they take ground."""
    out = _house(site, patch) + [zone for tree in patch.features if tree.kind == "tree" for zone in _tree(tree)]
    out += [_line(line) for line in patch.features if line.kind == "line"]
    return tuple(sorted(out, key=lambda zone: not zone.has(KEPT)))


def _house(site: Site, patch: SitePatch) -> list[Zone]:
    """All ground within the strip's width of a house wall: kept clear, nothing dug or built there."""
    if not site.house_strip_m:
        return []
    effects = frozenset((KEPT, NO_TRENCH, NO_BEDS, NO_POCKETS, NO_DIGGING))
    walls = [edge for edge in edges(patch) if edge.beyond == "house"]
    return [
        Zone("house wall", effects, LineString(wall.points).buffer(site.house_strip_m, quad_segs=QUAD_SEGS), wall.name)
        for wall in walls
    ]


def ring_radius_m(trunk_m: float) -> float:
    """
    >>> ring_radius_m(0.26), ring_radius_m(0.1)
    (3.12, 1.83)
    """
    return max(book.TREE_RING_LEAST.value, book.TREE_RING_FACTOR.value * trunk_m)


def _tree(tree) -> list[Zone]:
    """A bare collar round the bark, and a ring with thin chips and no digging."""
    at, trunk_m = Point(tree.x_m, tree.y_m), tree.trunk_m or 0.0
    collar = at.buffer(trunk_m / 2 + book.TREE_COLLAR.value, quad_segs=QUAD_SEGS * 2)
    ring = at.buffer(ring_radius_m(trunk_m), quad_segs=QUAD_SEGS * 2)
    shut = (NO_TRENCH, NO_BEDS, NO_POCKETS, NO_DIGGING)
    return [
        Zone("tree trunk", frozenset((KEPT, *shut)), collar, label=tree.label),
        Zone("tree ring", frozenset((THIN_CHIPS, *shut)), ring, label=tree.label),
    ]


def _line(line) -> Zone:
    """Hand tools only near a marked line: no trench, bed or pocket within the band."""
    band = LineString(line.points).buffer(book.LINE_BAND.value, quad_segs=QUAD_SEGS)
    effects = frozenset((NO_TRENCH, NO_BEDS, NO_POCKETS, NO_DIGGING))
    return Zone("marked line", effects, band, label=line.service)


def union_of(found: tuple[Zone, ...], effect: str):
    return unary_union([zone.shape for zone in found if zone.has(effect)])


def kept_and_cover(outline, found: tuple[Zone, ...]) -> tuple[dict[str, object], object]:
    """Split an outline into ground kept, by reason, and ground to cover; no point is counted twice."""
    kept: dict[str, list] = {}
    rest = outline
    for zone in found:
        if zone.has(KEPT):
            kept.setdefault(zone.reason, []).append(rest.intersection(zone.shape))
            rest = rest.difference(zone.shape)
    return {reason: unary_union(parts) for reason, parts in kept.items()}, unary_union(polygons(rest))


def strips_drawn(kept: dict[str, object], areas_m2: dict[str, float], drawn) -> tuple[KeptStrip, ...]:
    return tuple(KeptStrip(reason, areas_m2[reason], drawn(shape)) for reason, shape in kept.items())


def zones_drawn(outline, found: tuple[Zone, ...], drawn) -> tuple[ZoneDrawn, ...]:
    return tuple(
        ZoneDrawn(zone.reason, tuple(sorted(zone.effects)), drawn(zone.shape.intersection(outline)), zone.label)
        for zone in found
    )
