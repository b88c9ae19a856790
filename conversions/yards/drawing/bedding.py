"""Beds on the plan: mounded in compost with its crest, framed with its boards, pockets with their numbers."""

import math
from itertools import product

from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from shapely.geometry import LineString, Point

from conversions.common import measures
from conversions.sizing import Own

from .frame import Frame, beds_of, centre_line_m, footprint_m, size
from .sheet import Sheet, closed_path, slab, upright, word_width
from .textures import CREST, INK, WHITE

LEAST_BOARD = 4.0  # boards thinner than this on the sheet could not be seen
NUMBERED = 6.5  # a pocket of this radius has room for its number


def pocket_numbers(site: dict) -> dict[str, int]:
    """Pockets are numbered through the whole yard, in the order of the site document."""
    pockets = [bed["uid"] for bed in site.get("beds") or () if bed["kind"] == "pocket"]
    return {uid: i for i, uid in enumerate(pockets, 1)}


def draw_beds(sheet: Sheet, frame: Frame, site: dict, numbers: bool) -> None:
    named = pocket_numbers(site)
    for bed in beds_of(site, frame.patch):
        shape = frame.place(footprint_m(bed))
        if bed["kind"] == "framed":
            _draw_framed(sheet, frame, bed, shape)
        elif bed["kind"] == "pocket":
            _draw_pocket(sheet, shape, named[bed["uid"]] if numbers else None)
        else:
            sheet.textured(closed_path(shape), "compost", stroke=INK, width=1.6)
            crest = shape.buffer(-_run(bed, frame.own) * frame.scale, quad_segs=16)
            sheet.path(closed_path(crest), stroke=CREST, width=1.1, dash="5 3")


def _run(bed: dict, own: Own) -> float:
    """How far the slope of a mound runs before its flat top."""
    return min(size(bed, "height_m") / math.tan(math.radians(own["repose"])), size(bed, "width_m") * 0.4)


def _draw_framed(sheet: Sheet, frame: Frame, bed: dict, shape) -> None:
    least = min(size(bed, "length_m"), size(bed, "width_m")) * frame.scale
    board = min(max(size(bed, "board_m") * frame.scale, LEAST_BOARD), least / 4)
    sheet.textured(closed_path(shape), "timber", stroke=INK, width=1.6)
    sheet.textured(closed_path(shape.buffer(-board, join_style="mitre")), "compost", stroke=INK, width=1)


def _draw_pocket(sheet: Sheet, shape, number: int | None) -> None:
    x1, _y1, x2, _y2 = shape.bounds
    x, y, r = shape.centroid.x, shape.centroid.y, (x2 - x1) / 2
    sheet.textured(closed_path(shape), "compost", stroke=WHITE, width=3)
    sheet.circle(x, y, r, width=1.4)
    if number is None:
        sheet.take(slab(x, y, 0, 2 * r, 2 * r))
    elif r >= NUMBERED:
        fits = min(0.8, r * 1.15 / sheet.size)
        fill = "#3a2a1c"
        sheet.circle(x, y, r * 0.78, fill="#333333" if sheet.bw else fill, stroke=WHITE, width=0.8)
        sheet.text(x, y, str(number), fits, weight=700, halo=False, fill=WHITE)
        sheet.keep(slab(x, y, 0, 2 * r, 2 * r))
    else:
        _number_beside(sheet, x, y, r, str(number))


def _number_beside(sheet: Sheet, x: float, y: float, r: float, number: str) -> None:
    """The number of a pocket too small to hold it: on the first side of it where no other number stands."""
    wide, high = max(word_width(number, sheet.size * 0.72), sheet.size * 0.6), sheet.size * 0.8
    side, rise = r + wide / 2 + 2, r + high / 2 + 1
    spots = [(x + side, y), (x - side, y), (x, y - rise), (x, y + rise), (x + side, y - rise), (x - side, y + rise)]
    at = next((spot for spot in spots if not sheet.is_kept(slab(*spot, 0, wide, high))), spots[0])
    sheet.text(*at, number, 0.72, weight=700)
    sheet.keep(slab(*at, 0, wide, high))
    sheet.keep(slab(x, y, 0, 2 * r, 2 * r))


def bed_words(bed: dict, area_m2: float | None, units: str, few: bool, compact: bool) -> list[str]:
    """What may stand on a bed, the fullest first."""
    if few:
        return [_("long bed") if bed["kind"] == "mounded" else _("frame")]
    name = _("mounded bed") if bed["kind"] == "mounded" else _("framed bed")
    if compact or area_m2 is None:
        return [name]
    return [_("%(bed)s %(area)s") % {"bed": name, "area": measures.area(area_m2, units)}, name]


def write_beds(sheet: Sheet, frame: Frame, site: dict, sized: dict, look, numbered: int) -> list[str]:
    """Words on each bed; a bed too small for words takes a number, and its words are returned for the legend."""
    legend, beds = [], beds_of(site, frame.patch)
    for bed in beds:
        if bed["kind"] == "pocket":
            continue
        area = (sized.get(bed["uid"]) or {}).get("area_m2")
        words = bed_words(bed, area, look.units, look.few, look.compact)
        if look.few:
            _write_in_letter(sheet, frame, site, bed, words[0])
        elif not _write_bed(sheet, frame, bed, words):
            mark = roman(numbered + len(legend) + 1)
            legend.append(f"{mark}  {words[0]}")
            _number(sheet, frame, bed, mark)
    pockets = [bed for bed in beds if bed["kind"] == "pocket"]
    if pockets:
        others = [frame.place(footprint_m(bed)) for bed in beds if bed["kind"] != "pocket"]
        left_over = _write_pockets(sheet, frame, pockets, others, look.few)
        legend += [] if look.few else left_over
    return legend


