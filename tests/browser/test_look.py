"""How pages look where axe in the usual light does not: dusk, paper, large print, and thumbs."""

import datetime

import pytest

from conversions.builds.actions import sign_up
from conversions.builds.roster import person_for
from conversions.people import links
from conversions.visits.actions import add_entries, book_visit, finish_visit
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_kept, make_sent, plan_token

from .conftest import findings
from .hand import be_signed_in

pytestmark = pytest.mark.django_db(transaction=True)

SMALL = """() => [...document.querySelectorAll("main a, main button, main summary, main select, main input:not([type=hidden])")]
  .filter(e => e.checkVisibility() && !(e.tagName == "A" && getComputedStyle(e).display == "inline"))
  .map(e => [(e.type == "checkbox" || e.type == "radio") && e.closest("label") || e, e])
  .filter(([box]) => { const r = box.getBoundingClientRect(); return r.width && (r.width < 43.5 || r.height < 43.5) })
  .map(([, e]) => e.tagName + " " + (e.textContent.trim() || e.name))"""


@pytest.fixture
def pages(oak):
    """Addresses of the pages with the most on them: an advice, a plan, a day with gaps, a form, lists."""
    yard = make_kept(oak).conversion
    visit = book_visit(conversion=yard, by=oak.visitor, due_at=datetime.datetime.now(datetime.UTC))
    old_paint = {"question": "past", "value": {"past": "paint", "soil": "untested"}, "as_typed": ""}
    add_entries(visit=visit, by=oak.visitor, entries=[old_paint])
    finish_visit(visit=visit, by=oak.visitor)
    day = make_day(oak, make_agreed(oak), on=oak.today + datetime.timedelta(days=9), lead=oak.organiser)
    places = ("", "yards/", f"yards/{yard.pk}/", f"yards/{yard.pk}/plan/", f"visits/{visit.pk}/", "days/")
    return [oak.url(place) for place in (*places, f"days/{day.pk}/?at=before", f"days/{day.pk}/?at=on", "tally/")]


def test_dusk_keeps_every_word_readable(phone, oak, pages):
    be_signed_in(phone, oak)
    phone.context.add_cookies([{"name": "look", "value": "dusk", "domain": "localhost", "path": "/"}])
    for address in pages:
        phone.goto(address)
        assert phone.locator("html[data-theme=dusk]").count() == 1
        assert findings(phone) == [], address


def test_what_is_printed_has_no_frame_and_no_buttons(phone, oak, pages):
    be_signed_in(phone, oak)
    phone.emulate_media(media="print")
    for address in pages:
        phone.goto(address)
        assert phone.locator("h1").first.is_visible()
        for gone in (".strata", ".lookup", ".me-menu", ".dock", "main .btn"):
            assert [box for box in phone.locator(gone).all() if box.is_visible()] == [], f"{gone} on {address}"


def test_whatever_is_pressed_is_as_large_as_a_thumb(phone, oak, pages):
    be_signed_in(phone, oak)
    for address in pages:
        phone.goto(address)
        assert phone.evaluate(SMALL) == [], address


def test_large_print_fits_a_phone(phone, oak):
    quote = make_sent(oak)
    helper, contact = person_for(oak.helper), quote.conversion.household.contact
    day = make_day(oak, make_agreed(oak), on=oak.today + datetime.timedelta(days=9))
    sign_up(day=day, person=helper)
    for person in (helper, contact):
        person.large_print = True
        person.save()
    mine = links.token(links.make("sign-up", "day", day, person=helper))
    for address in (f"/p/{plan_token(quote)}/", f"/s/{mine}/"):
        phone.goto(address)
        size = phone.locator("main p").first.evaluate("e => parseFloat(getComputedStyle(e).fontSize)")
        assert size >= 20 and phone.locator("body").evaluate("e => getComputedStyle(e).fontSize") == "22px"
        assert findings(phone) == [], address


@pytest.mark.parametrize("wide", [390, 1280])
def test_a_long_name_stays_in_its_box_where_it_is_ticked(phone, oak, wide):
    day = make_day(oak, make_agreed(oak), lead=oak.organiser)
    for number, name in enumerate(("Wilhelmina Featherstonehaugh-Brandenburgersdottir", "Bo Ek")):
        sign_up(day=day, name=name, phone=f"000 777 60{number}", role="hose, cardboard and the long barrow")
    be_signed_in(phone, oak)
    phone.set_viewport_size({"width": wide, "height": 844})
    phone.goto(oak.url(f"days/{day.pk}/?at=on"))
    boxes = phone.locator(".ticks-here label")
    assert boxes.count() == 2
    for box in boxes.all():
        assert box.evaluate("box => box.scrollWidth <= box.clientWidth"), box.inner_text()
