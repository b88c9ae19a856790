"""Marked lines on the plan: the colours of the public code, seen in colour and told apart by word without it."""

import re
import subprocess

import pytest
from django.utils import translation
from django.utils.translation import gettext
from PIL import ImageFont

from conversions import sizing
from conversions.yards.drawing import plan_svg
from conversions.yards.drawing.marked import CASING, CORE, NAMES
from conversions.yards.drawing.sheet import Sheet
from conversions.yards.drawing.textures import INK, SERVICE

from .drawn import SVG, fills, patch, read_svg, site, sized, spread, words_in

# American Public Works Association, Uniform Color Code: what each colour stands for. The hue is in degrees, given wide.
CODE = {
    "proposed": "white",
    "survey": "pink",
    "electric": "red",
    "gas": "yellow",
    "oil": "yellow",
    "steam": "yellow",
    "communications": "orange",
    "phone": "orange",
    "cable": "orange",
    "water": "blue",
    "reclaimed": "purple",
    "irrigation": "purple",
    "sewer": "green",
    "drain": "green",
}
HUES = {"red": (0, 12), "orange": (20, 40), "yellow": (45, 60), "green": (110, 150), "blue": (200, 225),
        "purple": (260, 290), "pink": (310, 345)}  # fmt: skip


def plan(*services, points=((2.0, 0.0), (2.0, 6.0)), **look):
    lines = [
        {"kind": "line", "service": service, "points": [[x + 2 * i, y] for x, y in points]}
        for i, service in enumerate(services)
    ]
    return plan_svg(*sized(site(patch(sizing.rectangle(8, 6), features=lines))), prefix="a", **look)


def strokes(svg):
    """Colour and width of every line drawn, in the order of drawing."""
    return [(node.get("stroke"), float(node.get("stroke-width", 0))) for node in read_svg(svg).iter(f"{SVG}path")]


def hue(colour):
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    most, least = max(red, green, blue), min(red, green, blue)
    if most == red:
        return 60 * ((green - blue) / (most - least)) % 360
    return 60 * ((blue - red) / (most - least) + 2) if most == green else 60 * ((red - green) / (most - least) + 4)


@pytest.mark.parametrize(("service", "colour"), CODE.items())
def test_each_service_has_the_colour_of_the_public_code(service, colour):
    shade = SERVICE[service]
    if colour == "white":
        assert shade == "#ffffff"
    else:
        low, high = HUES[colour]
        assert low <= hue(shade) <= high


@pytest.mark.parametrize("service", CODE)
def test_a_line_lies_in_its_colour_on_a_dark_casing_and_bears_its_name(service):
    svg = plan(service)
    drawn = strokes(svg)
    at = drawn.index((SERVICE[service], CORE))
    assert drawn[at - 1] == (INK, CASING) and CASING - CORE > 2
    assert str(NAMES[service]) in words_in(svg)


@pytest.mark.parametrize("service", CODE)
def test_in_black_and_white_the_word_alone_says_what_runs_there(service):
    svg = plan(service, paper=True, bw=True)
    drawn = strokes(svg)
    assert ("#ffffff", CORE) in drawn and (INK, CASING) in drawn
    assert str(NAMES[service]) in words_in(svg)
    if service != "proposed":
        assert SERVICE[service] not in str(svg)


@pytest.mark.parametrize("service", CODE)
def test_no_word_is_wider_than_its_plate(service):
    """Measured in the face that the papers are set in."""
    found = subprocess.run(["fc-match", "-f", "%{file}", "Open Sans:semibold"], check=True, capture_output=True)
    words, sheet = str(NAMES[service]), Sheet("a", 12.8)
    long = ImageFont.truetype(found.stdout.decode(), 1000).getlength(words) * sheet.high(0.9) / 1000
    wide, _high = sheet.plate_size(words, 0.9)
    assert long < wide < long + 3 * sheet.size


def test_no_two_kinds_of_the_code_share_a_word():
    assert set(NAMES) == set(SERVICE) == set(CODE)
    assert len({str(words) for words in NAMES.values()}) == len(NAMES)


