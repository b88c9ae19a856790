"""A first layout: one mounded and one framed bed where they fit, as a start to move about."""

import math
from dataclasses import replace
from uuid import NAMESPACE_URL, uuid5

import shapely
from shapely.geometry import LineString, Point
from shapely.ops import unary_union
from shapely.prepared import prep

from . import catalogue as book
from .beds import footprint, growing_area_m2
from .shapes import edges, hole_edges, outline
from .values import Site, SiteBed, SitePatch
from .zones import NO_BEDS, NO_MOUNDS, NO_POCKETS, kept_and_cover, union_of, zones

GRID_STEPS = 28  # candidates along the longer side
RIM_POINTS = 16
# How far beds stay off what people look for. Round a tap and a downspout a path's width (common practice, no source),
# round a heap place room for the heap (our own guess, no source).
CLEAR_M = {"tap": book.PATH_WIDTH.value, "downspout": book.PATH_WIDTH.value, "heap": 1.5}


def first_layout(
    site: Site, patch_uid: str, most_m2: float | None = None, frame_only: bool = False, pockets: bool = False
) -> tuple[SiteBed, ...]:
    """Beds to offer for a patch: off every keep-out and mark, inside it, paths of 0.6 m all round (0.3 m beside
    paving, from which people reach over); the same every time.

    most_m2: no more bed than people have time for. frame_only: a frame and no mound, where it is hard to bend.
    pockets: up to four planting pockets beside the beds, where room and time are left for them.
    Where neither bed fits, up to four planting pockets; where nothing fits, an empty tuple.
    """
    room = _Room(site, site.patch(patch_uid))
    most = min(site.own["first_beds_area"], math.inf if most_m2 is None else most_m2)
    beds = _mound_and_frame(room, most, frame_only)
    if not beds:
        return room.pockets(most)
    spare = most - sum(growing_area_m2(bed) for bed in beds)
    return (*beds, *room.pockets(spare, beds)) if pockets else beds


def _mound_and_frame(room: "_Room", most: float, frame_only: bool) -> tuple[SiteBed, ...]:
    """The longest frame that leaves room and time for a mound; else the one of the two that fits."""
    alone: SiteBed | None = None
    for length_m in book.FRAME_LENGTHS_M:
        for frame in room.frames(length_m):
            if growing_area_m2(frame) > most:
                continue
            alone = alone or frame
            mound = None if frame_only else room.longest_mound([footprint(frame)], most - growing_area_m2(frame))
            if mound:
                return mound, frame
    if alone or frame_only:
        return (alone,) if alone else ()
    mound = room.longest_mound([], most)
    return (mound,) if mound else ()


