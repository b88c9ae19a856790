"""Pictures are taken in upright, small and bare; everything else is refused in words."""

import datetime
import hashlib
import io
import random
import zlib

import pytest
from PIL import Image, ImageChops, ImageFile, ImageStat, PngImagePlugin

from conversions.common import photos
from conversions.common.photos import MOST_BYTES, MOST_PIXELS, PhotoRefused, accept

ORIENTATION, GPS, EXIF = 0x0112, 0x8825, 0x8769


def picture(width=400, height=300, kind="JPEG", mode="RGB", colour="olive", **save):
    out = io.BytesIO()
    Image.new(mode, (width, height), colour).save(out, kind, **save)
    return out.getvalue()


def halves(orientation):
    """Left half red and right half blue as it should be seen, stored turned by `orientation`."""
    seen = Image.new("RGB", (400, 200), "blue")
    seen.paste("red", (0, 0, 200, 200))
    seen.paste("lime", (0, 0, 200, 60))  # green strip at the top of the red half tells mirrored ones apart
    undo = {
        2: [Image.Transpose.FLIP_LEFT_RIGHT],
        3: [Image.Transpose.ROTATE_180],
        4: [Image.Transpose.FLIP_TOP_BOTTOM],
        5: [Image.Transpose.TRANSPOSE],
        6: [Image.Transpose.ROTATE_90],
        7: [Image.Transpose.TRANSVERSE],
        8: [Image.Transpose.ROTATE_270],
    }
    for turn in undo.get(orientation, []):
        seen = seen.transpose(turn)
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    out = io.BytesIO()
    seen.save(out, "JPEG", exif=exif, quality=95)
    return out.getvalue()


