"""Room on the paper: where the drawing, the cut and the dates go, and how large they may be."""

from conversions.yards.drawing import scale_of

# The room for the drawing on the second page: with the dates beside it, with them below, and without the cut.
ROOMS_MM = {
    "beside": {"A4": (118.0, 92.0), "Letter": (124.0, 90.0)},
    "above": {"A4": (178.0, 70.0), "Letter": (184.0, 68.0)},
    "alone": {"A4": (178.0, 148.0), "Letter": (184.0, 134.0)},
}
SMALLEST_BESIDE = 100  # 1:100; where it would have to be smaller, a page of its own is tried
SECTION_MM = {"A4": 168.0, "Letter": 144.0}
MOST_IN_LETTER = 2  # patches on the small plan; where there are more it shows the largest


def largest(site: dict, takeoff: dict) -> str | None:
    """The one patch to show where all of them would be too small to read."""
    if len(site["patches"]) <= MOST_IN_LETTER:
        return None
    return max(takeoff["patches"].items(), key=lambda row: row[1]["cover_m2"])[0]


def layout_of(site: dict, size: str) -> tuple[str, int, tuple[float, float]]:
    """Where the dates go and how large the plan may be. A large yard takes the page, and the cut goes overleaf."""
    fits = {layout: scale_of(site, rooms[size]) for layout, rooms in ROOMS_MM.items()}
    layout = "beside" if fits["beside"] <= fits["above"] else "above"
    is_several = len(site["patches"]) > 1  # as high as the room each, and a key below: the cut would not fit there too
    if fits[layout] > SMALLEST_BESIDE and (fits["alone"] < fits[layout] or is_several):
        layout = "alone"
    return layout, fits[layout], ROOMS_MM[layout][size]
