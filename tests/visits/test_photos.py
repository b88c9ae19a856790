"""The upload corpus through the page itself: no fall, nothing bad stored, no position in any byte that is served."""

import datetime
import io

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from conversions.visits.actions import book_visit
from conversions.yards.models import Photo
from tests.common.test_photos import LIKE_A_PHONE, TRACES, jpeg_of, picture, png_of, with_position
from tests.rows import make_yard

DUE = datetime.datetime(2027, 5, 4, 16, 30, tzinfo=datetime.UTC)
ENDS = {"JPEG": "jpg", "PNG": "png", "WEBP": "webp", "HEIF": "heic"}
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
BAD = {
    "empty.jpg": b"",
    "words.jpg": b"only words",
    "drawing.svg": SVG,
    "drawing.jpg": SVG,
    "page.html": b"<!doctype html><script>alert(1)</script>",
    "paper.pdf": b"%PDF-1.7\n1 0 obj << /Type /Catalog >> endobj\ntrailer << /Root 1 0 R >>\n%%EOF",
    "film.mov": b"\0\0\0\x18ftypqt  \0\0\0\0qt  " + b"\0" * 200,
    "bomb.png": png_of(30_000, 30_000),
    "bomb.jpg": jpeg_of(65_000, 65_000),
    "moving.gif": picture(kind="GIF"),
    **{f"cut.{ENDS[kind]}": with_position(kind)[: len(with_position(kind)) // 2] for kind in LIKE_A_PHONE},
}


def several_in_one() -> bytes:
    out = io.BytesIO()
    first, second = Image.new("RGB", (400, 300), "red"), Image.new("RGB", (400, 300), "blue")
    first.save(out, "MPO", save_all=True, append_images=[second])
    return out.getvalue()


GOOD = {
    **{f"place.{ENDS[kind]}": with_position(kind) for kind in LIKE_A_PHONE},
    **{f"turned{turn}.jpg": with_position("JPEG", turn) for turn in range(2, 9)},
    "print.jpg": picture(mode="CMYK", colour=(0, 99, 99, 0)),
    "deep.png": picture(kind="PNG", mode="I;16", colour=40_000),
    "several.jpg": several_in_one(),
}


@pytest.fixture
def visit(oak):
    return book_visit(conversion=make_yard(oak), by=oak.organiser, due_at=DUE)


def send(client, oak, visit, files, slot="left", **more):
    chosen = [SimpleUploadedFile(name, raw) for name, raw in files]
    data = {f"photo-{slot}": chosen if len(chosen) > 1 else chosen[0], **more}
    return client.post(oak.url(f"visits/{visit.pk}/photos/"), data)


def stored(folder="") -> set[str]:
    if not default_storage.exists(folder):
        return set()
    folders, files = default_storage.listdir(folder)
    return {f"{folder}/{name}" for name in files}.union(*(stored(f"{folder}/{name}".strip("/")) for name in folders))


@pytest.mark.parametrize("name", BAD)
def test_what_is_no_sound_picture_is_refused_beside_its_field_and_leaves_nothing(organiser, oak, visit, name):
    before = stored()
    answer = send(organiser, oak, visit, [(name, BAD[name])])
    page = answer.content.decode()
    assert answer.status_code == 200 and ('id="photo-left_error"' in page)
    assert not Photo.of(oak.group).exists() and stored() == before


@pytest.mark.parametrize("name", GOOD)
def test_a_phones_picture_is_served_upright_and_without_a_trace_of_where(organiser, oak, visit, name):
    assert send(organiser, oak, visit, [(name, GOOD[name])]).status_code == 302
    photo = Photo.of(oak.group).get()
    for size in ("view", "thumb"):
        answer = organiser.get(oak.url(f"photos/{photo.pk}/{size}/"))
        data = b"".join(answer.streaming_content)
        head = data[: data.index(b"\xff\xda")]
        assert answer["Content-Type"] == "image/jpeg" and data[:2] == b"\xff\xd8"
        assert [trace for trace in TRACES if trace in head] == [] and b"secret" not in data
        assert max(Image.open(io.BytesIO(data)).size) <= {"view": 1600, "thumb": 320}[size]
    if "turned" in name:
        assert (photo.width > photo.height) == (int(name[6]) < 5)
    for key in (photo.original_key, photo.view_key, photo.thumb_key):
        assert name.split(".")[0] not in key


def test_several_pictures_at_once_are_all_kept_and_sent_again_are_the_same(organiser, oak, visit):
    files = [(f"{colour}.jpg", picture(colour=colour)) for colour in ("red", "green", "blue")]
    uid = {"photo-other-uid": "6f2b7a1e-52d8-4b5c-9d0e-0d8a3a1b2c3d", "photo-people": "none"}
    for _ in range(2):
        assert send(organiser, oak, visit, files, "other", **uid).status_code == 302
    assert [photo.people for photo in Photo.of(oak.group)] == ["none"] * 3


def test_one_bad_file_among_several_does_not_cost_the_others(organiser, oak, visit):
    files = [("a.jpg", picture()), ("b.jpg", b"words"), ("c.jpg", picture(colour="navy"))]
    assert "photo-other_error" in send(organiser, oak, visit, files, "other").content.decode()
    assert Photo.of(oak.group).count() == 2


@pytest.mark.parametrize(("answer", "kept"), [("", "unsure"), ("nonsense", "unsure"), ("child", "child")])
def test_who_nobody_looked_for_may_be_in_it(organiser, oak, visit, answer, kept):
    send(organiser, oak, visit, [("a.jpg", picture())], **{"photo-people": answer})
    assert Photo.of(oak.group).get().people == kept


def test_what_was_said_of_some_pictures_is_not_said_of_the_next_ones(organiser, oak, visit):
    files = [("a.jpg", picture()), ("words.jpg", b"only words")]
    html = send(organiser, oak, visit, files, slot="other", **{"photo-people": "none"}).content.decode()
    assert Photo.of(oak.group).get().people == "none" and "Picture not kept" in html
    assert "checked" not in html.split('id="photo-people-none"')[1].split(">")[0]
