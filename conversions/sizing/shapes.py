"""Outlines: typed shapes turned into corners, and patches turned into polygons with named sides."""

import math
from dataclasses import dataclass

from shapely.geometry import Polygon as Shape

from .problems import Problem, SiteError, Where
from .values import Circle, Feature, Point, Ring, SitePatch

CLOSING_TOLERANCE_M = 0.02  # tapes are read to the centimetre; more than this is said aloud
CIRCLE_SIDES = 128

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Edge:
    """A side of a patch, from its own corner to the next one."""

    id: str
    name: str
    start: Point
    end: Point
    beyond: str
    points: Ring
    round_m: float | None = None  # the length of a circle, which its 128 points miss by a little

    @property
    def drawn_m(self) -> float:
        return sum(math.dist(a, b) for a, b in zip(self.points, self.points[1:], strict=False))

    @property
    def length_m(self) -> float:
        return self.drawn_m if self.round_m is None else self.round_m


def side_name(index: int, count: int) -> str:
    """
    >>> side_name(0, 4), side_name(3, 4)
    ('A to B', 'D to A')
    """
    return f"{LETTERS[index]} to {LETTERS[(index + 1) % count]}"


def refuse(code: str, part: str, message: str, **values: object) -> SiteError:
    """The error for a typed shape that cannot be, at one of its sides."""
    return SiteError([Problem(code, Where("", part), message, {"side": part, **values})])


def _checked(length_m: float, part: str) -> float:
    if not math.isfinite(length_m):
        raise refuse("not-a-number", part, "{side}: this is not a length.")
    if length_m < 0:
        raise refuse(
            "negative", part, "{side} comes to {length_m} m. A side cannot be less than nothing.", length_m=length_m
        )
    if length_m == 0:
        raise refuse("zero-side", part, "{side} is 0. Give its length.")
    return float(length_m)


def _settled(points: list[Point]) -> tuple[Point, ...]:
    """Move the outline so that its box starts at 0, 0, and round to 1 mm."""
    left, low = min(x for x, _ in points), min(y for _, y in points)
    return tuple((round(x - left, 3) + 0.0, round(y - low, 3) + 0.0) for x, y in points)


def rectangle(width_m: float, depth_m: float) -> tuple[Point, ...]:
    """Corners A (top left), B, C, D, clockwise.

    >>> rectangle(8, 5)
    ((0.0, 5.0), (8.0, 5.0), (8.0, 0.0), (0.0, 0.0))
    """
    w, d = _checked(width_m, "A to B"), _checked(depth_m, "B to C")
    return _settled([(0.0, d), (w, d), (w, 0.0), (0.0, 0.0)])


def _headings(turns: list[str]) -> list[tuple[int, int]]:
    """Heading of each side; the first runs right, and turns[i] is made at corner i before side i."""
    heading, out = (1, 0), [(1, 0)]
    for turn in turns[1:]:
        x, y = heading
        heading = (y, -x) if turn == "right" else (-y, x)
        out.append(heading)
    return out


def _fill(lengths_m: list[float | None], headings: list[tuple[int, int]], axis: int) -> None:
    """Work out the one blank length along an axis from the others, in place."""
    blanks = [i for i, length in enumerate(lengths_m) if length is None and headings[i][axis]]
    if not blanks:
        return
    if len(blanks) > 1:
        part = side_name(blanks[1], 6)
        raise refuse("too-few-lengths", part, "{side}: two sides that run the same way are blank. Give one of them.")
    rest = sum((lengths_m[i] or 0.0) * heading[axis] for i, heading in enumerate(headings) if heading[axis])
    i = blanks[0]
    lengths_m[i] = _checked(round(-rest * headings[i][axis], 6) + 0.0, side_name(i, 6))


def l_shape(lengths_m: list[float | None], turns: list[str]) -> tuple[Point, ...]:
    """Six sides at right angles. turns[i] is the turn made at corner i (A first): five 'right', one 'left'.

    Up to two lengths, one along each axis, may be None: they follow from the others.

    >>> l_shape([5, 2, 3, 4, None, None], ["right", "right", "left", "right", "right", "right"])
    ((0.0, 6.0), (5.0, 6.0), (5.0, 4.0), (8.0, 4.0), (8.0, 0.0), (0.0, 0.0))
    """
    if len(lengths_m) != 6 or len(turns) != 6 or sorted(turns) != ["left"] + ["right"] * 5:
        raise refuse("not-an-l", "", "An L has six sides: five corners turn right and one turns left.")
    lengths = [None if length is None else _checked(length, side_name(i, 6)) for i, length in enumerate(lengths_m)]
    headings = _headings(list(turns))
    for axis in (0, 1):
        _fill(lengths, headings, axis)
    points: list[Point] = [(0.0, 0.0)]
    for length, (dx, dy) in zip(lengths, headings, strict=True):
        x, y = points[-1]
        points.append((x + dx * length, y + dy * length))
    gap_m = math.hypot(*points.pop())
    if gap_m > CLOSING_TOLERANCE_M:
        message = "The sides do not meet: walking back to A ends {gap_m} m away from it."
        raise refuse("does-not-close", "F to A", message, gap_m=round(gap_m, 3))
    _close(points, headings)
    if not Shape(points).is_valid:
        raise refuse("crosses-itself", "", "With these lengths the outline crosses itself. Check the turns.")
    return _settled(points)


