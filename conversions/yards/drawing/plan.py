"""The plan of a yard to scale, for screen and paper, from the site document and its take-off."""

import re

from django.utils.safestring import SafeString
from django.utils.text import Truncator
from django.utils.translation import gettext as _
from shapely.ops import unary_union

from conversions.common import measures
from conversions.sizing import read_own

from . import bedding, beyond, ground, marked, marks, pegs, tape
from .frame import Frame, arrange, beds_of, bounds_m, footprint_m, is_drawable, marks_of
from .look import LARGE_SIZE, Look
from .sheet import MM, Sheet, slab, word_width

SCALES = (50, 100, 200)
ABSURD_SCALE = 500
SIZE = re.compile(r' width="([\d.]+)mm" height="([\d.]+)mm"')
PAPER_MM = (180.0, 150.0)  # the room on a page when nobody says otherwise
MARGIN = 6.0
LARGEST_M = 150.0  # units per metre: a patch of one metre is not blown up to fill a screen


def plan_svg(
    site: dict, takeoff: dict | None, *, prefix: str, paper: bool = False, compact: bool = False,
    walked: tuple[str, str] | None = None, patch: str | None = None, few: bool = False, setout: bool = False,
    bw: bool = False, units: str = "metric", scale: int | None = None, width_mm: float = PAPER_MM[0],
    height_mm: float = PAPER_MM[1], title: str = "", least: float = 0.0, large: bool = False,
) -> SafeString:  # fmt: skip
    """The plan as an SVG element.

    walked: (patch uid, corner id) of the side to light up. patch: draw this one only. few: big labels only.
    setout: pegs and the two corners the tapes start from. On paper the size is in mm, true at 1:scale.
    least: no letters lower than so many units, a quarter of a millimetre on paper. large: for large print, on paper.
    """
    look, walked = (
        Look(paper, compact or large, few, setout, bw, units, least, large),
        tuple(walked) if walked else None,
    )
    patches = _patches(site, patch)
    sheet = Sheet(prefix, look.size, bw, LARGE_SIZE if large else least)
    if not patches:
        return _nothing(sheet, look)
    if paper:
        scale = scale or _scale(site, patches, look, width_mm, height_mm)
        per_metre, room = 1000 / scale / MM, max(width_mm / MM, 1.0)
    else:
        per_metre, room = _fit(site, patches, look), look.room[0]
    frames, width, height = _frames(site, patches, look, per_metre, room)
    legend = []
    for one in frames:
        legend = legend + _draw_patch(sheet, one, site, takeoff or {}, look, walked, len(frames), legend)
    height = _foot(sheet, look, site, legend, per_metre, width, height, scale if paper else None)
    words = title or _title(patches)
    return sheet.svg(
        "plan", words, width, height, width * MM if paper else None, _described(site, patches, takeoff or {}, look)
    )


def scale_of(
    site: dict, width_mm: float | tuple[float, float] = PAPER_MM[0], height_mm: float = PAPER_MM[1], large: bool = False
) -> int:
    """The largest scale of 1:50, 1:100 and 1:200 at which the plan fits the box; 1:500 for absurd yards."""
    if isinstance(width_mm, (tuple, list)):
        width_mm, height_mm = width_mm
    return _scale(site, _patches(site, None), Look(paper=True, compact=large, large=large), width_mm, height_mm)


def fitted(
    site: dict, takeoff: dict | None, *, scales: tuple[int, ...], width_mm: float, height_mm: float, **look
) -> tuple[int, SafeString | None]:
    """The plan at the largest of these scales at which all of it has room, the lines below it too; 0 where at none."""
    for scale in scales:
        svg = plan_svg(site, takeoff, paper=True, scale=scale, width_mm=width_mm, height_mm=height_mm, **look)
        wide, high = (float(value) for value in SIZE.search(svg).groups())
        if wide <= width_mm + 0.01 and high <= height_mm + 0.01:
            return scale, svg
    return 0, None


def _scale(site: dict, patches: list[dict], look: Look, width_mm: float, height_mm: float) -> int:
    for scale in SCALES:
        if not patches:
            return scale
        _frames_there, width, height = _frames(site, patches, look, 1000 / scale / MM, width_mm / MM)
        if width * MM <= width_mm + 0.01 and (height + look.footer) * MM <= height_mm + 0.01:
            return scale
    return ABSURD_SCALE