class _Room:
    """The free ground of one patch and how beds are tried on it."""

    def __init__(self, site: Site, patch: SitePatch):
        self.site, self.patch = site, patch
        ground, found = outline(patch), zones(site, patch)
        _, cover = kept_and_cover(ground, found)
        self.free = _off_marks(patch, cover.difference(union_of(found, NO_BEDS)))
        self.inner = self.free.difference(self._edge())
        self.for_mounds = self.inner.difference(union_of(found, NO_MOUNDS))
        self.for_pockets = self.free.difference(union_of(found, NO_POCKETS))
        sides = edges(patch)
        longest = max(sides, key=lambda side: (round(math.dist(side.start, side.end), 3), side.id == "A"))
        across = math.degrees(math.atan2(longest.end[1] - longest.start[1], longest.end[0] - longest.start[0])) % 180
        self.turns = (round(across, 3), round((across + 90) % 180, 3))
        walls = [LineString(side.points) for side in sides if side.beyond == "house"]
        self.door = unary_union(walls) if walls else LineString(sides[0].points)
        middle = ground.centroid if self.free.is_empty else self.free.centroid
        self.middle = (middle.x, middle.y)
        self.start = Point(sides[0].start)

    def _edge(self):
        """Ground left free along every side: a path, or less beside paving, but never the trench."""
        path, paved = book.PATH_WIDTH.value, max(self.site.own["paved_edge"], self.site.trench.width_m)
        sides = (*edges(self.patch), *hole_edges(self.patch))
        wide = [(LineString(side.points), paved if side.beyond in book.PAVED else path) for side in sides]
        return unary_union([line.buffer(width - 1e-6, join_style="mitre") for line, width in wide])

    def _place(self, room, bed: SiteBed, score) -> SiteBed | None:
        """The best spot over a grid that reaches every edge of the room; the exact test only where rim points fit."""
        rim = list(footprint(bed).exterior.coords)
        reach_x, reach_y = max(x for x, _ in rim), max(y for _, y in rim)
        spots = _grid(room, reach_x, reach_y)
        if not spots:
            return None
        shapely.prepare(room)
        for dx, dy in rim[:: max(1, len(rim) // RIM_POINTS)]:
            # a hair inwards, so that a rim on the very edge of the room still counts
            xs, ys = [x + dx * 0.999 for x, _ in spots], [y + dy * 0.999 for _, y in spots]
            fits = shapely.contains_xy(room, xs, ys)
            spots = [spot for spot, fit in zip(spots, fits, strict=True) if fit]
            if not spots:
                return None
        for x, y in sorted(spots, key=score):
            placed = replace(bed, x_m=x, y_m=y)
            if room.covers(footprint(placed)):
                return placed
        return None

    def frames(self, length_m: float) -> list[SiteBed]:
        """Best spots, one for each direction: nearest to the house, so that it is easy to reach, then to corner A."""

        def score(spot: tuple[float, float]) -> tuple[float, float]:
            at = Point(spot)
            return round(at.distance(self.door), 3), round(at.distance(self.start), 3)

        sizes = {**book.USUAL_BEDS["framed"], "length_m": length_m}
        beds = [self._bed(2, "framed", 0, 0, {**sizes, "turn_deg": turn}) for turn in self.turns]
        return [placed for bed in beds if (placed := self._place(self.inner, bed, score))]

    def longest_mound(self, taken: list, spare_m2: float) -> SiteBed | None:
        """The longest mound that still fits, nearest to the middle."""
        away = unary_union(taken).buffer(book.PATH_WIDTH.value) if taken else None
        room = self.for_mounds.difference(away) if away else self.for_mounds

        def score(spot: tuple[float, float]) -> float:
            return round(math.dist(spot, self.middle), 3)

        for length_m in book.MOUND_LENGTHS_M:
            for turn in self.turns:
                sizes = {**book.USUAL_BEDS["mounded"], "length_m": length_m, "turn_deg": turn}
                bed = self._bed(1, "mounded", 0, 0, sizes)
                placed = self._place(room, bed, score) if growing_area_m2(bed) <= spare_m2 else None
                if placed:
                    return placed
        return None

    def pockets(self, most_m2: float, beds: tuple[SiteBed, ...] = ()) -> tuple[SiteBed, ...]:
        """A few pockets, some way apart and off the edge; beside beds a path away from them and from every side."""
        sizes, out = book.USUAL_BEDS["pocket"], []
        most = min(int(book.FIRST_POCKETS.value), int(most_m2 / growing_area_m2(self._bed(1, "pocket", 0, 0, sizes))))
        free = self.for_pockets.intersection(self.inner) if beds else self.for_pockets
        if free.is_empty or most < 1:
            return ()
        taken = unary_union([footprint(bed) for bed in beds])
        ground = prep(free.buffer(-book.POCKET_EDGE.value))
        x1, y1, x2, y2 = free.bounds
        step = max(0.1, (x2 - x1) / 30, (y2 - y1) / 30)
        for j in range(int((y2 - y1) / step) + 1):
            for i in range(int((x2 - x1) / step) + 1):
                bed = self._bed(len(out) + 1, "pocket", x1 + i * step, y2 - j * step, sizes)
                shape = footprint(bed)
                if not ground.covers(shape) or (beds and shape.distance(taken) < book.PATH_WIDTH.value):
                    continue
                if all(shape.distance(footprint(other)) >= book.POCKET_APART.value for other in out):
                    out.append(bed)
                    if len(out) == most:
                        return tuple(out)
        return tuple(out)

    def _bed(self, n: int, kind: str, x: float, y: float, sizes: dict) -> SiteBed:
        uid = str(uuid5(NAMESPACE_URL, f"{self.patch.uid}/first-layout/{kind}/{n}"))
        return SiteBed(uid, self.patch.uid, kind, round(x, 3), round(y, 3), **sizes)


def _off_marks(patch: SitePatch, free):
    """The ground without a round of clear space at each tap, downspout and heap place; as it was where there is none."""
    if not patch.marks:
        return free
    # a many-sided round lies inside the true one, so it is drawn a little larger
    rounds = [Point(mark.x_m, mark.y_m).buffer(CLEAR_M[mark.kind] * 1.002, quad_segs=32) for mark in patch.marks]
    return free.difference(unary_union(rounds))


def _grid(room, reach_x: float, reach_y: float) -> list[tuple[float, float]]:
    """Middles to try: evenly spread between the first and the last that keep the bed inside the room's box."""
    if room.is_empty:
        return []
    x1, y1, x2, y2 = room.bounds
    x1, x2, y1, y2 = x1 + reach_x, x2 - reach_x, y1 + reach_y, y2 - reach_y
    if x2 < x1 - 1e-9 or y2 < y1 - 1e-9:
        return []
    step = max(0.1, max(x2 - x1, y2 - y1) / GRID_STEPS)
    columns, rows = max(1, math.ceil((x2 - x1) / step)), max(1, math.ceil((y2 - y1) / step))
    xs = [round(x1 + (x2 - x1) * i / columns, 3) for i in range(columns + 1)]
    ys = [round(y1 + (y2 - y1) * j / rows, 3) for j in range(rows + 1)]
    return [(x, y) for y in ys for x in xs]
