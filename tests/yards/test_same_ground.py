"""A place typed twice: offered, marked by somebody, counted once, told in the history, and taken back."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from conversions.builds import ledger
from conversions.builds.models import Ground
from conversions.people.models import Event
from conversions.yards import same_ground
from conversions.yards.models import Place
from tests.builds.rows import made, make_bare_day, make_built, make_patch
from tests.rows import make_yard


@pytest.fixture
def first(oak):
    return make_yard(oak)


@pytest.fixture
def again(oak):
    return make_yard(oak, name="R. Okafor", address="14, tansy row", reach="000-111-222")


def send(client, oak, yard, **data):
    return client.post(oak.url(f"yards/{yard.pk}/same-ground/"), {"do": "mark", **data})


def place_of(yard) -> Place:
    return Place.everywhere.get(pk=yard.place_id)


def test_the_edit_page_offers_the_place_with_the_same_address_or_number_and_marks_nothing_itself(
    organiser, oak, first, again
):
    by_number = make_yard(oak, name="Ru", address="3 Elder Lane", reach="000 111 222")
    page = organiser.get(oak.url(f"yards/{again.pk}/edit/")).content.decode()
    assert "14 Tansy Row (Ruth Okafor)" in page and "3 Elder Lane (Ru)" in page
    assert set(same_ground.twins(by_number.place)) == {first.place, again.place}
    assert not Place.everywhere.exclude(same_ground_as=None).exists()


def test_the_halves_of_a_house_are_not_offered_to_each_other_and_stay_two(oak):
    left = make_yard(oak, address="2 Elder Lane", unit="A", reach="000 333 444")
    right = make_yard(oak, name="Bo Lind", address="2 Elder Lane", unit="B", reach="000 555 666")
    assert same_ground.twins(left.place) == same_ground.twins(right.place) == []
    assert left.place_id != right.place_id


def test_a_marked_place_says_so_on_both_pages_and_in_both_histories(organiser, oak, first, again):
    assert send(organiser, oak, again, other=first.place_id).status_code == 302
    assert place_of(again).same_ground_as == first.place
    here = organiser.get(oak.url(f"yards/{again.pk}/")).content.decode()
    there = organiser.get(oak.url(f"yards/{first.pk}/")).content.decode()
    assert "The same ground as 14 Tansy Row" in here and "Its square metres count there, not here." in here
    assert "14, tansy row is the same ground" in there and "Two places are one piece of ground" in there
    send(organiser, oak, again, other=first.place_id)  # pressed twice
    assert Event.of(oak.group).filter(verb="same-ground").count() == 2


def test_what_is_built_on_a_marked_place_takes_no_row_of_the_ledger_and_counts_again_once_taken_back(
    organiser, oak, first, again
):
    same_ground.mark(place=again.place, other=first.place, by=oak.organiser)
    patch, day = make_patch(oak, place=place_of(again)), make_bare_day(oak)
    built = make_built(day, patch, "20.00")
    assert ledger.write(day=day, patch=patch, as_built=built, by=oak.lead) is None
    day.state = "closed"
    made(day)
    answer = organiser.post(oak.url(f"yards/{again.pk}/same-ground/"), {"do": "undo"}, follow=True)
    assert "A build day here counted nothing." in answer.content.decode()
    assert place_of(again).same_ground_as is None
    assert Event.of(oak.group).filter(verb="same-ground-undone").count() == 2
    assert ledger.write(day=day, patch=patch, as_built=built, by=oak.lead).m2 == Decimal("20.00")


def test_a_place_whose_ground_is_counted_is_refused_with_a_way_on(organiser, oak, first, again):
    patch, day = make_patch(oak, place=place_of(again)), make_bare_day(oak)
    row = ledger.write(day=day, patch=patch, as_built=make_built(day, patch, "20.00"), by=oak.lead)
    answer = send(organiser, oak, again, other=first.place_id)
    assert answer.status_code == 400
    assert "Open 14 Tansy Row, and mark that as the same ground as this one." in answer.content.decode()
    same_ground.mark(place=first.place, other=again.place, by=oak.organiser)
    assert ledger.stands(row) == Decimal("20.00")


def test_a_day_opened_again_counts_nothing_at_a_place_marked_meanwhile(oak, first, again):
    patch, day = make_patch(oak, place=place_of(again)), make_bare_day(oak)
    built = make_built(day, patch, "20.00")
    row = ledger.write(day=day, patch=patch, as_built=built, by=oak.lead)
    ledger.take_back(day=day, reason="too early", by=oak.lead)
    same_ground.mark(place=again.place, other=first.place, by=oak.organiser)
    assert ledger.count_again(ground=row, as_built=built, by=oak.lead) is None
    assert sum(Ground.of(oak.group).values_list("m2", flat=True)) == 0


def test_loops_and_chains_are_refused_in_a_sentence(oak, first, again):
    third = make_yard(oak, name="Bo Lind", address="9 Elder Lane", reach="000 999 888")
    same_ground.mark(place=again.place, other=first.place, by=oak.organiser)
    for place, other, words in (
        (first, again, "14, tansy row is marked as the same ground as this place already. Take that back first."),
        (third, again, "14, tansy row itself is the same ground as 14 Tansy Row. Choose 14 Tansy Row."),
        (first, third, "14, tansy row is marked as the same ground as this place. Mark it as 9 Elder Lane first."),
        (third, third, "A place is always the same ground as itself. Choose the other one."),
    ):
        with pytest.raises(ValidationError) as refused:
            same_ground.mark(place=place_of(place), other=place_of(other), by=oak.organiser)
        assert refused.value.messages == [words]


def test_a_place_of_another_group_is_no_choice(organiser, oak, elm, again):
    theirs = make_yard(elm)
    answer = send(organiser, oak, again, other=theirs.place_id)
    assert answer.status_code == 400 and place_of(again).same_ground_as is None
