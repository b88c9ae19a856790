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
from .shapes import edges, outline
from .sitefile import BED_DEFAULTS
from .values import Site, SiteBed, SitePatch
from .zones import NO_BEDS, NO_MOUNDS, NO_POCKETS, kept_and_cover, union_of, zones

MOUND_LENGTHS_M = (6.0, 5.4, 4.8, 4.2, 3.6, 3.0, 2.4, 1.8)
FRAME_LENGTHS_M = (2.4, 1.8, 1.2)
GRID_STEPS = 28  # candidates along the longer side
RIM_POINTS = 16
POCKETS = 4


def first_layout(site: Site, patch_uid: str) -> tuple[SiteBed, ...]:
    """Beds to offer for a patch: off every keep-out, inside it, paths of 0.6 m all round; the same every time.

    Where neither bed fits, up to four planting pockets; where nothing fits, an empty tuple.
    """
    patch = site.patch(patch_uid)
    room = _Room(site, patch)
    frame = next((bed for length in FRAME_LENGTHS_M if (bed := room.frame(length))), None)
    taken = [footprint(frame)] if frame else []
    spare = book.FIRST_BEDS_AREA.value - (growing_area_m2(frame) if frame else 0.0)
    mound = next((bed for length in MOUND_LENGTHS_M if (bed := room.mound(length, taken, spare))), None)
    beds = tuple(bed for bed in (mound, frame) if bed)
    return beds or room.pockets()


class _Room:
    """The free ground of one patch and how beds are tried on it."""

    def __init__(self, site: Site, patch: SitePatch):
        self.site, self.patch = site, patch
        ground, found = outline(patch), zones(site, patch)
        _, cover = kept_and_cover(ground, found)
        self.free = cover.difference(union_of(found, NO_BEDS))
        path = book.PATH_WIDTH.value
        self.inner = self.free.intersection(ground.buffer(-path, join_style="mitre"))
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

    def _spots(self, room) -> list[tuple[float, float]]:
        if room.is_empty:
            return []
        x1, y1, x2, y2 = room.bounds
        step = max(0.1, round(max(x2 - x1, y2 - y1) / GRID_STEPS, 2))
        columns, rows = int((x2 - x1) / step) + 1, int((y2 - y1) / step) + 1
        return [(round(x1 + i * step, 3), round(y1 + j * step, 3)) for j in range(rows + 1) for i in range(columns + 1)]

    def _place(self, room, bed: SiteBed, taken: list, score) -> SiteBed | None:
        """The best spot over the grid and both directions; the exact test only where the rim's points fit."""
        spots = self._spots(room)
        away = unary_union(taken).buffer(book.PATH_WIDTH.value - 1e-6) if taken else None
        room = room.difference(away) if away else room
        shapely.prepare(room)
        found = []
        for rank, turn in enumerate(self.turns):
            turned = replace(bed, turn_deg=turn)
            rim = list(footprint(turned).exterior.coords)
            rim = rim[:: max(1, len(rim) // RIM_POINTS)]
            fits = [True] * len(spots)
            for dx, dy in rim:
                inside = shapely.contains_xy(room, [x + dx for x, _ in spots], [y + dy for _, y in spots])
                fits = [a and b for a, b in zip(fits, inside, strict=True)]
            found += [(score(x, y, rank), x, y, turn) for (x, y), fit in zip(spots, fits, strict=True) if fit]
        for _, x, y, turn in sorted(found):
            placed = replace(bed, x_m=x, y_m=y, turn_deg=turn)
            if room.covers(footprint(placed)):
                return placed
        return None

    def frame(self, length_m: float) -> SiteBed | None:
        """Nearest to the house, so that it is easy to reach; then nearest to corner A."""

        def score(x: float, y: float, rank: int):
            at = Point(x, y)
            return round(at.distance(self.door), 3), round(at.distance(self.start), 3), rank

        sizes = {**BED_DEFAULTS["framed"], "length_m": length_m}
        return self._place(self.inner, self._bed(2, "framed", 0, 0, sizes), [], score)

    def mound(self, length_m: float, taken: list, spare_m2: float) -> SiteBed | None:
        """Nearest to the middle of what is left."""

        def score(x: float, y: float, rank: int):
            return rank, round(math.dist((x, y), self.middle), 3)

        bed = self._bed(1, "mounded", 0, 0, {**BED_DEFAULTS["mounded"], "length_m": length_m})
        if growing_area_m2(bed) > spare_m2:
            return None
        return self._place(self.for_mounds, bed, taken, score)

    def pockets(self) -> tuple[SiteBed, ...]:
        """A few pockets, half a metre or more apart."""
        sizes, out = BED_DEFAULTS["pocket"], []
        if self.for_pockets.is_empty:
            return ()
        ground = prep(self.for_pockets.buffer(-0.1))
        x1, y1, x2, y2 = self.for_pockets.bounds
        step = max(0.2, (x2 - x1) / 20, (y2 - y1) / 20)
        for j in range(int((y2 - y1) / step) + 1):
            for i in range(int((x2 - x1) / step) + 1):
                bed = self._bed(len(out) + 1, "pocket", x1 + i * step, y2 - j * step, sizes)
                shape = footprint(bed)
                if ground.covers(shape) and all(shape.distance(footprint(other)) >= 0.5 for other in out):
                    out.append(bed)
                    if len(out) == POCKETS:
                        return tuple(out)
        return tuple(out)

    def _bed(self, n: int, kind: str, x: float, y: float, sizes: dict) -> SiteBed:
        uid = str(uuid5(NAMESPACE_URL, f"{self.patch.uid}/first-layout/{kind}/{n}"))
        return SiteBed(uid, self.patch.uid, kind, round(x, 3), round(y, 3), **sizes)