def is_about(pixel, colour):
    return all(abs(a - b) < 40 for a, b in zip(pixel, colour, strict=True))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_is_upright_whichever_way_the_camera_was_held(orientation):
    kept = accept(io.BytesIO(halves(orientation)))
    for data, width in ((kept.view_bytes, 400), (kept.thumb_bytes, 320)):
        image = Image.open(io.BytesIO(data))
        assert image.size == (width, width // 2)
        assert is_about(image.getpixel((width // 4, width // 16)), (0, 255, 0))
        assert is_about(image.getpixel((width // 4, width // 3)), (255, 0, 0))
        assert is_about(image.getpixel((width * 3 // 4, width // 4)), (0, 0, 255))
        assert ORIENTATION not in image.getexif()


def test_a_position_a_comment_and_all_other_metadata_are_gone():
    exif = Image.Exif()
    exif[0x010F] = "Camera maker of nowhere"
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (51.0, 30.0, 12.34)
    exif.get_ifd(EXIF)[0x9003] = "2026:05:05 17:31:02"
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><place>secret lane</place></x:xmpmeta>'
    raw = picture(exif=exif, comment=b"taken at secret lane", xmp=xmp, icc_profile=b"secret profile" * 20)
    assert b"secret lane" in raw and b"Exif\0\0" in raw
    kept = accept(io.BytesIO(raw))
    for data in (kept.view_bytes, kept.thumb_bytes):
        for word in (b"Exif\0\0", b"secret", b"xmpmeta", b"nowhere", b"ICC_PROFILE"):
            assert word not in data
        left = Image.open(io.BytesIO(data))
        assert not dict(left.getexif()) and "comment" not in left.info
    assert kept.taken_at == datetime.datetime(2026, 5, 5, 17, 31, 2)


def test_text_inside_a_png_is_gone_and_what_was_see_through_is_white():
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", "secret lane")
    exif = Image.Exif()
    exif.get_ifd(GPS)[1] = "N"
    raw = picture(kind="PNG", mode="RGBA", colour=(0, 0, 0, 0), pnginfo=notes, exif=exif)
    kept = accept(io.BytesIO(raw))
    assert b"secret lane" not in kept.view_bytes
    assert b"Exif\0\0" not in kept.view_bytes
    assert Image.open(io.BytesIO(kept.view_bytes)).getpixel((5, 5)) == (255, 255, 255)


def test_a_turned_see_through_png_is_turned_upright_too():
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    kept = accept(io.BytesIO(picture(400, 300, kind="PNG", mode="RGBA", exif=exif)))
    assert (kept.width, kept.height) == (300, 400)


def test_the_zone_the_camera_names_is_kept():
    exif = Image.Exif()
    exif.get_ifd(EXIF)[0x9003] = "2026:05:05 17:31:02"
    exif.get_ifd(EXIF)[0x9011] = "+02:00"
    taken_at = accept(io.BytesIO(picture(exif=exif))).taken_at
    assert taken_at.utcoffset() == datetime.timedelta(hours=2)


@pytest.mark.parametrize("written", ["0000:00:00 00:00:00", "yesterday", "", "2026:13:45 99:00:00"])
def test_a_camera_without_a_clock_is_no_reason_to_refuse(written):
    exif = Image.Exif()
    exif.get_ifd(EXIF)[0x9003] = written
    assert accept(io.BytesIO(picture(exif=exif))).taken_at is None


def test_a_damaged_exif_block_is_no_reason_to_refuse():
    good = halves(6)
    at = good.index(b"Exif\0\0") + 6
    for damage in (b"\xff" * 8, b"II*\0\xff\xff\xff\x7f", b"MM\0*\0\0\0\x08\xff\xff"):
        raw = good[:at] + damage + good[at + len(damage) :]
        assert accept(io.BytesIO(raw)).width > 0


def test_a_large_picture_shrinks_to_1600_and_320():
    kept = accept(io.BytesIO(picture(4000, 3000)))
    assert (kept.width, kept.height) == (1600, 1200)
    assert Image.open(io.BytesIO(kept.view_bytes)).size == (1600, 1200)
    assert Image.open(io.BytesIO(kept.thumb_bytes)).size == (320, 240)


def test_a_small_or_a_very_narrow_picture_is_not_blown_up():
    assert accept(io.BytesIO(picture(7, 3))).width == 7
    kept = accept(io.BytesIO(picture(9000, 2)))
    assert (kept.width, kept.height) == (1600, 1)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_kind_of_png_comes_out_as_a_plain_jpeg(mode):
    kept = accept(io.BytesIO(picture(kind="PNG", mode=mode, colour=None if mode == "P" else 1)))
    assert Image.open(io.BytesIO(kept.view_bytes)).mode == "RGB"


def test_a_sixteen_bit_picture_keeps_its_tones():
    raw = picture(kind="PNG", mode="I;16", colour=0x8000)
    pixel = Image.open(io.BytesIO(accept(io.BytesIO(raw)).view_bytes)).getpixel((9, 9))
    assert all(abs(tone - 128) < 4 for tone in pixel)


@pytest.mark.parametrize("mode", ["L", "RGB", "CMYK"])
def test_every_kind_of_jpeg_comes_out_as_a_plain_jpeg(mode):
    kept = accept(io.BytesIO(picture(mode=mode, colour=None)))
    assert Image.open(io.BytesIO(kept.view_bytes)).mode == "RGB"


def test_several_pictures_in_one_jpeg_give_the_first():
    first, second = Image.new("RGB", (500, 400), "red"), Image.new("RGB", (60, 40), "blue")
    out = io.BytesIO()
    first.save(out, "MPO", save_all=True, append_images=[second])
    kept = accept(io.BytesIO(out.getvalue()))
    assert (kept.width, kept.height) == (500, 400)


def refusal(raw):
    with pytest.raises(PhotoRefused) as caught:
        accept(io.BytesIO(raw))
    return str(caught.value)


@pytest.mark.parametrize(
    "raw",
    [
        b"just some words, saved as lawn.jpg",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%PDF-1.7 and so on",
        b"GIF89a\x01\0\x01\0\0\0\0;",
        bytes(range(256)) * 20,
        b"\xff",
    ],
)
def test_what_is_no_picture_is_refused_in_words(raw):
    assert "not a picture" in refusal(raw)


def test_other_picture_formats_are_refused_and_named_as_such():
    assert "copy as JPEG" in refusal(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 200)
    assert "copy as JPEG" in refusal(b"\0\0\0\x18ftypqt  \0\0\0\0qt  " + b"\0" * 200)
    assert "not a picture" in refusal(picture(kind="GIF"))


LIKE_A_PHONE = ["JPEG", "PNG", "WEBP", "HEIF"]
# How a position reaches a file: the EXIF block, the XMP packet, a comment, a text, a colour profile, a maker's name.
TRACES = (b"Exif", b"GPS", b"xmp", b"XML", b"secret", b"nowhere", b"ICC_PROFILE", b"\xff\xfe", b"\xff\xe1", b"\xff\xed")


def with_position(kind, orientation=1):
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[0x010F] = "nowhere"
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (51.0, 30.0, 12.34)
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><exif:GPSLatitude>51,30.2N secret</exif:GPSLatitude></x:xmpmeta>'
    more = {"comment": b"secret lane"} if kind == "JPEG" else {}
    seen = Image.new("RGB", (400, 200), "blue")
    seen.paste("red", (0, 0, 200, 200))
    out = io.BytesIO()
    seen.save(out, kind, exif=exif.tobytes(), xmp=xmp, **more)
    return out.getvalue()


@pytest.mark.parametrize("kind", LIKE_A_PHONE)
def test_no_trace_of_a_position_is_in_any_byte_that_is_served(kind):
    raw = with_position(kind)
    if kind != "PNG":  # there the words are packed
        assert b"secret" in raw
    kept = accept(io.BytesIO(raw))
    assert kept.original == raw
    for data in (kept.view_bytes, kept.thumb_bytes):
        head = data[: data.index(b"\xff\xda")]  # up to the picture itself, where any two bytes may stand together
        assert [trace for trace in TRACES if trace in head] == []
        assert data.endswith(b"\xff\xd9") and b"secret" not in data and b"GPSLatitude" not in data
        left = Image.open(io.BytesIO(data))
        assert not dict(left.getexif()) and not {"xmp", "comment", "icc_profile", "exif"} & set(left.info)


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_other_kinds_are_turned_by_their_orientation_too(kind, orientation):
    kept = accept(io.BytesIO(with_position(kind, orientation)))
    assert (kept.width, kept.height) == ((400, 200) if orientation < 5 else (200, 400))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_phones_heic_stands_upright(orientation):
    kept = accept(io.BytesIO(with_position("HEIF", orientation)))
    assert (kept.width, kept.height) == ((400, 200) if orientation < 5 else (200, 400))
    image = Image.open(io.BytesIO(kept.view_bytes))
    corners = [image.getpixel((x, y)) for x in (20, kept.width - 20) for y in (20, kept.height - 20)]
    # Red is the left half as stored; where it ends up is what the orientation says.
    red = [is_about(corner, (255, 0, 0)) for corner in corners]
    assert red == {
        1: [True, True, False, False], 2: [False, False, True, True], 3: [False, False, True, True],
        4: [True, True, False, False], 5: [True, False, True, False], 6: [True, False, True, False],
        7: [False, True, False, True], 8: [False, True, False, True],
    }[orientation]  # fmt: skip


@pytest.mark.parametrize("kind", ["WEBP", "HEIF"])
def test_webp_and_heic_of_more_than_64_megapixels_are_refused(kind, monkeypatch):
    monkeypatch.setitem(MOST_PIXELS, kind, 400 * 300 - 1)  # writing a true one takes a minute
    assert "too large" in refusal(picture(kind=kind))


@pytest.mark.parametrize("kind", ["WEBP", "HEIF"])
@pytest.mark.parametrize("share", [0.02, 0.1, 0.5, 0.9])
def test_a_cut_off_webp_or_heic_is_refused(kind, share):
    out = io.BytesIO()
    Image.effect_noise((500, 400), 90).convert("RGB").save(out, kind)
    whole = out.getvalue()
    assert accept(io.BytesIO(whole)).width == 500
    assert refusal(whole[: int(len(whole) * share)])


@pytest.mark.parametrize("kind", LIKE_A_PHONE)
def test_a_picture_with_damaged_bytes_never_falls_over(kind):
    whole, chance = with_position(kind), random.Random(7)
    for _ in range(150):
        raw = bytearray(whole)
        for _ in range(chance.choice((1, 4, 30))):
            raw[chance.randrange(len(raw))] = chance.randrange(256)
        try:
            kept = accept(io.BytesIO(bytes(raw)))
        except PhotoRefused:
            continue
        assert kept.width and b"secret" not in kept.view_bytes


@pytest.mark.parametrize("kind", ["WEBP", "HEIF"])
def test_a_see_through_webp_or_heic_is_white_where_nothing_is(kind):
    kept = accept(io.BytesIO(picture(kind=kind, mode="RGBA", colour=(0, 0, 0, 0))))
    assert is_about(Image.open(io.BytesIO(kept.view_bytes)).getpixel((5, 5)), (255, 255, 255))


def test_a_moving_webp_gives_its_first_picture():
    out = io.BytesIO()
    first, second = Image.new("RGB", (40, 30), "red"), Image.new("RGB", (40, 30), "blue")
    first.save(out, "WEBP", save_all=True, append_images=[second])
    kept = accept(io.BytesIO(out.getvalue()))
    assert is_about(Image.open(io.BytesIO(kept.view_bytes)).getpixel((5, 5)), (255, 0, 0))


def test_an_empty_file_is_refused():
    assert "empty" in refusal(b"")


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_picture_cut_off_on_the_way_is_refused(kind, share):
    noise = Image.effect_noise((900, 700), 90)
    out = io.BytesIO()
    noise.save(out, kind)
    whole = out.getvalue()
    assert accept(io.BytesIO(whole)).width == 900
    assert "cut off" in refusal(whole[: int(len(whole) * share)])


def png_of(width, height):
    """A PNG that claims a size and holds next to nothing."""

    def chunk(kind, data):
        return len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")

    head = width.to_bytes(4, "big") + height.to_bytes(4, "big") + bytes([1, 0, 0, 0, 0])
    body = zlib.compress(bytes(10_000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(8001, 8000), (12_000, 11_000), (30_000, 30_000)])
def test_a_small_file_that_unfolds_into_a_huge_picture_is_refused(size):
    assert "too large" in refusal(png_of(*size))


def jpeg_of(width, height):
    """A true JPEG whose header claims another size."""
    raw = bytearray(picture(64, 64))
    at = raw.index(b"\xff\xc0") + 5
    raw[at : at + 4] = height.to_bytes(2, "big") + width.to_bytes(2, "big")
    return bytes(raw)


@pytest.mark.parametrize("size", [(12_001, 10_000), (20_000, 20_000), (65_000, 65_000)])
def test_a_jpeg_above_120_megapixels_is_refused(size):
    assert "too large" in refusal(jpeg_of(*size))


def test_a_phone_picture_of_108_megapixels_is_taken():
    assert accept(io.BytesIO(picture(12_000, 9_000))).width == 1600


class Chosen(io.BytesIO):
    """A file that says how large it is, as an upload does."""

    def __init__(self, raw, size):
        super().__init__(raw)
        self.size = size


def test_41_megabytes_are_refused_by_their_size_alone():
    with pytest.raises(PhotoRefused, match="41 MB.*40 MB"):
        accept(Chosen(b"", 41_000_000))
    assert "40 MB" in refusal(b"\xff\xd8" + bytes(MOST_BYTES))


def test_the_sum_and_the_size_are_those_of_the_file_as_it_came():
    raw = picture()
    kept = accept(io.BytesIO(raw))
    assert kept.size == len(raw)
    assert len(kept.sha256) == 64 and accept(io.BytesIO(raw)).sha256 == kept.sha256


def test_a_cut_off_picture_is_refused_after_a_paper_was_made_too(monkeypatch):
    """The PDF writer's import switches Pillow, for the whole process, to forgiving cut-off files."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    whole = picture(900, 700)
    assert "cut off" in refusal(whole[: len(whole) // 2])


# ---- blurred copies


def a_view(colours=("black", "white")) -> bytes:
    """A served picture of fine stripes, as full of detail as one can be."""
    image = Image.new("RGB", (576, 480), colours[0])
    for x in range(0, 576, 4):
        image.paste(colours[1], (x, 0, x + 2, 480))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=95)
    return out.getvalue()


def spread(content: bytes, row: int, column: int) -> float:
    """How much detail one square holds: the spread of its grey, well inside its edges."""
    image = Image.open(io.BytesIO(content)).convert("L")
    w, h = image.width / photos.GRID, image.height / photos.GRID
    inside = image.crop((int(column * w) + 12, int(row * h) + 12, int((column + 1) * w) - 12, int((row + 1) * h) - 12))
    return ImageStat.Stat(inside).stddev[0]


def test_a_ticked_square_holds_no_detail_any_more_and_the_others_keep_theirs():
    copy = photos.blur(a_view(), [(1, 2), (5, 5)])
    assert (copy.width, copy.height) == (576, 480)
    for row in range(photos.GRID):
        for column in range(photos.GRID):
            detail = spread(copy.view_bytes, row, column)
            assert detail < 8 if (row, column) in ((1, 2), (5, 5)) else detail > 80, (row, column, detail)
    assert spread(copy.thumb_bytes, 1, 2) < 8


def test_two_pictures_that_differ_only_in_fine_detail_blur_to_the_same():
    """What cannot be told apart afterwards cannot be computed back: stripes and their negative, square for square."""
    everywhere = [(row, column) for row in range(photos.GRID) for column in range(photos.GRID)]
    one, other = (
        Image.open(io.BytesIO(photos.blur(a_view(colours), everywhere).view_bytes)).convert("L")
        for colours in (("black", "white"), ("white", "black"))
    )
    assert max(ImageStat.Stat(ImageChops.difference(one, other)).extrema[0]) <= 4


def test_a_blurred_copy_holds_nothing_but_the_picture_and_names_its_own_sum():
    copy = photos.blur(a_view(), [(0, 0)])
    for content in (copy.view_bytes, copy.thumb_bytes):
        image = Image.open(io.BytesIO(content))
        assert not image.getexif() and "exif" not in image.info and "icc_profile" not in image.info
    assert copy.sha256 == hashlib.sha256(copy.view_bytes).hexdigest()


# ---- just inside the limits


def test_a_jpeg_of_120_megapixels_and_a_png_of_64_are_still_taken():
    for kind, mode, size in (("JPEG", "L", (12_000, 10_000)), ("PNG", "1", (8_000, 8_000))):
        assert size[0] * size[1] == MOST_PIXELS[kind]
        kept = accept(io.BytesIO(picture(*size, kind=kind, mode=mode, colour=1)))
        assert max(kept.width, kept.height) == 1600


def test_a_file_of_40_megabytes_is_still_taken_and_what_hangs_behind_the_picture_is_not_served():
    """Phones hang a short film, or a second picture with its own position, behind the end of a JPEG."""
    raw = picture() + b"secret film"
    kept = accept(io.BytesIO(raw + bytes(MOST_BYTES - len(raw))))
    assert kept.size == MOST_BYTES
    assert b"secret" not in kept.view_bytes and b"secret" not in kept.thumb_bytes


def test_a_blurred_copy_of_a_picture_with_a_position_has_no_trace_of_it_either():
    copy = photos.blur(accept(io.BytesIO(with_position("JPEG"))).view_bytes, [(0, 0)])
    for data in (copy.view_bytes, copy.thumb_bytes):
        head = data[: data.index(b"\xff\xda")]
        assert [trace for trace in TRACES if trace in head] == [] and b"secret" not in data
