"""The plan: true to scale, safe to embed, nothing outside its sheet, for any shape of ground."""

import re

import pytest
from django.utils import translation
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from conversions import sizing
from conversions.yards.drawing import plan_svg, scale_of, section_svg, set_out
from conversions.yards.drawing.beyond import bands
from conversions.yards.drawing.frame import Frame, bounds_m, footprint_m, outline_m

from .drawn import (
    AROUND,
    EVERY_BEYOND,
    L_SHAPE,
    RECTANGLE,
    SVG,
    box_of,
    fills,
    framed,
    grounds,
    mounded,
    outlines,
    patch,
    pocket,
    read_svg,
    round_patch,
    site,
    sized,
    spread,
    with_first_beds,
    words_in,
)  # fmt: skip

GROUNDS = {
    "rectangle": patch(RECTANGLE, AROUND),
    "L": patch(L_SHAPE, ("house", "house", "garden wall", "fence", "kerb", "lawn")),
    "triangle": patch(sizing.triangle(7, 6, 8), ("house", "pavement", "path")),
    "trapezium": patch(sizing.trapezium(9, 6, 5, 1), ("fence", "drive", "kerb", "bed")),
    "circle": round_patch(),
    "circle on a path": round_patch(beyond="path"),
    "one metre": patch(sizing.rectangle(1, 1), ("lawn", "path", "open", "open")),
    "long strip": patch(sizing.rectangle(30, 2), ("path", "open", "kerb", "open")),
    "tall strip": patch(sizing.rectangle(2, 30), ("house", "open", "kerb", "fence")),
    "tree and gas": patch(
        sizing.rectangle(9, 7), AROUND, label="Front", features=[
            {"kind": "tree", "x": 7.5, "y": 5.0, "trunk_m": 0.26},
            {"kind": "line", "service": "gas", "points": [[6.0, 7.0], [6.0, 0.0]]},
            {"kind": "hole", "points": [[0.5, 0.5], [1.5, 0.5], [1.0, 1.5]], "label": "pond", "beyond": "open"},
        ]
    ),
}  # fmt: skip
WAYS = {
    "screen": {},
    "phone": {"compact": True},
    "letter": {"few": True},
    "paper": {"paper": True},
    "crew sheet": {"paper": True, "bw": True, "setout": True},
    "imperial": {"units": "imperial", "setout": True},
}


def settled(ground):
    return sized(with_first_beds(site(ground)))


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("name", GROUNDS)
def test_any_ground_is_a_sound_drawing_in_every_way_of_drawing_it(name, way):
    svg = plan_svg(*settled(GROUNDS[name]), prefix="a", **WAYS[way])
    root = read_svg(svg)
    assert root.tag == f"{SVG}svg" and root.get("role") == "img"
    assert root[0].tag == f"{SVG}title" and root[0].text
    assert " style=" not in svg and "<script" not in svg and "NaN" not in svg and "inf" not in svg.replace("info", "")
    ids = re.findall(r' id="([^"]+)"', svg)
    assert len(ids) == len(set(ids)) and set(re.findall(r"url\(#([^)]+)\)", svg)) == set(ids)
    left, top, width, height = box_of(svg)
    for node in root.iter(f"{SVG}path"):
        if node.get("fill", "").startswith("url(#"):
            x1, y1, x2, y2 = spread(node.get("d"))
            assert left <= x1 and top <= y1 and x2 <= width + 0.01 and y2 <= height + 0.01


@pytest.mark.parametrize("name", GROUNDS)
def test_a_drawing_comes_out_the_same_every_time(name):
    document, takeoff = settled(GROUNDS[name])
    assert plan_svg(document, takeoff, prefix="a") == plan_svg(document, takeoff, prefix="a")
    assert section_svg(document, takeoff, prefix="a") == section_svg(document, takeoff, prefix="a")


# --- scale ----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("scale", "mm"), [(50, 200), (100, 100), (200, 50), (500, 20)])
def test_ten_metres_are_true_on_paper_at_every_scale(scale, mm):
    svg = plan_svg(*sized(site(patch(sizing.rectangle(10, 4)))), prefix="a", paper=True, scale=scale)
    root = read_svg(svg)
    mm_per_unit = float(root.get("width").removesuffix("mm")) / box_of(svg)[2]
    assert float(root.get("height").removesuffix("mm")) / box_of(svg)[3] == pytest.approx(mm_per_unit, rel=1e-3)
    x1, y1, x2, y2 = spread(fills(svg, "chip")[0])
    assert (x2 - x1) * mm_per_unit == pytest.approx(mm, abs=0.02)
    assert (y2 - y1) * mm_per_unit == pytest.approx(mm * 0.4, abs=0.02)


