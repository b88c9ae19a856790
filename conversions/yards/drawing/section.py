"""The cut through the layers of this yard: edge, trench, lawn, cardboard, chips and the kinds of bed it has."""

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from conversions.common import measures

from . import section_parts as parts
from .frame import size
from .section_parts import Cut
from .sheet import Sheet, n, word_width
from .textures import INK, INK_2, WHITE

EDGES = {
    "pavement": gettext_lazy("pavement"),
    "path": gettext_lazy("path"),
    "drive": gettext_lazy("drive"),
    "kerb": gettext_lazy("kerb"),
    "garden wall": gettext_lazy("garden wall"),
}
SIZE = 13.0
WIDE, NARROW = 760.0, 390.0
WIDTHS = {"mounded": (166.0, 92.0), "pocket": (76.0, 54.0), "framed": (146.0, 92.0)}  # on a wide and a narrow sheet
TALLEST, TALLEST_BARE = 150.0, 96.0  # units above the cardboard, whatever the depths
PER_MM = 0.5


@dataclass(frozen=True)
class Note:
    """A thing to name: where its pointer ends, what it is, and its depth in metres if it has one."""

    x: float
    y: float
    words: str
    depth_m: float | None = None
    above: bool = False


def section_svg(
    site: dict, takeoff: dict | None, *, prefix: str, paper: bool = False, bw: bool = False, compact: bool = False,
    units: str = "metric", title: str = "", width_mm: float = 180.0, is_bare: bool = False,
) -> SafeString:  # fmt: skip
    """The section as an SVG element. compact: for a phone, numbered with the words in a list underneath.

    is_bare: the numbers without that list; whoever prints it writes `section_words` beside the drawing.
    """
    sheet = Sheet(prefix, SIZE, bw)
    beds = _first_of_each(site)
    cut = _cut(site, takeoff, beds, compact, is_bare)
    spots = _bed_spots(cut, beds, compact)
    cut.frames = [(x, x + width) for kind, x, width in spots if kind == "framed"]
    parts.draw_ground(sheet, cut)
    parts.draw_cardboard(sheet, cut)
    parts.draw_chips(sheet, cut)
    notes = _ground_notes(site, cut)
    for kind, x, width in spots:
        notes.append(_draw_bed(sheet, cut, kind, beds[kind], x, width, units, dims=not compact))
    if cut.house_from is not None:
        parts.draw_house(sheet, cut, cut.card - TALLEST * 0.8)
    if compact:
        _write_numbers(sheet, cut, notes)
        height = cut.ground + cut.soil + 2 if is_bare else _write_list(sheet, cut, notes, units)
    else:
        _write_dims(sheet, cut, site, spots, units)
        height = _write_notes(sheet, cut, site, notes, units)
    words = title or _("The layers, cut through, with their depths")
    said = "; ".join(_with_depth(note, units) for note in notes)
    return sheet.svg("section", words, cut.width, height, width_mm if paper else None, said)


def section_words(site: dict, takeoff: dict | None, units: str = "metric") -> list[str]:
    """What the numbers of a compact section stand for, in their order: "wood chips, 90 mm"."""
    beds = _first_of_each(site)
    cut = _cut(site, takeoff, beds, compact=True)
    notes = _ground_notes(site, cut)
    drawn = Sheet("words", SIZE)
    notes += [_draw_bed(drawn, cut, kind, beds[kind], x, w, units, False) for kind, x, w in _bed_spots(cut, beds, True)]
    return [_with_depth(note, units) for note in notes]


# --- what there is to draw ------------------------------------------------------------------------------------------
def _first_of_each(site: dict) -> dict[str, dict]:
    """The first bed of each kind stands for all of its kind."""
    out: dict[str, dict] = {}
    for bed in site.get("beds") or ():
        out.setdefault(bed["kind"], bed)
    return {kind: out[kind] for kind in WIDTHS if kind in out}


def _sides(site: dict) -> list[str]:
    out = []
    for patch in site.get("patches") or ():
        sides = [patch["circle"]] if patch.get("circle") else patch.get("corners") or ()
        out += [side.get("beyond") or "open" for side in sides]
    return out


def _edge_kind(site: dict) -> str:
    """The hard edge that the cut runs through: the pavement before the others."""
    sides = _sides(site)
    return next((kind for kind in EDGES if kind in sides), "")


def _has_trench(site: dict, takeoff: dict | None) -> bool:
    """As the take-off has it; before there is one, wherever there is a hard edge."""
    figure = ((takeoff or {}).get("figures") or {}).get("trench")
    return bool(_edge_kind(site)) and (figure is None or figure["value"] > 0)