def _close(points: list[Point], headings: list[tuple[int, int]]) -> None:
    """Put a millimetre-sized closing error into the last two sides, so that every corner stays square."""
    x, y = points[5]
    points[5] = (0.0, y) if headings[5][1] else (x, 0.0)
    x4, y4 = points[4]
    points[4] = (x4, points[5][1]) if headings[4][0] else (points[5][0], y4)


def triangle(a_m: float, b_m: float, c_m: float) -> tuple[Point, ...]:
    """Sides A to B (along the top), B to C, C to A.

    >>> triangle(4, 3, 5)
    ((0.0, 3.0), (4.0, 3.0), (4.0, 0.0))
    """
    a, b, c = (_checked(length, side_name(i, 3)) for i, length in enumerate((a_m, b_m, c_m)))
    longest = max(a, b, c)
    short_m = longest - (a + b + c - longest)
    if short_m >= 0:
        part = side_name((a, b, c).index(longest), 3)
        message = "{side} is too long: the other two sides together are {short_m} m short of meeting."
        raise refuse("not-a-triangle", part, message, short_m=round(short_m, 3))
    x = (a * a + c * c - b * b) / (2 * a)
    y = -math.sqrt(max(0.0, c * c - x * x))
    return _settled([(0.0, 0.0), (a, 0.0), (x, y)])


def trapezium(a_m: float, b_m: float, distance_m: float, offset_m: float) -> tuple[Point, ...]:
    """Top side A to B = a, bottom side D to C = b, `distance` apart; D lies `offset` to the right of A.

    >>> trapezium(6, 4, 3, 1)
    ((0.0, 3.0), (6.0, 3.0), (5.0, 0.0), (1.0, 0.0))
    """
    a, b, h = _checked(a_m, "A to B"), _checked(b_m, "C to D"), _checked(distance_m, "distance")
    if not math.isfinite(offset_m):
        raise refuse("not-a-number", "offset", "{side}: this is not a length.")
    return _settled([(0.0, h), (a, h), (offset_m + b, 0.0), (offset_m, 0.0)])


def circle(across_m: float, beyond: str = "open", typed: str = "") -> Circle:
    """A circle stays a circle; its box starts at 0, 0.

    >>> circle(3).x_m
    1.5
    """
    across = round(_checked(across_m, "across"), 3)
    return Circle(round(across / 2, 4), round(across / 2, 4), across, beyond, typed)


def circle_ring(around: Circle) -> Ring:
    """Corner points, clockwise, of a 128-sided figure with exactly the area of the circle."""
    step = 2 * math.pi / CIRCLE_SIDES
    radius = around.diameter_m / 2 * math.sqrt(step / math.sin(step))
    return tuple(
        (around.x_m + radius * math.sin(i * step), around.y_m + radius * math.cos(i * step))
        for i in range(CIRCLE_SIDES)
    )


def holes(patch: SitePatch) -> tuple[Feature, ...]:
    """Ground inside the outline that is not lawn: a pond, a patio, a shed."""
    return tuple(feature for feature in patch.features if feature.kind == "hole")


def hole_edges(patch: SitePatch) -> tuple[Edge, ...]:
    """The rim of each hole, named 'hole 1', 'hole 2'."""
    out = []
    for n, hole in enumerate(holes(patch), 1):
        closed = (*hole.points, hole.points[0])
        out.append(Edge(hole_id(n), hole.label or hole_id(n), closed[0], closed[0], hole.beyond, closed))
    return tuple(out)


def hole_id(n: int) -> str:
    """What the rim of the nth hole is known by, beside the corners that own the sides."""
    return f"hole {n}"


def edges(patch: SitePatch) -> tuple[Edge, ...]:
    """The sides of a patch in order; a circle has one side, 'round'."""
    if patch.circle:
        ring = circle_ring(patch.circle)
        closed = (*ring, ring[0])
        around_m = math.pi * patch.circle.diameter_m
        return (Edge("round", "round", ring[0], ring[0], patch.circle.beyond, closed, around_m),)
    count, out = len(patch.corners), []
    for i, corner in enumerate(patch.corners):
        after = patch.corners[(i + 1) % count]
        start, end = (corner.x_m, corner.y_m), (after.x_m, after.y_m)
        out.append(Edge(corner.id, f"{corner.id} to {after.id}", start, end, corner.beyond, (start, end)))
    return tuple(out)


def edge_lengths(patch: SitePatch) -> dict[str, float]:
    """Length in metres of each side, by the corner that owns it; a circle has one side, 'round'."""
    return {edge.id: edge.length_m for edge in edges(patch)}


def outer(patch: SitePatch) -> Shape:
    """The outline without its holes."""
    if patch.circle:
        return Shape(circle_ring(patch.circle))
    return Shape([(corner.x_m, corner.y_m) for corner in patch.corners])


def outline(patch: SitePatch) -> Shape:
    """The ground of a patch: the outline less its holes."""
    return Shape(outer(patch).exterior.coords, [hole.points for hole in holes(patch)])


def polygons(shape) -> tuple:
    """The polygons inside any shapely result, largest first; lines and crumbs under 1 cm2 are dropped."""
    parts = [part for part in getattr(shape, "geoms", [shape]) if part.geom_type == "Polygon" and part.area > 1e-4]
    return tuple(sorted(parts, key=lambda part: (-part.area, part.bounds)))


def drawn(shape) -> tuple:
    """Coordinates for a drawing: per polygon the outer ring, then the holes, rounded to 1 mm, not closed."""
    return tuple(
        tuple(
            tuple((round(x, 3), round(y, 3)) for x, y in ring.coords[:-1]) for ring in (part.exterior, *part.interiors)
        )
        for part in polygons(shape)
    )