def _patches(site: dict, uid: str | None) -> list[dict]:
    found = [patch for patch in site.get("patches") or () if is_drawable(patch)]
    return [patch for patch in found if patch.get("uid") == uid] if uid else found


def _nothing(sheet: Sheet, look: Look) -> SafeString:
    width, words = (look.room[0] if not look.paper else PAPER_MM[0] / MM), _("Nothing measured yet")
    sheet.text(width / 2, look.size * 3, words, halo=False)
    return sheet.svg("plan", words, width, look.size * 6, width * MM if look.paper else None)


def _frames(site: dict, patches: list[dict], look: Look, per_metre: float, room: float):
    """Every patch in its own frame, in rows; the sheet's width and height without the foot."""
    boxes = [bounds_m(site, patch, not look.few) for patch in patches]
    band, head = look.band(per_metre), look.header(len(patches))
    places, wide, high = _places(boxes, look, per_metre, room)
    width = wide + 2 * MARGIN if look.paper else max(room, wide + 2 * MARGIN)
    shift = (width - wide) / 2
    own = read_own(site.get("own") or {})
    frames = [
        Frame(patch, x + shift + band, y + MARGIN + band + head, per_metre, bounds, band, own)
        for patch, bounds, (x, y) in zip(patches, boxes, places, strict=True)
    ]
    return frames, width, high + MARGIN


def _places(boxes: list, look: Look, per_metre: float, room: float):
    """Where the box of each patch stands, and how wide and high they are together."""
    band, head = look.band(per_metre), look.header(len(boxes))
    sizes = [((x2 - x1) * per_metre + 2 * band, (y2 - y1) * per_metre + 2 * band + head) for x1, y1, x2, y2 in boxes]
    return arrange(sizes, room - 2 * MARGIN, look.size * 1.2)


def _fit(site: dict, patches: list[dict], look: Look) -> float:
    """The most units per metre at which the frames stay in the screen's room; on a phone several may stand higher."""
    width, height = look.room
    boxes = [bounds_m(site, patch, not look.few) for patch in patches]
    if len(patches) > 1 and look.compact:
        height *= 1.6
    scale = LARGEST_M
    while scale > 0.01:
        _spots, wide, high = _places(boxes, look, scale, width)
        if wide + 2 * MARGIN <= width and high + MARGIN + look.footer <= height:
            return scale
        scale *= 0.985
    return scale


def _draw_patch(sheet, frame: Frame, site, takeoff, look: Look, walked, count: int, before: list[str]) -> list[str]:
    """Everything of one patch: ground, then beds, then trench, then words from the fixed to the free."""
    sized = (takeoff.get("patches") or {}).get(frame.patch.get("uid")) or {}
    found = beyond.draw_bands(sheet, frame)
    ground.draw_ground(sheet, frame, sized)
    ground.draw_trees_below(sheet, frame)
    marked.draw_lines(sheet, frame)
    tape.draw_walked(sheet, frame, walked, live=not (look.paper or look.few))
    if not look.few:
        tape.draw_ticks(sheet, frame, look.units)
    bedding.draw_beds(sheet, frame, site, numbers=look.setout or not (look.compact or look.few))
    ground.draw_trench(sheet, frame, sized, 1.4 if look.few else 1.0)
    ground.draw_trunks(sheet, frame)
    if not look.few:
        marks.draw(sheet, frame)
    if count > 1:
        _write_label(sheet, frame, look)
    if look.setout:
        pegs.draw(sheet, frame, site)
    if not look.few:
        tape.write_corners(sheet, frame, look.few)
        tape.write_lengths(sheet, frame, look.units)
    beds = (takeoff.get("beds") or {}) if sized else {}
    legend = bedding.write_beds(sheet, frame, site, beds, look, len(before))
    if not look.few:
        legend += marks.write(sheet, frame)
    left_over = ground.write_ground(sheet, frame, site, sized, look.units, look.few or look.compact)
    legend += [] if look.few else [words for words in left_over if words not in before]
    beyond.write_words(sheet, frame, found, look.few)
    if sized and not (look.few or look.compact):
        _write_depths(sheet, frame, site, sized, look.units)
    return legend


def _write_label(sheet: Sheet, frame: Frame, look: Look) -> None:
    """The patch's own name above its frame, cut to the frame's width."""
    x1, y1, x2, _y2 = frame.block.bounds
    words = str(frame.patch.get("label") or "")
    while len(words) > 3 and word_width(words, look.size * 1.15) > x2 - x1:
        words = Truncator(words).chars(len(words) - 2)
    y = y1 - look.size * 0.95
    sheet.take(slab((x1 + x2) / 2, y, 0, x2 - x1, look.size * 1.3))
    sheet.text(x1, y, words, 1.15, anchor="start", weight=700, serif=True, halo=False)


