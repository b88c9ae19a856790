"""Shapes walked without signal are drawn once, and never over what somebody else drew meanwhile."""

import uuid

import pytest

from conversions.yards.actions import open_draft, save_site
from conversions.yards.models import Draft
from conversions.yards.sketch import with_settings, without_patch
from tests.rows import make_yard


def rectangle(a="8 m", b="6 m", drawing=0, revision=0, uid=None, **more) -> dict:
    return {
        "shape": "rectangle", "length_A": a, "length_B": b, "zone": "front", "ground_before": "lawn",
        "beyond_A": "house", "beyond_B": "drive", "beyond_C": "pavement", "beyond_D": "path",
        "drawing": drawing, "revision": revision, "uid": str(uid or uuid.uuid4()), **more,
    }  # fmt: skip


@pytest.fixture
def yard(oak):
    return make_yard(oak)


@pytest.fixture
def send(client, oak, yard):
    oak.sign_in(client, "visitor")
    return lambda **row: client.post(oak.url(f"yards/{yard.pk}/plan/queue/"), row)


def areas(draft) -> list[float]:
    return sorted(row["measured_m2"] for row in draft.takeoff["patches"].values())


def test_a_first_shape_begins_the_drawing(send):
    assert send(**rectangle()).json() == {"kept": 1}
    assert areas(Draft.everywhere.get()) == [48.0]


def test_the_same_shape_twice_is_drawn_once(send):
    row = rectangle()
    assert [send(**row).json() for _again in range(3)] == [{"kept": 1}, {"kept": 0}, {"kept": 0}]
    assert len(Draft.everywhere.get().site["patches"]) == 1


def test_a_shape_sent_again_after_it_was_taken_off_the_drawing_stays_off(send):
    row = rectangle()
    send(**row)
    draft = Draft.everywhere.get()
    save_site(draft=draft, revision=draft.revision, site=without_patch(draft.site, row["uid"]))
    assert send(**row).json() == {"kept": 0}
    assert Draft.everywhere.get().site["patches"] == []


def test_two_shapes_of_one_walk_stand_in_one_drawing(send, oak, yard):
    draft = open_draft(conversion=yard, by=oak.visitor)
    for zone in ("front", "back"):
        assert send(**rectangle(drawing=draft.number, revision=draft.revision, zone=zone)).status_code == 200
    assert [row["label"] for row in Draft.everywhere.get().site["patches"]] == ["Front lawn", "Back lawn"]


def test_over_what_somebody_else_drew_meanwhile_it_becomes_a_drawing_beside(send, oak, yard):
    draft = open_draft(conversion=yard, by=oak.visitor)
    theirs = with_settings(draft.site, {"haul_m": 55})
    save_site(draft=draft, revision=draft.revision, site=theirs, by=oak.organiser)
    for zone in ("front", "back"):
        assert send(**rectangle(drawing=draft.number, revision=1, zone=zone)).status_code == 200
    first, beside = Draft.everywhere.order_by("number")
    assert first.site == theirs
    assert beside.parent == first and len(beside.site["patches"]) == 2 and beside.site["haul_m"] != 55


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"length_A": "eight"}, "3.81 m"),
        ({"length_A": ""}, "Write a length."),
        ({"length_A": "400 m"}, "football"),
        ({"shape": "heart"}, "no such shape"),
        ({"uid": "none"}, "valid UUID"),
    ],
)
def test_what_cannot_be_drawn_is_told_and_nothing_changes(send, row, words):
    answer = send(**(rectangle() | row))
    assert answer.status_code == 422 and words in answer.json()["words"]
    assert not Draft.everywhere.exists()
