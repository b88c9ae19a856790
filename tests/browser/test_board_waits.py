"""The drawing board on a phone with no signal, no room or no session, and on two phones at once: nothing is lost."""

import pytest
from playwright.sync_api import expect

from conversions.yards.actions import save_site
from conversions.yards.models import Draft, DraftSave
from tests.rows import make_open, rectangle

from .conftest import findings
from .easel import Easel, forgive, open_board
from .hand import sign_in

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def lawn(oak):
    """A drawing of one front lawn, 8.6 by 6 m, and nothing on it."""
    return make_open(oak, None, rectangle(), beds=False)


# ---- no signal, no room, no session


OFF = ("ERR_INTERNET_DISCONNECTED", "error occurred when fetching the script")


def test_a_drawing_without_signal_waits_on_the_phone_until_somebody_saves_it(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    saves = DraftSave.everywhere.count()
    phone.context.set_offline(True)
    board.drag((8.6, 6), (9.6, 6))
    expect(board.says).to_contain_text("No signal: 54.6 m² (588 sq ft) and 30.28 m")
    expect(phone.locator("[data-figures]")).to_be_hidden()
    board = opened_later(phone)
    expect(board.figure("cover").locator(".by")).to_have_text("+2.7 m²")
    # also once its figures are there
    expect(board.says).to_contain_text("Your drawing was still on this phone, not saved.")
    expect(board.side(0)).to_have_text("9.60 m")
    assert DraftSave.everywhere.count() == saves
    board.act("undo")
    expect(board.side(0)).to_have_text("8.60 m")
    board.act("redo")
    board.save()
    assert (Draft.everywhere.count(), DraftSave.everywhere.count()) == (1, saves + 1)
    board.page.reload()
    expect(board.side(0)).to_have_text("9.60 m")
    expect(board.page.locator("[data-act=undo]")).to_be_disabled()  # nothing waits any more


def opened_later(phone) -> Easel:
    """The page is closed by the phone without signal, and opened again with one."""
    address, again = phone.url, phone.context.new_page()
    forgive(phone, *OFF)
    phone.close()
    phone.context.set_offline(False)
    again.goto(address)
    return Easel(again)


def test_a_drawing_saved_without_signal_is_saved_by_itself_when_the_page_is_opened_again(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    saves = DraftSave.everywhere.count()
    phone.context.set_offline(True)
    board.put("pocket", (2, 2))
    phone.locator("[data-save]").click()
    expect(board.says).to_contain_text("saved when the signal is back")
    board = opened_later(phone)
    expect(board.page.get_by_text("Saved.", exact=True)).to_be_visible()
    assert (Draft.everywhere.count(), DraftSave.everywhere.count()) == (1, saves + 1)
    assert [bed["kind"] for bed in Draft.everywhere.get().site["beds"]] == ["pocket"]
    expect(board.page.locator("[data-state]")).to_be_empty()


def test_what_waits_for_the_signal_is_saved_by_itself_once(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    saves = DraftSave.everywhere.count()
    phone.context.set_offline(True)
    board.drag((8.6, 6), (9.6, 6))
    phone.locator("[data-save]").click()
    expect(board.says).to_contain_text("saved when the signal is back")
    board.put("line", (2, 2))
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    phone.wait_for_timeout(300)
    assert DraftSave.everywhere.count() == saves  # never from under a line that is half drawn
    with phone.expect_navigation(wait_until="load"):
        board.act("undo")
    expect(phone.get_by_text("Saved.", exact=True)).to_be_visible()
    assert (Draft.everywhere.count(), DraftSave.everywhere.count()) == (1, saves + 1)
    forgive(phone, *OFF)


def test_a_phone_without_room_says_so_and_the_page_keeps_everything(phone, oak, lawn):
    phone.add_init_script("Storage.prototype.setItem = () => { throw new Error('full') }")
    board = open_board(phone, oak, lawn.conversion)
    board.drag((8.6, 6), (9.6, 6))
    expect(phone.get_by_text("This phone has no room to keep your drawing.")).to_be_visible()
    expect(board.figure("cover").locator(".by")).to_have_text("+2.7 m²")
    expect(phone.get_by_text("This phone has no room to keep your drawing.")).to_be_visible()
    expect(board.side(0)).to_have_text("9.60 m")
    board.save()
    assert Draft.everywhere.get().site["patches"][0]["corners"][1]["x"] == 9.6


def test_a_lost_session_keeps_the_drawing_until_somebody_signs_in(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.drag((8.6, 6), (9.6, 6))
    expect(board.figure("cover").locator(".by")).to_have_text("+2.7 m²")
    phone.context.clear_cookies()
    phone.locator("[data-save]").click()
    expect(board.says).to_contain_text("Sign in again in another tab, then press Save.")
    expect(board.side(0)).to_have_text("9.60 m")
    sign_in(phone.context.new_page(), oak)
    board.save()
    assert Draft.everywhere.get().site["patches"][0]["corners"][1]["x"] == 9.6
    forgive(phone, "403")


def test_every_page_leads_back_to_a_drawing_that_is_only_on_this_phone(phone, new_context, live_server, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    told = phone.get_by_text("A drawing not saved yet is only on this phone")
    board.drag((8.6, 6), (9.6, 6))
    expect(told).to_be_hidden()  # the board says so itself
    for page in ("", f"yards/{lawn.conversion.pk}/plan/"):
        phone.goto(oak.url(page))
        expect(told).to_be_visible()
    assert findings(phone) == []
    cookies = phone.context.cookies()
    phone.context.clear_cookies()
    phone.goto("/sign-in/")
    expect(phone.get_by_text("Sign in, and go on with it.")).to_be_visible()
    expect(phone.get_by_role("link", name="Go on drawing")).to_have_count(0)
    sign_in(phone, oak, "visitor")
    expect(told).to_be_hidden()  # it is somebody else's
    phone.context.clear_cookies()
    phone.context.add_cookies(cookies)
    phone.goto(oak.url(f"yards/{lawn.conversion.pk}/plan/"))
    phone.get_by_role("link", name="Go on drawing").tap()
    expect(board.says).to_contain_text("Your drawing was still on this phone, not saved.")
    board.save()
    expect(told).to_be_hidden()


def test_a_drawing_on_this_phone_is_let_go_only_by_somebody_who_is_sure(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.drag((8.6, 6), (9.6, 6))
    phone.goto(oak.url(f"yards/{lawn.conversion.pk}/plan/"))
    away = phone.get_by_role("button", name="Let it go")
    phone.once("dialog", lambda asked: asked.dismiss())
    away.tap()
    expect(away).to_be_visible()
    phone.once("dialog", lambda asked: asked.accept())
    away.tap()
    expect(away).to_be_hidden()
    open_board(phone, oak, lawn.conversion)
    expect(board.side(0)).to_have_text("8.60 m")


# ---- an answer that is lost

LOST = """() => {
  const quickly = window.fetch;
  window.lost = 0;
  window.fetch = async (url, options) => {
    const answer = await quickly(url, options);
    if (window.lost || String(url).includes("try")) return answer;
    window.lost += 1;
    throw new TypeError("lost");
  };
}"""


@pytest.fixture
def unheard(phone, oak, lawn):
    """A board whose save was kept by the server, and the phone never heard of it."""
    board = open_board(phone, oak, lawn.conversion)
    board.drag((8.6, 6), (9.6, 6))
    phone.evaluate(LOST)
    phone.locator("[data-save]").click()
    expect(board.says).to_contain_text("saved when the signal is back")
    assert Draft.everywhere.get().site["patches"][0]["corners"][1]["x"] == 9.6
    return board


def assert_mine_alone() -> None:
    site = Draft.everywhere.get().site  # one drawing: nobody is told of somebody else
    assert (site["patches"][0]["corners"][1]["x"], [bed["kind"] for bed in site["beds"]]) == (9.6, ["pocket"])


def test_a_save_whose_answer_was_lost_is_no_conflict_for_what_is_drawn_next(phone, oak, unheard):
    saves = DraftSave.everywhere.count()
    unheard.put("pocket", (2, 2))
    unheard.save()
    assert_mine_alone()
    assert DraftSave.everywhere.count() == saves + 1


def test_a_save_whose_answer_was_lost_is_still_known_after_the_page_was_opened_again(phone, oak, unheard):
    saves = DraftSave.everywhere.count()
    phone.context.set_offline(True)
    unheard.put("pocket", (2, 2))
    expect(phone.locator("[data-figures]")).to_be_hidden()
    board = opened_later(phone)
    expect(board.page.locator("[data-state]")).to_be_empty()  # "Saved." is told of the save that was not heard, too
    assert_mine_alone()
    assert DraftSave.everywhere.count() == saves + 1


def test_a_save_whose_answer_was_lost_stays_one_drawing_when_somebody_else_saves_in_between(phone, oak, unheard):
    draft = Draft.everywhere.get()
    save_site(draft=draft, revision=draft.revision, site={**draft.site, "north_deg": 10}, by=oak.visitor)
    with phone.expect_navigation(url="**/draw/**"):
        phone.locator("[data-save]").click()
    expect(phone.locator('[name="north_deg"]')).to_have_value("10")
    assert Draft.everywhere.count() == 1


# ---- two people


def test_two_people_on_one_drawing_lose_nothing_and_see_both(phone, new_context, live_server, oak, lawn):
    mine = open_board(phone, oak, lawn.conversion, "visitor")
    other = new_context(viewport={"width": 390, "height": 844}, base_url=live_server.url, has_touch=True).new_page()
    theirs = open_board(other, oak, lawn.conversion, "organiser")
    theirs.drag((8.6, 6), (9.6, 6))
    theirs.save()
    mine.drag((0, 0), (1, 0))
    with phone.expect_navigation(wait_until="load"):
        phone.locator("[data-save]").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Two drawings beside each other")
    expect(phone.get_by_text("Both drawings are kept: yours is number 2.")).to_be_visible()
    expect(phone.get_by_role("heading", name="Drawing 1")).to_be_visible()
    expect(phone.get_by_role("heading", name="Drawing 2")).to_be_visible()
    expect(phone.locator("tbody tr").first).to_have_text("Lawn to cover51.7 m²46.0 m²")
    first, second = Draft.everywhere.order_by("number")
    assert second.parent == first and (first.by, second.by) == (oak.organiser, oak.visitor)
    assert first.site["patches"][0]["corners"][1]["x"] == 9.6
    assert second.takeoff["figures"]["measured"]["value"] == pytest.approx(48.6)
