"""Takes in a picture: checked, turned upright, shrunk, and bare of everything that tells where and on what it was taken."""

import contextlib
import datetime
import hashlib
import io
import struct
import warnings
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from PIL import ExifTags, Image, ImageFile, ImageOps, UnidentifiedImageError
from pillow_heif import register_heif_opener

register_heif_opener()

FORMATS = ["JPEG", "PNG", "WEBP", "HEIF"]
MOST_BYTES = 40_000_000
# A JPEG is opened at a fraction of its size, the others are not.
MOST_PIXELS = {"JPEG": 120_000_000, "PNG": 64_000_000, "WEBP": 64_000_000, "HEIF": 64_000_000}
VIEW, THUMB = 1600, 320
QUALITY = 82

# Above this Pillow warns; the warning is made an error below. Far above it raises by itself.
Image.MAX_IMAGE_PIXELS = max(MOST_PIXELS.values())

BOMBS = (Image.DecompressionBombError, Image.DecompressionBombWarning)
BROKEN = (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError, RuntimeError, struct.error, MemoryError)
# What a damaged EXIF block has been seen to raise; a picture is not refused for it.
BAD_EXIF = (*BROKEN, TypeError, KeyError, IndexError, AttributeError, OverflowError, ZeroDivisionError)


GRID = 6  # squares across and down, of which somebody ticks those that must not be seen
COARSE = 24  # what is blurred is averaged down to so many pixels on its longer side: four to a square


class PhotoRefused(Exception):
    """This file is not taken in; the message says why and what would do."""


@dataclass(frozen=True)
class Accepted:
    original: bytes  # as it came, position and all: never served
    view_bytes: bytes
    thumb_bytes: bytes
    width: int  # of the view, upright
    height: int
    sha256: str  # of the file as it came
    size: int
    taken_at: datetime.datetime | None  # as the camera claims; without a zone unless it names one


def accept(file: Any) -> Accepted:
    """Two clean JPEGs out of a file somebody chose, or PhotoRefused. Nothing is written anywhere."""
    raw = _read(file)
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        warnings.simplefilter("ignore", UserWarning)  # damaged EXIF: nothing of it is kept anyway
        try:
            image, taken_at = _load(raw)
            view = _upright(image)
        except BOMBS as error:
            raise PhotoRefused(_too_large()) from error
        except UnidentifiedImageError as error:
            raise PhotoRefused(_what_it_is(raw)) from error
        except BROKEN as error:
            raise PhotoRefused(_("This picture is broken or cut off. Take it again, or send it once more.")) from error
    thumb = view.copy()
    thumb.thumbnail((THUMB, THUMB), Image.Resampling.LANCZOS)
    return Accepted(
        original=raw,
        view_bytes=_jpeg(view),
        thumb_bytes=_jpeg(thumb),
        width=view.width,
        height=view.height,
        sha256=hashlib.sha256(raw).hexdigest(),
        size=len(raw),
        taken_at=taken_at,
    )


@dataclass(frozen=True)
class Blurred:
    view_bytes: bytes
    thumb_bytes: bytes
    width: int
    height: int
    sha256: str


def blur(view: bytes, cells: Collection[tuple[int, int]]) -> Blurred:
    """A copy of a served picture in which the given squares, (row, column) from nought, tell nothing any more.

    They are averaged down to a few pixels first, so that nothing of them can be computed back.
    """
    image = Image.open(io.BytesIO(view), formats=["JPEG"]).convert("RGB")
    mask = Image.new("L", image.size, 0)
    for row, column in cells:
        across = [round(image.width * n / GRID) for n in (column, column + 1)]
        down = [round(image.height * n / GRID) for n in (row, row + 1)]
        mask.paste(255, (across[0], down[0], across[1], down[1]))
    scale = COARSE / max(image.size)
    small = image.resize([max(1, round(side * scale)) for side in image.size], Image.Resampling.BOX)
    image.paste(small.resize(image.size, Image.Resampling.BILINEAR), mask=mask)
    thumb = image.copy()
    thumb.thumbnail((THUMB, THUMB), Image.Resampling.LANCZOS)
    view_bytes = _jpeg(image)
    return Blurred(view_bytes, _jpeg(thumb), image.width, image.height, hashlib.sha256(view_bytes).hexdigest())


