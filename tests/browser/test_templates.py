"""Every page template once through axe, at 390 and at 1280 px, with no sideways scroll."""

from pathlib import Path

import pytest
from django.conf import settings as live
from django.contrib.auth.tokens import default_token_generator
from django.test.signals import template_rendered
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from conversions.builds.actions import sign_up
from conversions.builds.models import Day
from conversions.builds.roster import person_for
from conversions.care.models import CareSheet
from conversions.groups.models import Member
from conversions.office.withdraw import withdraw
from conversions.people import links
from conversions.people.actions import invite
from conversions.quotes.models import Quote
from conversions.yards.models import Draft
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_sent
from tests.test_doors import samples

from .conftest import findings
from .hand import Hand, sign_in

pytestmark = pytest.mark.django_db(transaction=True)

TEMPLATES = Path(live.ROOT) / "templates"
PAGES = {
    str(p.relative_to(TEMPLATES))
    for p in TEMPLATES.rglob("*.html")
    if not p.name.startswith(("_", "base"))
    and any(f'extends "{b}"' in p.read_text() for b in ("base.html", "base_bare.html"))
}
BY_THE_SERVER = {"403.html", "404.html", "429.html", "500.html"}


@pytest.fixture
def seen():
    """The names of the templates that were rendered while the browser looked."""
    names: set[str] = set()

    def note(sender, template, **_kwargs):
        names.add(template.name)

    template_rendered.connect(note)
    yield names
    template_rendered.disconnect(note)


def look(page, address: str) -> None:
    page.goto(address)
    assert findings(page) == [], address


def inside(world, name: str, keys: dict) -> str:
    return reverse(name, kwargs={"group": world.group.slug, **keys})


def open_every_route(page, world) -> None:
    for name, keys in sorted(samples(world).items()):
        address = inside(world, name, keys)
        answer = page.context.request.get(address)
        if answer.ok and answer.headers.get("content-type", "").startswith("text/html"):
            look(page, address)


def open_the_days_of_a_lead(page, world) -> Day:
    day = make_day(world, make_agreed(world))
    for at in ("before", "on", "after"):
        look(page, inside(world, "day", {"pk": day.pk}) + f"?at={at}")
    return day


def open_what_two_people_saved(page, world, day: Day) -> None:
    """The pages that show both versions: of a day, and of a drawing."""
    page.goto(inside(world, "day-edit", {"pk": day.pk}))
    Day.everywhere.filter(pk=day.pk).update(revision=day.revision + 1, helpers_wanted=9)
    with page.expect_navigation():
        page.locator("main form .btn.main").first.click()
    assert findings(page) == []
    draft = Draft.everywhere.filter(state="open").order_by("pk").first()
    page.goto(inside(world, "plan", {"pk": draft.conversion_id}))
    Draft.everywhere.filter(pk=draft.pk).update(revision=draft.revision + 1, site={**draft.site, "haul_m": 35})
    with page.expect_navigation():
        page.locator("main form[action*='/beds/'] button").first.click()
    assert findings(page) == []


def open_what_stands_behind_links(page, world, day: Day) -> None:
    sheet = CareSheet.of(world.group).first()
    subjects = {
        "plan": ("quote", make_sent(world)),
        "sign-up": ("day", day),
        "care": ("care sheet", sheet),
    }
    for purpose, (kind, subject) in subjects.items():
        link = links.make(purpose, kind, subject)
        look(page, links.address(link))
        look(page, links.address(link)[:-3] + "x/")
    page.goto(links.address(links.make("sign-up", "day", day)))
    page.locator('main [name="name"]').fill("Bea Lund")
    page.locator('main [name="phone"]').fill("000 222 333")
    with page.expect_navigation():
        page.locator("main form button").first.click()
    assert findings(page) == []


def open_a_withdrawal(page, world) -> None:
    """Before and after, by us and behind the household's link, with somebody ready to come instead."""
    quote = make_sent(world)
    Quote.everywhere.filter(pk=quote.pk).update(state="accepted")
    behind = links.address(links.make("plan", "quote", quote)) + "withdraw/"
    look(page, behind)
    make_agreed(world)
    withdraw(conversion=quote.conversion, by=world.organiser, name="Marlow")
    look(page, behind)
    look(page, inside(world, "yard-withdraw", {"pk": quote.conversion_id}))
    look(page, inside(world, "yard", {"pk": quote.conversion_id}))


def close_a_day(page, world, day: Day) -> None:
    page.goto(inside(world, "day", {"pk": day.pk}) + "?at=on")
    hand = Hand(page)
    hand.press("As drawn")
    look(page, inside(world, "day-close", {"pk": day.pk}))
    hand.press("Close the day")
    assert findings(page) == []


def open_as_a_helper(page, world, other) -> None:
    """A helper's own day, and the start page of somebody in two groups."""
    day = make_day(world, make_agreed(world))
    sign_up(day=day, person=person_for(world.helper))
    Member.everywhere.create(group=other.group, user=world.helper.user)
    page.context.clear_cookies()
    page.goto("/sign-in/")
    page.get_by_label("E-mail").fill(world.helper.user.email)
    page.get_by_label("Password").fill("a long enough password")
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", name="Your groups").wait_for()
    assert findings(page) == []
    look(page, inside(world, "day", {"pk": day.pk}))


def open_the_ways_in(page, world, settings) -> None:
    """Passwords, invitations, and starting a group; before anybody has signed in."""
    row = invite(group=world.group, by=world.organiser, roles=frozenset({"lead"}))
    way = f"/join/{links.token(row)}/"
    for address in ("/sign-in/", "/password/forgotten/", "/password/forgotten/sent/", "/start/", way, way[:-3] + "x/"):
        look(page, address)
    keys = {
        "uidb64": urlsafe_base64_encode(force_bytes(world.lead.user_id)),
        "token": default_token_generator.make_token(world.lead.user),
    }
    look(page, reverse("password-new", kwargs=keys))
    settings.REGISTRATION = "open"
    look(page, "/start/")


def test_every_page_template_is_free_of_findings(phone, oak, elm, seen, monkeypatch, settings):
    open_the_ways_in(phone, oak, settings)
    sign_in(phone, oak)
    look(phone, "/password/")
    open_every_route(phone, oak)
    day = open_the_days_of_a_lead(phone, oak)
    open_what_stands_behind_links(phone, oak, day)
    open_a_withdrawal(phone, oak)
    close_a_day(phone, oak, day)
    open_what_two_people_saved(phone, oak, make_day(oak, make_agreed(oak)))
    open_as_a_helper(phone, oak, elm)
    monkeypatch.setattr("conversions.office.views.this_week", None)
    for address in ("/g/oak/nowhere/", "/g/oak/"):  # nothing here; broken on our side
        look(phone, address)
    phone.troubles.clear()  # the browser notes 404, 409 and 500 as errors of its own
    assert PAGES - BY_THE_SERVER - seen == set()
