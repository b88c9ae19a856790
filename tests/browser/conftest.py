"""Debian's Chromium for the browser tests; run in a process of their own."""

import os

import pytest
from axe_playwright_python.sync_playwright import Axe

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
]


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    return {
        **browser_type_launch_args,
        "executable_path": os.environ.get("CHROMIUM", "/usr/bin/chromium"),
        "args": FLAGS,
    }


@pytest.fixture
def phone(new_context, live_server):
    """A page 390 px wide that fails the test on any script error or blocked resource."""
    context = new_context(viewport={"width": 390, "height": 844}, base_url=live_server.url, has_touch=True)
    context.set_default_timeout(10_000)
    page = context.new_page()
    page.troubles = []
    page.on("pageerror", lambda error: page.troubles.append(str(error)))
    page.on("console", lambda said: page.troubles.append(said.text) if said.type == "error" else None)
    yield page
    assert page.troubles == []


def findings(page) -> list[str]:
    """What axe-core finds on the page as it stands, at 390 and at 1280 px."""
    found = []
    width = page.viewport_size["width"]
    for w in (390, 1280):
        page.set_viewport_size({"width": w, "height": 900})
        for v in Axe().run(page).response["violations"]:
            found.append(f"{w} px: {v['id']}: " + "; ".join(n["html"][:160] for n in v["nodes"][:3]))
        overflow = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if overflow > 0:
            found.append(f"{w} px: the page scrolls sideways by {overflow} px")
    page.set_viewport_size({"width": width, "height": 844})
    return found
