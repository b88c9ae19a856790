"""Before pictures for tests of the paper: drawn ones, kept as a visit keeps them, with the household's yes."""

import datetime
import io
import random

from PIL import Image, ImageDraw, ImageFilter

from conversions.people.consents import write_consent
from conversions.visits.actions import book_visit, keep_photo
from conversions.yards.models import Photo

SLOTS = ("middle", "left", "right", "close", "other", "other")


def picture(seed: int, size=(1600, 1200)) -> bytes:
    """A noisy picture of sky and grass, about as hard to compress as one from a telephone."""
    dice = random.Random(seed)
    image = Image.new("RGB", size, (150, 190, 220))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, size[1] // 2, *size), fill=(90, 130, 60))
    for _n in range(6000):
        x, y = dice.randrange(size[0]), dice.randrange(size[1] // 2, size[1])
        draw.line((x, y, x + dice.randrange(-6, 6), y - dice.randrange(8, 40)), fill=(60 + dice.randrange(90), 140, 50))
    file = io.BytesIO()
    image.filter(ImageFilter.GaussianBlur(0.6)).save(file, "JPEG", quality=85)
    return file.getvalue()


def add_before(
    world, conversion, count: int = 6, *, people: str = "none", consent: str = "photo record"
) -> list[Photo]:
    """So many pictures of this ground, taken on a visit; the household said yes to `consent` (empty: was not asked)."""
    visit = book_visit(conversion=conversion, by=world.organiser, due_at=datetime.datetime.now(datetime.UTC))
    if consent:
        write_consent(
            person=conversion.household.contact, by=world.organiser, kind=consent, answer="yes", how="asked",
            on=world.today,
        )  # fmt: skip
    patch = conversion.place.patches.first()  # the sixth is of a patch: each spot is shown once
    return [
        keep_photo(
            place=conversion.place, by=world.organiser, file=io.BytesIO(picture(n)), taken_for="visit",
            taken_for_id=visit.pk, slot=SLOTS[n % len(SLOTS)], people=people, patch=patch if n >= 5 else None,
        )
        for n in range(count)
    ]  # fmt: skip
