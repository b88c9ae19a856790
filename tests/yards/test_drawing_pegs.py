"""Every peg of the table is seen on the drawing: no plate over it, no other peg over it."""

import re

import pytest
from shapely import affinity
from shapely.geometry import LineString, Point, box
from shapely.ops import unary_union

from conversions import sizing
from conversions.yards.drawing import plan_svg, set_out
from conversions.yards.drawing.marked import CASING

from .drawn import (
    AROUND,
    SVG,
    fills,
    framed,
    mounded,
    patch,
    pocket,
    points_of,
    read_svg,
    site,
    sized,
    spread,
    words_in,
)

GAS = {"kind": "line", "service": "gas", "points": [[6.0, 7.0], [6.0, 0.0]]}
SMALL_L = patch(
    ((0, 7), (5, 7), (5, 4), (9, 4), (9, 0), (0, 0)), ("house", "drive", "pavement", "lawn", "pavement", "path")
)
YARDS = {
    "frame in the corner at the house": site(
        SMALL_L, beds=[mounded(x=3.946, y=2.928, length_m=6.0), framed(x=1.5, y=5.8)]
    ),
    "two frames close to one another": site(
        patch(sizing.rectangle(9, 7), AROUND),
        beds=[framed("f1", 2.0, 5.5), framed("f2", 4.2, 5.5, length_m=1.4), mounded(x=4.0, y=2.0)],
    ),
    "pockets beside gas and fence": site(
        patch(sizing.rectangle(9, 7), ("house", "fence", "pavement", "path"), features=[GAS]),
        beds=[framed(x=2.0, y=5.0), mounded(x=3.0, y=2.0), pocket("a", 8.0, 3.0), pocket("b", 8.0, 2.2)],
    ),
}  # fmt: skip
LOOKS = {
    "crew sheet": {"paper": True, "setout": True, "bw": True},
    "in feet": {"paper": True, "setout": True, "units": "imperial"},
    "on the day": {"compact": True, "setout": True},
}


def plates(svg):
    """The white ground of each plate with its words, turned as it is drawn."""
    nodes, out = list(read_svg(svg)), []
    for node, after in zip(nodes, nodes[1:], strict=False):
        if node.tag == f"{SVG}rect" and after.tag == f"{SVG}text":
            x, y, wide, high = (float(node.get(key)) for key in ("x", "y", "width", "height"))
            shape = box(x, y, x + wide, y + high)
            if turn := re.match(r"rotate\((\S+) (\S+) (\S+)\)", node.get("transform", "")):
                angle, ox, oy = map(float, turn.groups())
                shape = affinity.rotate(shape, angle, origin=(ox, oy))
            out.append((shape, after.text))
    return out


def rings(svg):
    """By its letter or number, the ring of each peg."""
    nodes = list(read_svg(svg))
    circles = [(float(n.get("cx")), float(n.get("cy")), float(n.get("r"))) for n in nodes if n.tag == f"{SVG}circle"]
    out = {}
    for node in nodes:
        if node.tag == f"{SVG}text" and node.get("aria-hidden") is None and node.get("text-anchor") == "middle":
            x, y = float(node.get("x")), float(node.get("y")) - float(node.get("font-size")) * 0.35
            if re.fullmatch(r"[a-z]{1,2}|\d{1,2}", node.text):
                near = [r for cx, cy, r in circles if abs(cx - x) < 0.1 and abs(cy - y) < 0.1]
                out[node.text] = Point(x, y).buffer(min(max(near, default=5.0), 7.0))
    return out


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
@pytest.mark.parametrize("document", YARDS.values(), ids=YARDS)
@pytest.mark.parametrize("scale", [100, 125, 200])
def test_every_peg_of_the_table_is_seen_and_lies_under_no_plate(document, look, scale):
    document, takeoff = sized(document)
    svg = plan_svg(document, takeoff, prefix="a", scale=scale, width_mm=112, **look)
    found = rings(svg)
    for row in set_out(document, takeoff):
        assert row.mark in found, row.mark
        for plate, words in plates(svg):
            assert plate.intersection(found[row.mark]).area < 0.02 * found[row.mark].area, (row.mark, words)
        for mark, other in found.items():
            hidden = 0 if mark == row.mark else other.intersection(found[row.mark]).area
            assert hidden < 0.05 * other.area, (row.mark, mark)


@pytest.mark.parametrize("look", [{"compact": True}, {"paper": True, "large": True, "scale": 100}])
def test_the_words_of_pockets_beside_a_bed_lie_neither_on_it_nor_on_its_words(look):
    beds = [framed(x=2.0, y=4.0), mounded(x=2.6, y=1.8), pocket("a", 4.0, 4.2), pocket("b", 4.4, 3.6)]
    document, takeoff = sized(site(patch(sizing.rectangle(6.7, 5), AROUND), beds=beds))
    svg = plan_svg(document, takeoff, prefix="a", **look)
    assert any("planting pockets" in words for words in words_in(svg))
    shapes = [box(*spread(d)) for d in (*fills(svg, "timber"), *fills(svg, "compost")[:1])]
    for plate, words in plates(svg):
        others = [other for other, said in plates(svg) if said != words]
        assert "pockets" not in words or not any(plate.intersects(one) for one in (*shapes, *others))


@pytest.mark.parametrize(
    "look", [{"compact": True}, {"paper": True, "scale": 200}, {"paper": True, "large": True, "scale": 200}]
)
def test_no_word_but_its_own_lies_on_a_marked_line(look):
    """A mark and a tree close to the line: where beside them is no room their words stand below the drawing."""
    tree = {"kind": "tree", "x": 5.0, "y": 5.0, "trunk_m": 0.1}
    marks = [{"kind": "heap", "x": 5.2, "y": 1.0, "label": "beside the drive, not on it"}]
    ground = patch(sizing.rectangle(9, 7), AROUND, features=[GAS, tree], marks=marks)
    svg = plan_svg(*sized(site(ground)), prefix="a", **look)
    course = [read.get("d") for read in read_svg(svg).iter(f"{SVG}path") if read.get("stroke-width") == "8.2"]
    line = LineString(points_of(course[0])).buffer(CASING / 2)
    for plate, words in plates(svg):
        assert words in ("GAS", "hand tools only") or not plate.intersects(line), words
    assert any("tree" in words for words in words_in(svg)) and any("Heap place" in words for words in words_in(svg))


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_the_words_of_pockets_lie_over_no_band_and_no_length(look):
    """Of two pockets between gas and fence; with the words on a free spot, or in the line below the drawing."""
    document, takeoff = sized(YARDS["pockets beside gas and fence"])
    svg = plan_svg(document, takeoff, prefix="a", scale=125, width_mm=112, **look)
    assert any("planting pockets" in words for words in words_in(svg))
    lines = [path.get("d") for path in read_svg(svg).iter(f"{SVG}path") if path.get("stroke-dasharray") == "2 3"]
    band = unary_union(
        [
            LineString([tuple(map(float, at.split())) for at in re.split("[ML]", d.rstrip("Z"))[1:]]).convex_hull
            for d in lines
        ]
    )
    lengths = [
        box(float(n.get("x")) - 14, float(n.get("y")) - 5, float(n.get("x")) + 14, float(n.get("y")) + 1)
        for n in read_svg(svg).iter(f"{SVG}text")
        if n.get("font-weight") == "700" and re.search(r"[\d½] (m|ft|in)$", n.text or "") and not n.get("transform")
    ]
    assert band.area > 0 and lengths
    for plate, words in plates(svg):
        if "pocket" in words:
            assert plate.intersection(band).area < 1 and not any(plate.intersects(one) for one in lengths)
