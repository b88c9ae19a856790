"""Room on the paper: where the drawing, the cut and the dates go, and how large they may be."""

from conversions.yards.drawing import scale_of

# The room for the drawing on the second page: with the dates beside it, with them below, and without the cut.
ROOMS_MM = {
    "beside": {"A4": (118.0, 98.0), "Letter": (124.0, 93.0)},
    "above": {"A4": (178.0, 80.0), "Letter": (184.0, 72.0)},
    "alone": {"A4": (178.0, 148.0), "Letter": (184.0, 134.0)},
}
LARGE_MM = {"A4": (178.0, 200.0), "Letter": (184.0, 184.0)}  # large print: a page to itself, with a heading
SMALLEST_BESIDE = 100  # 1:100; where it would have to be smaller, a page of its own is tried
SECTION_MM = {"A4": 108.0, "Letter": 104.0}  # narrow, with its words in a list beside it
LARGE_SECTION_MM = {"A4": 178.0, "Letter": 168.0}
MINI_MM = 56.0  # the small plan of the letter, as paper.css has it
MOST_IN_LETTER = 2  # patches on the small plan; where there are more it shows the largest
POINT_MM = 25.4 / 72
LEAST_POINTS = 10.5  # the smallest letters on a household's paper


def least_units(wide_mm: float, wide_units: float) -> float:
    """How high, in units of a drawing, letters of 10.5 pt are when so many units take so many millimetres.

    >>> round(least_units(178, 712), 1)
    14.8
    """
    return LEAST_POINTS * POINT_MM * wide_units / wide_mm


def largest(site: dict, takeoff: dict) -> str | None:
    """The one patch to show where all of them would be too small to read."""
    if len(site["patches"]) <= MOST_IN_LETTER:
        return None
    return max(takeoff["patches"].items(), key=lambda row: row[1]["cover_m2"])[0]


def layout_of(site: dict, size: str, *, is_short: bool = False) -> tuple[str, int, tuple[float, float]]:
    """Where the dates go and how large the plan may be. A large yard takes the page, and the cut goes overleaf.

    is_short: there is no room overleaf either, so that the plan is drawn smaller instead.
    """
    fits = {layout: scale_of(site, rooms[size]) for layout, rooms in ROOMS_MM.items()}
    layout = "beside" if fits["beside"] <= fits["above"] else "above"
    is_several = len(site["patches"]) > 1  # as high as the room each, and a key below: the cut would not fit there too
    if fits[layout] > SMALLEST_BESIDE and (fits["alone"] < fits[layout] or is_several and not is_short):
        layout = "alone"
    return layout, fits[layout], ROOMS_MM[layout][size]
