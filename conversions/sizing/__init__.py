"""The sizing engine: materials and labour of a site. Pure values in and out; these are its public names."""

from .check import check
from .dayplan import DayPlan, day_plan
from .labour import Crew
from .layout import first_layout
from .learning import Learned, learn_pace, learn_rate
from .mulch import round_up_to_step
from .own import OWN, Own, OwnValue, read_own
from .problems import Problem, SiteError, Where
from .results import ENGINE_VERSION, BedTakeoff, Figure, PatchTakeoff, Takeoff, Task
from .shapes import circle, edge_lengths, l_shape, rectangle, trapezium, triangle
from .shortof import Stock, can_finish
from .sitefile import new_site, read_site
from .takeoff import takeoff
from .values import (
    Circle,
    Corner,
    Site,
    SiteBed,
    SitePatch,
)
from .whatif import what_if
from .writer import write_site

__all__ = [
    "ENGINE_VERSION", "OWN", "BedTakeoff", "Circle", "Corner", "Crew", "DayPlan", "Figure", "Learned", "Own", "OwnValue", "PatchTakeoff",
    "Problem", "Site", "SiteBed", "SiteError", "SitePatch", "Stock", "Takeoff", "Task", "Where", "can_finish",
    "check", "circle", "day_plan", "edge_lengths", "first_layout", "l_shape", "learn_pace", "learn_rate", "new_site",
    "read_own", "read_site", "rectangle", "round_up_to_step", "takeoff", "trapezium", "triangle", "what_if", "write_site",
]  # fmt: skip
