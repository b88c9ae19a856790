"""Drawings of a yard: the plan to scale, the cut through the layers, and where the pegs go."""

from .marked import band_words
from .plan import fitted, plan_svg, scale_of
from .section import section_svg, section_words
from .setout import SetOut, set_out

__all__ = ["SetOut", "band_words", "fitted", "plan_svg", "scale_of", "section_svg", "section_words", "set_out"]
