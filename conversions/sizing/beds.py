"""Beds: footprint, growing area and compost of mounded beds, framed beds and planting pockets."""

import math

from shapely import affinity
from shapely.geometry import LineString, Point, box
from shapely.geometry import Polygon as Shape

from . import catalogue as book
from .own import BOOK, Own
from .results import BedTakeoff
from .values import SiteBed


def slope_run_m(height_m: float, angle_deg: float = book.REPOSE.value) -> float:
    """How far a slope of the given height runs: h / tan(angle)."""
    return height_m / math.tan(math.radians(angle_deg))


def highest_m(width_m: float, angle_deg: float = book.REPOSE.value) -> float:
    """The height at which a mound of this width ends in a ridge.

    >>> round(highest_m(0.6), 4)
    0.2101
    """
    return width_m / 2 * math.tan(math.radians(angle_deg))


def section_m2(width_m: float, height_m: float, angle_deg: float = book.REPOSE.value) -> float:
    """Cross-section of a mound with both sides at the slope of repose.

    >>> round(section_m2(1.2, 0.25), 5)
    0.21074
    """
    return height_m * (width_m - slope_run_m(height_m, angle_deg))


def mound_m3(
    length_m: float, width_m: float, height_m: float, ends: str = "round", angle_deg: float = book.REPOSE.value
) -> float:
    """A straight mound of overall length; round ends are half cones, square ends slope like the sides.

    >>> round(mound_m3(5, 1.2, 0.25, "round", 40), 5), round(mound_m3(5, 1.2, 0.25, "square", 40), 5)
    (1.02254, 1.06778)
    """
    run = slope_run_m(height_m, angle_deg)
    if ends == "square":
        return height_m * (width_m * length_m - run * (width_m + length_m) + 4 * run**2 / 3)
    foot, top = width_m / 2, width_m / 2 - run
    cones = math.pi * height_m / 3 * (foot**2 + foot * top + top**2)
    return section_m2(width_m, height_m, angle_deg) * (length_m - width_m) + cones


def mound_area_m2(length_m: float, width_m: float, ends: str = "round") -> float:
    """Ground under a mound.

    >>> round(mound_area_m2(5, 1.2), 3)
    5.691
    """
    if ends == "square":
        return length_m * width_m
    return width_m * (length_m - width_m) + math.pi * width_m**2 / 4


def curved_mound_m3(radius_m: float, sweep_rad: float, width_m: float, height_m: float, angle_deg: float) -> float:
    """A bend of a mound, ends apart; exact where the radius of the centre line is half the width or more (Pappus).

    >>> round(curved_mound_m3(3, math.pi / 2, 1.0, 0.2, 45), 6)
    0.753982
    """
    return section_m2(width_m, height_m, angle_deg) * radius_m * sweep_rad


def overall_length_m(bed: SiteBed) -> float:
    """Length over the ends; along a centre line, its length and half the width at each end.

    >>> overall_length_m(SiteBed("m", "p", "mounded", 0, 0, width_m=1.0, path=((0, 0), (3, 0), (3, 4))))
    8.0
    """
    if not bed.path:
        return bed.length_m
    return sum(math.dist(a, b) for a, b in zip(bed.path, bed.path[1:], strict=False)) + bed.width_m


def frustum_m3(top_m: float, bottom_m: float, height_m: float) -> float:
    """A round hole, wider at the top.

    >>> round(frustum_m3(0.4, 0.2, 0.2) * 1000, 2)
    14.66
    """
    return math.pi * height_m * (top_m**2 + top_m * bottom_m + bottom_m**2) / 12


def frame_inside_m(length_m: float, width_m: float, board_m: float) -> tuple[float, float]:
    """Length and width between the boards.

    >>> frame_inside_m(2.4, 1.2, 0.038)
    (2.324, 1.124)
    """
    return round(length_m - 2 * board_m, 6), round(width_m - 2 * board_m, 6)


