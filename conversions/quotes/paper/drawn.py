"""The drawings of a plan's paper: the small plan of the letter, the plan true to scale, and the cut with its words."""

import re
from html import unescape
from typing import Any

from conversions.yards.drawing import fitted, plan_svg, section_svg, section_words

from ..models import Quote
from .rooms import LARGE_MM, LARGE_SECTION_MM, MINI_MM, SECTION_MM, largest, least_units

PAPER_UNITS_PER_MM = 4  # of the plan on paper: one unit is a quarter of a millimetre
LARGE_SCALES = (50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500)  # as large as its page allows
MINI_UNITS = 360.0  # how wide the small one is drawn
SHOWN = ("mini", "plan", "section")
TOLD = re.compile(r"<(?:title|desc)>(.*?)</", re.S)


def drawings(quote: Quote, layout: tuple[str, int, tuple[float, float]]) -> dict[str, Any]:
    site, takeoff, units = _frozen(quote)
    place, scale, room = layout
    least = least_units(1, PAPER_UNITS_PER_MM)
    return {
        "mini": _mini(site, takeoff, units),
        "plan": plan_svg(
            site, takeoff, prefix="pp", paper=True, units=units, scale=scale, width_mm=room[0], least=least
        ),
        "scale": scale,
        "layout": place,
        **_section(site, takeoff, units, SECTION_MM[quote.group.paper]),
    }


def large_drawings(quote: Quote) -> dict[str, Any]:
    site, takeoff, units = _frozen(quote)
    wide, high = LARGE_MM[quote.group.paper]
    look = {"prefix": "pp", "units": units, "large": True}
    scale, plan = fitted(site, takeoff, scales=LARGE_SCALES, width_mm=wide, height_mm=high, **look)
    if plan is None:
        scale = LARGE_SCALES[-1]
        plan = plan_svg(site, takeoff, paper=True, scale=scale, width_mm=wide, **look)
    return {
        "plan": plan,
        "scale": scale,
        **_section(site, takeoff, units, LARGE_SECTION_MM[quote.group.paper]),
    }


def svgs(drawn: dict[str, Any]) -> dict[str, str]:
    """The drawings themselves, by the name the page shows them under."""
    return {name: str(drawn[name]) for name in SHOWN if name in drawn}


def spoken(drawn: dict[str, Any]) -> dict[str, str]:
    """What is said of each drawing to whoever cannot see it: its title, then its description."""
    said = {name: TOLD.findall(svg) for name, svg in svgs(drawn).items()}
    return {name: unescape(". ".join(words)) for name, words in said.items()}


def _mini(site: dict, takeoff: dict, units: str) -> str:
    least = least_units(MINI_MM, MINI_UNITS)
    return plan_svg(site, takeoff, prefix="pq", few=True, units=units, patch=largest(site, takeoff), least=least)


def _section(site: dict, takeoff: dict, units: str, wide_mm: float) -> dict[str, Any]:
    drawn = section_svg(
        site, takeoff, prefix="ps", paper=True, compact=True, is_bare=True, units=units, width_mm=wide_mm
    )
    return {"section": drawn, "layers": section_words(site, takeoff, units)}


def _frozen(quote: Quote) -> tuple[dict, dict, str]:
    return quote.frozen["site"], quote.frozen["takeoff"], quote.frozen["shown"]["units"]
