"""The key of the plan: what is on it and nothing else, and in black and white no colour."""

import re

from conversions import sizing
from conversions.yards.drawing.legend import legend

from .drawn import AROUND, SVG, framed, mounded, patch, pocket, read_svg, site, sized


def words(document, takeoff=None, **look):
    return [key.words for key in legend(document, takeoff, prefix="k", **look)]


def with_features(*features):
    return patch(sizing.rectangle(8, 6), AROUND, features=list(features))


GAS = {"kind": "line", "service": "gas", "points": [[1.0, 0.0], [1.0, 6.0]]}
WATER = {"kind": "line", "service": "water", "points": [[2.5, 0.0], [2.5, 6.0]]}
TREE = {"kind": "tree", "x": 6.5, "y": 2.0, "trunk_m": 0.1}


def test_only_what_is_on_the_plan_is_in_its_key():
    bare = words(*sized(site(patch(sizing.rectangle(8, 6), ("open",)))))
    assert bare == ["chips on cardboard"]
    full = words(*sized(site(patch(sizing.rectangle(8, 6), AROUND), beds=[framed(y=4), mounded(), pocket("k1", 7, 5)])))
    assert full == [
        "chips on cardboard",
        "left as it is",
        "edge trench, its ticks into the lawn",
        "mounded bed; dashed: where its flat top begins",
        "framed bed",
        "planting pocket",
        "peg",
        "the two tapes, to the first peg of each bed",
    ]


def test_ground_not_worked_out_yet_is_lawn():
    assert words(site(patch(sizing.rectangle(8, 6)))) == ["lawn, nothing worked out yet"]
    assert words(site()) == []


def test_each_service_is_keyed_by_its_colour_and_once():
    document = site(with_features(GAS, WATER, {**GAS, "points": [[4.0, 0.0], [4.0, 6.0]]}, TREE))
    said = words(*sized(document))
    assert "ring of a tree: no digging" in said and "beside a marked line: hand tools only, no trench, no bed" in said
    assert said.count("Gas") == 1 and said.count("Water") == 1


def test_without_colour_the_key_sends_to_the_word_on_the_line():
    keys = legend(*sized(site(with_features(GAS, WATER, TREE), beds=[framed(x=6, y=5)])), prefix="k", bw=True)
    said = [key.words for key in keys]
    assert "marked line: the word on it says what runs there" in said and "Gas" not in said
    for key in keys:
        for colour in set(re.findall(r"#([0-9a-f]{6})\b", key.svg)):
            red, green, blue = (int(colour[i : i + 2], 16) for i in (0, 2, 4))
            assert max(red, green, blue) - min(red, green, blue) <= 24, (key.words, colour)


def test_every_sample_is_a_drawing_of_nine_millimetres_with_ids_of_its_own():
    keys = legend(*sized(site(with_features(GAS, TREE), beds=[framed(x=6, y=5), pocket("k1", 7, 4)])), prefix="k")
    drawn = [read_svg(key.svg) for key in keys]
    assert all(node.get("width") == "9mm" and node.find(f"{SVG}title").text for node in drawn)
    ids = [name for key in keys for name in re.findall(r' id="([^"]+)"', key.svg)]
    assert len(ids) == len(set(ids))