def _write_depths(sheet: Sheet, frame: Frame, site: dict, sized: dict, units: str) -> None:
    """How deep the chips lie, on free ground where there is some; and the thinner chips inside a tree's ring."""
    depth = (site.get("mulch") or {}).get("depth_m", 0.09)
    beds = unary_union([frame.place(footprint_m(bed)) for bed in beds_of(site, frame.patch)])
    free = ground.cover_of(frame, sized).difference(beds.buffer(2)).buffer(-ground.tick_length(frame) - 4)
    shut = unary_union([zone for zone, _thin in ground.zones_of(frame, sized)])
    _write_depth(sheet, free.difference(shut), depth, units)
    thin = unary_union([zone for zone, is_thin in ground.zones_of(frame, sized) if is_thin])
    if not thin.is_empty:
        full = unary_union([zone for zone, is_thin in ground.zones_of(frame, sized) if not is_thin])
        _write_depth(sheet, thin.difference(full), min(depth, frame.own["tree_chip_depth"]), units)


def _write_depth(sheet: Sheet, free, depth_m: float, units: str) -> None:
    if free.is_empty:
        return
    words = _("chips %(depth)s") % {"depth": ground.depth_words(depth_m, units)}
    width, height = sheet.plate_size(words, 0.76)
    x1, y1, x2, y2 = free.bounds
    steps = [(i + 0.5) / 12 for i in range(12)]
    spots = [(x1 + (x2 - x1) * u, y2 - (y2 - y1) * v, 0.0) for v in steps for u in reversed(steps)]
    if spot := sheet.best(spots, width, height, free, most=0):
        sheet.plate(spot[0], spot[1], words, 0.76)


def _foot(sheet: Sheet, look: Look, site, legend, per_metre: float, width: float, height: float, scale) -> float:
    """Legend, scale bar and north under the frames; returns the height of the whole sheet."""
    x, y = MARGIN, height + look.size * 0.9 + (0.0 if look.few else look.lift)
    for words in legend:
        for line in _cut(words, sheet.high(0.84), width - 2 * MARGIN):
            sheet.text(x, y, line, 0.84, anchor="start", halo=False)
            y += look.size * 1.3
    north = site.get("north_deg")
    if not look.few:
        note = f"1:{scale}" if scale else ""
        room = max(width * 0.56, per_metre * 0.5)
        tape.draw_scale_bar(sheet, x, y + look.size * 0.35, per_metre, room, note, look.units)
    elif north is None:
        return y - look.size * 0.9 + MARGIN
    if north is not None:
        tape.draw_north(sheet, width - look.size * 2.4, y + look.size * 0.6, float(north), 16.0)
        y += look.size * 1.1
    return y + look.size * 1.5


def _cut(words: str, size: float, room: float) -> list[str]:
    """Words in lines no longer than the room."""
    lines = [""]
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if lines[-1] and word_width(longer, size) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _title(patches: list[dict]) -> str:
    names = ", ".join(str(patch.get("label") or "") for patch in patches if patch.get("label"))
    return _("Plan to scale: %(patches)s") % {"patches": names} if names else _("Plan to scale")


def _described(site: dict, patches: list[dict], takeoff: dict, look: Look) -> str:
    """What a reader hears who cannot see the drawing."""
    out = []
    for patch in patches:
        sized = (takeoff.get("patches") or {}).get(patch.get("uid"))
        if sized:
            said = {"patch": patch.get("label", ""), "area": measures.area(sized["cover_m2"], look.units)}
            out.append(_("%(patch)s: %(area)s to cover.") % said)
    beds = [bed for bed in site.get("beds") or () if any(bed.get("patch") == patch.get("uid") for patch in patches)]
    for kind, name in (("mounded", _("mounded beds")), ("framed", _("framed beds")), ("pocket", _("planting pockets"))):
        if count := sum(bed["kind"] == kind for bed in beds):
            out.append(_("%(things)s: %(count)s.") % {"things": name.capitalize(), "count": count})
    there = [] if look.few else [row["kind"] for patch in patches for row in marks_of(patch)]
    for kind, name in marks.WORDS.items():
        if count := there.count(kind):
            out.append(_("%(things)s: %(count)s.") % {"things": name, "count": count})
    return " ".join(out)
