"""A visit on the phone: what is typed is never lost, what waits says what it needs, and each batch of pictures is asked about."""

import pytest
from playwright.sync_api import expect

from conversions.visits.actions import write_notes
from conversions.visits.models import Entry
from conversions.yards.models import Draft, Photo
from tests.browser.test_offline import no_signal, open_once, open_until_kept, pick, picture, visit, wait_for, walker
from tests.rows import make_open

__all__ = ["visit", "walker"]  # fixtures of the visit without signal
pytestmark = pytest.mark.django_db(transaction=True)

RED = {"name": "refused.jpg", "mimeType": "image/jpeg", "buffer": b"no picture at all"}


def back(walker, page):
    walker.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")


def test_notes_of_the_page_and_of_the_one_without_signal_both_arrive(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    walker.set_offline(True)
    page.locator("#notes").fill("The gate sticks.")
    page.locator("#notes").blur()
    wait_for(page, 1)
    page.close()
    page = walker.new_page()
    page.goto(address)
    expect(page.locator("[data-notes-wait] li")).to_have_text("The gate sticks.")
    page.locator("#notes").fill("A dog barks.")
    page.locator("#notes").blur()
    wait_for(page, 2)
    back(walker, page)
    wait_for(page, 0)
    visit.refresh_from_db()
    assert visit.notes == "The gate sticks.\n\nA dog barks."
    assert page.locator("#notes").input_value() == ""


def test_what_is_typed_and_never_left_is_kept(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    pick(page, "say-right", "some owners")
    wait_for(page, 1)
    page.locator('[name="say-right-who"]').press_sequentially("His sister")
    page.wait_for_timeout(800)
    page.locator("#notes").press_sequentially("The gate stic")
    page.wait_for_timeout(800)
    page.close()
    page = walker.new_page()
    page.goto(address)
    expect(page.locator("#notes")).to_have_value("The gate stic")
    expect(page.locator('[name="say-right-who"]')).to_have_value("His sister")


def test_half_a_sentence_neither_goes_up_nor_is_said_to_be_with_the_group(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    page.locator('[data-when="sent"]').wait_for(state="visible")
    page.locator("#notes").press_sequentially("The gate")
    expect(page.locator('[data-when="sent"]')).to_be_hidden()
    pick(page, "sun-sun", "over 6")  # the notes are left, so they go; nobody else wrote there
    wait_for(page, 0)
    page.locator("#notes").press_sequentially(" sticks")
    page.wait_for_timeout(4000)
    visit.refresh_from_db()
    assert visit.notes == "The gate"
    page.locator("#notes").blur()
    wait_for(page, 0)
    visit.refresh_from_db()
    assert visit.notes == "The gate sticks" and Entry.everywhere.count() == 1


def test_an_answer_that_goes_up_does_not_let_old_notes_take_the_place_of_somebody_elses(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    page.locator("#notes").press_sequentially("Mine")
    visit.refresh_from_db()
    write_notes(visit=visit, revision=visit.revision, notes="Theirs")
    chosen = "e => { e.checked = true; e.dispatchEvent(new Event('change', {bubbles: true})); }"
    page.locator('[name="sun-sun"][value="over 6"]').evaluate(chosen)  # the hand stays in the notes
    expect(page.locator("#end")).to_contain_text("14 questions are still open")
    page.locator("#notes").blur()
    expect(page.locator("[data-troubles] li")).to_contain_text("keep yours once more")
    visit.refresh_from_db()
    assert visit.notes == "Theirs"


def test_each_batch_of_pictures_is_asked_about(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    page.locator("#photo-left").set_input_files([picture(1)])
    wait_for(page, 1)
    pick(page, "photo-people", "none")
    wait_for(page, 0)
    page.locator("#photo-middle").set_input_files([picture(2)])
    wait_for(page, 1)
    assert page.locator("[name=photo-people]:checked").count() == 0
    page.locator('[data-when="asks"]').wait_for(state="visible")
    expect(page.locator('[data-when="waits"]')).to_be_hidden()
    page.wait_for_timeout(3500)
    assert Photo.everywhere.count() == 1
    page.goto(oak.url("yards/"))
    expect(page.locator("[data-asks]")).to_have_attribute("href", f"{address}#photos")


def test_only_the_picture_with_somebody_in_it_is_taken_again(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    for n, slot in enumerate(("left", "middle", "right"), start=1):
        page.locator(f"#photo-{slot}").set_input_files([picture(n)])
    wait_for(page, 3)
    pick(page, "photo-people", "adult")
    again = page.get_by_role("button", name="Take it again")
    again.click()  # which of them, nobody said
    wait_for(page, 3)
    page.get_by_label("Middle: IMG_0002.jpg").check()
    again.click()
    wait_for(page, 2)
    expect(page.locator('[data-slot="photo-middle"]')).to_be_hidden()
    assert page.locator("[name=photo-people]:checked").count() == 0
    pick(page, "photo-people", "none")
    wait_for(page, 0)
    assert {(row.slot, row.people) for row in Photo.everywhere.all()} == {("left", "none"), ("right", "none")}


def test_names_of_pictures_go_when_they_are_up_or_let_go(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    page.locator("#photo-left").set_input_files([picture(1)])
    page.locator("#photo-right").set_input_files([RED])
    pick(page, "photo-people", "none")
    wait_for(page, 2)
    expect(page.locator("[data-dock]")).to_contain_text("only on this phone: 2")
    back(walker, page)
    wait_for(page, 1)
    expect(page.locator('[data-slot="photo-left"]')).to_be_hidden()
    page.get_by_role("button", name="Let it go").click()
    expect(page.locator('[data-slot="photo-right"]')).to_be_hidden()
    expect(page.locator("[data-dock]")).to_be_hidden()


def test_a_length_no_lawn_has_is_asked_about_at_once(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    page.locator("#sides summary").first.click()
    form = page.locator("[data-walked]").first
    expect(form.locator('[name="why_long"]')).to_be_hidden()
    form.locator('[name="length_A"]').fill("400 m")
    form.locator('[name="length_B"]').fill("5 m")
    expect(form.locator('[name="why_long"]')).to_be_visible()
    form.get_by_role("button", name="Keep this shape").click()
    page.wait_for_timeout(300)
    wait_for(page, 0)
    form.locator('[name="why_long"]').fill("A strip along the old railway")
    form.get_by_role("button", name="Keep this shape").click()
    wait_for(page, 1)
    back(walker, page)
    wait_for(page, 0)
    assert Draft.everywhere.get().site["patches"][0]["typed"]["why_long"] == "A strip along the old railway"


def test_a_refused_shape_is_put_right_from_what_was_typed(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    page.locator("#sides summary").first.click()
    form = page.locator("[data-walked]").first
    form.locator('[name="length_A"]').fill("8 m")
    form.locator('[name="length_B"]').fill("5000 m")
    form.locator('[name="why_long"]').fill("I paced it")
    form.get_by_role("button", name="Keep this shape").click()
    wait_for(page, 1)
    back(walker, page)
    page.locator('[data-when="stuck"]').wait_for(state="visible")
    page.close()
    page = walker.new_page()
    page.goto(address)
    page.get_by_role("link", name="Mend it").click()
    form = page.locator("[data-walked]").first
    expect(form.locator('[name="length_B"]')).to_have_value("5000 m")
    form.locator('[name="length_B"]').fill("5 m")
    form.get_by_role("button", name="Keep this shape").click()
    wait_for(page, 0)
    assert [round(row["measured_m2"], 1) for row in Draft.everywhere.get().takeoff["patches"].values()] == [40.0]


def test_a_row_the_server_falls_over_does_not_hold_up_the_others(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    pick(page, "sun-sun", "under 3")
    pick(page, "tap-tap", "no")
    wait_for(page, 2)

    def fall(route) -> None:
        is_sun = route.request.method == "POST" and "sun-sun" in (route.request.post_data or "")
        route.fulfill(status=500, body="no") if is_sun else route.continue_()

    walker.route("**/queue/", fall)
    back(walker, page)
    wait_for(page, 1)
    assert Entry.everywhere.get().question == "tap"
    expect(page.locator("[data-troubles] li")).to_contain_text("Something went wrong at our end")
    walker.unroute("**/queue/")
    page.reload()
    wait_for(page, 0)
    assert Entry.everywhere.count() == 2


def test_what_is_open_follows_the_answers(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    expect(page.locator("#end")).to_contain_text("15 questions are still open")
    pick(page, "septic-septic", "no")
    expect(page.locator("#end")).to_contain_text("14 questions are still open")
    assert page.locator('#end [href="#q-septic"]').count() == 0
    assert page.locator('#end [href="#q-past"]').is_visible() and not page.locator('#end [href="#q-tap"]').is_visible()


def test_notes_refused_for_their_length_stay_and_are_mended(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    page.locator("#notes").fill("a" * 5000)
    page.locator("#notes").blur()
    wait_for(page, 1)
    back(walker, page)
    expect(page.locator("[data-troubles] li")).to_contain_text("letters")
    page.close()
    page = walker.new_page()
    page.goto(address)
    expect(page.locator("[data-troubles] li")).to_contain_text("letters")
    page.get_by_role("button", name="Mend it").click()
    expect(page.locator("#notes")).to_have_value("a" * 5000)
    page.locator("#notes").fill("a" * 50)
    page.locator("#notes").blur()
    wait_for(page, 0)
    visit.refresh_from_db()
    assert visit.notes == "a" * 50


def test_without_signal_the_visit_and_the_board_lead_to_each_other_where_both_are_kept(walker, oak, visit):
    address = open_once(walker, oak, visit)
    board = oak.url(f"yards/{visit.conversion_id}/plan/draw/")
    page = no_signal(walker, address)
    expect(page.locator("[data-kept-page]")).to_be_hidden()
    walker.set_offline(False)
    page.close()
    make_open(oak, visit.conversion, beds=False)
    open_until_kept(walker.new_page(), board)
    page = no_signal(walker, address)
    page.get_by_role("link", name="Draw it instead").click()
    expect(page.locator("[data-board]")).to_be_visible()
    page.get_by_role("link", name="Walk the yard").click()
    expect(page.locator("#fifteen")).to_be_visible()


def test_the_usual_answers_leave_one_where_one_stands(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = walker.new_page()
    page.goto(address)
    button = page.get_by_role("button", name="The usual")
    button.scroll_into_view_if_needed()
    before = page.evaluate("scrollY")
    button.click()
    expect(page.locator("#fifteen h2")).to_be_focused()
    assert abs(page.evaluate("scrollY") - before) < 100


TOPS = """(names) => names.map((name) => document.querySelector(name).getBoundingClientRect()).map(({top, bottom}) => [top, bottom])"""


def test_each_part_stands_where_it_belongs_and_keeps_its_distance(walker, oak, visit):
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    page.locator("#photo-middle").set_input_files([picture(1)])
    wait_for(page, 1)
    label, name, field = page.evaluate(TOPS, ['[for="photo-middle"]', '[data-slot="photo-middle"]', "#photo-middle"])
    assert label[1] <= name[0] and name[1] <= field[0]  # the heading first, then what is there
    people, keep = page.evaluate(TOPS, ["#photos .choice", "#photos > .acts"])
    assert keep[0] - people[1] >= 12
    walker.set_offline(False)
    page.goto(address)
    pick(page, "tap-tap", "no")
    page.locator("#q-tap .raised").wait_for(state="visible")
    picks, flag = page.evaluate(TOPS, ["#q-tap .picks", "#q-tap .raised"])
    assert flag[0] - picks[1] >= 12
