"""Drawn pictures of the invented yards: a lawn before, the same spot as a garden after. No camera was there."""

import io
import random

from PIL import Image, ImageDraw, ImageFilter

SIZE = WIDTH, HEIGHT = 1200, 900
SKY, FAR = "#dfe9ec", "#a9bd98"
WALLS = ["#efe4cf", "#dccfc0", "#e6d5c9", "#d9dccf", "#e9dcb8"]
ROOFS = ["#6b4a3f", "#55524e", "#7a4b36", "#4f5a5c"]
DOORS = ["#8a5a22", "#2f5d62", "#7b2f2f", "#3f4f7a"]
SHIFT = {"left": 260, "middle": 0, "right": -260}  # how far the house stands from the middle of the picture
GROUND = 420  # where the lawn begins


def picture(address: str, slot: str, is_garden: bool) -> io.BytesIO:
    """The same address and spot give the same house, before and after."""
    drawn = Image.new("RGB", SIZE, SKY)
    pen, chance = ImageDraw.Draw(drawn), random.Random(address)
    _street(pen, chance, SHIFT.get(slot, 0))
    ground = random.Random(f"{address} {slot} {is_garden}")
    (_garden if is_garden else _lawn)(pen, ground, SHIFT.get(slot, 0))
    _path(pen, SHIFT.get(slot, 0))
    _tree(pen, 1010 + SHIFT.get(slot, 0) // 3, chance)
    out = io.BytesIO()
    drawn.filter(ImageFilter.GaussianBlur(0.8)).save(out, "JPEG", quality=90)
    out.seek(0)
    return out


def _street(pen: ImageDraw.ImageDraw, chance: random.Random, shift: int) -> None:
    pen.polygon([(0, 330), (300, 270), (640, 310), (960, 260), (1200, 300), (1200, 460), (0, 460)], fill=FAR)
    wall, roof, door = chance.choice(WALLS), chance.choice(ROOFS), chance.choice(DOORS)
    left, right, top = 330 + shift, 870 + shift, chance.choice((150, 190))
    pen.polygon([(left - 40, top), (600 + shift, top - 125), (right + 40, top)], fill=roof, outline="#1d1a14")
    pen.rectangle((left, top, right, GROUND + 5), fill=wall, outline="#1d1a14", width=3)
    for x in (left + 60, right - 160):
        pen.rectangle((x, top + 60, x + 100, top + 150), fill="#b9cdd6", outline="#1d1a14", width=3)
        pen.line((x + 50, top + 60, x + 50, top + 150), fill="#1d1a14", width=3)
    pen.rectangle((560 + shift, top + 80, 640 + shift, GROUND + 5), fill=door, outline="#1d1a14", width=3)


def _path(pen: ImageDraw.ImageDraw, shift: int) -> None:
    pen.polygon([(560 + shift, GROUND), (640 + shift, GROUND), (720 + shift // 2, 830), (540 + shift // 2, 830)],
                fill="#d6d3c9", outline="#8d897e")  # fmt: skip
    pen.rectangle((0, 830, WIDTH, HEIGHT), fill="#cbc8be")
    pen.line((0, 830, WIDTH, 830), fill="#6f6c64", width=5)


def _tree(pen: ImageDraw.ImageDraw, x: int, chance: random.Random) -> None:
    pen.rectangle((x - 14, 330, x + 14, 560), fill="#6d5238")
    for _ in range(9):
        dx, dy, r = chance.randint(-80, 80), chance.randint(-150, 40), chance.randint(45, 80)
        pen.ellipse((x + dx - r, 260 + dy - r, x + dx + r, 260 + dy + r), fill=chance.choice(["#6f9a5f", "#7fa56f"]))


def _lawn(pen: ImageDraw.ImageDraw, chance: random.Random, _shift: int) -> None:
    pen.rectangle((0, GROUND, WIDTH, 830), fill="#8fb56b")
    for _ in range(2600):
        x, y = chance.randint(0, WIDTH), chance.randint(GROUND, 826)
        high = 3 + (y - GROUND) // 45
        blade = chance.choice(["#7aa356", "#9cc277", "#84ac62", "#a9b873"])
        pen.line((x, y, x + chance.randint(-3, 3), y - high), fill=blade, width=2)


def _garden(pen: ImageDraw.ImageDraw, chance: random.Random, shift: int) -> None:
    """Chips all over, and mounds that grow larger towards the street."""
    pen.rectangle((0, GROUND, WIDTH, 830), fill="#a98458")
    for _ in range(2600):
        x, y = chance.randint(0, WIDTH), chance.randint(GROUND, 826)
        long = 4 + (y - GROUND) // 40
        chip = chance.choice(["#8f6b42", "#c29d6d", "#b48f61", "#7d5c39"])
        pen.line((x, y, x + long, y + chance.randint(-3, 3)), fill=chip, width=3)
    for y, half, high in ((500, 110, 26), (600, 150, 36), (730, 200, 50)):
        for middle in (-320 - half // 3, 330 + half // 3):
            _bed(pen, 600 + middle + shift * (900 - y) // 500, y, half, high, chance)


def _bed(pen: ImageDraw.ImageDraw, x: int, y: int, half: int, high: int, chance: random.Random) -> None:
    pen.ellipse((x - half, y - high, x + half, y + high), fill="#4a3524", outline="#33241a", width=3)
    for _ in range(half // 6):
        px, py, r = x + chance.randint(-half + 30, half - 30), y + chance.randint(-high // 2, high // 3), high // 3
        leaf = chance.choice(["#4f8a3c", "#6fa84f", "#39713a", "#8bb85a"])
        for turn in (-r, 0, r):
            pen.ellipse((px + turn - r // 2 - 3, py - r - 6, px + turn + r // 2 + 3, py + 4), fill=leaf)
        if chance.random() < 0.3:
            pen.ellipse((px - 5, py - r - 4, px + 6, py - r + 7), fill=chance.choice(["#d9482f", "#f2b632", "#f4efe2"]))
