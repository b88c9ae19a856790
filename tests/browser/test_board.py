"""The drawing board on a phone: a finger, the list alone, keys alone, no signal, no room, two people at once."""

import pytest
from playwright.sync_api import expect

from conversions.yards.actions import open_draft, save_site
from conversions.yards.models import Draft
from tests.rows import make_yard
from tests.sizing.yards import worked

from .easel import open_board

pytestmark = pytest.mark.django_db(transaction=True)

# ---- the L-shaped yard worked by hand


@pytest.fixture
def l_front(oak):
    """A yard whose drawing has the soil, the depths and the sheets of the worked yard, and no ground yet."""
    document, rows = worked("l_front")
    yard = make_yard(oak)
    draft = open_draft(conversion=yard, by=oak.organiser)
    bare = {**document, "patches": [], "beds": [], "north_deg": None}
    save_site(draft=draft, revision=draft.revision, site=bare, by=oak.organiser)
    return yard, document, rows


def use_it(page, oak, yard) -> Draft:
    """The drawing kept, as it is then promised."""
    page.goto(oak.url(f"yards/{yard.pk}/plan/"))
    with page.expect_navigation(wait_until="load"):
        page.get_by_role("button", name="Keep the plan").click()
    return Draft.everywhere.get(conversion=yard, state="kept")


def assert_as_worked(draft: Draft, rows: list) -> None:
    """Every figure of the drawing, written with as many digits as the one worked by hand."""
    figures = draft.takeoff["figures"]
    assert {key for key, _part, _number in rows} == set(figures)
    found = [(key, part, f"{figures[key][part]:.{len(number.partition('.')[2])}f}") for key, part, number in rows]
    assert found == rows


def small(length: float) -> str:
    return f"{length * 1000:g}"


def typed(bed: dict) -> dict:
    """A bed of the worked yard as its numbers are typed: places and lengths in metres, small ones in millimetres."""
    tiny = ("height_m", "board_m", "top_m", "bottom_m")
    return {k: small(v) if k in tiny else v for k, v in bed.items() if k not in ("uid", "patch", "kind")}


def test_the_l_shaped_yard_drawn_with_a_finger_gives_the_figures_worked_by_hand(phone, oak, l_front):
    yard, document, rows = l_front
    corners, beds = document["patches"][0]["corners"], document["beds"]
    board = open_board(phone, oak, yard)
    expect(board.says).to_have_text("Tap each corner of the lawn in turn, then press Done.")
    board.outline(*((corner["x"], corner["y"]) for corner in corners))
    expect(board.figure("cover")).to_contain_text("51.0 m²")
    for i, corner in enumerate(corners):
        board.write(f"patches.0.corners.{i}", {"beyond": corner["beyond"]})
    phone.locator('[name="north_deg"]').fill("40")

    board.put("mounded", (2.3, 5.0))
    board.write("beds.0", typed(beds[0]) | {"turn_deg": 0.0})
    for _ in range(6):
        board.act("turn")
    board.put("framed", (6.0, 2.2))
    board.drag((6.0, 2.2), (6.5, 1.8))
    board.write("beds.1", {key: value for key, value in typed(beds[1]).items() if key not in "xy"})
    board.put("pocket", *((bed["x"], bed["y"]) for bed in beds[2:]))
    board.save()

    drawing = use_it(phone, oak, yard)
    assert_as_worked(drawing, rows)
    assert [{**bed, "uid": 0, "patch": 0} for bed in drawing.site["beds"]] == [
        {**bed, "uid": 0, "patch": 0} for bed in beds
    ]


def test_the_l_shaped_yard_typed_without_a_script_gives_the_figures_worked_by_hand(
    new_context, live_server, oak, l_front
):
    yard, document, rows = l_front
    corners, beds = document["patches"][0]["corners"], document["beds"]
    context = new_context(base_url=live_server.url, java_script_enabled=False, viewport={"width": 390, "height": 844})
    board = open_board(context.new_page(), oak, yard)
    expect(board.page.locator("[data-tools]")).to_be_hidden()  # nothing that only a script could do

    def press(what: str) -> None:
        with board.page.expect_navigation(wait_until="load"):
            board.page.locator(f'button[value="{what}"]').click()

    press("add patch")
    for here in ("patches.0.corners.3", "patches.0.corners.4"):  # the square has four corners, the L six
        board.row(here)
        press(f"after {here}")
    for i, corner in enumerate(corners):
        board.write(f"patches.0.corners.{i}", {key: corner[key] for key in ("x", "y", "beyond")})
    board.page.locator('[name="north_deg"]').fill("40")
    for bed in beds:
        board.page.get_by_text("Add by numbers").click()
        press(f"add {bed['kind']} 0")
    for i, bed in enumerate(beds):
        board.write(f"beds.{i}", typed(bed))
    board.save()
    assert_as_worked(use_it(board.page, oak, yard), rows)


# ---- keys alone


def test_a_bed_on_a_lawn_is_drawn_and_saved_by_keys_alone(phone, oak):
    yard = make_yard(oak)
    board = open_board(phone, oak, yard)
    phone.evaluate("addEventListener('pointerdown', () => { window.touched = true }, true)")
    board.go_to("svg.drawing")
    board.keys("ArrowUp", "Shift+ArrowLeft*2", "Enter")  # the first arrow brings the cross
    expect(board.says).to_have_text("1 points. Tap on, then press Done.")
    board.keys("Shift+ArrowRight*6", "Enter", "Shift+ArrowDown*3", "Enter", "Shift+ArrowLeft*6", "Enter")
    expect(phone.locator("[data-act=done]")).to_be_visible()
    board.go_to("[data-act=done]")
    board.keys("Enter")
    expect(board.figure("cover")).to_contain_text("18.0 m²")
    assert phone.evaluate("document.activeElement.matches('svg.drawing')")

    board.go_to("[data-hold='patches.0.corners.0']")
    board.keys("ArrowUp*5", "ArrowRight")
    expect(board.figure("cover")).to_contain_text("19.4 m²")
    board.keys("ArrowLeft", "Delete")
    expect(phone.locator("[data-hold]")).to_have_count(3)
    board.assert_focus_is_seen()
    board.keys("Control+z")
    expect(phone.locator("[data-hold]")).to_have_count(4)
    board.keys("Control+z", "Control+y")
    expect(board.figure("cover")).to_contain_text("19.5 m²")

    board.go_to("[name=put]")
    while not phone.evaluate("document.activeElement.matches('[value=mounded]')"):
        board.keys("ArrowRight")
    board.go_to("svg.drawing", "Shift+Tab")
    board.keys("ArrowUp", "Enter")
    expect(phone.locator("[data-hold='beds.0.end']")).to_be_attached()
    board.go_to("[data-save]")
    with phone.expect_navigation(wait_until="load"):
        board.keys("Enter")
    expect(phone.get_by_text("Saved.", exact=True)).to_be_visible()
    assert not phone.evaluate("window.touched")
    draft = Draft.everywhere.get()
    assert draft.takeoff["figures"]["measured"]["value"] == pytest.approx(19.5)
    assert [bed["kind"] for bed in draft.site["beds"]] == ["mounded"]
