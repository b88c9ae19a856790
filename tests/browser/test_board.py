"""The drawing board on a phone: a finger, the list alone, keys alone, and what cannot be read or does not fit."""

import pytest
from playwright.sync_api import expect

from conversions.yards.actions import open_draft, save_site
from conversions.yards.drawing.textures import SERVICE
from conversions.yards.kinds import KINDS
from conversions.yards.models import Draft
from tests.rows import make_open, make_yard, rectangle
from tests.sizing.yards import worked

from .conftest import findings
from .easel import forgive, metres, open_board

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

    for name in ("new.long", "new.wide"):
        board.page.locator(f'[name="{name}"]').fill("5")
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
    expect(board.says).to_have_text("1 point. Tap the next one.")
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
    board.go_to("[data-hold='patches.0.corners.3']")
    board.keys("Delete")  # the last one: no other comes in its place, and the focus stays on the drawing
    assert phone.evaluate("document.activeElement.matches('svg.drawing')")
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


# ---- a finger

ASKED = "performance.getEntriesByType('resource').findLast((one) => one.name.endsWith('/try/')).duration"


@pytest.fixture
def lawn(oak):
    """A drawing of one front lawn, 8.6 by 6 m, and nothing on it."""
    return make_open(oak, None, rectangle(), beds=False)


def test_a_dragged_corner_changes_its_sides_and_the_figures_and_can_be_taken_back(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    assert metres(board.side(0).text_content()) == 8.6
    board.drag((8.6, 6), (9.6, 6))
    expect(board.side(0)).to_have_text("9.60 m")
    expect(board.figure("cover").locator(".by")).to_have_text("+2.7 m²")
    print(f"asked 0.2 s after the change, the server tells its figures in {phone.evaluate(ASKED) / 1000:.2f} s")
    board.act("undo")
    expect(board.side(0)).to_have_text("8.60 m")
    expect(board.figure("cover").locator(".by")).to_have_text("")
    board.act("redo")
    expect(board.side(0)).to_have_text("9.60 m")

    board.put("corner", (4.3, 0))  # one more corner in the lower side, then a pocket right beside it
    board.put("pocket", (4.3, 0.5))
    expect(phone.locator("[data-thing^='beds.'] > summary")).to_have_count(1)
    board.drag((4.3, 0), (3.3, 0))  # of two points under one finger the nearest goes along
    expect(board.side(2)).to_have_text("5.30 m")
    board.put("", (4.3, 0.5))  # nothing is put: the pocket is chosen
    board.act("remove")
    board.act("undo")
    board.put("tree", (2, 3))
    board.put("", (2, 3))
    expect(phone.locator("[data-name]")).to_contain_text("Tree, 2.00 m to the right, 3.00 m up")
    phone.locator("[data-nudge=right]").tap()
    expect(phone.locator("[data-name]")).to_contain_text("Tree, 2.10 m")
    board.save()
    site = Draft.everywhere.get().site
    assert [bed["kind"] for bed in site["beds"]] == ["pocket"]
    assert (site["beds"][0]["x"], site["beds"][0]["y"]) == (4.3, 0.5)
    assert [corner["x"] for corner in site["patches"][0]["corners"]] == [0, 9.6, 8.6, 3.3, 0]
    assert [(f["kind"], f["x"], f["y"]) for f in site["patches"][0]["features"]] == [("tree", 2.1, 3.0)]


# ---- the list


def test_what_cannot_be_read_or_sized_is_said_beside_it_and_nothing_typed_is_lost(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("mounded", (4, 3))
    bed, corner = board.row("beds.0"), "patches.0.corners.1"
    for typed, said in (("abc", "We cannot read this."), ("-3", "Write a length above nothing.")):
        field = bed.locator('[name="beds.0.length_m"]')
        field.fill(typed)
        field.blur()
        expect(bed.locator("#beds-0-length_m-oops")).to_contain_text(said)
        assert field.input_value() == typed and field.get_attribute("aria-invalid") is not None
        phone.locator("[data-save]").click()
        expect(board.says).to_have_text("Mend the marked field first.")
        expect(field).to_be_focused()
        assert findings(phone) == []
    field.fill("12'6\"")
    field.blur()
    expect(bed.locator("#beds-0-length_m-oops")).to_be_hidden()
    expect(field).to_have_value("3.81")
    board.act("undo")  # one step back for the whole length, not one for each of its signs
    expect(field).to_have_value("3")
    board.act("redo")

    board.write(corner, {"x": "400"})
    wrong = phone.locator("[data-thing='patches.0.corners.0'] [data-wrong]")
    expect(wrong).to_contain_text("Is that right?")
    expect(wrong).to_be_visible()  # its row opened by itself
    board.write(corner, {"x": "4000"})
    expect(board.says).to_contain_text("No lawn laid by hand is that large: check the units, or split it.")
    phone.locator("[data-save]").click()
    expect(board.says).to_contain_text("No lawn laid by hand is that large")
    assert Draft.everywhere.get().revision == lawn.revision
    board.write(corner, {"x": "2", "y": "-1"})  # A to B now crosses C to D
    expect(phone.locator("[data-kind=corner] [data-wrong] .oops").first).to_contain_text("cross")
    expect(phone.locator("svg.drawing .wrong").first).to_be_visible()
    expect(phone.locator("[data-figures] li")).to_have_count(0)
    board.write(corner, {"x": "8.6", "y": "6"})
    expect(board.figure("cover")).to_contain_text("49.0 m²")
    expect(phone.locator("[data-wrong] .oops, svg.drawing .wrong")).to_have_count(0)
    board.save()
    assert Draft.everywhere.get().site["beds"][0]["length_m"] == pytest.approx(3.81)
    forgive(phone, "422")


# ---- what stands on the ground


def test_whatever_is_put_is_drawn_in_its_own_way_and_axe_finds_nothing(phone, oak, lawn):
    board = open_board(phone, oak, lawn.conversion)
    board.put("along", (1, 1), (3, 2), (5, 1))
    assert findings(phone) == []  # while something is put
    board.act("done")
    board.put("line", (1, 5), (7, 5))
    phone.locator("#service").select_option("water")
    board.act("done")
    board.put("tree", (7, 3))
    for kind, spot in (("tap", (1, 3.2)), ("heap", (3, 3.2)), ("downspout", (5, 3.2))):
        board.put(kind, spot)
        assert phone.locator(f"svg.drawing text:not(.halo):text-is('{KINDS[kind].words}')").count() == 1
    phone.locator('[name="north_deg"]').fill("40")
    strokes = phone.locator("svg.drawing [data-thing$='features.0'] path").evaluate_all(
        "all => all.map((e) => e.getAttribute('stroke'))"
    )
    assert strokes == ["#1d1a14", SERVICE["water"]]
    bed = phone.locator("svg.drawing [data-thing='beds.0'] path").last
    assert bed.get_attribute("stroke") == "url(#tx-compost)" and bed.get_attribute("d").count("L") == 2
    assert phone.locator("svg.drawing [data-thing$='features.1'] circle[stroke-dasharray]").count() == 1
    assert phone.locator("svg.drawing path[transform^='rotate(40 ']").count() == 1  # the arrow, as far to the right
    board.tap(7, 3)
    expect(phone.locator("[data-name]")).to_contain_text("Tree")
    assert findings(phone) == []  # while something is chosen
    board.save()
    site = Draft.everywhere.get().site
    assert site["north_deg"] == 40 and site["beds"][0]["path"] == [[1, 1], [3, 2], [5, 1]]
    assert {row["kind"] for row in site["patches"][0]["marks"]} == {"tap", "heap", "downspout"}
