"""Tap, heap place and downspout on the plan: drawn with their words, on the sheet, off one another."""

import itertools

import pytest

from conversions import sizing
from conversions.yards.drawing import plan_svg
from conversions.yards.drawing.legend import legend

from .drawn import (
    AROUND,
    RECTANGLE,
    SVG,
    box_of,
    fills,
    patch,
    read_svg,
    round_patch,
    site,
    sized,
    spread,
    with_first_beds,
    words_in,
)  # fmt: skip

TAP = {"kind": "tap", "x": 2.0, "y": 7.2}
HEAP = {"kind": "heap", "x": 11.0, "y": 3.0, "label": "on the drive"}
SPOUT = {"kind": "downspout", "x": 8.4, "y": 7.0}
ALL = [TAP, HEAP, SPOUT]
WAYS = {
    "screen": {},
    "phone": {"compact": True},
    "paper": {"paper": True},
    "crew sheet": {"paper": True, "bw": True, "setout": True},
    "large print": {"paper": True, "large": True},
}


def marked(*marks, **more):
    return patch(RECTANGLE, AROUND, marks=list(marks), **more)


def drawn(*patches, **look):
    return plan_svg(*sized(with_first_beds(site(*patches))), prefix="a", **look)


@pytest.mark.parametrize("way", WAYS)
def test_each_mark_stands_on_the_sheet_with_its_texture_and_its_words(way):
    svg = drawn(marked(*ALL), **WAYS[way])
    _x, _y, wide, high = box_of(svg)
    for name in ("water", "chip", "hard"):
        left, top, right, bottom = spread(fills(svg, name)[-1])
        assert 0 <= left < right <= wide and 0 <= top < bottom <= high and right - left < 40
    assert {"Tap", "Heap place: on the drive", "Downspout"} <= set(words_in(svg))


def test_the_tip_of_the_triangle_is_the_spot_itself():
    svg = drawn(marked(TAP, {**TAP, "x": 6.0}), paper=True, scale=100)
    tips = [((x1 + x2) / 2, y2) for x1, _y1, x2, y2 in map(spread, fills(svg, "water"))]
    assert tips[1][0] - tips[0][0] == pytest.approx(4 * 40, abs=0.1) and tips[0][1] == tips[1][1]


def test_who_cannot_see_the_drawing_hears_of_the_marks():
    said = read_svg(drawn(marked(*ALL, TAP))).find(f"{SVG}desc").text
    assert said.endswith("Tap: 2. Heap place: 1. Downspout: 1.")


def test_the_letter_shows_no_mark():
    assert drawn(marked(*ALL), few=True) == drawn(marked(), few=True)


def test_a_mark_far_from_the_ground_is_left_out():
    far = {"kind": "heap", "x": 8.6 + 10.1, "y": 3.0}
    assert drawn(marked(far)) == drawn(marked())
    assert "Heap place" in words_in(drawn(marked({**far, "x": 8.6 + 9.9})))


@pytest.mark.parametrize("way", WAYS)
def test_words_of_marks_lie_on_no_other_words(way):
    close = [{"kind": kind, "x": 4.0 + 0.2 * i, "y": 3.5} for i, kind in enumerate(("tap", "heap", "downspout"))]
    svg = drawn(marked(*ALL, *close), **WAYS[way])
    plates = []
    for node in read_svg(svg).iter(f"{SVG}rect"):
        if node.get("stroke-width") == ".9" and node.get("transform") is None:
            x, y, w, h = (float(node.get(key)) for key in ("x", "y", "width", "height"))
            plates.append((x, y, x + w, y + h))
    assert len(plates) >= 5
    for a, b in itertools.combinations(plates, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_label_too_long_for_the_sheet_gives_way_to_the_plain_word():
    words = words_in(drawn(marked({**HEAP, "label": "as far up the drive as the lorry comes " * 4})))
    assert "Heap place" in words


def test_marks_stand_beside_a_circle_and_in_each_of_several_patches():
    svg = drawn(round_patch(marks=[{**TAP, "y": 2.0}]), marked(SPOUT, uid="p2", label="Back"))
    assert {"Tap", "Downspout"} <= set(words_in(svg)) and len(fills(svg, "water")) == 1


@pytest.mark.parametrize("bw", [False, True])
def test_the_key_names_the_marks_that_are_drawn_and_no_others(bw):
    far = {"kind": "downspout", "x": 40.0, "y": 0.0}
    document = site(patch(sizing.rectangle(8, 6), marks=[HEAP, TAP, TAP, far]))
    bare = [key.words for key in legend(*sized(site(patch(sizing.rectangle(8, 6)))), prefix="k", bw=bw)]
    assert [key.words for key in legend(*sized(document), prefix="k", bw=bw)] == [*bare, "Tap", "Heap place"]


def test_in_black_and_white_a_mark_has_no_colour():
    svg = drawn(marked(*ALL), bw=True)
    assert fills(svg, "water") and "#1a5a7e" not in svg and "#d8e8ef" not in svg