def test_three_lines_side_by_side_are_each_named():
    words = words_in(plan("gas", "water", "sewer", paper=True, bw=True))
    assert [words.count(name) for name in ("GAS", "WATER", "SEWER")] == [1, 1, 1]


def test_the_word_lies_along_the_line():
    svg = plan("water", points=((1.0, 1.0), (5.0, 5.0)))
    (word,) = (node for node in read_svg(svg).iter(f"{SVG}text") if node.text == "WATER")
    assert re.match(r"rotate\(-45 ", word.get("transform"))


def test_a_line_that_only_passes_by_outside_is_named_too():
    assert "GAS" in words_in(plan("gas", points=((0.0, -0.3), (8.0, -0.3)), paper=True))


def test_a_line_too_short_for_its_word_still_says_it():
    assert "RECLAIMED WATER" in words_in(plan("reclaimed", points=((3.0, 3.0), (3.2, 3.0)), paper=True, bw=True))


def test_a_service_the_code_does_not_know_is_written_as_it_was_typed():
    assert "HEATING" in words_in(plan("heating")) and "MARKED LINE" in words_in(plan(""))


def dashed(svg, dash):
    return [node.get("d") for node in read_svg(svg).iter(f"{SVG}path") if node.get("stroke-dasharray") == dash]


def test_where_somebody_means_to_dig_no_band_is_drawn():
    assert "HAND TOOLS ONLY" in str(plan("gas")).upper() and dashed(plan("gas"), "2 3")
    assert "HAND TOOLS ONLY" not in str(plan("proposed")).upper() and not dashed(plan("proposed"), "2 3")


@pytest.mark.parametrize("band_m", [0.46, 1.0])
def test_the_band_is_as_wide_as_the_group_keeps_it(band_m):
    line = {"kind": "line", "service": "gas", "points": [[4, -1], [4, 7]]}
    document = site(patch(sizing.rectangle(8, 6), features=[line]), own={"line_band": band_m})
    svg = plan_svg(*sized(document), prefix="a")
    lawn, band = (spread(d) for d in (fills(svg, "chip")[0], dashed(svg, "2 3")[0]))
    assert (band[2] - band[0]) / (lawn[2] - lawn[0]) == pytest.approx(2 * band_m / 8, rel=0.01)


@pytest.mark.parametrize("factor", [12, 18])
def test_the_ring_of_a_tree_is_as_wide_as_the_group_keeps_it(factor):
    tree = {"kind": "tree", "x": 10, "y": 10, "trunk_m": 0.3}
    document = site(patch(sizing.rectangle(20, 20), features=[tree]), own={"tree_ring_factor": factor})
    svg = plan_svg(*sized(document), prefix="a")
    ring = [spread(node.get("d")) for node in read_svg(svg).iter(f"{SVG}path") if node.get("fill-opacity") == ".5"][0]
    lawn = spread(fills(svg, "chip")[0])
    assert (ring[2] - ring[0]) / (lawn[2] - lawn[0]) == pytest.approx(2 * factor * 0.3 / 20, rel=0.01)


@pytest.mark.parametrize(
    "look",
    [
        {"compact": True},
        {"compact": True, "setout": True},
        {"paper": True, "scale": 200},
        {"paper": True, "large": True, "scale": 200},
        {"paper": True, "bw": True, "setout": True, "scale": 125},
    ],
)
@pytest.mark.parametrize("language", ["en", "es"])
def test_beside_a_marked_line_the_rule_stands_on_the_drawing_or_in_a_line_below_it(look, language):
    with translation.override(language):
        words = " ".join(words_in(plan("gas", points=((2.0, 1.0), (2.0, 4.5)), **look)))
        on_it, below = gettext("hand tools only"), gettext("beside a marked line: hand tools only, no trench, no bed")
        assert on_it in words or below in words


def test_a_line_without_a_band_brings_no_rule():
    assert not any("hand tools" in words for words in words_in(plan("proposed", compact=True)))
