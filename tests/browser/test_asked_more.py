"""Questions that an answer calls for, on the page as it is picked; and a picture with somebody in it."""

import pytest
from django.utils import timezone

from conversions.visits.actions import add_entries, book_visit
from conversions.visits.models import Entry
from conversions.yards.models import Photo
from tests.browser.conftest import findings
from tests.browser.hand import be_signed_in
from tests.browser.test_offline import no_signal, open_once, pick, picture, visit, wait_for, walker  # noqa: F401
from tests.rows import make_open, make_yard, rectangle

SAID = {
    "say": {"right": "rent, yes"},
    "trees": {"trees": "near"},
    "grass": {"grass": "runners"},
    "way_in": {"way": "wires"},
    "waters": {"minutes": "over 60", "bend": "yes"},
}

pytestmark = pytest.mark.django_db(transaction=True)


def test_without_signal_a_called_question_shows_once_its_answer_is_picked_and_arrives(walker, oak, visit):  # noqa: F811
    address = open_once(walker, oak, visit)
    page = no_signal(walker, address)
    assert not page.locator("#q-wires").is_visible() and not page.locator("#q-hydrant").is_visible()
    pick(page, "way_in-way", "wires")
    page.locator("#q-wires").wait_for(state="visible")
    pick(page, "heap-heap", "street")  # a called one calls for another
    page.locator("#q-hydrant").wait_for(state="visible")
    pick(page, "hydrant-hydrant", "no")
    pick(page, "way_in-way", "all")
    page.locator("#q-wires").wait_for(state="hidden")
    assert not page.locator("#q-hydrant").is_visible()
    assert page.locator("#q-haul").is_visible()
    wait_for(page, 3)
    walker.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_for(page, 0)
    assert set(Entry.everywhere.values_list("question", flat=True)) == {"way_in", "heap", "hydrant"}


@pytest.mark.parametrize(("press", "kept"), [("Take it again", 0), ("Keep this one", 1)])
def test_a_picture_with_a_child_is_better_taken_again_and_may_be_kept(walker, oak, visit, press, kept):  # noqa: F811
    page = walker.new_page()
    be_signed_in(page, oak, "visitor")
    page.goto(oak.url(f"visits/{visit.pk}/"))
    page.locator("#photo-left").set_input_files([picture(1)])
    wait_for(page, 1)
    assert not page.locator("[data-retake]").is_visible()
    page.locator("#photo-people-child").check()
    page.locator("[data-retake]").wait_for(state="visible")
    page.get_by_role("button", name=press).click()
    page.locator("[data-retake]").wait_for(state="hidden")
    wait_for(page, 0)
    assert [photo.people for photo in Photo.everywhere.all()] == ["child"] * kept


def test_a_visit_with_called_questions_two_answers_and_the_prompt_has_no_findings(walker, oak):  # noqa: F811
    yard = make_yard(oak, tenure="rent")
    make_open(oak, yard, rectangle(beyond={"A": "kerb", "B": "lawn"}), beds=False)
    walked = book_visit(conversion=yard, by=oak.visitor, due_at=timezone.now())
    for question, value in SAID.items():
        add_entries(visit=walked, by=oak.visitor, entries=[{"question": question, "value": value}])
    other = {"question": "trees", "value": {"trees": "none"}, "replaces": []}
    add_entries(visit=walked, by=oak.organiser, entries=[other])
    page = walker.new_page()
    be_signed_in(page, oak, "visitor")
    page.goto(oak.url(f"visits/{walked.pk}/"))
    page.locator("[data-retake]").evaluate("box => { box.hidden = false; }")
    page.get_by_text("Who answered what").click()
    assert page.locator("#q-owner").is_visible() and page.locator("#q-tree_at").is_visible()
    assert findings(page) == []
