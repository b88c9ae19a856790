"""The whole job once through, on a phone: one household from first enquiry to square metres counted."""

import io
from decimal import Decimal

import pytest
from PIL import Image
from pypdf import PdfReader

from conversions.builds.models import Day, Ground
from conversions.care.models import CareSheet, FollowUp
from conversions.quotes.models import Quote
from conversions.yards.models import Photo

from .conftest import findings
from .hand import Hand, answer_the_visit, set_prices, sign_in

pytestmark = pytest.mark.django_db(transaction=True)

COVER_M2 = Decimal("45.60")  # 8 m x 6 m, less a strip of 0.3 m along 8 m of house wall: 48 - 2.4


def paper(page, address: str) -> str:
    """The text of a paper behind a link, read back; every paper must be tagged and name its language."""
    answer = page.context.request.get(address)
    assert answer.headers["content-type"] == "application/pdf", address
    read = PdfReader(io.BytesIO(answer.body()))
    assert bool(read.trailer["/Root"]["/MarkInfo"]["/Marked"]) is True
    assert str(read.trailer["/Root"]["/Lang"]).startswith("en")
    return " ".join(" ".join(p.extract_text() for p in read.pages).split())


def a_picture(tmp_path) -> str:
    file = tmp_path / "front.jpg"
    exif = Image.Exif()
    exif[0x0112] = 6  # lying on its side
    Image.new("RGB", (1200, 900), "#5d9451").save(file, exif=exif)
    return str(file)


def write_enquiry(hand: Hand) -> None:
    hand.follow("Write down an enquiry")
    hand.press("Keep")
    hand.page.get_by_text("own or rent").first.wait_for()  # errors stand beside their fields
    hand.type("name", "Ada Okafor")
    hand.type("reach", "000 123 456")
    hand.type("address", "14 Tansy Row")
    hand.choose("tenure", "own")
    hand.press("Keep")


def walk_the_yard(hand: Hand, tmp_path) -> None:
    page = hand.page
    answer_the_visit(hand)
    with page.expect_navigation():
        page.locator("main").get_by_role("button", name="Keep", exact=True).last.click()
    page.set_input_files('main [name="photo-left"]', a_picture(tmp_path))
    hand.press("Keep the pictures")
    page.locator("main img").first.wait_for()
    assert findings(page) == []
    hand.press("Visit done")


def draw_the_plan(hand: Hand) -> None:
    hand.follow("Draw the plan")
    for name, value in {"beyond_B": "drive", "beyond_C": "pavement", "beyond_D": "path"}.items():
        hand.choose(name, value)
    hand.type("length_A", "8 m")
    hand.type("length_B", "6,0 m")
    assert findings(hand.page) == []
    hand.press("Draw it")
    hand.press("Lay it out for me")
    assert "45.6" in hand.page.locator("main").inner_text()
    assert findings(hand.page) == []
    hand.press("Quote it")


def answer_yes(new_context, live_server, address: str) -> None:
    """The household: no account, no JavaScript, an old narrow phone, and two presses on yes."""
    context = new_context(viewport={"width": 360, "height": 640}, java_script_enabled=False, base_url=live_server.url)
    page = context.new_page()
    page.goto(address)
    words = page.locator("main").inner_text()
    assert "14 Tansy Row" in words and "45.6" in words
    plan = paper(page, address.rstrip("/") + "/plan.pdf")
    assert "14 Tansy Row" in plan and "cardboard" in plan.lower()
    assert "/p/" not in plan  # no link inside a frozen paper
    again = context.new_page()
    again.goto(address)
    for press in (page, again):
        press.get_by_role("button", name="Yes").first.click()
        assert "You said yes" in press.locator("main").inner_text()
    context.close()


def sign_up(new_context, live_server, address: str) -> None:
    context = new_context(viewport={"width": 390, "height": 844}, base_url=live_server.url)
    context.set_default_timeout(10_000)
    page = context.new_page()
    page.goto(address)
    assert findings(page) == []
    page.locator('main [name="name"]').fill("Bea Lund")
    page.locator('main [name="phone"]').fill("000 222 333")
    page.locator("main form button").first.click()
    page.get_by_text("Bea").first.wait_for()
    context.close()


def test_one_household_from_enquiry_to_square_metres(phone, oak, new_context, live_server, tmp_path):
    set_prices(oak)
    sign_in(phone, oak)
    hand = Hand(phone)
    assert findings(phone) == []

    write_enquiry(hand)
    yard = phone.url
    walk_the_yard(hand, tmp_path)
    photo = Photo.everywhere.get()
    assert (photo.width, photo.height) == (900, 1200)  # upright

    phone.goto(yard)
    draw_the_plan(hand)
    assert findings(phone) == []
    hand.press("Send")
    link = phone.get_by_label("Read and answer without an account").input_value()
    answer_yes(new_context, live_server, link)
    quote = Quote.everywhere.get()
    assert (quote.state, quote.replies.filter(counts=True).count()) == ("accepted", 1)

    phone.goto(yard)
    assert findings(phone) == []
    hand.follow("Pick a build day")
    phone.locator('main [name="on"]').fill(oak.today.isoformat())
    phone.locator('main [name="rain_on"]').fill("")
    phone.locator('main [name="starts"]').fill("09:00")
    phone.locator('main [name="ends"]').fill("12:30")
    assert findings(phone) == []
    hand.press("Set the day")
    day = Day.everywhere.get()
    phone.goto(f"/g/oak/days/{day.pk}/?at=before")
    assert findings(phone) == []
    sign_up(new_context, live_server, phone.get_by_label("The link where people sign up").input_value())
    crew = paper(phone, f"/g/oak/days/{day.pk}/crew-sheet.pdf")
    assert "14 Tansy Row" in crew and "Bea Lund" in crew and "000 222 333" not in crew
    assert "smell" in crew.lower() and "heat" in crew.lower()

    phone.goto(f"/g/oak/days/{day.pk}/?at=on")
    assert findings(phone) == []
    hand.press("All here")
    hand.press("As drawn")
    phone.goto(f"/g/oak/days/{day.pk}/?at=after")
    assert findings(phone) == []
    hand.press("Close the day")
    assert "45.6" in phone.locator("main").inner_text()
    assert findings(phone) == []
    hand.press("Close the day")
    phone.get_by_role("heading", level=1).first.wait_for()
    assert findings(phone) == []

    row = Ground.everywhere.get()
    assert (row.kind, row.m2, row.complete_on) == ("converted", COVER_M2, oak.today)
    sheet = CareSheet.everywhere.get()
    care = paper(phone, f"/g/oak/care-sheets/{sheet.pk}/paper.pdf")
    assert "14 Tansy Row" in care and "water" in care.lower()
    kinds = list(FollowUp.everywhere.order_by("due_on").values_list("kind", flat=True))
    assert sorted(kinds) == sorted(["week 1", "month 1", "season's end", "year 1", "year 2", "year 3"])

    phone.goto("/g/oak/aftercare/")
    assert findings(phone) == []
    first = FollowUp.everywhere.order_by("due_on").first()
    phone.goto(f"/g/oak/follow-ups/{first.pk}/")
    assert findings(phone) == []

    phone.goto("/g/oak/tally/")
    assert findings(phone) == []
    assert "45.6" in phone.locator("main").inner_text()
    rows = phone.context.request.get("/g/oak/tally/ground.csv").text()
    assert "45.60" in rows
    phone.goto("/g/oak/")
    assert "45.6" in phone.locator("main").inner_text()
    assert findings(phone) == []
