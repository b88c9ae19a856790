"""Line drawings of the jobs on a care sheet; one source for screen and paper, so every colour is literal."""

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

INK, LEAF = "#1d1a14", "#2b6537"
GROUND = (
    '<path d="M0 70h120" stroke-width="2"/>'
    '<path d="M4 76l4-3M20 78l4-3M40 76l4-3M60 78l4-3M82 76l4-3M104 78l4-3" stroke-width="1.3"/>'
)
HAND = (
    '<path d="M0 0c-3-12-3-22 3-24 4 0 4 10 4 14 1-8 2-22 6-22 5 0 3 14 3 22 2-8 4-20 8-19 4 1 1 14 0 21'
    ' 3-6 6-14 10-12 3 2-2 14-5 22-2 6-6 10-12 11-8 1-14-3-17-13z" fill="#fff"/>'
)
SEEDLING = (
    f'<path d="M0 0v-16M0-7c-10 0-9-8-9-9 7 0 9 4 9 9zM0-10c10 0 9-8 9-9-7 0-9 4-9 9z" stroke="{LEAF}" fill="#dcead2"/>'
)


def _seedling(x: int, y: int, size: float = 1) -> str:
    return f'<g transform="translate({x} {y}) scale({size})">{SEEDLING}</g>'


CAN = (
    '<g transform="translate(14 8) scale(.95)"><path d="M16 24h24v28H16z" fill="#fff"/>'
    '<path d="M40 34l18-12M56 17l6 9M16 30c-12-4-12 16 0 16M20 24c0-10 16-10 16 0"/></g>'
    '<path d="M74 36l-3 6M82 40l-3 6M76 48l-3 6M86 50l-3 6" stroke-width="2"/>'
)
MORNING_SUN = '<path d="M100 14a10 10 0 0 1 20 0M96 14h24M98 5l-3-3" stroke-width="1.6"/>'
CHIPS = "M66 58l10-4 2 4-10 4zM82 64l11-3 1 4-11 3zM72 66l8 1-1 3-8-1zM92 56l9-3 2 4-9 3z"

PICTURES = {
    "water": GROUND + CAN + _seedling(78, 70) + _seedling(98, 70, 0.9) + MORNING_SUN,
    "finger": (
        '<path d="M0 44h48c4 0 4 12 8 20 2 4 6 4 8 0 3-8 3-20 8-20h48" stroke-width="2"/>'
        '<path d="M20 52h6M34 60h6M84 54h6M98 62h6M14 66h6M76 68h6" stroke-width="1.5"/>'
        '<path d="M52 4l2 46c1 10 10 10 11 0l3-22c14 2 20-8 18-24" fill="#fff"/>'
    ),
    "cover": (
        GROUND + '<path d="M0 60h44l14 10H0z" fill="#d8b57f"/><path d="M6 66h44" stroke-width="1"/>'
        f'<path d="{CHIPS}" fill="#ecd2ab"/><path d="M50 60l2-14M54 62l4-14M47 60l-3-12" stroke="{LEAF}"/>'
        '<path d="M104 20L84 50M78 44l12 9"/><path d="M77 46l-3 7M82 49l-3 7M87 53l-3 6" stroke-width="1.8"/>'
    ),
    "pull": (
        GROUND + f'<path d="M8 70c20-4 40-2 58-8" stroke="{LEAF}" stroke-width="3"/>'
        f'<path d="M20 68l-3-12M32 68l2-12M46 66l-2-14" stroke="{LEAF}"/>'
        f'<g transform="translate(64 62) rotate(28) scale(.95)">{HAND}</g>'
    ),
    "hand": (
        '<path d="M10 70V34h100v36z" fill="#ecd2ab"/><path d="M18 44l8-3 2 4-8 3zM92 60l9-2 0 4-9 2zM20 60l8 3-2 3-8-3z'
        'M96 42l8-3 1 4-8 3z" stroke-width="1.3"/><path d="M6 72h108" stroke="#7d5120" stroke-width="5"/>'
        '<path d="M38 34c-2 8-2 28 0 36h30c8 0 12-10 12-18s-2-16-8-18z" fill="#fff"/>'
        '<path d="M39 43h24M39 52h26M39 61h24" stroke-width="1.8"/>'
        '<path d="M60 34c4-14 14-22 20-18 2 6-6 10-8 18" fill="#fff"/>'
    ),
    "curl": (
        f'<path d="M34 74c2-20 2-30 2-44M84 74c-2-20-2-30-2-44" stroke="{LEAF}"/>'
        '<path d="M36 34c-20-2-26-16-20-26 14 0 26 10 20 26zM36 34c16-2 22-14 18-24-12 0-22 8-18 24z"'
        f' stroke="{LEAF}" fill="#dcead2"/>'
        '<path d="M82 34c-14 2-24-4-22-14 8-4 8 8 14 6 4-2-2-10 4-12 8 2 8 12 4 20zM82 34c14 2 24-4 22-14'
        f'-8-4-8 8-14 6-4-2 2-10-4-12-8 2-8 12-4 20z" stroke="{LEAF}" fill="#f7d774"/>'
    ),
    "wash": (
        '<path d="M20 10h40a12 12 0 0 1 12 12v4M20 4v12"/><path d="M72 32v6M66 36v6M78 36v6" stroke-width="2"/>'
        '<path d="M58 50c4-8 26-8 30 0 6 2 8 8 6 14-8 10-34 10-42 0-2-6 0-12 6-14z" fill="#dcead2"/>'
        '<path d="M72 48v-6M66 58c4 2 8 2 12 0" stroke-width="1.8"/>'
    ),
    "shoes": (
        GROUND + '<path d="M14 70V46h18l6 10 20 6c4 2 4 6 2 8z" fill="#fff"/>'
        '<path d="M16 52h14M36 54l4-4M44 58l3-4" stroke-width="1.8"/><path d="M76 70V6h34v64" fill="#efe8d8"/>'
        '<path d="M82 40h3" stroke-width="3"/><path d="M66 70h14" stroke-width="4"/>'
    ),
    "feed": (
        GROUND + '<path d="M10 70c10-20 60-24 74 0z" fill="#8b7057"/><path d="M60 8l26 8-8 26-24-8z" fill="#fff"/>'
        '<path d="M60 8c6-8 22-4 26 8"/><path d="M54 36l-8 8M58 40l-6 8M48 36l-8 6" stroke-width="2"/>'
        + _seedling(98, 70, 0.8)
    ),
}


def task(name: str, title: str) -> SafeString:
    """The drawing called `name`, with `title` as what it says to those who cannot see it."""
    return format_html(
        '<svg class="doing" viewBox="0 0 120 82" role="img" aria-label="{}"><title>{}</title><g fill="none" stroke="{}"'
        ' stroke-width="2.4" stroke-linecap="round" stroke-linejoin="round">{}</g></svg>',
        title,
        title,
        INK,
        mark_safe(PICTURES[name]),  # our own constants, nothing typed by anybody
    )
