"""Two phones: one invites, the other joins; then the first removes, and the second is out at once."""

import pytest

from conversions.groups.models import Member
from conversions.people import actions, links

from .conftest import findings
from .hand import sign_in

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def other(new_context, live_server):
    """A second phone, with cookies of its own."""
    context = new_context(viewport={"width": 390, "height": 844}, base_url=live_server.url, has_touch=True)
    context.set_default_timeout(10_000)
    return context.new_page()


def press(page, words: str) -> None:
    with page.expect_navigation(wait_until="load"):
        page.locator("main").get_by_role("button", name=words).first.click()


def open_menu(page, words: str) -> None:
    page.locator(".me-menu summary").click()
    with page.expect_navigation(wait_until="load"):
        page.locator(".me-menu").get_by_role("link", name=words).click()


def test_an_invitation_is_sent_taken_and_the_membership_ended(phone, other, oak):
    sign_in(phone, oak)
    open_menu(phone, "Who is in")
    phone.get_by_label("For whom").fill("Kofi")
    invite_roles = phone.locator("section", has=phone.get_by_role("heading", name="Invite by a link"))
    invite_roles.get_by_label("visits yards").check()
    press(phone, "Make the link")
    assert findings(phone) == []
    address = phone.get_by_label("Their link").input_value()
    phone.get_by_role("button", name="Copy the link").wait_for()

    other.goto(address)
    assert findings(other) == []
    other.get_by_label("Your name").fill("Kofi Osei")
    other.get_by_label("Your e-mail").fill("kofi@oak.example")
    other.get_by_label("A password").fill("three words in a row")
    press(other, "Join")
    other.wait_for_url("**/g/oak/")
    assert Member.of(oak.group).get(user__email="kofi@oak.example").roles == {"visitor"}

    phone.reload()
    assert phone.get_by_label("Their link").count() == 0, "used once, gone from the list"
    row = phone.locator("li", has=phone.get_by_role("heading", name="Kofi Osei"))
    row.locator("summary").click()
    row.get_by_label("leads build days").check()
    press(phone, "Keep these roles")
    assert Member.of(oak.group).get(user__email="kofi@oak.example").roles == {"visitor", "lead"}
    row.locator("summary").click()
    with phone.expect_navigation(wait_until="load"):
        row.get_by_role("link", name="Remove from the group").click()
    assert findings(phone) == []
    press(phone, "Remove")
    assert phone.get_by_role("heading", name="Kofi Osei").count() == 0

    other.goto("/g/oak/yards/")
    assert "/sign-in/" in other.url
    other.goto(address)
    assert "no longer opens" in other.locator("h1").inner_text()
    assert findings(other) == []


def test_a_revoked_invitation_opens_nothing_on_the_other_phone(phone, other, oak):
    row = actions.invite(group=oak.group, by=oak.organiser, roles=frozenset({"lead"}))
    other.goto(f"/join/{links.token(row)}/")
    sign_in(phone, oak)
    phone.goto("/g/oak/members/")
    press(phone, "Take it back")
    other.get_by_label("Your name").fill("Late")
    other.get_by_label("Your e-mail").fill("late@oak.example")
    other.get_by_label("A password").fill("three words in a row")
    press(other, "Join")
    assert "no longer opens" in other.locator("h1").inner_text()
    assert not Member.of(oak.group).filter(user__email="late@oak.example").exists()


def test_dusk_is_chosen_in_the_menu_and_every_account_page_reads_well_in_it(phone, oak, settings):
    settings.REGISTRATION = "open"
    for address in ("/sign-in/", "/start/", "/password/forgotten/", "/password/forgotten/sent/", "/join/9.x/"):
        phone.goto(address)
        assert findings(phone) == [], address
        phone.troubles.clear()  # the page of a dead link answers 404, which the browser notes
    sign_in(phone, oak)
    phone.locator(".me-menu summary").click()
    assert findings(phone) == []
    with phone.expect_navigation(wait_until="load"):
        phone.get_by_role("button", name="Dusk for the eyes").click()
    assert phone.locator("html").get_attribute("data-theme") == "dusk"
    for address in (
        "/g/oak/",
        "/g/oak/members/",
        "/g/oak/group/",
        "/g/oak/group/uses/",
        "/g/oak/leave/",
        "/password/",
        "/start/",
    ):
        phone.goto(address)
        assert findings(phone) == [], address
    phone.goto("/g/oak/")
    phone.locator(".me-menu summary").click()
    with phone.expect_navigation(wait_until="load"):
        phone.get_by_role("button", name="Light again").click()
    assert phone.locator("html").get_attribute("data-theme") is None


def test_starting_a_group_guesses_the_time_zone_of_the_phone(new_context, live_server, settings):
    settings.REGISTRATION = "open"
    page = new_context(base_url=live_server.url, timezone_id="America/Chicago").new_page()
    page.goto("/start/")
    page.wait_for_function("document.querySelector('select[name=zone]').value === 'America/Chicago'")
