"""Putting a counted figure right after its day is closed."""

from decimal import Decimal

import pytest

from conversions.builds import ledger
from conversions.builds.models import Ground
from conversions.tally import counts
from tests.builds.rows import make_day
from tests.office.test_close_day import as_drawn, close


@pytest.fixture
def counted(oak):
    day = make_day(oak)
    as_drawn(oak, day)
    close(oak, day)
    return Ground.of(oak.group).get()


def address(oak, row) -> str:
    return oak.url(f"days/{row.day_id}/ground/{row.pk}/correct/")


def put_right(client, oak, row, to, reason="Taped again", **other):
    seen = ledger.stands(row)
    return client.post(address(oak, row), {"seen_m2": seen, "to_m2": to, "reason": reason, **other}, follow=True)


def text(response) -> str:
    return " ".join(response.content.decode().split())


def test_a_wrong_figure_is_put_right_and_the_first_one_stays(oak, organiser, counted):
    assert "Correct what was counted" in text(organiser.get(address(oak, counted)))
    page = put_right(organiser, oak, counted, "20.00")
    assert page.redirect_chain and "20.0 m² of lawn converted" in text(page) and "Taped again" in text(page)
    first, correction = Ground.of(oak.group)
    assert first.m2 == counted.m2 and correction.m2 == Decimal("20.00") - counted.m2
    assert (correction.corrects, correction.by, correction.reason) == (counted, oak.organiser, "Taped again")
    assert counts.year(oak.group, counted.year).total_m2 == Decimal("20.00")


def test_a_figure_is_corrected_to_nothing_and_no_further(oak, organiser, counted):
    put_right(organiser, oak, counted, "0")
    assert ledger.stands(counted) == 0
    page = put_right(organiser, oak, counted, "-1")
    assert page.status_code == 200 and "to_m2" in page.context["form"].errors
    assert ledger.stands(counted) == 0


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"to": "20", "reason": " "}, "reason"),
        ({"to": ""}, "to_m2"),
        ({"to": "abc"}, "to_m2"),
        ({"to": "400"}, "to_m2"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_written(oak, organiser, counted, typed, field):
    page = put_right(organiser, oak, counted, **typed)
    assert field in page.context["form"].errors
    assert Ground.of(oak.group).count() == 1


def test_the_figure_left_as_it_is_changes_nothing(oak, organiser, counted):
    page = put_right(organiser, oak, counted, str(counted.m2))
    assert "A correction of nothing" in text(page) and Ground.of(oak.group).count() == 1


def test_more_than_the_drawing_needs_the_whole_patch_measured_again(oak, organiser, counted):
    more = counted.m2 + 10
    assert "measure the whole of it again" in text(put_right(organiser, oak, counted, more))
    put_right(organiser, oak, counted, more, lawn_m2=counted.patch.lawn_m2 + 10)
    assert ledger.stands(counted) == more


def test_two_people_correcting_the_same_figure_take_it_off_once(oak, organiser, counted):
    old = {"seen_m2": counted.m2, "to_m2": "20.00", "reason": "Taped again"}
    organiser.post(address(oak, counted), old)
    late = organiser.post(address(oak, counted), old | {"to_m2": "21.00"})
    assert "Somebody corrected this meanwhile: it stands at 20.00 m² now." in text(late)
    assert 'value="21.00"' in text(late) and 'name="seen_m2" value="20.00"' in text(late)
    assert ledger.stands(counted) == Decimal("20.00")


def test_a_group_in_feet_corrects_in_feet_and_an_unchanged_figure_is_unchanged(oak, organiser, counted):
    oak.group.units = "imperial"
    oak.group.save()
    shown = organiser.get(address(oak, counted)).context["form"].initial["to_m2"]
    assert "A correction of nothing" in text(put_right(organiser, oak, counted, shown))
    put_right(organiser, oak, counted, "200")
    assert ledger.stands(counted) == Decimal("18.58")  # 200 sq ft of 0.09290304 m2 (NIST Handbook 44, App. C)


def test_only_organisers_correct(oak, client, counted):
    for role in ("visitor", "lead", "reader", "helper"):
        assert oak.sign_in(client, role).get(address(oak, counted)).status_code == 403
    page = oak.sign_in(client, "lead").get(oak.url(f"days/{counted.day_id}/close/"))
    assert "What was counted" in text(page) and address(oak, counted) not in text(page)
    page = oak.sign_in(client).get(oak.url(f"days/{counted.day_id}/close/"))
    assert address(oak, counted) in text(page)
