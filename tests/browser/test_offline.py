"""A visit without signal: everything waits on the phone and goes up once, in order, also after the page was closed."""

import datetime
import time
from io import BytesIO

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import expect

from conversions.people.consents import write_consent
from conversions.visits.actions import book_visit
from conversions.visits.models import Entry, Visit
from conversions.yards.models import Draft, Photo
from tests.browser.hand import be_signed_in, sign_in
from tests.rows import make_open, make_yard, rectangle

pytestmark = pytest.mark.django_db(transaction=True)

ROWS = """() => new Promise((done, fail) => {
  const asked = indexedDB.open("visits", 1);
  asked.onerror = () => fail(asked.error);
  asked.onsuccess = () => {
    if (!asked.result.objectStoreNames.contains("waiting")) { asked.result.close(); return done(0); }
    asked.result.transaction("waiting").objectStore("waiting").count().onsuccess = (e) => { asked.result.close(); done(e.target.result); };
  };
})"""


def picture(n: int) -> dict:
    made = BytesIO()
    Image.new("RGB", (640, 480), (n * 20 % 256, 120, 60)).save(made, "JPEG")
    return {"name": f"IMG_{n:04}.jpg", "mimeType": "image/jpeg", "buffer": made.getvalue()}


@pytest.fixture
def visit(oak):
    yard = make_yard(oak, name="Sol Marin", reach="000 555 66", address="2 Upper Fold")
    return book_visit(conversion=yard, by=oak.visitor, due_at=timezone.now())


@pytest.fixture
def walker(new_context, live_server):
    """A phone whose signal comes and goes."""
    context = new_context(viewport={"width": 390, "height": 844}, base_url=live_server.url, has_touch=True)
    context.set_default_timeout(15_000)
    return context


def open_once(walker, oak, visit) -> str:
    """The visit opened with a signal, until the phone has kept its page."""
    page = walker.new_page()
    be_signed_in(page, oak, "visitor")
    address = oak.url(f"visits/{visit.pk}/")
    open_until_kept(page, address)
    return address


def open_until_kept(page, address) -> None:
    """Open a page with a signal, wait until the phone has kept the one without a name on it, and close it."""
    page.goto(address)
    until = time.monotonic() + 20
    while not page.evaluate("path => caches.match(path).then(Boolean)", f"{address}offline/"):
        assert time.monotonic() < until, f"the phone keeps no page of {address}"
        page.wait_for_timeout(100)
    page.close()


def no_signal(walker, address):
    walker.set_offline(True)
    page = walker.new_page()
    page.goto(address)
    return page


def pick(page, name: str, value: str) -> None:
    page.locator(f'[name="{name}"][value="{value}"]').check()


def wait_for(page, n: int) -> None:
    """Until that many rows wait on this phone."""
    until = time.monotonic() + 20
    while (now := page.evaluate(ROWS)) != n:
        assert time.monotonic() < until, f"{now} rows wait, not {n}"
        page.wait_for_timeout(100)


