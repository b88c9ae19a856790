"""Laws that hold for any site: scaling, turning, moving, splitting; and that nothing hangs however absurd."""

import math
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from conversions.sizing import SiteError, check, read_site, takeoff, write_site
from conversions.sizing.sitefile import MOST

from .yards import document, patch, plain, site, worked

BEYOND = ["path", "fence", "kerb", "open", "lawn", "garden wall"]
TURNS = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}


@st.composite
def outlines(draw):
    """A simple outline of 3 to 9 corners, clockwise, with what lies beyond each side."""
    count = draw(st.integers(3, 9))
    radii = [draw(st.floats(2, 9)) for _ in range(count)]
    points = [
        (round(r * math.cos(-2 * math.pi * n / count), 2), round(r * math.sin(-2 * math.pi * n / count), 2))
        for n, r in enumerate(radii)
    ]
    return points, [draw(st.sampled_from(BEYOND)) for _ in points]


def figures(points, beyond, **more):
    return takeoff(site(patch(points, beyond), **more)).figures


@settings(max_examples=25)
@given(outlines(), st.sampled_from([2, 3]))
def test_scaling_by_k_scales_lengths_by_k_and_areas_by_k_squared(ground, k):
    points, beyond = ground
    one, two = figures(points, beyond), figures([(x * k, y * k) for x, y in points], beyond)
    assert two["trench"].value == pytest.approx(one["trench"].value * k, abs=0.02 * k)
    assert two["measured"].value == pytest.approx(one["measured"].value * k * k, abs=0.01 * k * k)


@settings(max_examples=25)
@given(outlines(), st.sampled_from([90, 180, 270]), st.integers(-40, 40), st.integers(-40, 40))
def test_quarter_turns_and_moves_change_nothing(ground, turn, dx, dy):
    points, beyond = ground
    cos, sin = TURNS[turn]
    moved = [(round(x * cos - y * sin + dx, 3), round(x * sin + y * cos + dy, 3)) for x, y in points]
    one, two = figures(points, beyond), figures(moved, beyond)
    for key in ("measured", "cover", "trench", "cardboard", "chips_in_place"):
        assert two[key].value == pytest.approx(one[key].value, abs=0.0051), key


@settings(max_examples=25)
@given(outlines())
def test_any_outline_is_covered_by_its_sheets(ground):
    row = takeoff(site(patch(*ground))).patches["front"]
    bare = Polygon(row.outline[0])
    for ring in row.cardboard.rectangles:
        bare = bare.difference(Polygon(ring).buffer(2e-3))
    assert bare.area == pytest.approx(0, abs=1e-4)


@settings(max_examples=25)
@given(outlines(), st.integers(1, 6))
def test_a_layer_more_never_takes_less(ground, layers):
    one = figures(*ground, cardboard={"layers": layers})
    two = figures(*ground, cardboard={"layers": layers + 1})
    assert two["cardboard"].value > one["cardboard"].value
    assert two["hours"].value >= one["hours"].value


@pytest.mark.parametrize("name", ["plain_front", "l_front", "curved_back", "accessible"])
def test_a_worked_yard_is_written_as_it_was_read_and_is_sound(name):
    original, _ = worked(name)
    one = read_site(original)
    assert write_site(one) == original
    assert check(one) == ()


@pytest.mark.parametrize(
    "change",
    [
        {"cardboard": {"sheet_m": [0.2, 0.2], "lap_m": 0.199}},
        {"cardboard": {"layers": 20}},
        {"mulch": {"depth_m": 90000}},
        {"slope": 9, "gate_m": 0.001, "haul_m": 90000},
    ],
)
def test_no_choice_makes_it_hang(change):
    start = time.monotonic()
    takeoff(plain(30, 20, **change))
    assert time.monotonic() - start < 5


@pytest.mark.parametrize("size", [(400, 400), (99_000, 99_000), (99_000, 1), (0.4, 0.3)])
def test_no_size_makes_it_hang(size):
    start = time.monotonic()
    result = takeoff(plain(*size, beyond=["path"] * 4))
    assert result.figures["cardboard"].value > 0
    assert time.monotonic() - start < 5
    if size[1] > 100:
        row = result.patches["front"].cardboard
        assert row.is_estimated and row.rectangles == ()
        assert [problem.code for problem in result.warnings] == ["absurd-side"] * 4


def test_a_ground_with_hundreds_of_corners_is_sized_and_more_is_refused():
    def ring(count):
        return [(9 * math.cos(-2 * math.pi * n / count), 9 * math.sin(-2 * math.pi * n / count)) for n in range(count)]

    def rows(count):
        return [{"id": f"C{n}", "x": x, "y": y, "beyond": "path"} for n, (x, y) in enumerate(ring(count))]

    start = time.monotonic()
    base = {"uid": "front", "label": "Front", "shape": "outline"}
    result = takeoff(read_site(document({**base, "corners": rows(MOST)})))
    assert result.figures["measured"].value == pytest.approx(math.pi * 81, abs=0.1)
    assert time.monotonic() - start < 5
    with pytest.raises(SiteError) as caught:
        read_site(document({**base, "corners": rows(MOST + 1)}))
    assert [problem.code for problem in caught.value.problems] == ["too-many"]
