"""The parts of the cut: edge and trench, lawn and soil, cardboard, chips, the beds, the house wall."""

from dataclasses import dataclass, field

from shapely.geometry import LineString, box

from .sheet import Sheet, line_paths, n, open_path
from .textures import DIAGONAL, HOUSE, INK, LEAF, WHITE

LAYER = 4.0  # one layer of cardboard, in units: far thicker than life, so that it can be counted
SLAB, LAWN, GREEN = 14.0, 16.0, "#5d9451"


@dataclass
class Cut:
    """The measures of one cut in units of the sheet: x to the right, `ground` is the lawn's surface."""

    width: float
    ground: float
    per_mm: float
    layers: int
    chips_mm: float
    trench_mm: float
    v_cut: bool
    edge: float  # width of the paving at the left; 0 where there is none
    trench: float  # width of the trench; 0 where there is none
    house_from: float | None  # where the wall begins, at the right
    strip: float  # width of the ground kept clear before it
    soil: float = 64.0
    frames: list[tuple[float, float]] = field(default_factory=list)  # from, to: chips stop at these

    @property
    def card(self) -> float:
        return self.ground - 2 - max(5.0, min(28.0, self.layers * LAYER))

    @property
    def top(self) -> float:
        """The surface of the chips."""
        return self.card - self.chips_mm * self.per_mm

    @property
    def trench_foot(self) -> float:
        return self.ground + self.trench_mm * self.per_mm

    @property
    def start(self) -> float:
        """Where the level cardboard begins."""
        return self.edge + self.trench

    @property
    def end(self) -> float:
        return self.width if self.house_from is None else self.house_from - self.strip


def draw_ground(sheet: Sheet, cut: Cut) -> None:
    """Soil, the lawn left on it, the paving and the trench cut beside it."""
    g, w, foot = cut.ground, cut.width, cut.ground + cut.soil
    sheet.textured(f"M0 {n(g + LAWN - 2)}H{n(w)}V{n(foot)}H0Z", "soil")
    sheet.textured(f"M{n(cut.start)} {n(g)}H{n(w)}V{n(g + LAWN)}H{n(cut.start)}Z", "lawn")
    sheet.line([(cut.start, g + LAWN), (w, g + LAWN)], INK, 0.7)
    if not cut.edge:
        return
    e, low = cut.edge, max(g + 46, cut.trench_foot + 6)
    sheet.textured(f"M0 {n(g - SLAB)}H{n(e)}V{n(min(low, foot))}H0Z", "hard", stroke=INK, width=1.6)
    if cut.trench:
        _, low_end = _trench_foot(cut)
        hole = f"M{n(e)} {n(g - 6)}V{n(cut.trench_foot)}H{n(low_end)}L{n(cut.start)} {n(g)}"
        sheet.path(hole + "Z", fill=WHITE)
        sheet.path(f"M{n(e)} {n(cut.trench_foot)}H{n(low_end)}L{n(cut.start)} {n(g)}", stroke=INK, width=1.4)


def _trench_foot(cut: Cut) -> tuple[float, float]:
    """The bottom of the trench: to the square, or nearly a point for a V."""
    return cut.edge, cut.edge + cut.trench * (0.3 if cut.v_cut else 0.72)


def _card_lines(cut: Cut) -> list[list[tuple[float, float]]]:
    """The under side of the cardboard, each seam between two layers, and the upper side."""
    under, upper = cut.ground - 2, cut.card
    thick, out = under - upper, []
    for i in range(cut.layers + 1):
        up = thick * i / cut.layers
        points = [(cut.start, under - up), (cut.end, under - up)]
        if cut.trench:
            _, low_end = _trench_foot(cut)
            back, foot = up * 0.55, cut.trench_foot - 2 - up
            points = [
                (cut.edge + 3, foot),
                (max(cut.edge + 5, low_end - 2 - back), foot),
                (cut.start - back, under - up),
                points[-1],
            ]
        elif not cut.edge:
            points[0] = (0.0, under - up)
        out.append(points)
    return out


def draw_cardboard(sheet: Sheet, cut: Cut) -> None:
    lines = _card_lines(cut)
    sheet.textured(open_path(lines[0] + lines[-1][::-1]) + "Z", "card", stroke=INK, width=1.2)
    for seam in lines[1:-1]:
        sheet.line(seam, INK, 0.8)


def draw_chips(sheet: Sheet, cut: Cut) -> None:
    """From the paving (level with it) or from the open end, up to full depth; broken by frames; ends before a wall."""
    upper = _card_lines(cut)[-1]
    starts = [None, *(to for _, to in cut.frames)]
    ends = [*(at for at, _ in cut.frames), None]
    for begin, end in zip(starts, ends, strict=True):
        x2 = cut.end if end is None else end
        slope = 26.0 if end is None and cut.house_from is not None else 0.0
        tail = f"H{n(x2 - slope)}L{n(x2)} {n(cut.card)}"
        if begin is None:
            d = _chips_head(cut, upper) + tail + open_path(upper[:-1][::-1]).replace("M", "L", 1) + "Z"
        else:
            d = f"M{n(begin)} {n(cut.card)}V{n(cut.top)}{tail}Z"
        sheet.textured(d, "chip", stroke=INK, width=1.4)


