"""A picture as a phone writes it, HEIC, chosen on the page of the visit."""

import datetime

import pillow_heif
import pytest
from PIL import Image

from conversions.visits.actions import book_visit
from conversions.yards.models import Photo
from tests.rows import make_yard

from .conftest import findings
from .hand import be_signed_in

pytestmark = pytest.mark.django_db(transaction=True)


def heic(tmp_path) -> str:
    pillow_heif.register_heif_opener()
    exif = Image.Exif()
    exif[0x0112] = 6  # held upright: the sensor lay on its side
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (51.0, 30.0, 12.34)
    file = tmp_path / "IMG_0001.HEIC"
    Image.new("RGB", (400, 300), "#5d9451").save(file, "HEIF", exif=exif.tobytes())
    return str(file)


def test_a_heic_of_a_phone_shows_as_a_small_upright_picture(phone, oak, tmp_path):
    visit = book_visit(conversion=make_yard(oak), by=oak.visitor, due_at=datetime.datetime.now(datetime.UTC))
    be_signed_in(phone, oak, "visitor")
    phone.goto(oak.url(f"visits/{visit.pk}/"))
    phone.set_input_files('main [name="photo-left"]', heic(tmp_path))
    phone.locator('main [name="photo-people"][value="none"]').check()
    with phone.expect_navigation():
        phone.get_by_role("button", name="Keep the pictures").click()
    shown = phone.locator("#photos img").first
    shown.scroll_into_view_if_needed()
    phone.wait_for_function("document.querySelector('#photos img').naturalWidth > 0")
    assert shown.evaluate("picture => [picture.naturalWidth, picture.naturalHeight]") == [240, 320]
    photo = Photo.everywhere.get()
    assert (photo.slot, photo.people, photo.width, photo.height) == ("left", "none", 300, 400)
    shown.click()
    phone.get_by_role("heading", name="Who may see it").wait_for()
    assert findings(phone) == []
