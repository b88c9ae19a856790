"""The drawing board as a hand finds it: metres to pixels by the marks everybody sees, touches, keys, rows of the list."""

import re
import time

from playwright.sync_api import Locator, Page, expect

from tests.browser.hand import be_signed_in

expect.set_options(timeout=10_000)  # as long as a page waits for its fields; a busy machine takes its time

# Where the small cross stands and how wide one square of a metre is, in pixels of the window.
MARKS = """() => {
  const svg = document.querySelector("svg.drawing");
  const box = svg.getBoundingClientRect();
  const lines = [...svg.querySelector(".squares").getAttribute("d").matchAll(/M([\\d.-]+) 0v/g)].map((line) => Number(line[1]));
  const cross = svg.querySelector(".squares + path").getBoundingClientRect();
  return {
    x: cross.x + cross.width / 2, y: cross.y + cross.height / 2,
    metre: (lines.at(-1) - lines[0]) / (lines.length - 1) * box.width / svg.viewBox.baseVal.width,
    edges: [box.left, box.top, box.right, box.bottom],
  };
}"""

# What is wrong with the place of what has the focus: outside the window, or under something else.
FOCUS = """() => {
  const one = document.activeElement;
  const shown = one.matches(".hold") ? one.querySelector(".dot") : one.closest("label") ?? one;
  const box = shown.getBoundingClientRect();
  const [x, y] = [box.x + box.width / 2, box.y + Math.min(box.height / 2, 20)];
  const name = one.getAttribute("aria-label") ?? one.textContent.trim() ?? one.tagName;
  if (x < 0 || y < 0 || x > innerWidth || y > innerHeight) return `${name} is outside the window at ${x}, ${y}`;
  const top = document.elementFromPoint(x, y);
  const group = one.closest("label, .unit, svg.drawing") ?? one;
  return group.contains(top) ? "" : `${name} lies under ${top?.outerHTML.slice(0, 80)}`;
}"""


class Easel:
    """One page with the board open."""

    def __init__(self, page: Page):
        self.page = page
        self.svg = page.locator("svg.drawing")
        self.says = page.locator("[data-says]")

    def pixel(self, x: float, y: float) -> tuple[float, float]:
        marks = self.page.evaluate(MARKS)
        assert marks["metre"] >= 18, "the squares are of one metre only while they are this large"
        return marks["x"] + x * marks["metre"], marks["y"] - y * marks["metre"]

    def tap(self, x: float, y: float) -> None:
        self.svg.scroll_into_view_if_needed()
        self.page.touchscreen.tap(*self.pixel(x, y))

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """A finger that goes down at one spot of the ground and up at another one."""
        self.fingers((start, end))

    def fingers(self, *ways: tuple[tuple[float, float], tuple[float, float]]) -> None:
        """Fingers that go down at once, each at one spot of the ground, and up at another one. Within a third of a second
        of a tap the browser takes both for one gesture, which no hand is quick enough for."""
        self.page.wait_for_timeout(350)
        self.svg.scroll_into_view_if_needed()
        ways = [(self.pixel(*start), self.pixel(*end)) for start, end in ways]
        hand = self.page.context.new_cdp_session(self.page)

        def touch(kind: str, *spots) -> None:
            points = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(spots)]
            hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

        touch("touchStart", *(start for start, _end in ways))
        for part in (0.3, 0.7, 1):
            touch("touchMove", *((ax + part * (bx - ax), ay + part * (by - ay)) for (ax, ay), (bx, by) in ways))
        touch("touchEnd")
        hand.detach()
        self.page.wait_for_timeout(350)

    def put(self, kind: str, *spots: tuple[float, float]) -> None:
        """Pick what to put, then tap where it goes."""
        self.page.locator(f'label:has([name=put][value="{kind}"])').tap()
        expect(self.page.locator(f'[name=put][value="{kind}"]')).to_be_checked()
        for spot in spots:
            self.tap(*spot)

    def act(self, name: str) -> None:
        self.page.locator(f'[data-act="{name}"]').tap()

    def outline(self, *spots: tuple[float, float]) -> None:
        for spot in spots:
            self.tap(*spot)
        self.act("done")

    def side(self, n: int) -> Locator:
        """The length written along one side; each stands twice, once as its own white rim."""
        return self.svg.locator(".tape:not(.halo)").nth(n)

    # ---- the list

    def row(self, path: str) -> Locator:
        """A row of the list, unfolded."""
        row = self.page.locator(f'details[data-thing="{path}"]')
        if row.get_attribute("open") is None:
            row.locator("summary").click()
        return row

    def write(self, path: str, values: dict) -> None:
        """Type the numbers of one thing, pick its words."""
        row = self.row(path)
        for key, value in values.items():
            field = row.locator(f'[name="{path}.{key}"]')
            if field.evaluate("e => e.tagName") == "SELECT":
                field.select_option(str(value))
            else:
                field.fill(f"{value:g}" if isinstance(value, float) else str(value))

    def figure(self, key: str) -> Locator:
        return self.page.locator(f'[data-figures] [data-key="{key}"]')

    def save(self) -> None:
        with self.page.expect_navigation(wait_until="load"):
            self.page.locator("[data-save]").click()
        expect(self.page.get_by_text("Saved.", exact=True).first).to_be_visible()

    # ---- keys

    def go_to(self, wanted: str, key: str = "Tab") -> None:
        """Tab (or Shift+Tab) to what is wanted; wherever the focus stands on the way, it is seen."""
        for _ in range(80):
            self.page.keyboard.press(key)
            self.assert_focus_is_seen()
            if self.page.evaluate("wanted => document.activeElement.matches(wanted)", wanted):
                return
        raise AssertionError(f"{wanted} is not reached by {key}")

    def assert_focus_is_seen(self) -> None:
        """At once, or as soon as the window has scrolled there."""
        until = time.monotonic() + 2
        while wrong := self.page.evaluate(FOCUS):
            assert time.monotonic() < until, wrong
            self.page.wait_for_timeout(20)

    def keys(self, *keys: str) -> None:
        for key in keys:
            name, _x, times = key.partition("*")
            for _ in range(int(times or 1)):
                self.page.keyboard.press(name)


def open_board(page: Page, world, yard, role: str = "organiser", number: int = 0) -> Easel:
    if not page.context.cookies():
        be_signed_in(page, world, role)
    page.emulate_media(reduced_motion="reduce")  # no waiting for a slow scroll
    page.goto(world.url(f"yards/{yard.pk}/plan/draw/") + (f"?drawing={number}" if number else ""))
    return Easel(page)


def metres(text: str) -> float:
    """The length written along a side."""
    return float(re.search(r"[\d.]+", text)[0])


def forgive(page, *known: str) -> None:
    """The browser itself writes of a request that did not arrive; that is no fault of a script."""
    page.troubles[:] = [words for words in page.troubles if not any(each in words for each in known)]
