"""The trench along hard edges: where it may be cut, how long it is, and the soil it moves."""

from shapely.geometry import LineString
from shapely.ops import linemerge, unary_union

from . import catalogue as book
from .own import BOOK, Own
from .results import TrenchSegment
from .shapes import Edge, edges, hole_edges
from .values import SitePatch, Trench
from .zones import NO_TRENCH, Zone, union_of


def trench_segments(patch: SitePatch, found: tuple[Zone, ...]) -> tuple[TrenchSegment, ...]:
    """Stretches of paving, kerb and garden wall outside every zone without a trench."""
    closed = union_of(found, NO_TRENCH)
    out = []
    for edge in (*edges(patch), *hole_edges(patch)):
        if edge.beyond in book.TRENCHED:
            left = LineString(edge.points).difference(closed)
            lines = [line for line in getattr(left, "geoms", [left]) if line.length > 0.001]
            out += [_segment(edge, line) for line in lines]
    return tuple(out)


def _segment(edge: Edge, line: LineString) -> TrenchSegment:
    points = tuple((round(x, 3), round(y, 3)) for x, y in line.coords)
    return TrenchSegment(edge.id, points, round(line.length * edge.length_m / edge.drawn_m, 3))


def section_m2(trench: Trench) -> float:
    """
    >>> section_m2(Trench(0.15, 0.10, "square"))
    0.015
    >>> section_m2(Trench(0.15, 0.10, "V"))
    0.0075
    """
    return trench.width_m * trench.depth_m / (2 if trench.cut == "V" else 1)


def bank_m3(length_m: float, trench: Trench) -> float:
    """Soil dug, as it lay; the same volume of chips fills the trench.

    >>> round(bank_m3(20, Trench(0.15, 0.10, "square")), 6)
    0.3
    """
    return length_m * section_m2(trench)


def loose_m3(volume_m3: float, soil: str, own: Own = BOOK) -> float:
    """Soil as it lies in a heap.

    >>> loose_m3(0.3, "medium")
    0.375
    """
    return volume_m3 * (1 + own[f"swell_{soil}"])


def tucked(cover, kept, segments: tuple[TrenchSegment, ...], tuck_m: float):
    """The ground that cardboard must cover: the cover, plus a strip turned down into each trench."""
    if not segments or not tuck_m:
        return cover
    lines = linemerge([LineString(segment.points) for segment in segments])
    strip = lines.buffer(tuck_m, cap_style="flat", join_style="mitre")
    return unary_union([cover, strip]).difference(kept).buffer(0)
