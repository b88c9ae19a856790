"""A hand on a phone: every field typed and every press is counted."""

from django.test import Client
from playwright.sync_api import Page


class Hand:
    """`typed` counts fields filled in by typing, `pressed` counts clicks, taps and choices."""

    def __init__(self, page: Page):
        self.page = page
        self.typed = 0
        self.pressed = 0

    def type(self, name: str, text: str) -> None:
        self.page.locator(f'main [name="{name}"]').fill(text)
        self.typed += 1

    def choose(self, name: str, value: str) -> None:
        field = self.page.locator(f'main [name="{name}"]').first
        if field.evaluate("e => e.tagName") == "SELECT":
            field.select_option(value)
        else:
            self.page.locator(f'main [name="{name}"][value="{value}"]').check()
        self.pressed += 1

    def press(self, words: str, role: str = "button") -> None:
        """One press that opens the next page, and the wait until that stands."""
        with self.page.expect_navigation(wait_until="load"):
            self.page.locator("main").get_by_role(role, name=words, exact=False).first.click()
        self.pressed += 1

    def press_here(self, words: str) -> None:
        """One press that changes something on this page."""
        self.page.locator("main").get_by_role("button", name=words).first.click()
        self.pressed += 1

    def follow(self, words: str) -> None:
        self.press(words, "link")


USUAL = {  # what a walk round a plain yard finds
    "say-right": "owners", "pipes-public": "marked", "pipes-own": "none", "septic-septic": "no",
    "past-past": "none", "past-soil": "untested", "waters-minutes": "30 to 60", "waters-bend": "no",
}  # fmt: skip


def answer_the_visit(hand: Hand) -> None:
    """From the page of a yard: the visit opened there and then, and its questions answered, pictures aside."""
    hand.follow("Book a visit")
    hand.press("I am there now")
    hand.press_here("The usual")
    for box in hand.page.locator('main [name="looked"]').all():
        box.check()
        hand.pressed += 1
    for name, value in USUAL.items():
        hand.choose(name, value)
    hand.type("pipes-public-until", "2099-01-01")


def sign_in(page: Page, world, role: str = "organiser") -> None:
    """Through the sign-in page, as people do."""
    page.goto("/sign-in/")
    page.get_by_label("E-mail").fill(getattr(world, role).user.email)
    page.get_by_label("Password").fill("a long enough password")
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/g/**")


def be_signed_in(page: Page, world, role: str = "organiser") -> None:
    """The session alone, for what begins after signing in: the page to sign in at has tests of its own."""
    cookie = world.sign_in(Client(), role).cookies["sessionid"]
    page.context.add_cookies([{"name": cookie.key, "value": cookie.value, "domain": "localhost", "path": "/"}])


def set_prices(world) -> None:
    """The nine prices of an invented price book."""
    from decimal import Decimal

    from conversions.quotes.book_actions import set_price

    for item, price in {
        "cardboard": "0", "chips": "0", "work": "0", "tools": "0", "compost": "48",
        "compost delivery": "45", "frame": "74", "plants": "62", "soil test": "30",
    }.items():  # fmt: skip
        set_price(group=world.group, item=item, price=Decimal(price), by=world.organiser)
