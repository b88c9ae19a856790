"""The cut through the layers: this yard's depths, and nothing that it does not have."""

import re

import pytest

from conversions.yards.drawing import section_svg

from .drawn import AROUND, RECTANGLE, box_of, fills, framed, mounded, patch, pocket, points_of, site, sized, words_in


def test_the_cut_shows_this_yard_s_own_depths():
    document = site(patch(RECTANGLE, AROUND), beds=[mounded(height_m=0.18), framed(height_m=0.28), pocket("k1", 7, 5)])
    document |= {
        "mulch": {"material": "wood chips", "depth_m": 0.11},
        "trench": {"width_m": 0.15, "depth_m": 0.12, "cut": "square"},
        "cardboard": {"layers": 2},
    }
    svg = section_svg(*sized(document), prefix="a")
    words = words_in(svg)
    for said in (
        "110",
        "180",
        "280",
        "300",
        "trench, 120 deep",
        "cardboard, 2 layers",
        "lawn, left in place",
        "pavement",
    ):
        assert said in words
    assert "Depths in millimetres. Drawn taller than life so that the layers can be seen." in words
    assert fills(svg, "card") and fills(svg, "timber") and fills(svg, "soil") and fills(svg, "chip")


def test_the_cut_leaves_out_what_the_yard_does_not_have():
    svg = section_svg(*sized(site(patch(RECTANGLE, ("lawn", "fence", "open", "open")))), prefix="a")
    words = " ".join(words_in(svg))
    assert not fills(svg, "compost") and not fills(svg, "timber") and not fills(svg, "hard")
    for word in ("trench", "bed", "pocket", "pavement", "house", "clear"):
        assert word not in words
    assert "wood chips" in words


def test_the_cut_on_a_phone_has_numbers_and_a_list():
    document, takeoff = sized(site(patch(RECTANGLE, AROUND), beds=[mounded(), framed()]))
    words = words_in(section_svg(document, takeoff, prefix="a", compact=True))
    assert "wood chips, 90 mm" in words and "mounded bed on the chips, 150 mm" in words
    assert [words.count(str(i)) for i in range(1, 8)] == [2] * 7
    imperial = words_in(section_svg(document, takeoff, prefix="a", compact=True, units="imperial"))
    assert "wood chips, 3½ in" in imperial and "mounded bed on the chips, 6 in" in imperial


@pytest.mark.parametrize("depth_m", [0.02, 0.09, 0.3, 1.5])
def test_the_cut_stays_on_its_sheet_whatever_the_depths(depth_m):
    document = site(patch(RECTANGLE, AROUND), beds=[mounded(height_m=depth_m), framed(height_m=depth_m)])
    document |= {
        "mulch": {"material": "wood chips", "depth_m": depth_m},
        "trench": {"depth_m": depth_m},
        "cardboard": {"layers": 20},
    }
    svg = section_svg(document, None, prefix="a", paper=True)
    _, _, width, height = box_of(svg)
    for d in re.findall(r'<path d="([^"]+)" fill="url', svg):
        for x, y in points_of(d):
            assert -1 <= x <= width + 1 and -1 <= y <= height + 1
