"""The sizing engine: materials and labour of a site. Pure values in and out; these are its public names."""

from .check import check
from .labour import Crew
from .layout import first_layout
from .mulch import round_up_to_step
from .shapes import circle, edge_lengths, l_shape, rectangle, trapezium, triangle
from .sitefile import new_site, read_site, write_site
from .takeoff import takeoff
from .values import (
    ENGINE_VERSION,
    BedTakeoff,
    Circle,
    Corner,
    Figure,
    PatchTakeoff,
    Problem,
    Site,
    SiteBed,
    SiteError,
    SitePatch,
    Takeoff,
    Task,
    Where,
)

__all__ = [
    "ENGINE_VERSION", "BedTakeoff", "Circle", "Corner", "Crew", "Figure", "PatchTakeoff", "Problem", "Site", "SiteBed",
    "SiteError", "SitePatch", "Takeoff", "Task", "Where", "check", "circle", "edge_lengths", "first_layout", "l_shape",
    "new_site", "read_site", "rectangle", "round_up_to_step", "takeoff", "trapezium", "triangle", "write_site",
]  # fmt: skip