def test_up_in_the_document_is_up_on_the_sheet():
    document = site(patch(RECTANGLE, AROUND), beds=[framed(y=5.5), mounded(y=1.5)])
    svg = plan_svg(*sized(document), prefix="a")
    beds = sorted(spread(d) for d in fills(svg, "compost"))
    words = read_svg(svg).findall(f".//{SVG}text")
    at = {word.text: float(word.get("y")) for word in words}
    assert at["HOUSE"] < at["framed bed 2.6 m²"] < at["mounded bed 4.5 m²"] < at["PAVEMENT"]
    assert len(beds) == 2


def test_the_largest_scale_that_fits_the_box_is_taken():
    small, middle, large = (site(patch(sizing.rectangle(side, side))) for side in (1.5, 8.6, 20))
    assert [scale_of(one, 180, 150) for one in (small, middle, large)] == [50, 100, 200]
    assert scale_of(site(patch(sizing.rectangle(55, 40))), 180, 150) == 500
    assert scale_of(middle, (80, 80)) == 200


def test_a_plan_on_paper_keeps_to_the_width_it_is_given():
    two = site(patch(sizing.rectangle(6, 4)), patch(sizing.rectangle(6, 4), uid="p2", label="Back"))
    for width in (180, 110, 90):
        svg = plan_svg(*sized(two), prefix="a", paper=True, width_mm=width)
        assert float(read_svg(svg).get("width").removesuffix("mm")) <= width


def test_a_screen_drawing_has_no_fixed_size():
    svg = plan_svg(*settled(GROUNDS["rectangle"]), prefix="a")
    assert read_svg(svg).get("width") is None and box_of(svg)[2] == 640
    assert box_of(plan_svg(*settled(GROUNDS["rectangle"]), prefix="a", compact=True))[2] == 360


# --- words ----------------------------------------------------------------------------------------------------------
def test_lengths_letters_and_what_lies_beyond_are_written():
    words = words_in(plan_svg(*settled(GROUNDS["rectangle"]), prefix="a"))
    assert [words.count(length) for length in ("8.60 m", "7.10 m")] == [2, 2]
    assert {"A", "B", "C", "D", "HOUSE", "DRIVE", "PAVEMENT", "PATH"} <= set(words)
    assert "kept clear 300 mm" in words and "chips 90 mm" in words


def test_lengths_are_in_the_units_of_the_group():
    words = words_in(plan_svg(*settled(GROUNDS["rectangle"]), prefix="a", units="imperial"))
    assert words.count("28 ft 2½ in") == 2 and "8.60 m" not in words
    assert any(word.startswith("kept clear 1 ft") for word in words)


def test_the_letter_shows_big_labels_only():
    words = words_in(plan_svg(*settled(GROUNDS["rectangle"]), prefix="a", few=True))
    assert {"long bed", "frame", "HOUSE"} <= set(words)
    assert not [word for word in words if word.endswith(" m") or word == "A"]


@pytest.mark.parametrize("name", GROUNDS)
def test_the_letters_plan_fits_62_by_52_mm_with_letters_of_two_and_a_half_mm_or_more(name):
    svg = plan_svg(*settled(GROUNDS[name]), prefix="a", few=True)
    width, height = box_of(svg)[-2:]
    assert height * 62 / width <= 52.5
    sizes = [float(node.get("font-size")) for node in read_svg(svg).iter(f"{SVG}text")]
    assert min(sizes) * 62 / width >= 2.5


@pytest.mark.parametrize("name", GROUNDS)
def test_the_letters_plan_needs_no_key(name):
    second = {**GROUNDS["L"], "uid": "p2", "label": "Back"}
    for document in (with_first_beds(site(GROUNDS[name])), with_first_beds(site(GROUNDS[name], second))):
        svg = plan_svg(*sized(document), prefix="a", few=True)
        assert not [word for word in words_in(svg) if set(word.partition(" ")[0]) <= set("iv")]


