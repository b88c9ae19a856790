"""What a closed day has counted is what every page says was built there, not what was planned."""

import re
from decimal import Decimal

import pytest

from conversions.builds.actions import record_as_built
from conversions.builds.ledger import set_right
from conversions.builds.models import Day, Ground
from conversions.yards.steps import built_m2
from tests.builds.rows import make_agreed, make_day
from tests.office.test_close_day import close
from tests.rows import make_yard, rectangle

pytestmark = pytest.mark.django_db


def words(answer) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


def closed(world, n=0, area="40.5", on=None):
    """A lawn of 8.6 by 6 m, 49.0 m² of it to cover, less of which was finished."""
    yard = make_agreed(world, make_yard(world, address=f"{n} Tansy Row", reach=f"000 111 22{n}"), rectangle())
    day = make_day(world, yard, on=on)
    patch = day.day_patches.get().patch
    record_as_built(day=day, patch=patch, by=world.lead, how="measured", area_m2=Decimal(area), why_different="A root.")
    return yard, close(world, day)


def test_list_yard_and_days_show_what_was_counted(organiser, oak):
    yard, day = closed(oak)
    assert Ground.of(oak.group).get().m2 == Decimal("40.50")
    assert "40.5 m²" in words(organiser.get(oak.url("yards/"))) and "49.0" not in words(
        organiser.get(oak.url("yards/"))
    )
    days = words(organiser.get(oak.url("days/")))
    assert "40.5 m²" in days and "49.0" not in days
    page = words(organiser.get(oak.url(f"yards/{yard.pk}/")))
    assert "Built 40.5 m²" in page and "Lawn to cover 49.0 m²" in page
    assert "14:00, 40.5 m²" in words(organiser.get(oak.url(f"days/{day.pk}/?at=before")))


def test_a_correction_is_in_it(organiser, oak):
    yard, day = closed(oak)
    row = Ground.of(oak.group).get()
    set_right(ground=row, to_m2=Decimal("38.20"), seen_m2=row.m2, reason="Measured again.", by=oak.organiser)
    assert built_m2(yard) == Decimal("38.20")
    assert Day.of(oak.group).for_lists().get().shown_m2 == Decimal("38.20")


def test_before_it_is_closed_the_plan_is_shown(organiser, oak):
    yard = make_agreed(oak, None, rectangle())
    make_day(oak, yard)
    assert "49.0 m²" in words(organiser.get(oak.url("yards/"))) and "49.0 m²" in words(organiser.get(oak.url("days/")))
    assert "Built 4" not in words(organiser.get(oak.url(f"yards/{yard.pk}/")))


def test_more_that_was_built_takes_no_more_queries(organiser, oak, django_assert_num_queries):
    closed(oak)
    for page, number in (("yards/", 15), ("days/", 7)):
        with django_assert_num_queries(number):
            organiser.get(oak.url(page))
    closed(oak, 1)
    closed(oak, 2)
    for page, number in (("yards/", 15), ("days/", 7)):
        with django_assert_num_queries(number):
            organiser.get(oak.url(page))
