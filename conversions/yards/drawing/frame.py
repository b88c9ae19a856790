"""Where a patch stands on the sheet: metres to units, its sides and beds, and frames side by side for several."""

import math
from dataclasses import dataclass, field
from functools import cached_property

from shapely import affinity
from shapely.geometry import LineString, Point, box
from shapely.geometry import Polygon as Shape
from shapely.ops import unary_union

from conversions.sizing import Own, read_own

from .sheet import direction

Spot = tuple[float, float]
USUAL = {
    "mounded": {"length_m": 2.4, "width_m": 1.2, "height_m": 0.15},
    "framed": {"length_m": 2.4, "width_m": 1.2, "height_m": 0.2, "board_m": 0.038},
    "pocket": {"top_m": 0.4, "bottom_m": 0.2, "height_m": 0.2},
}  # as in the engine's site file
MARKS = ("tap", "heap", "downspout")  # as in the engine's site file
# A mark farther from the ground is left out: it would shrink the ground it belongs to. Our own guess, no source.
NEAR_M = 10.0
ROUND = "round"  # the one side of a circle


@dataclass(frozen=True)
class Side:
    """One side in sheet units, from its own corner to the next; `out` points away from the lawn."""

    id: str
    start: Spot
    end: Spot
    beyond: str
    length_m: float

    @cached_property
    def along(self) -> Spot:
        return direction(self.start, self.end)

    @property
    def out(self) -> Spot:
        x, y = self.along
        return (y, -x)

    @property
    def length(self) -> float:
        return math.dist(self.start, self.end)

    @property
    def turn(self) -> float:
        return math.degrees(math.atan2(self.along[1], self.along[0]))

    def spot(self, share: float, away: float) -> Spot:
        """A point at a share of the side, so far outside it."""
        (x, y), (ux, uy), (ox, oy) = self.start, self.along, self.out
        return (x + ux * self.length * share + ox * away, y + uy * self.length * share + oy * away)


def is_drawable(patch: dict) -> bool:
    return bool(patch.get("circle")) or len(patch.get("corners") or ()) >= 3


def outline_m(patch: dict) -> Shape:
    """The outline in metres, as in the site document."""
    around = patch.get("circle")
    if around:
        return Point(around["x"], around["y"]).buffer(around["diameter"] / 2, quad_segs=32)
    return Shape([(corner["x"], corner["y"]) for corner in patch["corners"]])


def size(bed: dict, key: str) -> float:
    """A measure of a bed in metres, or the usual one while it is not given."""
    value = bed.get(key)
    return float(USUAL[bed["kind"]][key] if value is None else value)


def is_round(bed: dict) -> bool:
    return bed["kind"] == "mounded" and bed.get("ends", "round") == "round"


def centre_line_m(bed: dict) -> list[Spot]:
    """The middle of a bed in metres: its own line if it has one, else straight from end to end of the round or square."""
    if len(bed.get("path") or ()) >= 2:
        return [(float(x), float(y)) for x, y in bed["path"]]
    length = size(bed, "length_m") - (size(bed, "width_m") if is_round(bed) else 0.0)
    return [at_m(bed, -max(0.0, length) / 2, 0.0), at_m(bed, max(0.0, length) / 2, 0.0)]


def at_m(bed: dict, along: float, across: float) -> Spot:
    """A point of a turned bed: so far along it from the middle, and so far to its left."""
    turn = math.radians(bed.get("turn_deg") or 0.0)
    x = bed["x"] + along * math.cos(turn) - across * math.sin(turn)
    y = bed["y"] + along * math.sin(turn) + across * math.cos(turn)
    return (round(x, 4) + 0.0, round(y, 4) + 0.0)


def footprint_m(bed: dict) -> Shape:
    """The outline of a bed in metres, turned and placed."""
    if bed["kind"] == "pocket":
        return Point(bed["x"], bed["y"]).buffer(size(bed, "top_m") / 2, quad_segs=12)
    if bed.get("path") or is_round(bed):
        line = centre_line_m(bed)
        core = LineString(line) if math.dist(line[0], line[-1]) > 1e-3 or len(line) > 2 else Point(line[0])
        return core.buffer(size(bed, "width_m") / 2, quad_segs=16)
    half, deep = size(bed, "length_m") / 2, size(bed, "width_m") / 2
    return Shape([at_m(bed, -half, deep), at_m(bed, half, deep), at_m(bed, half, -deep), at_m(bed, -half, -deep)])