def _cut(site: dict, takeoff: dict | None, beds: dict[str, dict], compact: bool, is_bare: bool = False) -> Cut:
    trench, chips = site.get("trench") or {}, (site.get("mulch") or {}).get("depth_m", 0.09) * 1000
    edge, dug, house = _edge_kind(site), _has_trench(site, takeoff), "house" in _sides(site)
    depth = trench.get("depth_m", 0.10) * 1000 if dug else 0.0
    tops = [chips] + [size(bed, "height_m") * 1000 + (chips if kind == "mounded" else 0) for kind, bed in beds.items()]
    per_mm = min(PER_MM, (TALLEST_BARE if is_bare else TALLEST) / max(tops), 75 / depth if depth else PER_MM)
    narrow = 0.62 if compact else 1.0
    left = 86.0 * narrow if edge else 0.0
    ditch = max(34.0, trench.get("width_m", 0.15) * 1000 * 0.3) * narrow if dug else 0.0
    strip, wall = (64.0, 62.0) if house and not compact and site.get("house_strip_m", 0.3) else (0.0, 0.0)
    need = left + ditch + strip + wall + sum(WIDTHS[kind][compact] for kind in beds)
    width = max(NARROW if compact else WIDE, need + (len(beds) + 1) * (12 if compact else 54))
    layers = int((site.get("cardboard") or {}).get("layers", 3))
    rise = max(tops) * per_mm + layers * parts.LAYER
    over = 46.0 if is_bare else 62.0 if compact else 100.0
    return Cut(
        width=width, ground=rise + over, per_mm=per_mm, layers=layers, chips_mm=chips, trench_mm=depth,
        v_cut=trench.get("cut") == "V", edge=left, trench=ditch, house_from=width - wall if wall else None,
        strip=strip, soil=max(64.0, depth * per_mm + 22),
    )  # fmt: skip


def _bed_spots(cut: Cut, beds: dict[str, dict], compact: bool) -> list[tuple[str, float, float]]:
    """Kind, left end and width of each bed, with even gaps between."""
    widths = [WIDTHS[kind][compact] for kind in beds]
    first = cut.start + 12
    gap = (cut.end - first - sum(widths)) / (len(widths) + 1)
    out, x = [], first
    for kind, width in zip(beds, widths, strict=True):
        x += gap
        out.append((kind, x, width))
        x += width
    return out


def _draw_bed(sheet, cut: Cut, kind: str, bed: dict, x: float, width: float, units: str, dims: bool) -> Note:
    high_m = size(bed, "height_m")
    if kind == "mounded":
        crown, foot, words = (
            parts.draw_mound(sheet, cut, x, width, high_m * 1000),
            cut.top,
            _("mounded bed on the chips"),
        )
    elif kind == "pocket":
        crown, foot = parts.draw_pocket(sheet, cut, x, width, high_m * 1000), cut.card
        words = _("planting pocket")
    else:
        crown = parts.draw_frame(sheet, cut, x, width, high_m * 1000, 12.0 if dims else 8.0)
        foot, words = cut.card, _("framed bed on cardboard")
    if dims and kind != "pocket":
        clear = (crown + cut.top) / 2 if cut.top - crown > 18 else None  # above the chips where there is room
        _dim(sheet, x + width + 12, crown, foot, _figure(high_m, units), middle=clear)
    return Note(x + width / 2, (crown + foot) / 2 + 4, words, high_m, above=True)


# --- words and depths -----------------------------------------------------------------------------------------------
def _figure(metres: float, units: str) -> str:
    """A depth without its unit: millimetres, or inches to the half."""
    if units == "imperial":
        halves = round(metres / 0.0254 * 2)
        whole, half = divmod(halves, 2)
        return f"{whole or ''}{'½' if half else ''}" or "0"
    return measures.number(metres * 1000)


def _with_depth(note: Note, units: str) -> str:
    if note.depth_m is None:
        return note.words
    unit = _("in") if units == "imperial" else _("mm")
    return f"{note.words}, {_figure(note.depth_m, units)} {unit}"


def _ground_notes(site: dict, cut: Cut) -> list[Note]:
    """What lies below the beds, from left to right as the pointers fall."""
    material = (site.get("mulch") or {}).get("material", "wood chips")
    chips = _("wood chips") if material == "wood chips" else str(material)
    run = cut.end - cut.start
    out = []
    if cut.trench:
        depth = (site.get("trench") or {}).get("depth_m", 0.10)
        out.append(Note(cut.edge + cut.trench * 0.32, cut.trench_foot - 7, _("trench"), depth))
    card = ngettext("cardboard, %(count)s layer", "cardboard, %(count)s layers", cut.layers) % {"count": cut.layers}
    return out + [
        Note(cut.start + run * 0.06, (cut.top + cut.card) / 2, chips, cut.chips_mm / 1000),
        Note(cut.start + run * 0.32, (cut.card + cut.ground) / 2, card),
        Note(cut.start + run * 0.56, cut.ground + parts.LAWN / 2, _("lawn, left in place")),
        Note(cut.start + run * 0.84, cut.ground + cut.soil * 0.6, _("your soil, not dug")),
    ]


def _dim(sheet: Sheet, x: float, y1: float, y2: float, words: str, left: bool = False, middle: float | None = None):
    """A measured height: a line with two ends and the figure beside it on white, halfway unless told where."""
    width = word_width(words, SIZE) + 4
    at = x - 8 - width / 2 if left else x + 8 + width / 2
    sheet.path(f"M{n(x - 5)} {n(y1)}h10M{n(x - 5)} {n(y2)}h10M{n(x)} {n(y1)}V{n(y2)}", stroke=INK, width=1.3)
    middle = (y1 + y2) / 2 if middle is None else middle
    plate = f"M{n(at - width / 2)} {n(middle - 9)}h{n(width)}v18h{n(-width)}Z"
    sheet.path(plate, fill=WHITE, more=' fill-opacity=".92"')
    sheet.text(at, middle, words, weight=700, halo=False)


