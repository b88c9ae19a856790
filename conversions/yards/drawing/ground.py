"""The ground of a patch: chips on the cover, strips kept clear, trees, and the trench along hard edges."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from shapely.geometry import LineString, Point
from shapely.geometry import Polygon as Shape
from shapely.ops import unary_union
from shapely.validation import make_valid

from conversions.common import measures
from conversions.sizing.zones import ring_radius_m

from . import marked
from .frame import Frame
from .sheet import Sheet, closed_path, direction, line_paths, upright
from .textures import INK, KEPT, LEAF, WHITE

TICK_M, TICK_EACH_M, LONGEST_TICK = 0.24, 0.4, 16.0


def depth_words(metres: float, units: str) -> str:
    """A depth as a gardener says it: "90 mm", or feet and inches."""
    if units == "imperial":
        return measures.feet_inches(metres)
    return _("%(depth)s mm") % {"depth": measures.number(metres * 1000)}


def rings_m(rings) -> Shape:
    """A polygon of a take-off: the outer ring, then the holes. Rounded to a millimetre, a narrow strip may touch itself."""
    return make_valid(Shape(rings[0], rings[1:]))


def cover_of(frame: Frame, sized: dict):
    """The ground to cover in sheet units; all of the lawn while nothing is sized yet."""
    if not sized:
        return frame.lawn
    return unary_union([frame.place(rings_m(rings)) for rings in sized.get("cover") or ()])


def zones_of(frame: Frame, sized: dict) -> list[tuple[object, bool]]:
    """Every keep-out but the strip at the wall, and whether its chips are thin."""
    out = []
    for zone in sized.get("zones") or ():
        shape = unary_union([frame.place(rings_m(rings)) for rings in zone["polygons"]])
        if zone["reason"] != "house wall" and not shape.is_empty:
            out.append((shape, "thin chips" in zone["effects"]))
    return out


def draw_ground(sheet: Sheet, frame: Frame, sized: dict) -> None:
    """Lawn, then what is kept, then chips: as the take-off has it, or plain lawn while there is none."""
    outline = closed_path(frame.ground)
    if not sized:
        sheet.textured(outline, "lawn", stroke=INK, width=1.3)
        _draw_holes(sheet, frame)
        return
    sheet.path(outline, fill=KEPT)
    cover = cover_of(frame, sized)
    if not cover.is_empty:
        sheet.textured(closed_path(cover), "chip", stroke=INK, width=1.0)
    for kept in sized.get("kept") or ():
        shape = unary_union([frame.place(rings_m(rings)) for rings in kept["polygons"]])
        if kept["reason"] != "tree trunk" and not shape.is_empty:
            sheet.path(closed_path(shape), fill=KEPT, stroke=INK, width=1.0)
            sheet.hatched(closed_path(shape), "clear")
    for zone in sized.get("zones") or ():
        if "kept" not in zone["effects"] and zone["reason"] not in ("tree ring", "marked line"):
            _draw_other_zone(sheet, frame, zone)
    _draw_holes(sheet, frame)
    sheet.path(outline, stroke=INK, width=1.3)


def _draw_holes(sheet: Sheet, frame: Frame) -> None:
    """Ground inside the outline that is no lawn: paving as paving, anything else left white."""
    holes = frame.ground.difference(frame.lawn)
    if holes.is_empty:
        return
    sheet.path(closed_path(holes), fill=WHITE, stroke=INK, width=1.3)
    for row in frame.features("hole"):
        if row.get("beyond") in ("path", "drive", "pavement", "kerb"):
            shape = frame.place(Shape(row["points"])).buffer(0).intersection(frame.ground)
            sheet.textured(closed_path(shape), "hard", stroke=INK, width=1.3)


def _draw_other_zone(sheet: Sheet, frame: Frame, zone: dict) -> None:
    """Ground with a rule of its own, as under old paint: a broken hatch with a dashed edge."""
    shape = unary_union([frame.place(rings_m(rings)) for rings in zone["polygons"]])
    if shape.is_empty:
        return
    sheet.hatched(closed_path(shape), "paint")
    for line in line_paths(shape.boundary.difference(frame.ground.boundary.buffer(0.5))):
        sheet.line(line, WHITE, 3)
        sheet.line(line, INK, 1.3, "7 4")


def draw_trees_below(sheet: Sheet, frame: Frame) -> None:
    """The ring of each tree, pale, before the beds."""
    for tree in frame.features("tree"):
        radius = ring_radius_m(tree.get("trunk_m") or 0.0, frame.own)
        ring = frame.place(Point(tree["x"], tree["y"]).buffer(radius, quad_segs=32))
        sheet.path(closed_path(ring.intersection(frame.ground)), fill=WHITE, more=' fill-opacity=".5"')
        for line in line_paths(ring.boundary.intersection(frame.ground)):
            sheet.line(line, LEAF, 2.2, "9 3 2 3")


def draw_trunks(sheet: Sheet, frame: Frame) -> None:
    for tree in frame.features("tree"):
        x, y = frame.at(tree["x"], tree["y"])
        trunk = (tree.get("trunk_m") or 0.0) / 2
        sheet.circle(x, y, max(5.0, (trunk + frame.own["tree_collar"]) * frame.scale), fill=WHITE, width=1.1)
        sheet.circle(x, y, max(2.5, trunk * frame.scale), fill=LEAF)


def draw_trench(sheet: Sheet, frame: Frame, sized: dict, strong: float = 1.0) -> None:
    """An ink line with ticks into the lawn, on the stretches that the take-off gives."""
    tick, each = tick_length(frame), min(max(TICK_EACH_M * frame.scale, 9.0), 2 * LONGEST_TICK)
    for segment in sized.get("trench_segments") or ():
        line = LineString([frame.at(x, y) for x, y in segment["points"]])
        points = list(line.coords)
        sheet.line(points, WHITE, 8 * strong)
        sheet.line(points, INK, 4.4 * strong)
        count, ticks = max(2, round(line.length / each)), []
        for i in range(count):
            ticks.append(_tick(frame, line, line.length * (i + 0.5) / count, tick))
        for one in ticks:
            sheet.line(one, INK, 2 * strong)


def tick_length(frame: Frame) -> float:
    return min(max(TICK_M * frame.scale, 6.0), LONGEST_TICK)


def _tick(frame: Frame, line: LineString, along: float, tick: float):
    """A short line square to the trench, on the lawn's side of it."""
    at = line.interpolate(along)
    before, after = line.interpolate(max(0, along - 0.5)), line.interpolate(min(line.length, along + 0.5))
    ux, uy = direction((before.x, before.y), (after.x, after.y))
    for nx, ny in ((-uy, ux), (uy, -ux)):
        if frame.lawn.contains(Point(at.x + nx * 0.5, at.y + ny * 0.5)):
            return [(at.x, at.y), (at.x + nx * tick, at.y + ny * tick)]
    return [(at.x, at.y), (at.x - uy * tick, at.y + ux * tick)]


