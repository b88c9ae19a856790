"""The materials as they look: one ground colour and one texture each, in colour and in black and white.

Every drawing carries its own patterns under its own prefix, with literal colours: a page's CSS does not reach a
drawing on paper. A textured shape is drawn twice, solid ground first, so that no seam shows between the tiles.
"""

INK, INK_2, WHITE = "#1d1a14", "#4b4438", "#ffffff"
KRAFT, KRAFT_DEEP, LEAF, EDGE = "#d8b57f", "#7d5120", "#2b6537", "#77725f"
HOUSE, KEPT, DIAGONAL, CREST = "#efece2", "#f4f1e8", "#a8a394", "#b79a7c"

# The uniform colours of marked lines (American Public Works Association, Uniform Color Code): white proposed digging,
# pink survey, red electric, yellow gas, oil and steam, orange communications, blue drinking water, purple reclaimed
# water and irrigation, green sewer and drain. The shades are ours; the name is always written on the line too.
SERVICE = {
    "proposed": WHITE,
    "survey": "#e0569b",
    "electric": "#d8261c",
    "gas": "#ffd400",
    "oil": "#ffd400",
    "steam": "#ffd400",
    "communications": "#f07d00",
    "phone": "#f07d00",
    "cable": "#f07d00",
    "water": "#1f6fd0",
    "reclaimed": "#7b3fa0",
    "irrigation": "#7b3fa0",
    "sewer": "#1d8a3e",
    "drain": "#1d8a3e",
}


def _chips(shapes: list[tuple[str, str]], edge: str) -> str:
    return "".join(f'<path d="{d}" fill="{fill}" stroke="{edge}" stroke-width=".6"/>' for d, fill in shapes)


def _dots(dots: list[tuple[float, float, float]], fills: list[str]) -> str:
    return "".join(
        f'<circle cx="{x}" cy="{y}" r="{r}" fill="{fills[i % len(fills)]}"/>' for i, (x, y, r) in enumerate(dots)
    )


GRASS = "M2 10l1-4M3.5 10l1.2-5M5 10l0-3M9 5l1-4M10.6 5l1-4.4M12 5l0-3"
GRAINS = [(2, 2, 0.9), (6.5, 1.4, 0.6), (8.6, 4.6, 0.9), (4.2, 5.2, 0.7), (1.2, 7.4, 0.6), (6.6, 8.2, 0.9)]
SLANT = "M-2 12L12-2M-2 2L2-2M8 12l4-4"
GRAIN_LINES = "M0 1.5h10M12 1.5h6M0 4.5h4M6 4.5h12"
PEBBLES = [(10, 3, 0.8), (4, 7, 0.7), (14, 4.4, 0.6)]
FLUTE = "M0 5.2C1.4 5.2 2.6 .9 4 .9S6.6 5.2 8 5.2"
CHIPS = [
    "M1 3l6-2 1 2-6 2z", "M10 1l5 2-1 2-5-2z", "M17 4l4-2 1 2-4 2z", "M3 8l5 2-1 2-5-2z", "M11 8l6-1 0 2-6 1z",
    "M8 13l5 0 0 2-5 0z", "M17 11l4 2-1 2-4-2z", "M1 13l4-1 1 2-4 1z",
]  # fmt: skip
CHIP_FILLS = ["#c98a44", "#dfb071", "#b9762f", "#dfb071", "#c98a44", "#b9762f", "#c98a44", "#e9c48d"]
LEAVES = "M4 12V7M4 8C1 8 1 5 1.4 4 3.6 4 4.4 6 4 8zM4 8C7 8 7 5 6.6 4 4.6 4 3.6 6 4 8z"
LEAVES_2 = "M12 6V2M12 3C10 3 9.6 1.4 9.8.6 11.4.6 12.2 1.6 12 3zM12 3C14 3 14.4 1.4 14.2.6 12.8.6 11.8 1.6 12 3z"
WAVES = "M0 4c2-3 6-3 8 0s6 3 8 0"
BRICKS = "M0 .5h16M0 4.5h16M4 .5v4M12 4.5v4"


def _line(d: str, colour: str, width: float) -> str:
    return f'<path d="{d}" stroke="{colour}" stroke-width="{width}" fill="none"/>'