def _write_bed(sheet: Sheet, frame: Frame, bed: dict, choices: list[str]) -> bool:
    shape = frame.place(footprint_m(bed))
    middle = frame.place(LineString(centre_line_m(bed))).interpolate(0.5, normalized=True)
    x, y = middle.x, middle.y
    turn, length = 0.0, 0.0
    if not bed.get("path"):
        turn = upright(-(bed.get("turn_deg") or 0.0))
        length = max(size(bed, "length_m"), size(bed, "width_m")) * frame.scale
    level = shape.bounds[2] - shape.bounds[0]
    for most, words, small in product((0.0, 0.1), choices, (0.84, 0.74)):
        width, height = sheet.plate_size(words, small)
        spots = [(x, y, 0.0)] if width <= level * 1.25 else []
        spots += [(x, y, turn)] if width <= length * 1.15 else []
        spots += [(x, y + slide * height, 0.0) for slide in (-0.7, 0.7, -1.1, 1.1)] if width <= level * 1.25 else []
        if spot := sheet.best(spots, width, height, frame.block, most):
            sheet.plate(spot[0], spot[1], words, small, spot[2])
            return True
    return False


def _write_in_letter(sheet: Sheet, frame: Frame, site: dict, bed: dict, words: str) -> None:
    """Big words on a bed that stays to be seen round them; else close to it on free ground; else none at all."""
    shape = frame.place(footprint_m(bed))
    x1, y1, x2, y2 = shape.bounds
    x, y = (x1 + x2) / 2, (y1 + y2) / 2
    for thick, big in product((0.8, 1.1), (0.84, 0.74)):
        width, height = sheet.plate_size(words, big)
        level, upright_too = (x, y, 0.0), (x, y, -90.0)
        spots = [level] if width <= x2 - x1 and height <= thick * (y2 - y1) else []
        spots += [upright_too] if width <= y2 - y1 and height <= thick * (x2 - x1) else []
        if spot := sheet.best(spots, width, height, most=0):
            sheet.plate(spot[0], spot[1], words, big, spot[2])
            return
    width, height = sheet.plate_size(words, 0.74)
    right, left = x2 + width / 2 + 3, x1 - width / 2 - 3
    below, above = y2 + height / 2 + 3, y1 - height / 2 - 3
    spots = [(x, below, 0.0), (x, above, 0.0), (right, y, 0.0), (left, y, 0.0)]
    spots += [(right, below, 0.0), (left, below, 0.0), (right, above, 0.0), (left, above, 0.0)]
    beds = [frame.place(footprint_m(other)) for other in beds_of(site, frame.patch)]
    free = [spot for spot in spots if not any(slab(*spot, width, height).intersects(other) for other in beds)]
    spot = sheet.best(free, width, height, frame.ground, most=0) or sheet.best(free, width, height, frame.block, most=0)
    if spot:
        sheet.plate(spot[0], spot[1], words, 0.74)


def _number(sheet: Sheet, frame: Frame, bed: dict, mark: str) -> None:
    centre = frame.place(Point(bed["x"], bed["y"]))
    radius = sheet.size * 0.62
    sheet.keep(slab(centre.x, centre.y, 0, 2 * radius, 2 * radius))
    sheet.words.append(
        f'<circle cx="{centre.x:.1f}" cy="{centre.y:.1f}" r="{radius:.1f}" fill="{WHITE}" stroke="{INK}" stroke-width="1"/>'
    )
    sheet.text(centre.x, centre.y, mark, 0.84, weight=700, halo=False)


def roman(number: int) -> str:
    """Beds named in the legend carry Roman numerals, so that nobody takes them for a pocket or a corner."""
    out = ""
    for value, numeral in ((10, "x"), (9, "ix"), (5, "v"), (4, "iv"), (1, "i")):
        while number >= value:
            out, number = out + numeral, number - value
    return out


def _write_pockets(sheet: Sheet, frame: Frame, pockets: list[dict], others: list, few: bool) -> list[str]:
    """One plate for all pockets of the patch, close to them and off them; else the words, for the legend."""
    count = len(pockets)
    if few:
        words = ngettext("planting spot", "planting spots", count)
    else:
        words = ngettext("planting pocket", "%(count)s planting pockets", count) % {"count": count}
    width, height = sheet.plate_size(words, 0.8)
    spots = []
    for bed in sorted(pockets, key=lambda bed: _from_middle(bed, pockets)):
        x, y = frame.at(bed["x"], bed["y"])
        away = size(bed, "top_m") / 2 * frame.scale + height * 0.75
        side = size(bed, "top_m") / 2 * frame.scale + width / 2 + 4
        spots += [(x, y + away, 0.0), (x, y - away, 0.0), (x + side, y, 0.0), (x - side, y, 0.0)]
        spots += [(x + u * width / 2, y + v * away, 0.0) for v in (1, -1) for u in (-1, 1)]
    spots = [spot for spot in spots if not any(slab(*spot, width, height).intersects(bed) for bed in others)]
    inside = frame.ground if width < frame.ground.bounds[2] - frame.ground.bounds[0] else frame.block
    spot = sheet.best(spots, width, height, inside)
    spot = spot or sheet.best(spots, width, height, frame.block)
    if spot is None:
        return [f"• {words}"]
    sheet.plate(spot[0], spot[1], words, 0.8)
    return []


def _from_middle(bed: dict, pockets: list[dict]) -> float:
    x = sum(one["x"] for one in pockets) / len(pockets)
    y = sum(one["y"] for one in pockets) / len(pockets)
    return math.dist((bed["x"], bed["y"]), (x, y))
