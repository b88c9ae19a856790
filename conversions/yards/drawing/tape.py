"""What is read off the plan: lengths along the edge like a tape, corner letters, the side being walked, scale bar, north."""

import math

from django.utils.html import escape
from django.utils.translation import gettext as _
from shapely.geometry import LineString

from conversions.common import measures

from .frame import ROUND, Frame, Side
from .sheet import Sheet, closed_path, line_paths, n, open_path, slab, upright
from .textures import INK, KRAFT, WHITE

STEP_M = {"metric": 0.5, "imperial": 0.3048}
LEAST_STEP = 5.0  # ticks nearer than this run together
BAR_M = (20.0, 10.0, 5.0, 2.0, 1.0, 0.5)
BAR_FT = (60, 30, 15, 6, 3, 1)
FOOT_M = 0.3048


def draw_ticks(sheet: Sheet, frame: Frame, units: str) -> None:
    """A tick each half metre (each foot) outside the edge, every second one longer."""
    step = STEP_M[units] * frame.scale
    while step < LEAST_STEP:
        step *= 2
    long, short = sheet.size * 0.62, sheet.size * 0.34
    for side in frame.sides:
        (ox, oy), d = side.out, []
        for i in range(int(side.length / step + 1e-6) + 1):
            x, y = side.spot(min(1.0, i * step / side.length), 0)
            reach = short if i % 2 else long
            d.append(open_path([(x, y), (x + ox * reach, y + oy * reach)]))
        sheet.path("".join(d), stroke=INK, width=1)


def draw_walked(sheet: Sheet, frame: Frame, walked: tuple[str, str] | None, live: bool) -> None:
    """The side being walked in kraft. On screen every side is there, hidden, for the page to light up."""
    near, far = sheet.size * 0.1, sheet.size * 1.95
    if frame.patch.get("circle") and walked == (frame.patch.get("uid"), ROUND):
        ring = frame.ground.buffer(far, quad_segs=32).difference(frame.ground.buffer(near, quad_segs=32))
        sheet.path(closed_path(ring), fill=KRAFT, stroke=INK, width=1.2)
    for side in frame.sides:
        now = walked is not None and walked == (frame.patch.get("uid"), side.id)
        if not (now or live):
            continue
        band = [side.spot(0, near), side.spot(1, near), side.spot(1, far), side.spot(0, far)]
        edge = [side.spot(0, far), side.spot(1, far)]
        uid, hidden = escape(frame.patch.get("uid", "")), "" if now else ' display="none"'
        sheet.marks.append(f'<g class="walked" data-patch="{uid}" data-side="{escape(side.id)}"{hidden}>')
        sheet.path(open_path(band) + "Z", fill=KRAFT)
        sheet.line(edge, INK, 1.2)
        sheet.marks.append("</g>")


def write_lengths(sheet: Sheet, frame: Frame, units: str) -> None:
    """The figure at the middle of each side, along it; short sides make way for long ones."""
    if frame.patch.get("circle"):
        _write_across(sheet, frame, units)
    for side in sorted(frame.sides, key=lambda side: (-side.length, side.id)):
        _write_length(sheet, frame, side, measures.length(round(side.length_m, 3), units))


def _write_length(sheet: Sheet, frame: Frame, side: Side, words: str) -> None:
    turn = upright(side.turn)
    for size in (1.0, 0.82):
        width, height = sheet.plate_size(words, size)
        width -= sheet.size * 0.4
        away = sheet.size * (0.7 + 0.55 * size)
        spots = [(*side.spot(share, away), turn) for share in (0.5, 0.42, 0.58, 0.35, 0.65)]
        spots += [(*side.spot(0.5, away + height), turn)]
        roomy = width < side.length or size < 1
        if roomy and (spot := sheet.best(spots, width, height * 0.8, most=0.02 if size == 1 else 0.35)):
            sheet.text(spot[0], spot[1], words, size, weight=700, turn=turn)
            return