def write_ground(sheet: Sheet, frame: Frame, site: dict, sized: dict, units: str, brief: bool) -> list[str]:
    """Words on the ground itself: names of lines, trees, the strip at the wall; what had no room, for the legend."""
    left_over = marked.name_lines(sheet, frame, brief)
    for tree in frame.features("tree"):
        x, y = frame.at(tree["x"], tree["y"])
        words = str(tree.get("label") or (_("tree") if brief else _("keep the tree")))
        away = sheet.size * 1.6
        spots = [(x, y - away, 0), (x, y + away, 0), (x + away * 2.4, y, 0), (x - away * 2.4, y, 0)]
        spots += [(x, y - away * 2, 0), (x, y + away * 2, 0), (x + away * 4, y, 0), (x - away * 4, y, 0)]
        if spot := sheet.best(spots, *sheet.plate_size(words, 0.8), frame.block, most=1):
            sheet.plate(spot[0], spot[1], words, 0.8)
        else:
            left_over.append(f"• {words}")
    for row in frame.features("hole"):
        _name_area(sheet, frame, frame.place(Shape(row["points"])).buffer(0), str(row.get("label") or ""))
    if sized and not brief:
        _name_zones(sheet, frame, sized)
    if sized and not brief and any(kept["reason"] == "house wall" for kept in sized.get("kept") or ()):
        _name_strip(sheet, frame, depth_words(site.get("house_strip_m", 0.3), units))
    return left_over


ZONE_WORDS = {
    "old paint": gettext_lazy("old paint: no digging"),
    "right of way": gettext_lazy("right of way"),
    "fire strip": gettext_lazy("no chips near the building"),
}


def _name_zones(sheet: Sheet, frame: Frame, sized: dict) -> None:
    for zone in sized.get("zones") or ():
        if zone["reason"] in ZONE_WORDS and zone["polygons"]:
            shape = unary_union([frame.place(rings_m(rings)) for rings in zone["polygons"]])
            _name_area(sheet, frame, shape, str(ZONE_WORDS[zone["reason"]]))


def _name_area(sheet: Sheet, frame: Frame, shape, words: str) -> None:
    """A plate within an area, or over its middle when the area is small."""
    if shape.is_empty or not words:
        return
    width, height = sheet.plate_size(words, 0.78)
    x1, y1, x2, y2 = shape.bounds
    steps = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8]
    spots = [(x1 + (x2 - x1) * u, y1 + (y2 - y1) * v, 0.0) for v in steps for u in steps]
    middle = shape.representative_point()
    spot = sheet.best(spots, width, height, shape.buffer(2)) or sheet.best(
        [(middle.x, middle.y, 0.0)], width, height, frame.block, most=0.3
    )
    if spot:
        sheet.plate(spot[0], spot[1], words, 0.78)


def _name_strip(sheet: Sheet, frame: Frame, clear: str) -> None:
    """ "kept clear 300 mm" on the strip along the longest house wall, if the wall is long enough for it."""
    walls = sorted((side for side in frame.sides if side.beyond == "house"), key=lambda side: -side.length)
    words = _("kept clear %(depth)s") % {"depth": clear}
    width, height = sheet.plate_size(words, 0.72)
    for wall in walls[:1]:
        if wall.length < width * 1.1:
            return
        deep = height / 2 + 1.5
        spots = [(*wall.spot(share, -deep), upright(wall.turn)) for share in (0.74, 0.26, 0.5, 0.66, 0.34, 0.82, 0.18)]
        if spot := sheet.best(spots, width, height, frame.block):
            sheet.plate(spot[0], spot[1], words, 0.72, spot[2])