# name: (tile width, tile height, ground, marks)
COLOUR = {
    "lawn": (14, 12, "#e3ecd0", _line(GRASS, "#4f7a3a", 1)),
    "soil": (16, 12, "#cbb69b", _line("M1 3h4M9 8h5M3 10h2", "#6b5137", 1.1) + _dots(PEBBLES, ["#6b5137"])),
    "card": (8, 6, KRAFT, _line("M0 .5h8M0 5.5h8", KRAFT_DEEP, 1) + _line(FLUTE, KRAFT_DEEP, 1)),
    "chip": (22, 16, "#ecd2ab", _chips(list(zip(CHIPS, CHIP_FILLS, strict=True)), "#5f3a12")),
    "compost": (10, 10, "#4a3524", _dots(GRAINS, ["#b79a7c", "#8b7057", "#b79a7c", "#d8c3a8", "#8b7057", "#b79a7c"])),
    "plant": (16, 14, "#dcead2", "".join(
        f'<path d="{d}" fill="#5d9451" stroke="{LEAF}" stroke-width=".8"/>' for d in (LEAVES, LEAVES_2))),
    "hard": (10, 10, "#dcdad2", _line(SLANT, "#8f8b7d", 0.8)),
    "timber": (18, 6, "#d9b487", _line(GRAIN_LINES, KRAFT_DEEP, 0.8)),
    "wall": (16, 8, "#e9e4d8", _line(BRICKS, "#6f6a5c", 0.8)),
    "water": (16, 8, "#d8e8ef", _line(WAVES, "#1a5a7e", 1)),
}  # fmt: skip
GREY = {
    "lawn": (14, 12, WHITE, _line(GRASS, "#000000", 0.8)),
    "soil": (16, 12, WHITE, _line("M1 3h4M9 8h5M3 10h2", "#555555", 1) + _dots(PEBBLES, ["#555555"])),
    "card": (8, 6, WHITE, _line("M0 .5h8M0 5.5h8", "#000000", 0.9) + _line(FLUTE, "#000000", 0.9)),
    "chip": (22, 16, WHITE, _chips([(d, WHITE) for d in CHIPS[::2]], "#777777")),
    "compost": (10, 10, "#c9c9c9", _dots(GRAINS, ["#222222"])),
    "plant": (16, 14, WHITE, _line(LEAVES, "#333333", 0.8) + _line(LEAVES_2, "#333333", 0.8)),
    "hard": (10, 10, WHITE, _line(SLANT, "#999999", 0.7)),
    "timber": (18, 6, WHITE, _line(GRAIN_LINES, "#333333", 0.8)),
    "wall": (16, 8, WHITE, _line(BRICKS, "#333333", 0.8)),
    "water": (16, 8, WHITE, _line(WAVES, "#333333", 0.8)),
}
# See-through hatches: a shape that carries one lets the material below show.
HATCH = {
    "band": (9, 9, _line("M-2 11L11-2M-2 2L2-2M7 11l4-4", INK, 1.1)),
    "paint": (12, 12, f'<path d="M0 0l12 12" stroke="{INK}" stroke-width=".9" stroke-dasharray="4 3"/>'),
    "clear": (9, 7, _dots([(2, 2, 0.9), (6.5, 5, 0.9)], [EDGE])),
}
# What a colour of a line or label turns into in black and white.
TO_GREY = {KRAFT: "#bbbbbb", KRAFT_DEEP: "#000000", LEAF: "#222222", HOUSE: WHITE, KEPT: WHITE, CREST: "#555555"}


def tile(prefix: str, name: str, bw: bool) -> str:
    """The pattern of a material or a hatch, without its ground."""
    if name in HATCH:
        width, height, marks = HATCH[name]
    else:
        width, height, _, marks = (GREY if bw else COLOUR)[name]
    size = f'width="{width}" height="{height}" patternUnits="userSpaceOnUse"'
    return f'<pattern id="{pattern_id(prefix, name)}" {size}>{marks}</pattern>'


def pattern_id(prefix: str, name: str) -> str:
    return f"{prefix}_{name}" if name in HATCH else f"{prefix}-{name}"


def ground(name: str, bw: bool) -> str:
    return (GREY if bw else COLOUR)[name][2]