def _chips_head(cut: Cut, upper: list[tuple[float, float]]) -> str:
    x, y = upper[0]
    if not cut.edge:
        return f"M{n(x)} {n(y)}V{n(cut.top)}"
    level, full = min(cut.ground - SLAB, cut.card - 2), cut.start + 12
    lead = f"M{n(x)} {n(y)}L{n(cut.edge + 2)} {n(level)}"
    return lead + f"C{n(cut.edge + 14)} {n(level - 14)} {n(cut.start - 8)} {n(cut.top + 4)} {n(full)} {n(cut.top)}"


def draw_mound(sheet: Sheet, cut: Cut, x: float, width: float, high_mm: float) -> float:
    """A mound on the chips; returns its crown."""
    high = high_mm * cut.per_mm
    reach = cut.top - high / 0.75  # a curve with its handles here peaks at the height asked for
    d = f"M{n(x)} {n(cut.top)}C{n(x + 0.17 * width)} {n(reach)} {n(x + 0.83 * width)} {n(reach)} {n(x + width)} {n(cut.top)}Z"
    sheet.textured(d, "compost", stroke=INK, width=1.5)
    for t, size in ((0.26, 0.9), (0.42, 1.1), (0.58, 1.0), (0.74, 0.9)):
        at = 3 * (1 - t) ** 2 * t * 0.17 + 3 * (1 - t) * t**2 * 0.83 + t**3
        draw_sprout(sheet, x + width * at, cut.top - 4 * high * t * (1 - t) + 3, size)
    crown = cut.top - high
    return crown


def draw_pocket(sheet: Sheet, cut: Cut, x: float, width: float, high_mm: float) -> float:
    """Compost through the chips down to the cardboard and heaped above them; returns its crown."""
    heap = max(14.0, (high_mm - cut.chips_mm) * cut.per_mm)
    crown, low, q = cut.top - heap, cut.card - 1, width / 4
    d = (
        f"M{n(x)} {n(cut.top)}C{n(x + q * 0.5)} {n(low + 1)} {n(x + q)} {n(low)} {n(x + q)} {n(low)}H{n(x + width - q)}"
        f"C{n(x + width - q)} {n(low)} {n(x + width - q * 0.5)} {n(low + 1)} {n(x + width)} {n(cut.top)}"
        f"C{n(x + width - q * 0.7)} {n(crown)} {n(x + q * 0.7)} {n(crown)} {n(x)} {n(cut.top)}Z"
    )
    sheet.textured(d, "compost", stroke=INK, width=1.5)
    draw_sprout(sheet, x + width / 2, cut.top - heap * 0.72, 1.0)
    return cut.top - heap * 0.75


def draw_frame(sheet: Sheet, cut: Cut, x: float, width: float, high_mm: float, board: float) -> float:
    """Boards on the cardboard, filled to a little under the rim; returns the rim."""
    rim = cut.card - high_mm * cut.per_mm
    fill = rim + max(3.0, 25 * cut.per_mm)
    inside = f"M{n(x + board)} {n(fill)}H{n(x + width - board)}V{n(cut.card)}H{n(x + board)}Z"
    sheet.textured(inside, "compost", stroke=INK, width=1.2)
    for at in (x, x + width - board):
        sheet.textured(f"M{n(at)} {n(rim)}h{n(board)}V{n(cut.card)}h{n(-board)}Z", "timber", stroke=INK, width=1.4)
    for share, size in ((0.25, 0.9), (0.5, 1.2), (0.77, 0.95)):
        draw_sprout(sheet, x + width * share, fill, size)
    return rim


def draw_house(sheet: Sheet, cut: Cut, top: float) -> None:
    x, low = cut.house_from, cut.ground + cut.soil
    shape = box(x, top, cut.width - 0.8, low)
    sheet.path(f"M{n(x)} {n(top)}H{n(cut.width - 0.8)}V{n(low)}H{n(x)}Z", fill=HOUSE)
    for i in range(int((low - top + cut.width - x) / 18) + 1):
        at = x + i * 18
        for line in line_paths(LineString([(at - (low - top), low), (at, top)]).intersection(shape)):
            sheet.line(line, DIAGONAL, 0.8)
    sheet.path(f"M{n(x)} {n(top)}V{n(low)}", stroke=INK, width=2)


def draw_sprout(sheet: Sheet, x: float, y: float, s: float) -> None:
    sheet.path(f"M{n(x)} {n(y)}v{n(-30 * s)}", stroke=LEAF, width=2.4)
    leaf = (
        f"M{n(x)} {n(y - 14 * s)}c{n(-16 * s)} 0 {n(-16 * s)} {n(-12 * s)} {n(-15 * s)} {n(-16 * s)} {n(11 * s)} 0 "
        f"{n(16 * s)} {n(6 * s)} {n(15 * s)} {n(16 * s)}zM{n(x)} {n(y - 18 * s)}c{n(16 * s)} 0 {n(16 * s)} {n(-12 * s)} "
        f"{n(15 * s)} {n(-16 * s)} {n(-11 * s)} 0 {n(-16 * s)} {n(6 * s)} {n(-15 * s)} {n(16 * s)}zM{n(x)} {n(y - 28 * s)}"
        f"c{n(-7 * s)} {n(-5 * s)} {n(-4 * s)} {n(-14 * s)} 0 {n(-17 * s)} {n(4 * s)} {n(3 * s)} {n(7 * s)} {n(12 * s)} "
        f"0 {n(17 * s)}z"
    )
    sheet.path(leaf, fill="#ffffff" if sheet.bw else GREEN, stroke=LEAF, width=1.2)