def test_letters_on_paper_are_first_looked_for_in_the_face_that_comes_with_us():
    svg = plan_svg(*settled(GROUNDS["rectangle"]), prefix="a", paper=True)
    faces = {node.get("font-family").split(",")[0].strip("'") for node in read_svg(svg).iter(f"{SVG}text")}
    assert faces == {"Charis SIL", "Open Sans"}


@pytest.mark.parametrize("way", ["screen", "paper"])
def test_words_do_not_lie_on_one_another(way):
    pockets = [pocket(f"k{i}", 0.8 + i, 0.9) for i in range(4)]
    document = with_first_beds(site(patch(RECTANGLE, AROUND), north_deg=10))
    document["beds"] += pockets
    svg = plan_svg(*sized(document), prefix="a", **WAYS[way])
    plates = []
    for node in read_svg(svg).iter(f"{SVG}rect"):
        if node.get("stroke-width") == ".9" and node.get("transform") is None:
            x, y, w, h = (float(node.get(key)) for key in ("x", "y", "width", "height"))
            plates.append((x, y, x + w, y + h))
    assert len(plates) >= 4
    for i, a in enumerate(plates):
        for b in plates[i + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_what_people_typed_cannot_become_markup():
    nasty = '"><script>alert(1)</script>&'
    one = patch(RECTANGLE, AROUND, label=nasty, features=[
        {"kind": "line", "service": nasty, "points": [[6.0, 7.0], [6.0, 0.0]]},
        {"kind": "tree", "x": 7.5, "y": 5.0, "trunk_m": 0.26, "label": nasty},
    ])  # fmt: skip
    two = patch(sizing.rectangle(3, 3), uid='p"2', label="Back")
    document = site(one, two, mulch={"material": nasty, "depth_m": 0.09})
    for svg in (
        plan_svg(document, {}, prefix='x" onload="y'),
        plan_svg(document, {}, prefix="a", title=nasty),
        section_svg(document, {}, prefix="a"),
    ):
        assert "<script" not in svg and "onload=" not in svg
        assert "alert(1)" in " ".join(node.text or "" for node in read_svg(svg).iter())


def test_words_follow_the_reader_s_language():
    with translation.override("de"):
        svg = plan_svg(*settled(GROUNDS["rectangle"]), prefix="a")
    assert "8,60 m" in words_in(svg)
    assert all("," not in d for d in re.findall(r' d="([^"]+)"', svg))


# --- beds, sides, patches -------------------------------------------------------------------------------------------
def test_every_bed_is_drawn_where_it_lies():
    document = site(patch(RECTANGLE, AROUND), beds=[framed(), mounded(), pocket("k1", 7, 5), pocket("k2", 7, 6)])
    svg = plan_svg(*sized(document), prefix="a", paper=True, scale=100)
    drawn = sorted((spread(d) for d in fills(svg, "compost")), key=lambda box: box[0])
    assert len(drawn) == 4
    widths = sorted(round((box[2] - box[0]) * 0.25, 1) for box in drawn)
    assert widths[:2] == [4.0, 4.0] and widths[3] == 40.0  # mm at 1:100: pockets 0.4 m, mound 4.0 m
    assert 22 <= widths[2] <= 24  # the frame's inside; boards are drawn at least a millimetre thick


def test_a_bed_laid_outside_its_patch_is_still_on_the_sheet():
    document = site(patch(sizing.rectangle(3, 3)), beds=[framed(x=12, y=-4)])
    svg = plan_svg(document, {}, prefix="a")
    x1, y1, x2, y2 = spread(fills(svg, "timber")[0])
    assert x1 >= 0 and y1 >= 0 and x2 <= box_of(svg)[2] and y2 <= box_of(svg)[3]


def test_a_bed_too_small_for_words_is_named_under_the_drawing():
    document = site(patch(sizing.rectangle(55, 40)), beds=[framed(x=20, y=20), mounded(x=30, y=20)])
    words = words_in(plan_svg(*sized(document), prefix="a", compact=True))
    assert {"i", "ii"} <= set(words)
    assert "i  framed bed" in words and "ii  mounded bed" in words


def test_a_curved_bed_follows_its_line():
    curve = {
        "uid": "m1",
        "patch": "p1",
        "kind": "mounded",
        "path": [[2, 2], [4, 4], [6, 2]],
        "width_m": 1.0,
        "height_m": 0.15,
    }
    document, takeoff = sized(site(patch(RECTANGLE, AROUND), beds=[curve]))
    svg = plan_svg(document, takeoff, prefix="a", paper=True, scale=100)
    x1, _y1, x2, _y2 = spread(fills(svg, "compost")[0])
    assert (x2 - x1) * 0.25 == pytest.approx(50, abs=0.1)
    assert [row.mark for row in set_out(document, takeoff)] == ["a", "b", "c"]


def test_trench_is_drawn_only_where_the_take_off_has_it():
    document, takeoff = settled(GROUNDS["rectangle"])
    lines = re.compile(r'stroke="#1d1a14" stroke-width="4.4"')
    assert len(lines.findall(plan_svg(document, takeoff, prefix="a"))) == 3
    assert not lines.findall(plan_svg(*settled(patch(RECTANGLE, ("house", "lawn", "fence", "open"))), prefix="a"))
    assert not lines.findall(plan_svg(document, {}, prefix="a"))


def test_an_unsized_plan_shows_lawn_and_no_chips():
    svg = plan_svg(site(patch(RECTANGLE, AROUND)), None, prefix="a")
    assert fills(svg, "lawn") and not fills(svg, "chip")


def test_the_side_being_walked_is_lit_and_the_others_wait():
    svg = plan_svg(*settled(GROUNDS["rectangle"]), prefix="a", walked=("p1", "B"))
    sides = {g.get("data-side"): g.get("display") for g in read_svg(svg).iter(f"{SVG}g") if g.get("class") == "walked"}
    assert sides == {"A": "none", "B": None, "C": "none", "D": "none"}
    assert 'class="walked"' not in plan_svg(*settled(GROUNDS["rectangle"]), prefix="a", paper=True)


def test_patches_stand_side_by_side_with_their_names():
    two = site(
        patch(sizing.rectangle(6, 4), label="Left & right"), patch(sizing.rectangle(3, 5), uid="p2", label="Back")
    )
    svg = plan_svg(*sized(two), prefix="a")
    (a, b) = sorted(spread(d) for d in fills(svg, "chip"))
    assert a[2] < b[0]
    assert (a[2] - a[0]) / (b[2] - b[0]) == pytest.approx(2, rel=0.01)  # one scale for both
    assert {"Left & right", "Back"} <= set(words_in(svg))
    one = plan_svg(*sized(two), prefix="a", patch="p2")
    assert len(fills(one, "chip")) == 1 and "Left & right" not in words_in(one)


def test_north_is_drawn_only_where_it_is_known():
    known, unknown = (site(patch(RECTANGLE), north_deg=north) for north in (0, None))
    assert "N" in words_in(plan_svg(*sized(known), prefix="a"))
    assert "N" not in words_in(plan_svg(*sized(unknown), prefix="a"))


def test_nothing_measured_yet_is_said():
    assert words_in(plan_svg(site(), {}, prefix="a")) == ["Nothing measured yet"]
    assert scale_of(site()) == 50


@pytest.mark.parametrize(
    "points", [[(0, 0), (4, 0), (8, 0)], [(0, 0), (4, 4), (4, 0), (0, 4)], [(1, 1), (1, 1), (1, 1)]]
)
def test_an_outline_that_makes_no_sense_yet_is_still_a_drawing(points):
    document = site(patch(points, AROUND), beds=[framed()])
    for svg in (plan_svg(document, {}, prefix="a", setout=True), section_svg(document, {}, prefix="a")):
        assert read_svg(svg).get("viewBox") and "nan" not in svg
    assert len(set_out(document)) == 4


def test_black_and_white_has_no_colour():
    ground = GROUNDS["tree and gas"]
    document, takeoff = settled(
        {
            **ground,
            "corners": [
                {**c, "beyond": b} for c, b in zip(ground["corners"], ("house", "fence", "kerb", "bed"), strict=True)
            ],
        }
    )
    for svg in (
        plan_svg(document, takeoff, prefix="a", paper=True, bw=True, setout=True),
        section_svg(document, takeoff, prefix="a", paper=True, bw=True),
    ):
        for colour in set(re.findall(r"#([0-9a-f]{6})\b", svg)):
            red, green, blue = (int(colour[i : i + 2], 16) for i in (0, 2, 4))
            assert max(red, green, blue) - min(red, green, blue) <= 24, colour


@pytest.mark.parametrize("beyond", EVERY_BEYOND)
def test_every_kind_of_ground_beyond_a_side_can_be_drawn(beyond):
    for ground in (patch(L_SHAPE, (beyond,)), round_patch(beyond=beyond)):
        words = words_in(plan_svg(*settled(ground), prefix="a"))
        named = [word for word in words if word.isupper() and len(word) > 2]
        assert bool(named) is (beyond != "open")


# --- any ground at all ----------------------------------------------------------------------------------------------
@given(ground=grounds(), way=st.sampled_from(sorted(WAYS)))
@settings(max_examples=60, deadline=None, database=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
def test_random_ground_is_drawn_inside_its_sheet(ground, way):
    x1, y1, x2, y2 = outline_m(ground).bounds
    bed = pocket("k1", round((x1 + x2) / 2, 3), round((y1 + y2) / 2, 3))
    document = site(ground, beds=[bed])
    svg = plan_svg(document, {}, prefix="a", **WAYS[way])
    left, top, width, height = box_of(svg)
    for name in ("compost", "lawn"):
        for d in fills(svg, name):
            a, b, c, e = spread(d)
            assert left <= a <= c <= width + 0.01 and top <= b <= e <= height + 0.01
    assert fills(svg, "compost")


def test_a_strip_so_narrow_that_it_touches_itself_is_drawn():
    """Rounded to a millimetre, what is kept along the walls of this lawn is no simple ring any more."""
    points = [(3.531, 0), (2.57, 2.344), (2.343, 2.972), (0, 4.482), (1.566, 8.144)]
    document = site(patch(points, ("house", "drive", "house", "house", "path")))
    assert fills(plan_svg(*sized(document), prefix="a"), "chip")


@given(ground=outlines())
@settings(max_examples=60, deadline=None, database=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
def test_whatever_the_engine_can_size_is_drawn(ground):
    try:
        document, takeoff = sized(site(ground))
    except sizing.SiteError:
        return
    assert fills(plan_svg(document, takeoff, prefix="a"), "chip")


@given(ground=grounds())
@settings(max_examples=60, deadline=None, database=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
def test_bands_lie_outside_the_lawn_and_never_over_one_another(ground):
    frame = Frame(ground, 50, 50, 40, bounds_m(site(ground), ground), 40)
    found = [shape for _side, shape in bands(frame)]
    for i, shape in enumerate(found):
        assert shape.intersection(frame.ground).area < 0.5
        assert all(shape.intersection(other).area < 0.5 for other in found[i + 1 :])


def test_the_footprint_drawn_is_the_footprint_sized():
    document = site(
        patch(sizing.rectangle(14, 10)),
        beds=[
            framed(turn_deg=30, x=3, y=8),
            mounded(turn_deg=-20),
            mounded("m2", x=10, y=5, ends="square"),
            pocket("k1", 7, 8),
        ],
    )
    _, takeoff = sized(document)
    for bed in document["beds"]:
        drawn, counted = footprint_m(bed), takeoff["beds"][bed["uid"]]["outline"]
        assert max(abs(a - b) for a, b in zip(drawn.bounds, (
            min(x for x, _ in counted), min(y for _, y in counted), max(x for x, _ in counted), max(y for _, y in counted)
        ), strict=True)) < 0.01  # fmt: skip


def test_the_crest_of_a_mound_lies_where_the_groups_own_slope_ends():
    """A mound 0.15 m high at 45 degrees is flat 0.15 m from its edge; at 30 degrees 0.26 m from it."""
    runs = {}
    for degrees in (30, 45):
        document, takeoff = sized(site(patch(RECTANGLE), beds=[mounded()], own={"repose": degrees}))
        svg = plan_svg(document, takeoff, prefix="a", paper=True, scale=100)
        ((left, *_rest),) = [spread(d) for d in fills(svg, "compost")]
        (crest,) = [n.get("d") for n in read_svg(svg).iter(f"{SVG}path") if n.get("stroke-dasharray") == "5 3"]
        runs[degrees] = (spread(crest)[0] - left) / 40  # at 1:100 a metre is 40 units
    assert runs[45] == pytest.approx(0.15, abs=0.01) and runs[30] == pytest.approx(0.26, abs=0.01)


def test_the_scale_bar_is_round_in_the_units_of_the_group():
    document, takeoff = sized(site(patch(RECTANGLE)))
    metric, feet = (plan_svg(document, takeoff, prefix="a", units=units) for units in ("metric", "imperial"))
    assert "5 m" in words_in(metric) and "15 ft" in words_in(feet)
    assert not any(re.search(r"\d m\b", words or "") for words in words_in(feet))
