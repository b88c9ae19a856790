"""Marked lines of pipes and wires: the hand-tools band, the line in its public colour, and its name along it."""

import math
from decimal import ROUND_CEILING, Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from shapely.geometry import LineString
from shapely.geometry import Polygon as Shape

from conversions.common import measures
from conversions.sizing import read_own
from conversions.sizing.zones import is_kept_off

from .frame import Frame
from .sheet import CROWDED, Sheet, closed_path, line_paths, slab, upright
from .textures import INK, SERVICE, WHITE

CASING, CORE = 8.2, 5.6  # the dark outline lets white and yellow be seen on white paper
UNKNOWN = "#9a968a"
# What runs there. Colour alone never says it: paper may be black and white, and eyes differ.
NAMES = {
    "proposed": gettext_lazy("PROPOSED DIGGING"),
    "survey": gettext_lazy("SURVEY MARK"),
    "electric": gettext_lazy("ELECTRIC"),
    "gas": gettext_lazy("GAS"),
    "oil": gettext_lazy("OIL"),
    "steam": gettext_lazy("STEAM"),
    "communications": gettext_lazy("PHONE, CABLE"),
    "phone": gettext_lazy("PHONE"),
    "cable": gettext_lazy("CABLE"),
    "water": gettext_lazy("WATER"),
    "reclaimed": gettext_lazy("RECLAIMED WATER"),
    "irrigation": gettext_lazy("IRRIGATION"),
    "sewer": gettext_lazy("SEWER"),
    "drain": gettext_lazy("DRAIN"),
}


def name_of(line: dict) -> str:
    """The word for a service of the public code; anything else as it was typed."""
    service = str(line.get("service") or "")
    return str(NAMES.get(service.lower(), "")) or service.upper() or _("marked line").upper()


def lines_of(frame: Frame) -> list[dict]:
    return [line for line in frame.features("line") if len(line.get("points") or ()) >= 2]


def has_band(line: dict) -> bool:
    return is_kept_off(str(line.get("service") or ""))


def band_words(units: str, *sites: dict) -> str:
    """How near a marked line only hand tools go: the widest band of the plans, by their own numbers, never rounded down."""
    widest = Decimal(str(max(_widest_m(site) for site in sites or ({},))))
    if units == "imperial":
        return measures.feet_inches((widest / measures.INCH_M).to_integral_value(ROUND_CEILING) * measures.INCH_M)
    centimetres = (widest * 100).to_integral_value(ROUND_CEILING)
    return f"{measures.number(centimetres / 100, 2 if centimetres % 10 else 1)} m"


def _widest_m(site: dict) -> float:
    own = read_own(site.get("own") or {})["line_band"]
    rows = [row for patch in site.get("patches") or () for row in patch.get("features") or ()]
    return max([own, *(row.get("width_m") or own for row in rows if row["kind"] == "line" and has_band(row))])


def draw_lines(sheet: Sheet, frame: Frame) -> None:
    """The hand-tools band over the lawn, then the line in its colour with an ink outline."""
    for line in lines_of(frame):
        course = LineString(line["points"])
        if has_band(line):
            _draw_band(sheet, frame, course.buffer(line.get("width_m") or frame.own["line_band"], quad_segs=16))
        colour = WHITE if sheet.bw else SERVICE.get(str(line.get("service", "")).lower(), UNKNOWN)
        for stretch in line_paths(frame.place(course).intersection(frame.block)):
            sheet.lines.append(LineString(stretch).buffer(CASING / 2))
            sheet.line(stretch, INK, CASING)
            sheet.line(stretch, colour, CORE)


def _draw_band(sheet: Sheet, frame: Frame, band_m: Shape) -> None:
    shape = frame.place(band_m).intersection(frame.ground)
    if d := closed_path(shape):
        sheet.shy.append(shape)
        sheet.hatched(d, "band", veil=0.55)
        sheet.path(d, stroke=INK, width=0.9, dash="2 3")


RULE = gettext_lazy("beside a marked line: hand tools only, no trench, no bed")


def name_lines(sheet: Sheet, frame: Frame, brief: bool) -> list[str]:
    """First every name, then the rule of the band wherever it hides none of them; else it is returned for the legend."""
    named, is_left_over = [], False
    for line in lines_of(frame):
        course = frame.place(LineString(line["points"]))
        on_lawn = line_paths(course.intersection(frame.ground))
        stretches = [LineString(points) for points in on_lawn or line_paths(course.intersection(frame.block))]
        for i, stretch in enumerate(sorted(stretches, key=lambda stretch: -stretch.length)):
            _name(sheet, frame, stretch, name_of(line), must=i == 0)
            named += [(stretch, bool(on_lawn) and i == 0 and has_band(line))]
    for stretch, is_ruled in named:
        if is_ruled:
            spots = [] if brief else [_on(stretch, share) for share in (0.75, 0.25, 0.8, 0.2, 0.85, 0.15)]
            is_left_over |= not _plate(sheet, frame, spots, _("hand tools only"), 0.74, CROWDED)
        sheet.take(stretch.buffer(5))
    return [str(RULE)] if is_left_over else []


def _name(sheet: Sheet, frame: Frame, stretch: LineString, words: str, must: bool) -> None:
    """The name along the line where there is room; on its longest stretch it is written in any case."""
    spots = [_on(stretch, share) for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)]
    roomy = sheet.plate_size(words, 0.9)[0] < stretch.length
    if (must or roomy) and not _plate(sheet, frame, spots, words, 0.9) and must:
        size = sheet.plate_size(words, 0.74)
        spot = next((spot for spot in spots if not sheet.is_kept(slab(*spot, *size))), spots[0])
        sheet.plate(*spot[:2], words, 0.74, spot[2])


def _plate(sheet: Sheet, frame: Frame, spots: list, words: str, size: float, most: float = 0.5) -> bool:
    spot = sheet.best(spots, *sheet.plate_size(words, size), frame.block, most=most, on_band=True)
    if spot:
        sheet.plate(spot[0], spot[1], words, size, spot[2])
    return bool(spot)


def _on(line: LineString, share: float) -> tuple[float, float, float]:
    at = line.interpolate(share, normalized=True)
    near = line.interpolate(min(1, share + 0.01), normalized=True)
    return at.x, at.y, upright(math.degrees(math.atan2(near.y - at.y, near.x - at.x)))