def frame_height_m(nominal: str, courses: int) -> float:
    """Height of a frame of boards as really sold.

    >>> frame_height_m("2x6", 2)
    0.28
    """
    return round(book.BOARDS[nominal][1] * courses, 3)


def board_length_m(length_m: float, width_m: float, board_m: float, courses: int) -> float:
    """Board for a frame: two long sides whole, two short ones between them, for each course.

    >>> round(board_length_m(2.4, 1.2, 0.038, 2), 3)
    14.096
    """
    return courses * 2 * (length_m + width_m - 2 * board_m)


def frame_fill_m3(
    length_m: float, width_m: float, height_m: float, board_m: float, freeboard_m: float = book.FREEBOARD.value
) -> float:
    """Compost in a frame, filled to a little under the rim.

    >>> round(frame_fill_m3(2.4, 1.2, 0.28, 0.038), 5)
    0.6661
    """
    inside_length, inside_width = frame_inside_m(length_m, width_m, board_m)
    return inside_length * inside_width * (height_m - freeboard_m)


def footprint(bed: SiteBed) -> Shape:
    """The outline on the ground, turned and placed."""
    if bed.kind == "pocket":
        return Point(bed.x_m, bed.y_m).buffer(bed.top_m / 2, quad_segs=8)
    if bed.path:
        return LineString(bed.path).buffer(bed.width_m / 2, quad_segs=12)
    if bed.kind == "mounded" and bed.ends == "round":
        half = max(0.0, (bed.length_m - bed.width_m) / 2)
        flat = LineString([(-half, 0), (half, 0)]).buffer(bed.width_m / 2, quad_segs=12) if half else None
        flat = flat or Point(0, 0).buffer(bed.width_m / 2, quad_segs=12)
    else:
        flat = box(-bed.length_m / 2, -bed.width_m / 2, bed.length_m / 2, bed.width_m / 2)
    turned = affinity.rotate(flat, bed.turn_deg, origin=(0, 0))
    return affinity.translate(turned, bed.x_m, bed.y_m)


def growing_area_m2(bed: SiteBed) -> float:
    """Ground that can be planted: the foot of a mound, the inside of a frame, the top of a pocket."""
    if bed.kind == "pocket":
        return math.pi * bed.top_m**2 / 4
    if bed.kind == "framed":
        length, width = frame_inside_m(bed.length_m, bed.width_m, bed.board_m)
        return length * width
    return mound_area_m2(overall_length_m(bed), bed.width_m, bed.ends)


def compost_m3(bed: SiteBed, own: Own = BOOK) -> float:
    """Settled compost in one bed."""
    if bed.kind == "pocket":
        return frustum_m3(bed.top_m, bed.bottom_m, bed.height_m)
    if bed.kind == "framed":
        return frame_fill_m3(bed.length_m, bed.width_m, bed.height_m, bed.board_m, own["freeboard"])
    return mound_m3(overall_length_m(bed), bed.width_m, bed.height_m, bed.ends, own["repose"])


def chips_saved_m3(bed: SiteBed, depth_m: float) -> float:
    """Chips that a pocket makes unnecessary: its shape through the chips only."""
    return frustum_m3(bed.top_m, bed.bottom_m, depth_m) if bed.kind == "pocket" else 0.0


def measure_bed(bed: SiteBed, own: Own = BOOK) -> BedTakeoff:
    """Area, compost and outline of one bed, rounded."""
    ring = tuple((round(x, 3), round(y, 3)) for x, y in footprint(bed).exterior.coords[:-1])
    inside = frame_inside_m(bed.length_m, bed.width_m, bed.board_m) if bed.kind == "framed" else None
    area, compost = round(growing_area_m2(bed), 2), round(compost_m3(bed, own), 4)
    return BedTakeoff(bed.uid, bed.patch, bed.kind, area, compost, ring, inside)
