"""What lies beyond each side of a patch, as a band outside the edge: house, paving, wall, fence, lawn or bed."""

import math

from django.utils.translation import gettext_lazy as _
from shapely.geometry import LineString
from shapely.geometry import Polygon as Shape
from shapely.ops import unary_union

from .frame import Frame, Side
from .sheet import Sheet, closed_path, line_paths, n, upright
from .textures import DIAGONAL, HOUSE, INK, WHITE

WORDS = {
    "house": _("HOUSE"),
    "path": _("PATH"),
    "drive": _("DRIVE"),
    "pavement": _("PAVEMENT"),
    "kerb": _("KERB"),
    "garden wall": _("GARDEN WALL"),
    "fence": _("FENCE"),
    "lawn": _("NEIGHBOUR’S LAWN"),
    "bed": _("BED"),
}
# Where two bands meet at a corner, the first of this list runs on and the other butts against it.
FIRST = ("house", "garden wall", "fence", "pavement", "kerb", "drive", "path", "bed", "lawn", "open")
HARD = ("path", "drive", "pavement")
STRIP = 0.24  # the share of the band that a wall, fence or kerb takes
LONGEST_CORNER = 1.5  # bands run on past a corner by so many band depths at most


def bands(frame: Frame) -> list[tuple[Side, Shape]]:
    """The band of each side, none over the lawn and none over another."""
    sides, taken, out = frame.sides, frame.ground, []
    order = sorted(range(len(sides)), key=lambda i: (FIRST.index(_known(sides[i].beyond)), i))
    for i in order:
        if sides[i].beyond == "open":
            continue
        raw = _along(sides[i - 1], sides[i], sides[(i + 1) % len(sides)], frame.band)
        shape = _polygons(raw.intersection(frame.block).difference(taken))
        taken = unary_union([taken, shape])
        out.append((sides[i], shape))
    return out


def _known(beyond: str) -> str:
    return beyond if beyond in FIRST else "open"


def _polygons(shape):
    return unary_union([part for part in getattr(shape, "geoms", [shape]) if part.geom_type == "Polygon"])


def _runs_on(one: Side, two: Side, depth: float) -> float:
    """How far bands run past the corner between two sides, so that the outer corner is filled."""
    (ax, ay), (bx, by) = one.along, two.along
    turn = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    return depth * min(LONGEST_CORNER, math.tan(turn / 2)) if turn > 0.001 else 0.0


def _along(before: Side, side: Side, after: Side, depth: float) -> Shape:
    (ux, uy), (ox, oy) = side.along, side.out
    back, on = _runs_on(before, side, depth), _runs_on(side, after, depth)
    a = (side.start[0] - ux * back, side.start[1] - uy * back)
    b = (side.end[0] + ux * on, side.end[1] + uy * on)
    shape = Shape([a, b, (b[0] + ox * depth, b[1] + oy * depth), (a[0] + ox * depth, a[1] + oy * depth)])
    return shape if shape.is_valid else shape.buffer(0)


def draw_bands(sheet: Sheet, frame: Frame) -> list[tuple[Side, Shape]]:
    """Draw every band; returns them for the words, which come later."""
    if around := frame.patch.get("circle"):
        kind = _known(around.get("beyond") or "open")
        if kind != "open":
            shape = frame.ground.buffer(frame.band, quad_segs=32).difference(frame.ground)
            _draw(sheet, frame, kind, shape, None)
        return []
    found = bands(frame)
    for side, shape in reversed(found):
        _draw(sheet, frame, _known(side.beyond), shape, side)
    return found


