"""The drawing seen from close by: two fingers, one finger and keys move what is seen, never what is drawn."""

import pytest
from playwright.sync_api import expect

from tests.rows import make_open, rectangle

from .easel import MARKS, open_board

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def board(phone, oak):
    """A lawn of 6 by 4 m, opened."""
    draft = make_open(oak, None, rectangle("6", "4"), beds=False)
    return open_board(phone, oak, draft.conversion)


def marks(board) -> dict:
    return board.page.evaluate(MARKS)


def assert_nothing_is_drawn(board) -> None:
    expect(board.page.locator('[data-act="undo"]')).to_be_disabled()


def test_two_fingers_look_closer_at_what_lies_between_them(board):
    before = marks(board)
    left, right = board.pixel(2, 2), board.pixel(4, 2)
    board.fingers(((2, 2), (1, 2)), ((4, 2), (5, 2)))
    after = marks(board)
    assert after["metre"] == pytest.approx(2 * before["metre"], rel=0.02)
    between = (left[0] + right[0]) / 2
    assert board.pixel(3, 2)[0] == pytest.approx(between, abs=3), "what lay between the fingers still does"
    assert board.page.evaluate("visualViewport.scale") == 1, "the page itself stays as it is"
    assert_nothing_is_drawn(board)
    board.fingers(((2, 2), (2.5, 2)), ((4, 2), (3.5, 2)))
    assert marks(board)["metre"] == pytest.approx(before["metre"], rel=0.02)


def test_seen_from_close_one_finger_moves_the_ground_and_a_tap_still_takes_hold(board):
    for _ in range(3):
        board.act("closer")
    scrolled = board.page.evaluate("scrollY")
    before = marks(board)
    middle = [3.1, 2.1]
    board.drag(middle, (middle[0] + 0.8, middle[1] - 0.7))
    after = marks(board)
    assert after["x"] - before["x"] == pytest.approx(0.8 * before["metre"], abs=3)
    assert after["y"] - before["y"] == pytest.approx(0.7 * before["metre"], abs=3)
    assert board.page.evaluate("scrollY") == scrolled
    assert_nothing_is_drawn(board)
    board.drag((2.4, 2.6), (3.6, 1.2))
    board.drag((1.4, 2.6), (2.6, 1.2))
    board.tap(0, 4)
    expect(board.page.locator("[data-name]")).to_contain_text("Corner")
    assert_nothing_is_drawn(board)


def test_the_ground_is_never_pushed_out_of_sight(board):
    for _ in range(4):
        board.act("closer")
    for _ in range(8):
        left, top, right, bottom = marks(board)["edges"]
        board.page.mouse.move((left + right) / 2 - 50, (top + bottom) / 2 + 50)
        board.page.mouse.down()
        board.page.mouse.move(right - 5, bottom - 5, steps=3)
        board.page.mouse.up()
    found = board.page.evaluate(
        "() => [...document.querySelectorAll('svg.drawing .hold .dot')].map((dot) => dot.getBoundingClientRect())"
        ".map(({x, y}) => [x, y])"
    )
    left, top, right, bottom = marks(board)["edges"]
    assert [1 for x, y in found if left < x < right and top < y < bottom], "a corner is still to be seen"
    assert_nothing_is_drawn(board)


def test_all_in_sight_a_finger_on_the_ground_scrolls_the_page(board):
    board.page.set_viewport_size({"width": 390, "height": 640})  # where the drawing does not stay on top
    board.svg.scroll_into_view_if_needed()
    before = board.page.evaluate("scrollY")
    board.drag((3, 1), (3, 3))
    assert board.page.evaluate("scrollY") > before
    assert_nothing_is_drawn(board)


def test_arrow_keys_look_round_from_close_by(board):
    for _ in range(3):
        board.act("closer")
    board.svg.focus()
    before = marks(board)
    board.keys("ArrowRight", "ArrowUp")
    after = marks(board)
    assert after["x"] < before["x"] and after["y"] > before["y"]
    assert_nothing_is_drawn(board)
