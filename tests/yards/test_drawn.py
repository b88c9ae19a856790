"""A drawing as a browser sends it: whatever stands in it, it is read or refused, never a fault."""

import copy
import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from conversions.groups.models import Group
from conversions.yards import acrosses, board, differences, drawn, limits, measure, settling
from conversions.yards.board_page import board_context
from conversions.yards.drawing import plan_svg
from conversions.yards.views.desk import Desk
from tests.rows import make_site, make_yard, rectangle

JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-5, 5000)
    | st.floats(allow_nan=True)
    | st.text(max_size=4)
    | st.sampled_from(["A", "framed", "path", "round"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["x", "y", "kind", "points", "path", "uid", "from", "tape_m"]), inner, max_size=3
        )
    ),
    max_leaves=4,
)


def full() -> dict:
    """Something of every kind."""
    site = make_site(rectangle("9", "6"), rectangle("4", "3", label="Back", zone="back"), beds=False)
    uid = site["patches"][0]["uid"]
    site["beds"] = [
        {"uid": "0" * 8 + f"-0000-4000-8000-00000000000{n}", "patch": uid, **bed}
        for n, bed in enumerate(
            (
                {
                    "kind": "mounded",
                    "x": 2,
                    "y": 2,
                    "length_m": 2.0,
                    "width_m": 1.0,
                    "height_m": 0.15,
                    "ends": "square",
                },
                {"kind": "mounded", "path": [[4, 4], [5, 5], [6, 4]], "width_m": 1.0, "height_m": 0.15},
                {
                    "kind": "framed",
                    "x": 7,
                    "y": 1.5,
                    "length_m": 1.8,
                    "width_m": 0.9,
                    "height_m": 0.2,
                    "board_m": 0.038,
                },
                {"kind": "pocket", "x": 4, "y": 1, "top_m": 0.4, "bottom_m": 0.2, "height_m": 0.2},
            )
        )
    ]
    site["patches"][0]["features"] = [
        {"kind": "tree", "x": 8, "y": 5, "trunk_m": 0.1, "by": "visit"},
        {"kind": "line", "service": "gas", "points": [[0, 0.5], [9, 0.6]]},
        {"kind": "hole", "points": [[1, 4], [2, 4], [2, 5]], "beyond": "path"},
        {"kind": "painted wall", "edge": "A"},
    ]
    site["patches"][0]["marks"] = [{"kind": "tap", "x": 9, "y": 6}, {"kind": "heap", "x": 10, "y": 1}]
    site["patches"][0]["typed"]["measured"] = [{"from": "A", "to": "C", "tape_m": 10.8}]
    return site


def places(node, path=()):
    yield path
    rows = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, inner in rows:
        yield from places(inner, (*path, key))


FULL = full()
PLACES = [path for path in places(FULL) if path and path[0] in ("patches", "beds", "north_deg")]


def changed(path, value) -> dict:
    out = copy.deepcopy(FULL)
    node = out
    for key in path[:-1]:
        node = node[key]
    node[path[-1]] = value
    return out


def test_a_sound_drawing_comes_back_as_it_was_sent():
    out = drawn.read(json.dumps(FULL), FULL)
    assert out["beds"][1]["path"] == [[4, 4], [5, 5], [6, 4]]
    assert [row["kind"] for row in out["patches"][0]["features"]] == ["tree", "line", "hole", "painted wall"]
    assert out["patches"][0]["features"][0]["by"] == "visit"
    assert out["patches"][0]["typed"]["measured"] == FULL["patches"][0]["typed"]["measured"]


def test_what_was_typed_in_the_walk_is_not_the_boards_to_change():
    sent = changed(("patches", 0, "typed", "lengths"), "gone")
    assert drawn.read(json.dumps(sent), FULL)["patches"][0]["typed"] == FULL["patches"][0]["typed"]


@pytest.mark.parametrize(
    "row",
    [
        {"from": [], "to": "C", "tape_m": 1},
        {"from": "A", "to": "C", "tape_m": "far"},
        {"from": "A", "to": "C", "tape_m": True},
        {"from": "A"},
        3,
        [],
    ],
)
def test_what_is_no_measure_across_is_refused(row):
    assert drawn.read(json.dumps(changed(("patches", 0, "typed", "measured"), [row])), FULL) is None


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(PLACES), JSON)
def test_anything_at_any_place_is_read_or_refused(path, value):
    group = Group(slug="x", name="x", units="metric")
    document = drawn.read(json.dumps(changed(path, value)), FULL)
    if document is None or limits.refused(document, "metric"):
        return
    document = settling.settled(document, FULL)
    look = measure.look(document, group)
    board.problem_rows(document, look, "imperial")
    differences.rows(look.takeoff, {}, group)
    for patch in document["patches"]:
        acrosses.said(patch, "imperial")
    for units in ("metric", "imperial"):
        list(board.things(document, 0)) if document["patches"] else []
        plan_svg(look.drawable, look.takeoff, prefix="x", units=units)
    assert settling.settled(document, document) == document


@pytest.mark.django_db
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture]
)
@given(st.sampled_from(PLACES), JSON)
def test_every_drawing_that_was_read_has_a_list(oak, path, value):
    document = drawn.read(json.dumps(changed(path, value)), FULL)
    if document is None:
        return
    yard = make_yard(oak)
    context = board_context(Desk(yard, None, document, 0), oak.group)
    assert len(context["patches"]) == len(document["patches"])