def test_a_visit_without_signal_arrives_whole_and_once(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    assert "without signal" in page.locator(".lede").inner_text()
    for personal in ("Sol Marin", "55566", "000 555 66", "Upper Fold"):
        assert personal not in page.content()

    pick(page, "grass-grass", "runners")
    pick(page, "sun-sun", "over 6")
    page.locator("#notes").fill("The gate sticks. Lift it.")
    page.locator("#notes").blur()
    for slot, numbers in {"left": [1], "middle": [2], "right": [3], "other": range(4, 13)}.items():
        page.locator(f"#photo-{slot}").set_input_files([picture(n) for n in numbers])
    wait_for(page, 15)
    assert page.locator('[data-count="photo"]').inner_text() == "12"
    page.get_by_role("button", name="Keep", exact=True).click()
    page.locator('[data-when="no signal"]').wait_for(state="visible")
    page.close()  # the phone kills it

    page = walker.new_page()  # opened again, still without signal: what was written stands there
    page.goto(address)
    page.locator('[name="grass-grass"][value="runners"]:checked').wait_for(state="attached")
    assert page.locator("#notes").input_value() == "The gate sticks. Lift it."
    assert Entry.everywhere.count() == 0 and Photo.everywhere.count() == 0

    walker.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_for(page, 0)
    page.locator('[data-when="sent"]').wait_for(state="visible")

    answers = {entry.question: entry for entry in Entry.everywhere.all()}
    assert {code: entry.value for code, entry in answers.items()} == {
        "grass": {"grass": "runners"},
        "sun": {"sun": "over 6"},
    }
    assert answers["sun"].device_at is not None
    kept = list(Photo.everywhere.order_by("pk"))
    assert [photo.slot for photo in kept] == ["left", "middle", "right"] + ["other"] * 9
    assert len({photo.original_sha256 for photo in kept}) == 12
    visit.refresh_from_db()
    assert (visit.notes, visit.state) == ("The gate sticks. Lift it.", "under way")


def test_a_lost_session_keeps_everything_until_somebody_signs_in(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    pick(page, "sun-sun", "under 3")
    wait_for(page, 1)
    walker.clear_cookies()  # signed out elsewhere, or the session ran out
    walker.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.locator('[data-when="signed out"]').wait_for(state="visible")
    wait_for(page, 1)
    page.locator('[data-waiting] [data-when="signed out"] a').click()
    page.locator('[data-waiting] [data-when="signed out"]').wait_for(state="visible")  # the sign-in page says it too
    page.get_by_label("E-mail").fill(oak.visitor.user.email)
    page.get_by_label("Password").fill("a long enough password")
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/g/**")
    wait_for(page, 0)
    assert Entry.everywhere.get().value == {"sun": "under 3"}


def test_somebody_else_on_the_same_phone_neither_speaks_for_the_visitor_nor_waits_for_them(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    pick(page, "sun-sun", "under 3")
    wait_for(page, 1)
    walker.clear_cookies()
    walker.set_offline(False)
    page.close()
    page = walker.new_page()
    sign_in(page, oak, "organiser")
    page.goto(address)
    page.locator('[data-when="somebody else"]').wait_for(state="visible")
    assert page.locator('[name="sun-sun"]:checked').count() == 0  # what the visitor picked is not the organiser's
    pick(page, "tap-tap", "no")
    pick(page, "sun-sun", "over 6")
    with page.expect_navigation():
        page.get_by_role("button", name="Keep", exact=True).click()
    wait_for(page, 1)
    given = {entry.question: (entry.value[entry.question], entry.by) for entry in Entry.everywhere.all()}
    assert given == {"tap": ("no", oak.organiser), "sun": ("over 6", oak.organiser)}
    with page.expect_navigation(url=f"**/yards/{visit.conversion_id}/"):
        page.get_by_role("button", name="Visit done").click()
    visit.refresh_from_db()
    assert visit.state == "done"
    page.locator('[data-when="somebody else"]').wait_for(state="visible")

    walker.clear_cookies()
    sign_in(page, oak, "visitor")
    wait_for(page, 0)
    late = Entry.everywhere.get(by=oak.visitor)
    assert late.value == {"sun": "under 3"} and late.replaces.count() == 0  # they had not seen the other one


def test_a_visit_that_is_shut_to_somebody_does_not_hold_up_their_other_visits(walker, oak, visit):
    other = book_visit(conversion=make_yard(oak, name="Ada Tull"), by=oak.visitor, due_at=timezone.now())
    first, second = open_once(walker, oak, visit), oak.url(f"visits/{other.pk}/")
    page = walker.new_page()
    open_until_kept(page, second)
    page = no_signal(walker, first)
    pick(page, "sun-sun", "under 3")
    wait_for(page, 1)
    page.goto(second)
    pick(page, "tap-tap", "no")
    wait_for(page, 2)
    walker.route(f"**{first}queue/", lambda route: route.fulfill(status=403, body="no"))
    walker.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_for(page, 1)
    assert [entry.question for entry in Entry.everywhere.all()] == ["tap"]
    expect(page.locator("[data-troubles] li")).to_contain_text("This could not be kept")
    page.locator('[data-when="stuck"]').wait_for(state="visible")
    walker.unroute(f"**{first}queue/")
    page.reload()
    wait_for(page, 0)  # open to them again, it goes up by itself
    assert Entry.everywhere.count() == 2


def test_two_phones_on_one_visit_both_survive_and_the_later_one_chooses(walker, new_context, live_server, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    pick(page, "sun-sun", "under 3")
    pick(page, "tap-tap", "no")
    wait_for(page, 2)

    other = new_context(base_url=live_server.url).new_page()
    sign_in(other, oak, "organiser")
    other.goto(address)
    pick(other, "sun-sun", "over 6")
    pick(other, "septic-septic", "no")
    with other.expect_navigation():
        other.get_by_role("button", name="Keep", exact=True).click()

    walker.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_for(page, 0)
    page.goto(address)
    card = page.locator("#q-sun").text_content()
    assert "Two answers" in card and "Under 3 hours" in card and "Over 6 hours" in card
    assert "Visitor" in card and "Organiser" in card
    pick(page, "sun-sun", "over 6")
    with page.expect_navigation():
        page.get_by_role("button", name="Keep", exact=True).click()
    assert "Two answers" not in page.locator("#q-sun").text_content()
    assert {entry.question for entry in Entry.everywhere.filter(replaced_by=None)} == {"sun", "tap", "septic"}
    assert Entry.everywhere.filter(question="sun", replaced_by=None).get().value == {"sun": "over 6"}
    assert Entry.everywhere.filter(question="sun").count() == 3  # nothing anybody said is gone


def test_a_wrong_clock_and_a_full_phone_lose_nothing(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.add_init_script("const now = Date.now; Date.now = () => now() - 24 * 3600 * 1000;")
    page.goto(address)
    session = walker.new_cdp_session(page)
    origin = page.evaluate("location.origin")
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1})
    page.locator("#photo-left").set_input_files([picture(1)])
    page.locator("[data-full]").wait_for(state="visible")
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    page.locator("#photo-left").set_input_files([picture(1)])
    page.wait_for_function("() => document.querySelector('[data-full]').hidden")
    assert page.locator("#photo-left").evaluate("field => field.files.length") == 0
    pick(page, "photo-people", "none")
    wait_for(page, 0)
    kept = Photo.everywhere.get()
    assert abs(kept.received_at - timezone.now()) < datetime.timedelta(minutes=5)


def test_a_picture_with_a_false_ending_stays_and_says_why(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    page.locator("#photo-left").set_input_files(
        [{"name": "IMG_0001.jpg", "mimeType": "image/jpeg", "buffer": b"no picture at all"}]
    )
    pick(page, "photo-people", "none")
    trouble = page.locator("[data-troubles] li")
    trouble.wait_for(state="visible")
    assert "IMG_0001.jpg: This is not a picture." in trouble.inner_text()
    trouble.get_by_role("button", name="Let it go").click()
    wait_for(page, 0)
    assert Photo.everywhere.count() == 0


def test_a_refused_picture_is_sent_again_only_when_somebody_says_so(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    sent = []
    page.on("request", lambda asked: sent.append(asked.method) if asked.url.endswith("/queue/") else None)
    page.locator("#photo-left").set_input_files([{**picture(1), "buffer": b"no picture at all"}])
    pick(page, "photo-people", "none")
    trouble = page.locator("[data-troubles] li")
    trouble.wait_for(state="visible")
    assert sent.count("POST") == 1
    pick(page, "sun-sun", "over 6")
    wait_for(page, 1)
    assert sent.count("POST") == 2  # the answer alone
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        trouble.get_by_role("button", name="Try again").click()
    expect(trouble).to_contain_text("This is not a picture.")
    assert sent.count("POST") == 3 and Entry.everywhere.count() == 1


def test_a_picture_nobody_wants_taken_stays_on_the_phone_and_says_why(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    page.locator("#photo-left").set_input_files([picture(1)])
    wait_for(page, 1)
    person = visit.conversion.household.contact
    write_consent(person=person, by=oak.organiser, kind="photo record", answer="no", how="asked", on=oak.today)
    walker.set_offline(False)
    page.goto(address)
    expect(page.locator("[data-troubles] li")).to_contain_text("IMG_0001.jpg: They asked for no pictures.")
    page.locator('[data-when="stuck"]').wait_for(state="visible")
    wait_for(page, 1)
    assert Photo.everywhere.count() == 0
    write_consent(person=person, by=oak.organiser, kind="photo record", answer="yes", how="asked", on=oak.today)
    page.get_by_role("button", name="Try again").click()
    wait_for(page, 0)
    assert Photo.everywhere.count() == 1


def test_an_answer_refused_on_the_page_without_signal_stays_on_the_phone(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    pick(page, "trees-trees", "near")
    page.locator('[name="trees-trees-trunk"]').fill("thick")
    page.locator('[name="trees-trees-trunk"]').blur()
    wait_for(page, 1)
    walker.set_offline(False)
    expect(page.locator("[data-troubles] li")).to_contain_text("3.81 m")  # the signal came back, and it was tried
    page.get_by_role("button", name="Keep", exact=True).click()
    page.wait_for_timeout(2000)
    expect(page.locator("[data-troubles] li")).to_contain_text("3.81 m")
    wait_for(page, 1)
    page.locator('[name="trees-trees-trunk"]').fill("30 cm")
    page.locator('[name="trees-trees-trunk"]').blur()
    wait_for(page, 0)
    assert Entry.everywhere.get().value["trunk"]["m"] == 0.3


def slow_line(page, **times) -> None:
    """Everything that goes up takes a second and a half."""

    def slowly(route) -> None:
        page.wait_for_timeout(1500)
        route.continue_()

    page.route("**/queue/", slowly, **times)


def test_three_quick_picks_over_a_slow_line_leave_one_answer(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    slow_line(page)
    for value, pause in (("under 3", 3500), ("3 to 6", 3500), ("over 6", 0)):
        pick(page, "sun-sun", value)
        page.wait_for_timeout(pause)  # the one before is on its way
    wait_for(page, 0)
    assert Entry.everywhere.filter(replaced_by=None).get().value == {"sun": "over 6"}


def test_the_visit_can_be_ended_without_signal(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    page.get_by_text("Left early, or nobody home?").click()
    page.locator("#reason").fill("Thunder")
    page.get_by_role("button", name="I left early").click()
    page.locator('[data-when="no signal"]').wait_for(state="visible")
    wait_for(page, 1)
    walker.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_for(page, 0)
    ended = Visit.everywhere.get()
    assert (ended.state, ended.reason) == ("cut short", "Thunder")


def test_a_shape_walked_without_signal_tells_its_area_and_is_drawn_afterwards(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    page.locator("#sides summary").first.click()
    form = page.locator("[data-walked]").first
    form.locator('[name="length_A"]').fill("8 m")
    form.locator('[name="length_B"]').fill("19 ft 8 in")
    assert "48.0 m² (516 sq ft)" in form.locator("[data-says]").inner_text()
    form.locator('[name="beyond_C"]').select_option("pavement")
    form.get_by_role("button", name="Keep this shape").click()
    wait_for(page, 1)
    assert page.locator('[data-count="walk"]').inner_text() == "1"
    walker.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_for(page, 0)
    draft = Draft.everywhere.get()
    assert [round(row["measured_m2"], 1) for row in draft.takeoff["patches"].values()] == [48.0]
    assert draft.site["patches"][0]["typed"]["lengths"] == {"A": "8 m", "B": "19 ft 8 in"}


def test_what_is_kept_while_other_things_go_up_goes_up_with_the_same_press(walker, oak, visit):
    """A pass that was under way had not seen the picture: the press then waited for nothing."""
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    pick(page, "sun-sun", "over 6")
    slow_line(page, times=2)
    page.wait_for_timeout(2600)  # the answer is on its way
    page.locator("#photo-left").set_input_files([picture(1)])
    with page.expect_navigation():
        page.get_by_role("button", name="Keep the pictures").click()
    assert Photo.everywhere.count() == 1 and Entry.everywhere.count() == 1


def test_a_drawing_opened_today_opens_again_without_signal_and_is_saved_once_when_it_is_back(walker, oak, visit):
    draft = make_open(oak, visit.conversion, rectangle("8", "6"), beds=False)
    page = walker.new_page()
    be_signed_in(page, oak, "visitor")
    address = oak.url(f"yards/{visit.conversion_id}/plan/draw/")
    open_until_kept(page, address)
    walker.set_offline(True)
    page = walker.new_page()
    page.goto(f"{address}?drawing=1")
    told = page.locator("main").inner_text()
    assert "Without signal" in told and not any(word in told for word in ("Sol", "Marin", "555", "Upper Fold"))
    page.locator('details[data-thing="patches.0.corners.1"] summary').click()
    page.locator('[name="patches.0.corners.1.x"]').fill("7.5")
    expect(page.locator("[data-says]")).to_contain_text("46.5 m²")  # (8 + 7.5) / 2 x 6
    page.get_by_role("button", name="Save").click()
    expect(page.locator("[data-says]")).to_contain_text("waits on this phone")
    page.close()
    page = walker.new_page()
    page.goto(address)
    expect(page.locator("[data-says]")).to_contain_text("saved when the signal is back")
    expect(page.locator("[data-state]")).to_contain_text("Not saved yet")
    walker.set_offline(False)  # Save was pressed once: that is enough
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_url("**/plan/draw/?drawing=1")
    draft.refresh_from_db()
    assert draft.site["patches"][0]["corners"][1]["x"] == 7.5
    assert draft.saves.count() == 3 and draft.conversion.drafts.count() == 1
