"""Site documents to draw, and what is read back out of a drawing."""

import math
import re
import xml.etree.ElementTree as ET

from hypothesis import strategies as st

from conversions import sizing

EVERY_BEYOND = ("house", "path", "drive", "pavement", "kerb", "garden wall", "fence", "lawn", "bed", "open")
L_SHAPE = sizing.l_shape([5, 2, 3, 4, None, None], ["right", "right", "left", "right", "right", "right"])
RECTANGLE = sizing.rectangle(8.6, 7.1)
AROUND = ("house", "drive", "pavement", "path")
SVG = "{http://www.w3.org/2000/svg}"


def corners(points, beyond):
    return [
        {"id": "ABCDEFGHIJ"[i], "x": x, "y": y, "beyond": beyond[i % len(beyond)], "typed": ""}
        for i, (x, y) in enumerate(points)
    ]


def patch(points, beyond=("open",), uid="p1", label="Front lawn", **more):
    plain = {"uid": uid, "label": label, "zone": "front", "ground_before": "lawn", "shape": "outline", "typed": {}}
    return {**plain, "corners": corners(points, beyond), "circle": None, "features": [], **more}


def round_patch(across=5.0, beyond="lawn", **more):
    around = {"x": across / 2, "y": across / 2, "diameter": across, "beyond": beyond, "typed": ""}
    return patch((), shape="circle", circle=around, **more)


def pocket(uid, x, y, of="p1"):
    return {"uid": uid, "patch": of, "kind": "pocket", "x": x, "y": y, "top_m": 0.4, "bottom_m": 0.2, "height_m": 0.2}


def framed(uid="f1", x=2.0, y=5.0, of="p1", **more):
    sizes = {"length_m": 2.4, "width_m": 1.2, "height_m": 0.2, "board_m": 0.038, "turn_deg": 0.0}
    return {"uid": uid, "patch": of, "kind": "framed", "x": x, "y": y, **sizes, **more}


def mounded(uid="m1", x=4.0, y=2.5, of="p1", **more):
    sizes = {"length_m": 4.0, "width_m": 1.2, "height_m": 0.15, "turn_deg": 0.0, "ends": "round"}
    return {"uid": uid, "patch": of, "kind": "mounded", "x": x, "y": y, **sizes, **more}


def site(*patches, beds=(), **more):
    document = sizing.write_site(sizing.new_site())
    return {**document, "patches": list(patches), "beds": list(beds), **more}


def sized(document):
    """The document and its take-off, as a draft keeps them."""
    return document, sizing.takeoff(sizing.read_site(document)).as_dict()


def with_first_beds(document):
    read = sizing.read_site(document)
    beds = [bed for one in read.patches for bed in sizing.first_layout(read, one.uid)]
    return {**document, "beds": sizing.write_site(sizing.Site(patches=read.patches, beds=tuple(beds)))["beds"]}


def read_svg(svg):
    return ET.fromstring(str(svg))


def box_of(svg):
    return [float(value) for value in read_svg(svg).get("viewBox").split()]


def words_in(svg):
    return [node.text for node in read_svg(svg).iter(f"{SVG}text") if node.get("aria-hidden") is None]


def fills(svg, name):
    """The path data of every shape filled with a texture."""
    return [
        n.get("d")
        for n in read_svg(svg).iter(f"{SVG}path")
        if re.fullmatch(rf"url\(#[\w-]+{name}\)", n.get("fill", ""))
    ]


def points_of(d):
    return [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", d)]


def spread(d):
    """Left, top, right and bottom of a path."""
    xs, ys = zip(*points_of(d), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


# --- any ground at all
LENGTHS = st.floats(0.5, 40).map(lambda value: round(value, 2))
BEYOND = st.lists(st.sampled_from(EVERY_BEYOND), min_size=6, max_size=6)


@st.composite
def grounds(draw):
    kind = draw(st.sampled_from(["rectangle", "L", "triangle", "circle"]))
    beyond, a, b = draw(BEYOND), draw(LENGTHS), draw(LENGTHS)
    if kind == "circle":
        return round_patch(a, beyond[0])
    if kind == "triangle":
        c = round(abs(a - b) + draw(st.floats(0.1, 0.95)) * (a + b - abs(a - b)), 2)
        return patch(sizing.triangle(a, b, c), beyond)
    if kind == "L":
        lengths = [a, b, draw(LENGTHS), draw(LENGTHS), None, None]
        return patch(sizing.l_shape(lengths, ["right", "right", "left", "right", "right", "right"]), beyond)
    return patch(sizing.rectangle(a, b), beyond)


@st.composite
def outlines(draw):
    """A lawn of four to eight corners as somebody draws it, clockwise round a middle, with house walls and open ground."""
    count = draw(st.integers(4, 8))
    points = []
    for i in range(count):
        turn = -2 * math.pi * (i + draw(st.floats(0, 0.8))) / count
        far = draw(st.floats(1, 6))
        points.append((round(6 + far * math.cos(turn), 3), round(6 + far * math.sin(turn), 3)))
    return patch(points, draw(st.lists(st.sampled_from(("house", "drive", "open")), min_size=count, max_size=count)))