def _draw(sheet: Sheet, frame: Frame, kind: str, shape, side: Side | None) -> None:
    d = closed_path(shape)
    if not d:
        return
    if kind == "house":
        sheet.path(d, fill=HOUSE, stroke=INK, width=1.6)
        for line in _diagonals(shape):
            sheet.line(line, DIAGONAL, 0.8)
    elif kind in HARD:
        sheet.textured(d, "hard")
    elif kind in ("lawn", "bed"):
        sheet.textured(d, "lawn" if kind == "lawn" else "plant")
    elif kind == "kerb":
        sheet.textured(d, "hard")
        stone = _lane(frame, side, 0, STRIP, past=LONGEST_CORNER).intersection(shape)
        sheet.path(closed_path(stone), fill=WHITE, stroke=INK, width=1.2)
    elif kind == "garden wall":
        sheet.textured(closed_path(_lane(frame, side, 0, STRIP).intersection(shape)), "wall", stroke=INK, width=1.2)
    else:
        boards = _lane(frame, side, STRIP * 0.3, STRIP * 0.7).intersection(shape)
        sheet.textured(closed_path(boards), "timber", stroke=INK, width=0.8)
        _posts(sheet, frame, side)


def _lane(frame: Frame, side: Side | None, near: float, far: float, past: float | None = None):
    """The ground between two distances from the edge, in shares of the band; round a circle if there is no side."""
    past = (far if past is None else past) * frame.band / (side.length if side else 1)
    near, far = near * frame.band, far * frame.band
    if side is None:
        return frame.ground.buffer(far, quad_segs=32).difference(frame.ground.buffer(near, quad_segs=32))
    return Shape([side.spot(-past, near), side.spot(1 + past, near), side.spot(1 + past, far), side.spot(-past, far)])


def _posts(sheet: Sheet, frame: Frame, side: Side | None) -> None:
    half, w = frame.band * STRIP / 2, max(2.0, frame.band * 0.055)
    line = LineString([side.spot(0, half), side.spot(1, half)]) if side else frame.ground.buffer(half).exterior
    count = max(1, round(line.length / (frame.band * 1.1)))
    for i in range(count + 1):
        at = line.interpolate(i / count, normalized=True)
        post = f"M{n(at.x - w)} {n(at.y - w)}h{n(2 * w)}v{n(2 * w)}h{n(-2 * w)}Z"
        sheet.path(post, fill=WHITE, stroke=INK, width=1)


def _diagonals(shape) -> list:
    """Slanting lines over a house, as walls are drawn that are cut."""
    x1, y1, x2, y2 = shape.bounds
    height, step, out = y2 - y1, 28.0, []
    for i in range(int((x2 - x1 + height) / step) + 1):
        x = x1 + i * step
        out += line_paths(LineString([(x - height, y2), (x, y1)]).intersection(shape))
    return out


def write_words(sheet: Sheet, frame: Frame, found: list[tuple[Side, Shape]], few: bool = False) -> None:
    """The word of each band along its side, where it fits; the same word once per run of sides."""
    size = 0.8 if few else 0.86
    if around := frame.patch.get("circle"):
        kind = _known(around.get("beyond") or "open")
        if kind in WORDS:
            x1, y1, x2, _ = frame.ground.bounds
            spot = sheet.best([((x1 + x2) / 2, y1 - frame.band * 0.6, 0.0)], *_room(sheet, kind, size), most=1)
            sheet.text(*spot[:2], str(WORDS[kind]), size)
        return
    for side, shape in sorted(found, key=lambda pair: -pair[0].length):
        _write(sheet, frame, side, shape, size, few)


def _room(sheet: Sheet, kind: str, size: float) -> tuple[float, float]:
    width, height = sheet.plate_size(str(WORDS[kind]), size)
    return width - sheet.size * 0.4, height * 0.8


def _write(sheet: Sheet, frame: Frame, side: Side, shape, size: float, few: bool) -> None:
    kind = _known(side.beyond)
    rows = (0.5, 0.6) if few else (0.77, 0.7, 0.5, 0.4)
    shares = (0.5, 0.35, 0.65, 0.25, 0.75, 0.16, 0.84)
    turn = upright(side.turn)
    inside = shape.buffer(sheet.size * 0.35)
    for smaller in (1.0, 0.8):
        width, height = _room(sheet, kind, size * smaller)
        spots = [(*side.spot(share, frame.band * row), turn) for row in rows for share in shares]
        if spot := sheet.best(spots, width, height, inside):
            sheet.text(spot[0], spot[1], str(WORDS[kind]), size * smaller, turn=spot[2])
            return
