"""What stands on a patch stays where it stands when its sides are walked again."""

import uuid

import pytest

from conversions import sizing
from conversions.yards import sketch
from conversions.yards.actions import open_draft, save_site
from tests.rows import make_yard
from tests.yards.drawn import patch

TREE = {"kind": "tree", "x": 2.0, "y": 5.0, "trunk_m": 0.25}
LINE = {"kind": "line", "service": "gas", "points": [[0.0, 4.0], [8.0, 4.5]]}
TAP = {"kind": "tap", "x": 0.5, "y": 5.5, "label": ""}
CURVED = {"uid": "b1", "patch": "p1", "kind": "mounded", "path": [[1.0, 1.0], [3.0, 2.0]], "width_m": 1.0}


def lawn(depth, **more):
    return patch(sizing.rectangle(8, depth), **more)


@pytest.fixture
def document():
    return {"patches": [lawn(6, features=[TREE, LINE], marks=[TAP])], "beds": [CURVED]}


def test_trees_lines_taps_and_curved_beds_keep_their_distance_from_the_house(document):
    again = lawn(7, features=[TREE, LINE])  # as a form hands it on: features as they were, no marks
    out = sketch.with_patch(document, again)
    walked = out["patches"][0]
    assert [row["y"] for row in walked["features"] if "y" in row] == [6.0]
    assert walked["features"][1]["points"] == [[0.0, 5.0], [8.0, 5.5]]
    assert walked["marks"] == [{**TAP, "y": 6.5}]
    assert out["beds"][0]["path"] == [[1.0, 2.0], [3.0, 3.0]]


def test_the_document_that_was_handed_in_is_not_touched(document):
    before = sketch.only(document, ["p1"], ["b1"])
    sketch.with_patch(document, lawn(7, features=document["patches"][0]["features"]))
    assert sketch.only(document, ["p1"], ["b1"]) == before


def test_a_patch_of_the_same_depth_moves_nothing(document):
    out = sketch.with_patch(document, lawn(6, features=[TREE, LINE]))
    assert out["patches"][0]["features"] == [TREE, LINE] and out["beds"] == [CURVED]


def test_the_plan_page_lists_a_bed_along_a_line(organiser, oak):
    yard = make_yard(oak)
    draft = open_draft(conversion=yard, by=oak.organiser)
    bed = {**CURVED, "uid": str(uuid.uuid4()), "height_m": 0.15, "path": [[1.5, 1.5], [4.0, 2.0], [6.0, 1.5]]}
    ground = lawn(6, uid=str(uuid.uuid4()))
    site = {**draft.site, "patches": [ground], "beds": [{**bed, "patch": ground["uid"]}]}
    save_site(draft=draft, revision=draft.revision, site=site)
    page = organiser.get(oak.url(f"yards/{yard.pk}/plan/"))
    assert page.status_code == 200
    assert "5.61 m × 1.00 m" in page.content.decode()  # 2.550 + 2.062 along its line, and half a width at each end
    answer = organiser.get(oak.url(f"yards/{yard.pk}/plan/beds/{bed['uid']}/"), follow=True)
    assert answer.request["PATH_INFO"].endswith("/plan/draw/")  # it is changed point by point
    assert 'name="beds.0.path.2.1" value="1.5"' in answer.content.decode()
