"""Pegs on the plan: a lettered ring on each or beside it, and the tapes that set them out."""

import math
from itertools import combinations

from . import setout, tape
from .frame import Frame
from .sheet import Sheet, direction, slab
from .textures import INK, WHITE

RING, DOT = 0.58, 0.17  # radius of the ring and the dot of a peg, in heights of a letter
CROWDED_PEGS = 4.5  # pegs of a bed nearer to one another than so many radii would hide it


def draw(sheet: Sheet, frame: Frame, site: dict) -> None:
    """Lettered pegs, and the pair of tapes to the first peg of each bed that is no pocket."""
    pegs = next((pegs for patch, pegs in setout.pegs_of(site) if patch is frame.patch), [])
    if not pegs:
        return
    corners, shown = setout.reference_corners(frame.patch, pegs), set()
    only_pockets = all(peg.mark.isdigit() for peg in pegs)
    for peg in pegs:
        if peg.bed not in shown and (only_pockets and not shown or not peg.mark.isdigit()):
            for _id, at in corners:
                tape.draw_reference(sheet, frame, frame.at(*at), frame.at(*peg.at))
        shown.add(peg.bed)
    if around := frame.patch.get("circle"):
        for letter, at in corners:
            x, y = frame.at(*at)
            ux, uy = direction(frame.at(around["x"], around["y"]), (x, y))
            x, y = x + ux * sheet.size * 0.9, y + uy * sheet.size * 0.9
            sheet.take(slab(x, y, 0, sheet.size, sheet.size))
            sheet.text(x, y, letter, 1.3, weight=700, serif=True)
    lettered = [peg for peg in pegs if not peg.mark.isdigit()]
    for peg in lettered:
        sheet.keep(slab(*frame.at(*peg.at), 0, 2 * DOT * sheet.size, 2 * DOT * sheet.size))
    for bed in dict.fromkeys(peg.bed for peg in lettered):
        _draw_of(sheet, frame, [(peg.mark, frame.at(*peg.at)) for peg in lettered if peg.bed == bed])


def _draw_of(sheet: Sheet, frame: Frame, pegs: list[tuple[str, tuple[float, float]]]) -> None:
    """A lettered ring on each peg; on a small bed a dot, and the ring outside beside it, so that the bed stays seen."""
    r = sheet.size * RING
    middle = tuple(sum(at[i] for _mark, at in pegs) / len(pegs) for i in (0, 1))
    nearest = min((math.dist(a, b) for (_a, a), (_b, b) in combinations(pegs, 2)), default=math.inf)
    for mark, at in pegs:
        x, y = _ring_at(sheet, frame, at, direction(middle, at), r, nearest < CROWDED_PEGS * r)
        if (x, y) != at:
            sheet.circle(*at, DOT * sheet.size, fill=INK)
            if math.dist((x, y), at) > r * 1.5:
                sheet.line([at, (x, y)], INK, 1.0)
        sheet.keep(slab(x, y, 0, 2 * r, 2 * r))
        sheet.circle(x, y, r, fill=WHITE, width=1.4)
        sheet.text(x, y, mark, 0.86, weight=700, halo=False)


def _ring_at(sheet: Sheet, frame: Frame, at, away: tuple[float, float], r: float, is_crowded: bool):
    """On its peg where the bed stays seen; else beside it, first away from the bed, where it hides no other peg."""
    x, y = at
    straight = math.atan2(away[1], away[0])
    turns = [straight + math.radians(turn) for turn in (0, 40, -40, 80, -80, 120, -120, 160, -160)]
    spots = [(x + math.cos(turn) * r * far, y + math.sin(turn) * r * far) for far in (1.35, 2.1, 3.0) for turn in turns]
    spots = spots if is_crowded else [at, *spots]
    dot = slab(x, y, 0, 2 * DOT * sheet.size, 2 * DOT * sheet.size)
    others = [shape for shape in sheet.kept if not shape.equals(dot)]
    best = None
    for spot in spots:
        shape = slab(*spot, 0, 2 * r, 2 * r)
        if frame.block.covers(shape) and not any(shape.intersects(other) for other in others):
            share = sheet.covered(shape) if spot != at else 0.0
            best = min(best or (share, spot), (share, spot), key=lambda one: one[0])
            if share == 0:
                break
    return best[1] if best else spots[0]
