"""Slips of a hand on the drawing board, each found by somebody who tried to lose something: nothing is lost."""

import re

import pytest
from playwright.sync_api import expect

from conversions.yards.actions import keep_draft, save_site
from conversions.yards.models import Draft
from tests.rows import make_open, make_yard, rectangle

from .easel import open_board

pytestmark = pytest.mark.django_db(transaction=True)
SLOWLY = """() => {
  window.quickly = window.fetch;
  window.fetch = async (url, options) => {
    const answer = await window.quickly(url, options);
    if (!String(url).includes("try")) await new Promise((done) => { setTimeout(done, 2500); });
    return answer;
  };
}"""
CORNER_B, CORNER_C = "patches.0.corners.1", "patches.0.corners.2"


@pytest.fixture
def lawn(oak):
    return make_open(oak, None, rectangle("8", "6"), beds=False)


def test_a_finger_drags_a_corner_down_and_the_page_stays(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.drag((8, 6), (8, 4.5))
    expect(phone.locator(f'[name="{CORNER_B}.y"]')).to_have_value("4.5")
    expect(board.side(1)).to_have_text("4.50 m")


def test_what_is_typed_after_a_drag_that_was_broken_off_is_kept(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    x, y = board.pixel(8, 6)
    phone.evaluate(
        """([x, y]) => {
          const hold = document.elementFromPoint(x, y).closest(".hold");
          const send = (type, by) => hold.dispatchEvent(new PointerEvent(type, { bubbles: true, pointerId: 1, button: 0, clientX: x + by, clientY: y }));
          hold.ownerSVGElement.setPointerCapture = () => {};
          send("pointerdown", 0); send("pointermove", 40); send("pointercancel", 40);
        }""",
        [x, y],
    )
    expect(phone.locator(f'[name="{CORNER_B}.x"]')).to_have_value("8")
    board.write(CORNER_B, {"x": "7"})
    board.save()
    assert Draft.everywhere.get().site["patches"][0]["corners"][1]["x"] == 7


def test_what_is_drawn_while_a_save_is_on_its_way_is_kept_and_saved_next(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.write(CORNER_B, {"x": "7"})
    phone.evaluate(SLOWLY)
    phone.locator("[data-save]").click()
    board.put("pocket", (2, 2))
    expect(phone.locator("[name=revision]").first).to_have_value("3")
    phone.evaluate("() => { window.fetch = window.quickly; }")
    expect(phone.locator('details[data-thing="beds.0"]')).to_have_count(1)
    board.save()
    site = Draft.everywhere.get().site
    assert (site["patches"][0]["corners"][1]["x"], len(site["beds"])) == (7, 1)


def test_what_is_drawn_while_a_save_is_on_its_way_moves_along_with_the_ground_and_leaves_lengths_typed(
    phone, oak, lawn
):
    """The lower left corner goes a metre out, so the server moves everything a metre to the right."""
    board = open_board(phone, oak, lawn.conversion)
    board.write("patches.0.corners.3", {"x": "-1"})
    phone.evaluate(SLOWLY)
    phone.locator("[data-save]").click()
    board.put("pocket", (2, 2))
    board.put("line", (3, 3))
    expect(phone.locator("[name=revision]").first).to_have_value("3")
    phone.evaluate("() => { window.fetch = window.quickly; }")
    expect(phone.locator(f'[name="{CORNER_B}.x"]')).to_have_value("9")
    expect(phone.locator('[name="beds.0.x"]')).to_have_value("3")
    board.tap(6, 4)
    board.act("done")
    board.write("patches.0", {"label": "By the gate"})
    board.save()
    draft = Draft.everywhere.get()
    patch = draft.site["patches"][0]
    assert [(c["x"], c["y"], c["typed"]) for c in patch["corners"]] == [
        (1, 6, "8"), (9, 6, "6"), (9, 0, ""), (0, 0, "")
    ]  # fmt: skip
    assert (draft.site["beds"][0]["x"], draft.site["beds"][0]["y"], patch["label"]) == (3, 2, "By the gate")
    assert patch["features"][0]["points"] == [[4, 3], [6, 4]]


def test_corners_that_were_drawn_the_other_way_round_can_be_drawn_on_while_they_are_saved(phone, oak):
    board = open_board(phone, oak, make_yard(oak))
    board.outline((0, 0), (6, 0), (6, 4), (0, 4))
    board.write("patches.0.corners.1", {"beyond": "fence"})  # from B at 6, 0 to C at 6, 4
    phone.evaluate(SLOWLY)
    phone.locator("[data-save]").click()
    board.drag((6, 4), (7, 4))
    expect(phone.locator("[name=revision]").first).to_have_value("2")
    phone.evaluate("() => { window.fetch = window.quickly; }")
    expect(phone.locator('details[data-thing="patches.0.corners.0"] summary b')).to_have_text("Corner D")
    board.save()
    corners = Draft.everywhere.get().site["patches"][0]["corners"]
    assert [(c["id"], c["x"], c["y"], c["beyond"]) for c in corners] == [
        ("D", 0, 4, "open"), ("C", 7, 4, "fence"), ("B", 6, 0, "open"), ("A", 0, 0, "open")
    ]  # fmt: skip


def test_a_field_that_could_not_be_read_blocks_saving_only_while_it_is_there(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.write(CORNER_C, {"x": "abc"})
    phone.keyboard.press("Tab")
    board.put("pocket", (2, 2))
    expect(phone.locator(f'[name="{CORNER_C}.x"]')).to_have_value("abc")
    phone.locator("[data-save]").click()
    expect(board.says).to_have_text("Mend the marked field first.")
    board.row(CORNER_C).get_by_role("button", name="One more corner after it").click()
    made = phone.locator('[name="patches.0.corners.3.x"]')
    expect(made).to_be_focused()
    made.fill("xyz")
    board.row("patches.0.corners.3").get_by_role("button", name="Remove").click()
    board.write("beds.0", {"top_m": "300"})
    board.save()
    assert Draft.everywhere.get().site["beds"][0]["top_m"] == 0.3


def test_a_length_across_goes_with_its_corner_and_never_moves_to_the_next_one_of_that_letter(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    phone.get_by_text("Add by numbers").click()
    phone.get_by_role("button", name="Measured across").click()
    board.write("patches.0.typed.measured.0", {"from": "B", "to": "D", "tape_m": "10"})
    board.row(CORNER_B).get_by_role("button", name="Remove").click()
    expect(phone.locator('[data-thing="patches.0.typed.measured.0"]')).to_have_count(0)
    board.row(CORNER_B).get_by_role("button", name="One more corner after it").click()
    board.save()
    patch = Draft.everywhere.get().site["patches"][0]
    assert sorted(corner["id"] for corner in patch["corners"]) == ["A", "B", "C", "D"]
    assert "measured" not in patch["typed"]


def test_a_blank_turn_is_marked_at_its_field(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("framed", (4, 3))
    board.write("beds.0", {"turn_deg": ""})
    phone.keyboard.press("Tab")
    expect(phone.locator("#beds-0-turn_deg-oops")).to_have_text("Write a number of degrees, as 90.")


def test_a_drawing_not_saved_comes_back_when_somebody_kept_the_one_it_was_made_on(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("pocket", (2, 2))
    expect(phone.locator("[data-state]")).to_contain_text("Not saved yet")
    keep_draft(draft=Draft.everywhere.get(), revision=lawn.revision, by=oak.organiser)
    phone.reload()
    expect(board.says).to_contain_text("still on this phone")
    with phone.expect_navigation(url="**/compare/**"):
        phone.locator("[data-save]").click()
    first, second = Draft.everywhere.order_by("number")
    assert (first.state, first.site["beds"], len(second.site["beds"])) == ("kept", [], 1)


def test_undo_back_to_what_the_server_has_goes_on_from_there(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("pocket", (2, 2))
    expect(phone.locator("[data-state]")).to_contain_text("Not saved yet")
    save_site(draft=lawn, revision=lawn.revision, site={**lawn.site, "north_deg": 10}, by=oak.visitor)
    phone.reload()
    expect(board.says).to_contain_text("still on this phone")
    board.act("undo")
    board.put("downspout", (7, 1))
    board.save()
    draft = Draft.everywhere.get()  # one: nobody saved in between
    assert (draft.site["north_deg"], draft.site["beds"]) == (10, [])
    assert draft.site["patches"][0]["marks"][0]["kind"] == "downspout"


def test_corners_tapped_are_saved_also_without_done(phone, oak):
    board = open_board(phone, oak, make_yard(oak))
    for spot in ((0, 5), (6, 5)):
        board.tap(*spot)
    phone.locator("[data-save]").click()
    expect(board.says).to_have_text("2 points. Tap on, then press Done.")
    board.svg.press("Escape")
    expect(board.says).to_have_text("1 point. Tap the next one.")
    for spot in ((6, 5), (6, 0), (0, 0)):
        board.tap(*spot)
    board.save()
    corners = Draft.everywhere.get().site["patches"][0]["corners"]
    assert [(c["x"], c["y"]) for c in corners] == [(0, 5), (6, 5), (6, 0), (0, 0)]


def test_another_patch_can_be_left_again(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.act("another")
    expect(board.side(0)).to_have_count(0)
    board.act("undo")
    expect(board.side(0)).to_have_text("8.00 m")
    board.act("another")
    board.svg.press("Escape")
    expect(board.side(0)).to_have_text("8.00 m")


def test_what_does_not_fit_is_marked_and_said_when_the_board_is_opened_again(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("framed", (6.4, 3))
    board.write("beds.0", {"x": "7.7"})
    wrong = phone.locator('details[data-thing="beds.0"] [data-wrong]')
    expect(wrong).to_contain_text("lies over side B to C")
    board.save()
    expect(wrong).to_contain_text("lies over side B to C")
    expect(phone.locator('details[data-thing="beds.0"]')).to_have_attribute("open", "")
    expect(board.says).to_contain_text("lies over side B to C")
    expect(board.svg.locator("circle.wrong")).to_have_count(1)


def test_before_the_first_save_each_step_says_what_it_changes(phone, oak):
    board = open_board(phone, oak, make_yard(oak))
    board.outline((0, 5), (6, 5), (6, 0), (0, 0))
    expect(board.says).to_contain_text("Lawn to cover")
    for spot in ((3, 1.2), (3, 3.6)):
        board.put("framed", spot)
        expect(board.figure("compost").locator(".by")).to_contain_text("+")
        expect(board.says).to_contain_text(re.compile(r"\([+−]"))


def test_north_is_asked_for_as_it_is_taken(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("north")
    expect(board.says).to_have_text("Tap where north lies, seen from the middle of the drawing.")
    board.tap(8, 3)
    expect(phone.locator('[name="north_deg"]')).to_have_value("90")


def test_each_point_of_a_line_is_taken_off_by_a_button_of_its_own_name(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("line", (1, 1), (4, 1), (7, 1))
    board.act("done")
    row = board.row("patches.0.features.0")
    for number in (1, 2, 3):
        expect(row.get_by_role("button", name=f"Remove Point {number}", exact=True)).to_have_count(1)


def test_what_runs_there_is_asked_in_sight(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("line")
    expect(phone.locator("#service")).to_be_in_viewport(ratio=1)
    expect(phone.get_by_text("What runs there", exact=True).first).to_be_in_viewport(ratio=1)
    dock, field = (phone.locator(name).bounding_box() for name in (".dock", "#service"))
    assert field["y"] + field["height"] <= dock["y"] or dock["y"] + dock["height"] <= field["y"]