def _write_dims(sheet: Sheet, cut: Cut, site: dict, spots: list, units: str) -> None:
    """Depth of the chips and of the trench, the strip at the wall, and the name of the edge."""
    at = spots[-1][1] - 16 if spots else (cut.start + cut.end) / 2
    _dim(sheet, at, cut.top, cut.card, _figure(cut.chips_mm / 1000, units), left=True)
    if cut.trench:
        _dim(sheet, cut.edge - 7, cut.ground, cut.trench_foot, _figure(cut.trench_mm / 1000, units), left=True)
    if kind := _edge_kind(site):
        sheet.text(4, cut.ground - parts.SLAB - 10, str(EDGES[kind]), anchor="start")
    if cut.house_from is None:
        return
    x1, x2, y = cut.end, cut.house_from, cut.ground - 12
    sheet.path(f"M{n(x1)} {n(y - 5)}v10M{n(x2)} {n(y - 5)}v10M{n(x1)} {n(y)}H{n(x2)}", stroke=INK, width=1.3)
    sheet.text((x1 + x2) / 2, y - 12, _figure(site.get("house_strip_m", 0.3), units), weight=700)
    sheet.text((x1 + x2) / 2 - 2, y - 30, _("clear"))
    sheet.text(x2 + (cut.width - x2) / 2, cut.card - TALLEST * 0.8 + 16, _("house"))


def _pointer(sheet: Sheet, note: Note, x: float, y: float) -> None:
    sheet.line([(note.x, note.y), (x, y)], INK, 1)
    sheet.circle(note.x, note.y, 2.8, fill=INK, stroke=WHITE, width=1)


def _write_notes(sheet: Sheet, cut: Cut, site: dict, notes: list[Note], units: str) -> float:
    """Names of the beds above, names of the layers below; returns the height of the sheet."""
    above, below = [note for note in notes if note.above], [note for note in notes if not note.above]
    for i, note in enumerate(above):
        y = 14.0 if i % 2 == 0 else 36.0
        half = word_width(note.words, SIZE) / 2
        x = min(max(note.x, half + 4), cut.width - half - 4)
        _pointer(sheet, note, x, y + SIZE * 0.8)
        sheet.text(x, y, note.words)
    foot = cut.ground + cut.soil
    sheet.path(f"M0 {n(foot)}H{n(cut.width)}", stroke=INK, width=1)
    words = [note.words for note in below]
    if cut.trench:
        words[0] = _("trench, %(depth)s deep") % {"depth": _figure(below[0].depth_m, units)}
    widths = [word_width(one, SIZE) for one in words]
    small = min(1.0, (cut.width - 12 * len(words)) / sum(widths))
    gap = (cut.width - 12 - sum(widths) * small) / max(1, len(words) - 1)
    x, y = 6.0, foot + 24
    for note, one, width in zip(below, words, widths, strict=True):
        middle = x + width * small / 2
        _pointer(sheet, note, middle, y - SIZE * 0.8)
        sheet.text(middle, y, one, small, halo=False)
        x += width * small + gap
    return _write_rule(sheet, y + 30, units)


def _write_numbers(sheet: Sheet, cut: Cut, notes: list[Note]) -> None:
    """Numbers on the drawing: for a narrow screen, and beside a list on paper."""
    for i, note in enumerate(notes, 1):
        sheet.words.append(
            f'<circle cx="{n(note.x)}" cy="{n(note.y)}" r="9" fill="{WHITE}" stroke="{INK}" stroke-width="1.2"/>'
        )
        sheet.text(note.x, note.y, str(i), 0.9, weight=700, halo=False)
    foot = cut.ground + cut.soil
    sheet.path(f"M0 {n(foot)}H{n(cut.width)}", stroke=INK, width=1)


def _write_list(sheet: Sheet, cut: Cut, notes: list[Note], units: str) -> float:
    """The words of the numbers, under the drawing."""
    y = cut.ground + cut.soil + 20
    for i, note in enumerate(notes, 1):
        sheet.text(18, y, str(i), weight=700, anchor="end", halo=False)
        sheet.text(26, y, _with_depth(note, units), 1.05, weight=400, anchor="start", halo=False)
        y += 21
    return _write_rule(sheet, y + 4, units, short=True)


def _write_rule(sheet: Sheet, y: float, units: str, short: bool = False) -> float:
    if short:
        words = _("Drawn taller than life.")
    elif units == "imperial":
        words = _("Depths in inches. Drawn taller than life so that the layers can be seen.")
    else:
        words = _("Depths in millimetres. Drawn taller than life so that the layers can be seen.")
    sheet.text(6, y, words, 0.92, anchor="start", weight=400, halo=False, fill=INK_2)
    return y + 14
