"""The sheet a drawing is made on: shapes, textures, words with a halo or on a plate, and where words still fit."""

import math
import re
import unicodedata
from collections.abc import Iterable

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from shapely import affinity
from shapely.geometry import LineString, box
from shapely.geometry import Polygon as Shape

from . import textures
from .textures import INK, WHITE

SANS = "'Open Sans', system-ui, sans-serif"
# Charis first: on paper it is the one we bring, and a face the machine lacks must not be swapped for another.
SERIF = "'Charis SIL', Charter, 'Sitka Text', Cambria, Georgia, serif"
MM = 0.25  # on paper one unit of a drawing is a quarter of a millimetre
CROWDED = 0.06  # the share of a word that may lie under another one


def n(value: float) -> str:
    """A coordinate as short as it can be written, the same every time."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def word_width(words: str, size: float) -> float:
    """About how wide words run in semibold; a little too wide rather than too narrow."""
    return size * sum(_ems(c) for c in words)


def _ems(c: str) -> float:
    if unicodedata.east_asian_width(c) in "WF":
        return 1.0
    return 0.3 if c in " .,:;'iljI|" else 0.7 if c.isupper() else 0.6


def upright(degrees: float) -> float:
    """Turn a direction so that words along it are not upside down; those up the page read from the right."""
    turned = (degrees + 180) % 360 - 180
    if turned > 89.5:
        return turned - 180
    return turned + 180 if turned < -90.5 else turned


class Sheet:
    """Collects the marks of one drawing in its own units, x to the right and y down."""

    def __init__(self, prefix: str, size: float, bw: bool = False, least: float = 0.0):
        self.prefix = re.sub(r"[^A-Za-z0-9-]", "", prefix) or "drawing"
        self.size, self.bw, self.least = size, bw, least
        self.marks: list[str] = []
        self.words: list[str] = []  # drawn last, above every line
        self.taken: list[Shape] = []
        self.kept: list[Shape] = []  # nothing is ever written over these: pegs, the numbers of pockets
        self.lines: list[Shape] = []  # marked lines themselves: only their own words lie on them
        self.shy: list[Shape] = []  # written over only where there is no other room: bands of marked lines
        self.used: set[str] = set()

    # --- shapes -------------------------------------------------------------------------------------------------
    def colour(self, value: str) -> str:
        return textures.TO_GREY.get(value, value) if self.bw else value

    def path(self, d: str, *, fill: str = "none", stroke: str = "", width: float = 0, dash: str = "", more: str = ""):
        line = f' stroke="{self.colour(stroke)}" stroke-width="{n(width)}"' if stroke else ""
        line += f' stroke-dasharray="{dash}"' if dash else ""
        self.marks.append(f'<path d="{d}" fill="{self.colour(fill)}"{line}{more}/>')

    def textured(self, d: str, name: str, *, stroke: str = "", width: float = 0, rule: str = ' fill-rule="evenodd"'):
        """A shape of one material: its solid ground, then the texture with the outline."""
        self.used.add(name)
        self.path(d, fill=textures.ground(name, self.bw), more=rule)
        self.path(d, fill=f"url(#{textures.pattern_id(self.prefix, name)})", stroke=stroke, width=width, more=rule)

    def hatched(self, d: str, name: str, *, veil: float = 0.0):
        """A see-through hatch over what is there, with a white veil under it if asked."""
        self.used.add(name)
        if veil:
            self.path(d, fill=WHITE, more=f' fill-opacity="{veil}"')
        self.path(d, fill=f"url(#{textures.pattern_id(self.prefix, name)})", more=' fill-rule="evenodd"')

    def line(self, points: Iterable[tuple[float, float]], stroke: str = INK, width: float = 1.0, dash: str = ""):
        self.path(open_path(points), stroke=stroke, width=width, dash=dash)

    def circle(self, x: float, y: float, r: float, *, fill: str = "none", stroke: str = INK, width: float = 1.0):
        self.marks.append(
            f'<circle cx="{n(x)}" cy="{n(y)}" r="{n(r)}" fill="{self.colour(fill)}" '
            f'stroke="{self.colour(stroke)}" stroke-width="{n(width)}"/>'
        )

    # --- words --------------------------------------------------------------------------------------------------
    def high(self, size: float) -> float:
        """Height of letters `size` times the usual, in units, and never lower than the least that can be read."""
        return max(self.size * size, self.least)

    def text(self, x, y, words, size=1.0, *, anchor="middle", weight=600, turn=0.0, serif=False, halo=True, fill=INK):
        """Words whose middle stands at y; with a white halo they can be read on any texture."""
        fs = self.high(size)
        face = SERIF if serif else SANS
        turned = f' transform="rotate({n(turn)} {n(x)} {n(y)})"' if turn else ""
        base = (
            f'x="{n(x)}" y="{n(y + fs * 0.35)}" font-size="{n(fs)}" text-anchor="{anchor}" '
            f'font-family="{face}" font-weight="{weight}"{turned}'
        )
        shown = escape(words)
        if halo:
            edge = f'stroke="{WHITE}" stroke-width="{n(fs * 0.34)}" stroke-linejoin="round"'
            self.words.append(f'<text {base} fill="none" {edge} aria-hidden="true">{shown}</text>')
        self.words.append(f'<text {base} fill="{self.colour(fill)}">{shown}</text>')

    def plate(self, x, y, words, size=0.84, turn=0.0):
        """Words on a white plate cut to their length."""
        width, height = self.plate_size(words, size)
        turned = f' transform="rotate({n(turn)} {n(x)} {n(y)})"' if turn else ""
        self.words.append(
            f'<rect x="{n(x - width / 2)}" y="{n(y - height / 2)}" width="{n(width)}" height="{n(height)}" '
            f'fill="{WHITE}" stroke="{INK}" stroke-width=".9"{turned}/>'
        )
        self.text(x, y, words, size, turn=turn, halo=False)

    def plate_size(self, words: str, size: float = 0.84) -> tuple[float, float]:
        return word_width(words, self.high(size)) + self.size * 0.6, self.high(size) * 1.42

    # --- room for words -----------------------------------------------------------------------------------------
    def take(self, shape: Shape) -> None:
        self.taken.append(shape)

    def keep(self, shape: Shape) -> None:
        self.kept.append(shape)
        self.taken.append(shape)

    def is_kept(self, shape: Shape) -> bool:
        return any(shape.intersects(other) for other in self.kept)

    def covered(self, shape: Shape) -> float:
        """The share of a word that lies on words already there."""
        return _share(shape, self.taken)

    def best(
        self, spots: list[tuple[float, float, float]], width: float, height: float, inside=None, most=CROWDED,
        on_band: bool = False, is_shy: bool = True,
    ):  # fmt: skip
        """The first spot (x, y, turn) where a word of this size lies free; else the least crowded up to `most`.

        on_band: the word belongs to a marked line, and may lie on its band like nothing else.
        is_shy: any other word counts a band as a word that is there already; False: where there is no other room for it.
        """
        found = None
        for spot in spots:
            shape = slab(*spot, width, height)
            if inside is not None and not inside.covers(shape) or self.is_kept(shape):
                continue
            if not on_band and any(shape.intersects(line) for line in self.lines):
                continue
            share = self.covered(shape)
            on_bands = 0.0 if on_band else _share(shape, self.shy)
            crowd = share + on_bands
            if share + is_shy * on_bands <= most and (found is None or crowd < found[0]):
                found = (crowd, spot, shape)
            if crowd == 0:
                break
        if found is None:
            return None
        self.take(found[2])
        return found[1]

    # --- the end ------------------------------------------------------------------------------------------------
    def svg(
        self, css: str, title: str, width: float, height: float, wide_mm: float | None, words: str = ""
    ) -> SafeString:
        """The finished drawing; on paper `wide_mm` gives its true width, and its height follows."""
        size = f' width="{n(wide_mm)}mm" height="{n(height * wide_mm / width)}mm"' if wide_mm else ""
        defs = "".join(textures.tile(self.prefix, name, self.bw) for name in sorted(self.used))
        described = f"<desc>{escape(words)}</desc>" if words else ""
        return mark_safe(
            f'<svg xmlns="http://www.w3.org/2000/svg" class="{css}" viewBox="0 0 {n(width)} {n(height)}"{size} role="img">'
            f"<title>{escape(title)}</title>{described}<defs>{defs}</defs>"
            f'<rect x="0" y="0" width="{n(width)}" height="{n(height)}" fill="{WHITE}"/>'
            f"{''.join(self.marks)}{''.join(self.words)}</svg>"
        )


def _share(shape: Shape, others: list[Shape]) -> float:
    return sum(shape.intersection(other).area for other in others if shape.intersects(other)) / shape.area


def slab(x: float, y: float, turn: float, width: float, height: float) -> Shape:
    """The ground that turned words cover."""
    flat = box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
    return affinity.rotate(flat, turn, origin=(x, y)) if turn else flat


def open_path(points: Iterable[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points)


def closed_path(shape) -> str:
    """The path of any shapely polygon, holes and all; nothing for lines and crumbs."""
    rings = []
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type == "Polygon" and not part.is_empty:
            rings += [open_path(list(ring.coords)[:-1]) + "Z" for ring in (part.exterior, *part.interiors)]
    return "".join(rings)


def line_paths(shape) -> list[list[tuple[float, float]]]:
    """The stretches of line in any shapely result."""
    return [
        list(part.coords) for part in getattr(shape, "geoms", [shape]) if isinstance(part, LineString) and part.length
    ]


def direction(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    """The unit vector from a to b; nought where they are one point."""
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length else (0.0, 0.0)
