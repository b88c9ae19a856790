"""The year's ground drawn as one strip of lawn turned over, month by month, up to what was hoped for."""

from decimal import Decimal
from typing import Any

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from conversions.common import measures

INK, LEAF = "#1d1a14", "#2b6537"
LEFT, WIDTH = 8, 384
SANS = "Open Sans, system-ui, sans-serif"
SEEDLING = "M{x} {y}v-{a}M{x} {b}c-8.5 0-8.5-6.6-7.6-8.5 5.7 0 8.5 2.8 7.6 8.5zM{x} {c}c8.5 0 8.5-6.6 7.6-8.5-5.7 0-8.5 2.8-7.6 8.5z"


def round_goal(m2: Decimal) -> Decimal:
    """A round figure at or above `m2`, for years without a goal: 1, 2 or 5 and noughts, at least 50."""
    step = Decimal(50)
    while step < m2:
        step *= 2 if str(step)[0] in "15" else Decimal("2.5")
    return step


def text(x: float, y: float, words: str, size: int = 14, anchor: str = "start", weight: int = 700) -> SafeString:
    return format_html(
        '<text x="{}" y="{}" font-size="{}" text-anchor="{}" fill="{}" font-family="{}" font-weight="{}">{}</text>',
        x, y, size, anchor, INK, SANS, weight, words,
    )  # fmt: skip


def strip(months: list[Any], total_m2: Decimal, goal_m2: int | None, units: str) -> SafeString:
    """Left the finished ground in its layers, right the lawn still hoped for. Textures come from the page's sprite."""
    whole = max(Decimal(goal_m2 or 0), round_goal(total_m2) if not goal_m2 else total_m2)
    scale = Decimal(WIDTH) / whole
    done = round(total_m2 * scale, 1) if total_m2 > 0 else Decimal(0)
    label = _("%(done)s of lawn converted") % {"done": measures.area(total_m2, units)}
    if goal_m2:
        label = _("%(done)s of lawn converted, of %(goal)s hoped for") % {
            "done": measures.area(total_m2, units), "goal": measures.area(goal_m2, units, 0),
        }  # fmt: skip
    parts = [_soil(done), _layers(months, scale), _flag(done, measures.area(total_m2, units, 0))]
    if goal_m2:
        parts.append(_goal(LEFT + WIDTH * Decimal(goal_m2) / whole, measures.area(goal_m2, units, 0)))
    parts.append(_tape(whole, units))
    inside = format_html_join("", "{}", ((part,) for part in parts))
    return format_html('<svg viewBox="0 0 400 150" role="img" aria-label="{}">{}</svg>', label, inside)


def _soil(done: Decimal) -> SafeString:
    return format_html(
        '<rect x="{0}" y="100" width="{1}" height="24" fill="url(#tx-soil)"/>'
        '<rect x="{2}" y="86" width="{3}" height="14" fill="url(#tx-lawn)"/><path d="M{2} 100H{4}" stroke="{5}"/>',
        LEFT, WIDTH, LEFT + done, WIDTH - done, LEFT + WIDTH, INK,
    )  # fmt: skip


def _layers(months: list[Any], scale: Decimal) -> SafeString:
    """Each month's ground in its place along the strip, with a mound where there is room to draw one."""
    parts, at = [], Decimal(LEFT)
    for month in months:
        width = round(max(month.m2, Decimal(0)) * scale, 1)
        if width:
            parts.append(_month(at, width))
            at += width
    return format_html_join("", "{}", ((part,) for part in parts))


def _month(x: Decimal, width: Decimal) -> SafeString:
    layers = format_html(
        '<rect x="{0}" y="95" width="{1}" height="6" fill="url(#tx-card)"/>'
        '<rect x="{0}" y="77" width="{1}" height="18" fill="url(#tx-chip)" stroke="{2}" stroke-width="1.2"/>',
        x, width, INK,
    )  # fmt: skip
    if width < 24:
        return layers
    left, right, middle = x + 4, x + width - 4, round(x + width / 2, 1)
    swell, top = width / 5, 77 - min(Decimal(25), width * Decimal("0.3"))
    mound = format_html(
        '<path d="M{} 77C{} {} {} {} {} 77Z" fill="url(#tx-compost)" stroke="{}" stroke-width="1.2"/>',
        left, round(left + swell, 1), top, round(right - swell, 1), top, right, INK,
    )  # fmt: skip
    foot = round(77 - (77 - top) * Decimal("0.7"), 1)
    leaf = SEEDLING.format(x=middle, y=foot, a=15, b=foot - 6, c=foot - 9)
    plant = format_html('<path d="{}" fill="#5d9451" stroke="{}" stroke-width="1.2"/>', mark_safe(leaf), LEAF)
    return format_html("{}{}{}", layers, mound, plant)


def _flag(done: Decimal, words: str) -> SafeString:
    """The stake where the finished ground ends; its flag turns round near the right end."""
    x = LEFT + done
    turn = -1 if done > WIDTH * Decimal("0.55") else 1
    shape = f"M{x} 18h{74 * turn}l{-8 * turn} 11 {8 * turn} 11h{-74 * turn}z"
    pole = format_html('<path d="M{} 130V18" stroke="{}" stroke-width="2"/>', x, INK)
    flag = format_html('<path d="{}" fill="#ffffff" stroke="{}" stroke-width="1.6"/>', mark_safe(shape), INK)
    return format_html("{}{}{}", pole, flag, text(x + 7 * turn, 34, words, anchor="start" if turn > 0 else "end"))


def _goal(x: Decimal, words: str) -> SafeString:
    x = round(x, 1)
    stake = format_html('<path d="M{} 130V54" stroke="{}" stroke-width="2" stroke-dasharray="4 3"/>', x, INK)
    return format_html("{}{}", stake, text(x, 48, words, anchor="end"))


def _tape(whole: Decimal, units: str) -> SafeString:
    ticks = "".join(
        f"M{round(Decimal(LEFT) + Decimal(WIDTH) * n / 10, 1)} 125v{8 if n in (0, 5, 10) else 5}" for n in range(11)
    )
    line = format_html(
        '<rect x="{}" y="124" width="{}" height="1.4" fill="{}"/><path d="{}" stroke="{}"/>',
        LEFT, WIDTH, INK, mark_safe(ticks), INK,
    )  # fmt: skip
    middle, end = measures.area(whole / 2, units, 0), measures.area(whole, units, 0)
    marks = [
        text(LEFT, 146, "0", 12, weight=600),
        text(LEFT + WIDTH / 2, 146, middle, 12, "middle", 600),
        text(LEFT + WIDTH, 146, end, 12, "end", 600),
    ]
    return format_html("{}{}", line, format_html_join("", "{}", ((mark,) for mark in marks)))
