"""What the board draws: every word to be read, and a marked line over whatever is put near it."""

import pytest

from conversions.yards.actions import open_draft, save_site
from tests.rows import make_yard
from tests.sizing.yards import worked

from .easel import MARKS, open_board

pytestmark = pytest.mark.django_db(transaction=True)

# Boxes of all words, and of every point that can be taken hold of.
BOXES = """() => {
  const box = (node) => { const { left, top, right, bottom } = node.getBoundingClientRect(); return [left, top, right, bottom]; };
  const texts = [...document.querySelectorAll("svg.drawing text:not(.halo):not(.letter)")];
  return [texts.map((node) => [node.textContent, ...box(node)]), [...document.querySelectorAll("svg.drawing .hold .dot")].map(box)];
}"""


@pytest.fixture
def board(phone, oak):
    """The L-shaped yard with beds, a gas line beside a frame, a tree, a tap, a heap and a downspout."""
    document, _rows = worked("l_front")
    document = {**document, "north_deg": 40}
    patch = document["patches"][0]
    patch["features"] += [
        {"kind": "line", "service": "gas", "points": [[7.6, 0], [7.6, 7]]},
        {"kind": "line", "service": "proposed", "points": [[0.5, 0.5], [6, 0.5]]},
        {"kind": "tree", "x": 1.2, "y": 1.4, "trunk_m": 0.26},
    ]
    patch["marks"] = [
        {"kind": "tap", "x": 0, "y": 3},
        {"kind": "heap", "x": 5, "y": 0.2},
        {"kind": "downspout", "x": 0.2, "y": 6},
    ]
    yard = make_yard(oak)
    draft = open_draft(conversion=yard, by=oak.organiser)
    save_site(draft=draft, revision=draft.revision, site=document, by=oak.organiser)
    return open_board(phone, oak, yard)


def over(one, other) -> float:
    """By how many pixels two boxes lie over each other, in the direction in which it is less."""
    return min(min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1]))


def test_no_word_lies_over_another_one_or_over_a_point(board):
    words, points = board.page.evaluate(BOXES)
    assert {word for word, *_box in words} >= {"Tap", "Heap place", "Downspout", "Tree", "5.00 m", "3.00 m"}
    for i, (word, *box) in enumerate(words):
        for other, *theirs in words[i + 1 :]:
            assert over(box, theirs) < 4, f"{word} and {other}"
        assert word == "N" or all(over(box, point) < 6 for point in points), word  # N is what turns


def test_a_marked_line_lies_over_the_beds_in_the_band_where_hand_tools_alone_go_in(board):
    metre = board.page.evaluate(MARKS)["metre"]
    bands = board.page.locator("svg.drawing .hand-tools")
    assert bands.count() == 1, "nothing lies where somebody means to dig"
    assert float(bands.get_attribute("stroke-width")) == pytest.approx(2 * 0.6 * metre, rel=0.03)
    drawn = board.page.locator("svg.drawing > *").evaluate_all(
        "all => all.map((node) => node.dataset.thing ?? node.getAttribute('class') ?? '')"
    )
    line = drawn.index("patches.0.features.0")
    assert drawn.index("hand-tools") < drawn.index("beds.1") < line
