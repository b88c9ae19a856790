"""A stranger's first hour: a group from nothing to its first counted garden, on a phone, with no manual and no dead end.

The machine counts presses and typed fields and says how long it took itself; how long a person takes it does not know.
"""

import datetime
import time

import pillow_heif
import pytest
from PIL import Image
from playwright.sync_api import expect

from conversions.builds.models import Day, Ground
from conversions.care.models import FollowUp
from conversions.groups.models import Group
from conversions.quotes.models import Quote, Reply
from conversions.yards.models import Conversion, Photo

from .hand import Hand, answer_the_visit

pytestmark = pytest.mark.django_db(transaction=True)


def way_on(page) -> None:
    """No dead end: every page offers something to press or follow in its own right, not only the frame around it."""
    ways = page.locator("main a[href], main button, main summary").count()
    assert ways, page.url


def start_a_group(hand: Hand) -> None:
    hand.page.goto("/start/")
    hand.type("name", "Sorrel Court Growers")
    hand.type("your_name", "Mina")
    hand.type("email", "mina@sorrel.example")
    hand.type("password", "a long enough password")
    hand.press("Start")
    hand.page.get_by_role("heading", name="The first garden, layer by layer").wait_for()


def write_enquiry(hand: Hand) -> None:
    hand.follow("Write down an enquiry")
    hand.type("name", "Zoë 🌻")  # one word, and an emoji
    hand.type("reach", "000 123 456")
    hand.type("address", "14 Tansy Row")
    hand.choose("tenure", "own")
    hand.press("Keep")
    expect(hand.page.get_by_role("heading", level=1)).to_contain_text("Zoë 🌻")


def big_jpeg(tmp_path) -> str:
    """Noise hardly shrinks: a picture of some 20 MB, as a good phone makes them."""
    file = tmp_path / "big.jpg"
    Image.merge("RGB", [Image.effect_noise((4600, 3450), 120) for _band in "RGB"]).save(file, quality=95)
    assert 18_000_000 < file.stat().st_size < 40_000_000
    return str(file)


def heic(tmp_path) -> str:
    pillow_heif.register_heif_opener()
    file = tmp_path / "IMG_0001.HEIC"
    Image.new("RGB", (640, 480), "#5d9451").save(file, "HEIF")
    return str(file)


def walk_the_yard(hand: Hand, tmp_path) -> None:
    page = hand.page
    answer_the_visit(hand)
    page.set_input_files('main [name="photo-left"]', big_jpeg(tmp_path))
    page.set_input_files('main [name="photo-middle"]', heic(tmp_path))
    hand.choose("photo-people", "none")
    hand.press("Keep the pictures")
    way_on(page)
    hand.press("Visit done")


def quote_it(hand: Hand) -> None:
    hand.follow("Draw the plan")
    hand.type("length_A", "8 m")
    hand.type("length_B", "6 m")
    for name, value in {"beyond_B": "drive", "beyond_C": "pavement", "beyond_D": "path"}.items():
        hand.choose(name, value)
    hand.press("Draw it")
    hand.press("Lay it out for me")
    hand.press("Quote it")


def price_it_and_send(hand: Hand) -> None:
    """The prices that a first quote waits for are asked on the quote itself, once."""
    page = hand.page
    way_on(page)
    for field in page.locator("#prices input:not([type=hidden]):not([type=checkbox])").all():
        field.fill("€" if "currency" in field.get_attribute("name") else "40")
        hand.typed += 1
    hand.press("Keep the prices")
    expect(page.get_by_text("It waits for the prices first.")).to_have_count(0)
    hand.press("Send")
    page.get_by_label("Read and answer without an account").wait_for()


def accept_by_phone(hand: Hand) -> None:
    """Their yes read back on the telephone: pressed twice in one go, and once more after the back button."""
    page = hand.page
    page.get_by_text("Record what they said").first.click()
    hand.pressed += 1
    hand.choose("answer", "yes")
    hand.choose("route", "phone")
    hand.type("witness", "Mina")
    # the second press breaks off the page that the first one opened, so it is the words that are waited for
    page.locator("main").get_by_role("button", name="Write it down").first.dblclick(no_wait_after=True)
    hand.pressed += 1
    expect(page.locator("#said")).to_contain_text("read back before Mina", timeout=20_000)
    page.wait_for_load_state("load")
    page.go_back(wait_until="load")
    again = page.locator("main").get_by_role("button", name="Write it down")
    if again.count() and not again.first.is_visible():
        page.get_by_text("Record what they said").first.click()
    if again.count():
        with page.expect_navigation(wait_until="load"):
            again.first.click()
    expect(page.locator("#said li")).to_have_count(1)
    way_on(page)
    assert Quote.everywhere.get().state == "accepted"
    assert Reply.everywhere.filter(counts=True).count() == 1


def plan_run_and_close(hand: Hand, yard: str, today: datetime.date) -> None:
    page = hand.page
    page.goto(yard)
    hand.follow("Pick a build day")
    for name, value in {"on": today.isoformat(), "rain_on": "", "starts": "09:00", "ends": "12:30"}.items():
        hand.type(name, value)
    hand.press("Set the day")
    way_on(page)
    day = page.url.split("?")[0]
    for at in ("before", "on", "after"):
        page.goto(f"{day}?at={at}")
        way_on(page)
    page.goto(f"{day}?at=on")
    hand.press("As drawn")
    page.goto(f"{day}?at=after")
    hand.press("Close the day")
    hand.press("Close the day")
    way_on(page)


def test_a_group_from_nothing_to_its_first_counted_garden(phone, settings, tmp_path):
    settings.REGISTRATION = "open"
    begun, hand = time.monotonic(), Hand(phone)
    start_a_group(hand)
    write_enquiry(hand)
    yard = phone.url
    walk_the_yard(hand, tmp_path)
    sizes = sorted(Photo.everywhere.values_list("slot", "width", "height"))
    assert sizes == [("left", 1600, 1200), ("middle", 640, 480)]
    phone.goto(yard)
    quote_it(hand)
    price_it_and_send(hand)
    accept_by_phone(hand)
    plan_run_and_close(hand, yard, Group.objects.get().today())
    assert (Day.everywhere.get().state, Ground.everywhere.get().kind) == ("closed", "converted")
    assert FollowUp.everywhere.filter(state="due").count() == 6
    assert Conversion.everywhere.with_facts().get().stage == "built"
    assert hand.typed <= 20 and hand.pressed <= 60
    print(f"{hand.typed} typed fields, {hand.pressed} presses, {time.monotonic() - begun:.0f} s for a machine")
