"""Drawings of a yard: the plan to scale, the cut through the layers, and where the pegs go."""

from .plan import plan_svg, scale_of
from .section import section_svg
from .setout import SetOut, set_out

__all__ = ["SetOut", "plan_svg", "scale_of", "section_svg", "set_out"]