def bounds_m(site: dict, patch: dict, marked: bool = False) -> tuple[float, float, float, float]:
    """The box round a patch and its beds, so that a bed laid wrongly is still seen; with the marks that are drawn."""
    shapes = [outline_m(patch), *(footprint_m(bed) for bed in beds_of(site, patch))]
    x1, y1, x2, y2 = unary_union([box(*shape.bounds) for shape in shapes]).bounds
    at = [(row["x"], row["y"]) for row in marks_of(patch)] if marked else []
    xs, ys = [x1, x2, *(x for x, _y in at)], [y1, y2, *(y for _x, y in at)]
    return min(xs), min(ys), max(xs), max(ys)


def beds_of(site: dict, patch: dict) -> list[dict]:
    return [bed for bed in site.get("beds") or () if bed.get("patch") == patch.get("uid")]


def marks_of(patch: dict) -> list[dict]:
    """Tap, heap place and downspout of a patch, those on its ground or near enough to be drawn."""
    rows = [row for row in patch.get("marks") or () if row.get("kind") in MARKS]
    if not rows:
        return []
    ground = outline_m(patch)
    return [row for row in rows if ground.distance(Point(row["x"], row["y"])) <= NEAR_M]


@dataclass(frozen=True)
class Frame:
    """A patch on the sheet. `left`, `top` is the upper left corner of its box; `band` the depth drawn beyond it;
    `own` the numbers that its take-off stands on."""

    patch: dict
    left: float
    top: float
    scale: float
    bounds: tuple[float, float, float, float]
    band: float
    own: Own = field(default_factory=lambda: read_own({}))

    def at(self, x: float, y: float) -> Spot:
        x1, _, _, y2 = self.bounds
        return (self.left + (x - x1) * self.scale, self.top + (y2 - y) * self.scale)

    def place(self, shape):
        """Any shapely shape in metres, in sheet units."""
        s, (x1, _, _, y2) = self.scale, self.bounds
        return affinity.affine_transform(shape, [s, 0, 0, -s, self.left - x1 * s, self.top + y2 * s])

    @cached_property
    def ground(self) -> Shape:
        shape = self.place(outline_m(self.patch))
        return shape if shape.is_valid else shape.buffer(0)

    @cached_property
    def lawn(self):
        """The ground without its holes: a pond, a patio, a shed."""
        holes = [self.place(Shape(row["points"])).buffer(0) for row in self.features("hole") if len(row["points"]) > 2]
        return self.ground.difference(unary_union(holes)) if holes else self.ground

    def features(self, kind: str) -> list[dict]:
        return [row for row in self.patch.get("features") or () if row.get("kind") == kind]

    @cached_property
    def block(self) -> Shape:
        """The box with the band round it: nothing of this patch is drawn outside."""
        x1, y1, x2, y2 = self.bounds
        width, height = (x2 - x1) * self.scale, (y2 - y1) * self.scale
        return box(
            self.left - self.band, self.top - self.band, self.left + width + self.band, self.top + height + self.band
        )

    @cached_property
    def sides(self) -> tuple[Side, ...]:
        """The sides clockwise as seen; none for a circle."""
        if self.patch.get("circle"):
            return ()
        corners = self.patch["corners"]
        if Shape([(c["x"], c["y"]) for c in corners]).exterior.is_ccw:
            corners = [{**c, "beyond": corners[i - 1].get("beyond")} for i, c in enumerate(corners)][::-1]
        out = []
        for i, corner in enumerate(corners):
            after = corners[(i + 1) % len(corners)]
            length = math.dist((corner["x"], corner["y"]), (after["x"], after["y"]))
            if not length:
                continue
            start, end = self.at(corner["x"], corner["y"]), self.at(after["x"], after["y"])
            out.append(Side(corner["id"], start, end, corner.get("beyond") or "open", length))
        return tuple(out)


def arrange(sizes: list[Spot], width: float, gap: float) -> tuple[list[Spot], float, float]:
    """Boxes in rows no wider than `width` (a box wider than that has a row of its own): places, width, height."""
    places, x, y, row, widest = [], 0.0, 0.0, 0.0, 0.0
    for wide, high in sizes:
        if x and x + wide > width + 1e-6:
            x, y, row = 0.0, y + row + gap, 0.0
        places.append((x, y))
        widest, row = max(widest, x + wide), max(row, high)
        x += wide + gap
    return places, widest, y + row
