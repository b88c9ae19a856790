"""A face made unrecognisable by tapping squares, with no script; and the pages of moving and of one ground, looked over."""

import io

import pytest
from PIL import Image

from conversions.visits.actions import keep_photo
from conversions.yards.models import Photo
from tests.builds.rows import make_agreed
from tests.rows import make_yard

from .conftest import findings
from .hand import be_signed_in

pytestmark = pytest.mark.django_db(transaction=True)


def a_picture() -> io.BytesIO:
    out = io.BytesIO()
    Image.effect_noise((640, 480), 90).convert("RGB").save(out, "JPEG")
    out.seek(0)
    return out


def test_two_taps_and_a_press_make_a_blurred_copy_without_any_script(new_context, live_server, oak):
    photo = keep_photo(
        place=make_yard(oak).place, by=oak.organiser, file=a_picture(), taken_for="visit", taken_for_id=1, slot="left"
    )
    context = new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False, base_url=live_server.url)
    page = context.new_page()
    be_signed_in(page, oak)
    page.goto(oak.url(f"photos/{photo.pk}/"))
    page.get_by_role("link", name="Make a blurred copy").click()
    for words in ("row 2, square 3", "row 2, square 4"):
        square = page.get_by_role("checkbox", name=words)
        box = square.bounding_box()
        assert box["width"] >= 44 and box["height"] >= 44  # a thumb finds it
        page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        assert square.is_checked()
    page.get_by_role("button", name="Make the copy").click()
    page.get_by_role("heading", name="Who may see it").wait_for()
    assert "Blurred for privacy" in page.locator("main").inner_text()
    assert Photo.everywhere.get(is_blurred=True).blurred_from == photo
    context.close()


def test_the_pages_of_moving_and_of_one_ground_are_free_of_findings(phone, oak):
    yard = make_agreed(oak)
    twin = make_yard(oak, name="R. Okafor", address="14, tansy row")
    photo = keep_photo(
        place=yard.place, by=oak.organiser, file=a_picture(), taken_for="visit", taken_for_id=1, slot="left"
    )
    be_signed_in(phone, oak)
    for path in (
        f"yards/{twin.pk}/edit/", f"yards/{yard.pk}/new-people/", f"photos/{photo.pk}/blur/",
        f"photos/{photo.pk}/remove/", f"photos/{photo.pk}/", "days/new/?kind=rescue", "people/", "tally/",
    ):  # fmt: skip
        phone.goto(oak.url(path))
        assert findings(phone) == [], path
