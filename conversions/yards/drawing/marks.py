"""What people look for on the day, where it stands: tap, heap place, downspout, each a triangle with its word."""

from itertools import product

from django.utils.translation import gettext_lazy as _
from shapely.geometry import Polygon as Shape

from .frame import Frame, marks_of
from .sheet import Sheet, closed_path
from .textures import INK

WORDS = {"tap": _("Tap"), "heap": _("Heap place"), "downspout": _("Downspout")}
TEXTURES = {"tap": "water", "heap": "chip", "downspout": "hard"}
HIGH, HALF = 1.1, 0.62  # of the triangle, in heights of a letter


def draw(sheet: Sheet, frame: Frame) -> None:
    """A triangle for each, its tip on the spot; words written later keep off it."""
    for row in marks_of(frame.patch):
        shape = triangle(*frame.at(row["x"], row["y"]), sheet.size)
        sheet.textured(closed_path(shape), TEXTURES[row["kind"]], stroke=INK, width=1.4)
        sheet.take(shape.envelope)


def triangle(x: float, y: float, size: float) -> Shape:
    return Shape([(x, y), (x - HALF * size, y - HIGH * size), (x + HALF * size, y - HIGH * size)])


def write(sheet: Sheet, frame: Frame) -> list[str]:
    """What it is and its own words beside it, else what it is; where no room is free it is returned for the legend."""
    left_over = []
    for row in marks_of(frame.patch):
        x, y = frame.at(row["x"], row["y"])
        name, label = str(WORDS[row["kind"]]), str(row.get("label") or "")
        # the kind is always said: on paper without colour the textures of three small triangles look alike
        said = [f"{name}: {label}", name] if label else [name]
        for is_shy, words, size in product((True, False), said, (0.84, 0.74)):
            width, height = sheet.plate_size(words, size)
            spots = _beside(x, y - HIGH / 2 * sheet.size, width, height, sheet.size)
            if spot := sheet.best(spots, width, height, frame.block, most=0, is_shy=is_shy):
                sheet.plate(spot[0], spot[1], words, size)
                break
        else:
            left_over.append(f"• {said[0]}")
    return left_over


def _beside(x: float, y: float, width: float, height: float, size: float) -> list[tuple[float, float, float]]:
    """Right and left of the triangle, above and below it, then askew, then the same a little farther off."""
    out = []
    for far in (0.0, 0.5, 1.0, 1.6):
        side = HALF * size + width / 2 + size * (0.15 + far)
        rise = HIGH / 2 * size + height / 2 + size * (0.15 + far)
        out += [(x + side, y, 0.0), (x - side, y, 0.0), (x, y - rise, 0.0), (x, y + rise, 0.0)]
        for share in (0.5, 1.0):
            out += [(x + way * side * share, y + up * rise, 0.0) for up in (-1, 1) for way in (1, -1)]
    return out
