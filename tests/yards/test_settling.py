"""What holds of a drawing once its corners were moved by hand."""

import copy

from hypothesis import given
from hypothesis import strategies as st

from conversions import sizing
from conversions.yards import settling, sketch
from tests.rows import make_site, rectangle


def drawn(*points, beds=()):
    site = make_site(rectangle("9", "6"), beds=False)
    before = copy.deepcopy(site)
    names = "ABCDEFGH"
    site["patches"][0]["corners"] = [
        {"id": names[n], "x": x, "y": y, "beyond": "open", "typed": ""} for n, (x, y) in enumerate(points)
    ]
    site["beds"] = [{**bed, "patch": site["patches"][0]["uid"]} for bed in beds]
    return site, before


def test_an_outline_begins_at_its_own_lower_left_and_what_stands_on_it_moves_along():
    bed = {"uid": "b", "kind": "pocket", "x": 3.0, "y": 3.0, "top_m": 0.4, "bottom_m": 0.2, "height_m": 0.2}
    curved = {"uid": "c", "kind": "mounded", "path": [[2, 2], [4, 2]], "width_m": 1.0, "height_m": 0.15}
    site, before = drawn((1, 8), (7, 8), (7, 2), (1, 2), beds=[bed, curved])
    site["patches"][0]["features"] = [{"kind": "line", "service": "gas", "points": [[1, 2], [7, 8]]}]
    site["patches"][0]["marks"] = [{"kind": "tap", "x": 0.5, "y": 8.0}]
    out = settling.settled(site, before)
    patch = out["patches"][0]
    assert [(c["x"], c["y"]) for c in patch["corners"]] == [(0, 6), (6, 6), (6, 0), (0, 0)]
    assert (out["beds"][0]["x"], out["beds"][0]["y"]) == (2, 1)
    assert out["beds"][1]["path"] == [[1, 0], [3, 0]] and (out["beds"][1]["x"], out["beds"][1]["y"]) == (2, 0)
    assert patch["features"][0]["points"] == [[0, 0], [6, 6]]
    assert (patch["marks"][0]["x"], patch["marks"][0]["y"]) == (-0.5, 6)


def test_corners_drawn_anticlockwise_run_clockwise_and_each_side_keeps_what_lies_beyond():
    site, before = drawn((0, 0), (6, 0), (6, 4), (0, 4))
    for corner, beyond in zip(site["patches"][0]["corners"], ("kerb", "drive", "house", "fence"), strict=True):
        corner["beyond"] = beyond
    patch = settling.settled(site, before)["patches"][0]
    sides = {
        frozenset([(a["x"], a["y"]), (b["x"], b["y"])]): a["beyond"]
        for a, b in zip(patch["corners"], patch["corners"][1:] + patch["corners"][:1], strict=True)
    }
    assert sides == {
        frozenset([(0, 0), (6, 0)]): "kerb",
        frozenset([(6, 0), (6, 4)]): "drive",
        frozenset([(6, 4), (0, 4)]): "house",
        frozenset([(0, 4), (0, 0)]): "fence",
    }
    assert sizing.takeoff(sizing.read_site({"schema": 1, "patches": [patch]})).figures["measured"].value == 24.0


def test_a_side_neither_of_whose_ends_moved_keeps_the_length_as_it_was_typed():
    site = make_site(rectangle("9", "6"), beds=False)
    before = copy.deepcopy(site)
    site["patches"][0]["corners"][1]["x"] = 8.0
    patch = settling.settled(site, before)["patches"][0]
    assert [corner["typed"] for corner in patch["corners"]] == ["", "", "9", "6"]
    assert patch["typed"] == {}


def test_a_side_that_runs_past_a_corner_taken_off_has_no_typed_length():
    site = make_site(rectangle("9", "6"), beds=False)
    before = copy.deepcopy(site)
    del site["patches"][0]["corners"][1]
    patch = settling.settled(site, before)["patches"][0]
    assert [(corner["id"], corner["typed"]) for corner in patch["corners"]] == [("A", ""), ("C", "9"), ("D", "6")]


def test_what_was_measured_across_stays_when_a_corner_moves():
    site = make_site(rectangle("9", "6"), beds=False)
    site["patches"][0]["typed"]["measured"] = [{"from": "A", "to": "C", "tape_m": 10.8}]
    before = copy.deepcopy(site)
    site["patches"][0]["corners"][1]["x"] = 8.0
    assert settling.settled(site, before)["patches"][0]["typed"]["measured"] == [
        {"from": "A", "to": "C", "tape_m": 10.8}
    ]


def test_a_circle_drawn_wider_keeps_its_size_as_if_typed():
    site = sketch.new_document()
    circle = {"x": 2, "y": 2, "diameter": 4, "beyond": "open", "typed": "4"}
    patch = {
        **rectangle("9", "6"),
        "shape": "circle",
        "corners": [],
        "circle": circle,
        "typed": {"lengths": {"across": "4"}},
    }
    site["patches"] = [patch]
    before = copy.deepcopy(site)
    site["patches"][0]["circle"]["diameter"] = 5.0
    out = settling.settled(site, before)["patches"][0]
    assert out["circle"] == {"x": 2.5, "y": 2.5, "diameter": 5.0, "beyond": "open", "typed": "5 m"}
    assert out["typed"]["lengths"] == {"across": "5 m"}


def test_a_patch_without_a_name_or_with_anothers_gets_one_of_its_own():
    site = make_site(
        rectangle("9", "6", label="Front lawn"), rectangle("4", "4", label="Back", zone="back"), beds=False
    )
    before = copy.deepcopy(site)
    site["patches"][0]["label"], site["patches"][1]["label"] = " ", "Front lawn"
    assert [patch["label"] for patch in settling.settled(site, before)["patches"]] == ["Front lawn", "Front lawn 2"]


def test_a_long_name_given_twice_is_numbered_and_no_longer_than_a_name_may_be():
    site = make_site(rectangle("9", "6", label="x" * 60), rectangle("4", "4", label="x" * 60), beds=False)
    assert [patch["label"] for patch in settling.settled(site, site)["patches"]] == ["x" * 60, "x" * 56 + " 2"]


@given(st.lists(st.tuples(st.integers(-40, 40), st.integers(-40, 40)), min_size=3, max_size=8, unique=True))
def test_settling_changes_neither_area_nor_lengths_and_twice_is_once(points):
    site, before = drawn(*[(x / 10, y / 10) for x, y in points])

    def shape(patch):
        return [(c["x"], c["y"]) for c in patch["corners"]]

    def lengths(spots):
        return sorted(
            round(abs(complex(*a) - complex(*b)), 6) for a, b in zip(spots, spots[1:] + spots[:1], strict=True)
        )

    once = settling.settled(site, before)
    assert lengths(shape(once["patches"][0])) == lengths(shape(site["patches"][0]))
    assert settling.settled(once, before)["patches"] == once["patches"]
    assert min(x for x, _y in shape(once["patches"][0])) == 0 == min(y for _x, y in shape(once["patches"][0]))