def _read(file: Any) -> bytes:
    """The bytes, unless there are too many: then not even those are read."""
    size = getattr(file, "size", None)
    if size is None or size <= MOST_BYTES:
        file.seek(0)
        raw = file.read(MOST_BYTES + 1)
        size = len(raw)
    if size > MOST_BYTES:
        raise PhotoRefused(
            _("This file is %(size)s MB. A picture may have %(most)s MB at most; choose a smaller size on the phone.")
            % {"size": -(-size // 1_000_000), "most": MOST_BYTES // 1_000_000}
        )
    if not size:
        raise PhotoRefused(_("This file is empty. Choose the picture again."))
    return raw


def _too_large() -> str:
    return _("This picture is too large to open. Choose a smaller size on the phone.")


def _what_it_is(raw: bytes) -> str:
    if raw[4:8] == b"ftyp":
        return _("This cannot be read: it was cut off, or is of another kind. Send it once more, or a copy as JPEG.")
    return _("This is not a picture. Choose a JPEG, PNG, WebP or HEIC.")


def _load(raw: bytes) -> tuple[Image.Image, datetime.datetime | None]:
    """Opened, checked for size, and decoded to the last byte: only that shows a file cut in half."""
    # The PDF writer tells Pillow, for the whole process, to forgive a file that ends too early; a photo is not forgiven.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    image = Image.open(io.BytesIO(raw), formats=FORMATS)
    kind = image.format if image.format in MOST_PIXELS else "JPEG"  # a phone's several-in-one JPEG calls itself MPO
    if image.width * image.height > MOST_PIXELS[kind]:
        raise PhotoRefused(_too_large())
    taken_at = _taken_at(image)
    if kind == "JPEG":
        # The true target, not a square: only then does the decoder halve.
        scale = VIEW / max(image.size)
        if scale < 1:
            image.draft("RGB", (max(1, int(image.width * scale)), max(1, int(image.height * scale))))
    image.load()
    return image, taken_at


def _upright(image: Image.Image) -> Image.Image:
    """Shrunk, turned, then flat on white: in this order a huge see-through picture is copied only while small."""
    if image.mode.startswith("I") or image.mode == "F":
        image = _eight_bits(image)
    elif "transparency" in image.info or image.mode == "PA":
        image = image.convert("RGBA")
    elif image.mode in ("1", "P"):
        image = image.convert("RGB")
    image.thumbnail((VIEW, VIEW), Image.Resampling.LANCZOS)
    with contextlib.suppress(*BAD_EXIF):
        image = ImageOps.exif_transpose(image)
    if "A" in image.getbands():
        over = image.convert("RGBA")
        image = Image.alpha_composite(Image.new("RGBA", over.size, "white"), over)
    return image.convert("RGB")


def _eight_bits(image: Image.Image) -> Image.Image:
    wide = image.convert("I")
    return wide.point(lambda value: value * (1 / 256)).convert("L")


def _jpeg(image: Image.Image) -> bytes:
    """A JPEG with nothing in it but the picture: no EXIF, position, XMP, colour profile or comment."""
    image.info.clear()
    out = io.BytesIO()
    image.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=True, exif=b"", comment=b"")
    return out.getvalue()


def _taken_at(image: Image.Image) -> datetime.datetime | None:
    """The moment the camera wrote down, if it can be read at all."""
    try:
        inside = image.getexif().get_ifd(ExifTags.IFD.Exif)
        written = str(inside.get(ExifTags.Base.DateTimeOriginal, "")).strip("\0 ")
        zone = str(inside.get(ExifTags.Base.OffsetTimeOriginal, "")).strip("\0 ")
        if zone:
            return datetime.datetime.strptime(f"{written} {zone}", "%Y:%m:%d %H:%M:%S %z")
        return datetime.datetime.strptime(written, "%Y:%m:%d %H:%M:%S")
    except BAD_EXIF:
        return None
