"""Questions that an answer calls for, on the page as it is picked; and a picture with somebody in it."""

import pytest

from conversions.visits.models import Entry
from conversions.yards.models import Photo
from tests.browser.hand import sign_in
from tests.browser.test_offline import no_signal, open_once, pick, picture, visit, wait_for, walker  # noqa: F401

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
    sign_in(page, oak, "visitor")
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