def _write_across(sheet: Sheet, frame: Frame, units: str) -> None:
    """A circle is measured across: a line with two ends under it, inside the band."""
    x1, _y1, x2, y2 = frame.ground.bounds
    y, end = y2 + frame.band * 0.62, sheet.size * 0.35
    for line in ([(x1, y), (x2, y)], [(x1, y - end), (x1, y + end)], [(x2, y - end), (x2, y + end)]):
        sheet.line(line, WHITE, 4)
        sheet.line(line, INK, 1.2)
    words = _("%(length)s across") % {"length": measures.length(frame.patch["circle"]["diameter"], units)}
    width, height = sheet.plate_size(words, 0.9)
    spots = [(x1 + (x2 - x1) * share, y, 0.0) for share in (0.5, 0.25, 0.75)]  # the letter of a tape may stand below
    if spot := sheet.best(spots, width, height, most=1):
        sheet.plate(spot[0], spot[1], words, 0.9)


def write_corners(sheet: Sheet, frame: Frame, few: bool) -> None:
    """A serif letter outside each corner."""
    sides = frame.sides
    for i, side in enumerate(sides):
        (ax, ay), (bx, by) = sides[i - 1].out, side.out
        dx, dy = ax + bx, ay + by
        size = math.hypot(dx, dy)
        dx, dy = (dx / size, dy / size) if size > 1e-6 else side.out
        x, y = side.start[0] + dx * sheet.size * 1.25, side.start[1] + dy * sheet.size * 1.25
        sheet.take(slab(x, y, 0, sheet.size * 0.95, sheet.size * 1.1))
        sheet.text(x, y, side.id, 1.3, weight=700, serif=True)


def bar_length(units_per_m: float, room: float, units: str = "metric") -> float:
    """The longest length that fits and is round in the reader's units, in metres."""
    lengths = [feet * FOOT_M for feet in BAR_FT] if units == "imperial" else BAR_M
    return next((length for length in lengths if length * units_per_m <= room), lengths[-1])


def draw_scale_bar(
    sheet: Sheet, x: float, y: float, units_per_m: float, room: float, note: str = "", units: str = "metric"
) -> None:
    """Bar in metres with the same length in feet beside it, or in feet; and the scale of the paper if there is one."""
    metres = bar_length(units_per_m, room, units)
    pieces = 3 if units == "imperial" else 5 if metres in (0.5, 5.0, 10.0, 20.0) else 4
    length = metres * units_per_m
    high = max(4.0, sheet.size * 0.4)
    for i in range(pieces):
        sheet.path(
            f"M{n(x + i * length / pieces)} {n(y)}h{n(length / pieces)}v{n(high)}h{n(-length / pieces)}Z",
            fill=WHITE if i % 2 else INK, stroke=INK, width=1,
        )  # fmt: skip
    over = y - sheet.size * 0.55
    sheet.text(x, over, "0", 0.78, anchor="start", halo=False)
    feet = measures.feet_inches(metres)
    said, other = (feet, "") if units == "imperial" else (_metres(metres), feet)
    sheet.text(x + length, over, said, 0.78, anchor="end", halo=False)
    after = " · ".join(word for word in (other, note) if word)
    sheet.text(x + length + sheet.size * 0.6, y + high / 2, after, 0.78, anchor="start", weight=400, halo=False)


def _metres(metres: float) -> str:
    return f"{measures.number(metres, 1 if metres < 1 else 0)} m"


def draw_north(sheet: Sheet, x: float, y: float, north_deg: float, r: float) -> None:
    """An arrow in a ring, only where somebody has said where north is; degrees clockwise from the top of the plan."""
    sheet.words.append(
        f'<g transform="translate({n(x)} {n(y)}) rotate({n(north_deg)})"><circle r="{n(r)}" fill="{WHITE}" stroke="{INK}" '
        f'stroke-width="1.2"/><path d="M0 {n(-0.84 * r)}L{n(0.4 * r)} {n(0.6 * r)}L0 {n(0.28 * r)}z" fill="{INK}"/>'
        f'<path d="M0 {n(-0.84 * r)}L{n(-0.4 * r)} {n(0.6 * r)}L0 {n(0.28 * r)}z" fill="{WHITE}" stroke="{INK}"/></g>'
    )
    away = r + sheet.size * 0.55
    turn = math.radians(north_deg)
    sheet.text(x + math.sin(turn) * away, y - math.cos(turn) * away, _("N"), 0.9, weight=700)


def draw_reference(sheet: Sheet, frame: Frame, a: tuple[float, float], b: tuple[float, float]) -> None:
    """A tape pulled from a corner to a peg."""
    line = LineString([a, b])
    for stretch in line_paths(line):
        sheet.line(stretch, WHITE, 4)
        sheet.line(stretch, INK, 1.3, "8 2")
