"""Setting, changing, moving and calling off a day; helpers; and what was built."""

import uuid
from datetime import time, timedelta
from decimal import Decimal as D

import pytest
from django.core.exceptions import ValidationError

from conversions.builds import actions, asbuilt, ledger, roster
from conversions.builds.models import AsBuilt, Day, SignUp
from conversions.groups.tenancy import Stale
from conversions.people.models import Person
from tests.builds.rows import answer_all, make_agreed, make_day
from tests.rows import make_yard, rectangle


@pytest.fixture
def day(oak):
    return make_day(oak, helpers_wanted=2)


@pytest.fixture
def patch(day):
    return day.day_patches.get().patch


# ---- the day


def test_a_day_takes_every_unfinished_patch_of_its_yard_with_what_is_planned(oak, day):
    row = day.day_patches.get()
    assert (row.planned_m2, row.patch.label, row.quote.state) == (D("49.02"), "Front lawn", "accepted")


def test_setting_the_same_day_twice_gives_one_day(oak):
    yard = make_agreed(oak)
    assert make_day(oak, yard) == make_day(oak, yard)
    assert Day.of(oak.group).count() == 1


def test_a_day_needs_ground_to_do(oak):
    with pytest.raises(ValidationError, match="still to do"):
        make_day(oak, make_yard(oak))


@pytest.mark.parametrize(
    "wrong",
    [{"rain_on": -1}, {"ends": time(9)}, {"on": 3000}],
    ids=["rain date first", "ends before it starts", "wrong year"],
)
def test_dates_that_cannot_be_are_refused(oak, wrong):
    yard = make_agreed(oak)
    values = {k: oak.today + timedelta(days=v) if isinstance(v, int) else v for k, v in wrong.items()}
    with pytest.raises(ValidationError) as refused:
        make_day(oak, yard, **values)
    assert list(wrong) == list(refused.value.message_dict)


def test_the_second_of_two_people_saving_a_day_is_told_and_nothing_is_overwritten(oak, day):
    actions.change_day(day=day, revision=1, by=oak.organiser, notes="park in the lane")
    with pytest.raises(Stale) as stale:
        actions.change_day(day=day, revision=1, by=oak.lead, notes="park on the drive")
    assert stale.value.row.notes == "park in the lane"


def test_moving_to_the_rain_date_makes_it_the_day_and_closing_keeps_it(oak):
    on = oak.today + timedelta(days=10)
    day = make_day(oak, on=on, rain_on=on + timedelta(days=7))
    day = actions.set_state(day=day, to="moved", by=oak.lead)
    assert (day.held_on, day.rain_on, day.facts["moved_from"]) == (on + timedelta(days=7), None, on.isoformat())
    with pytest.raises(ValidationError):
        actions.set_state(day=day, to="moved", by=oak.lead)


def test_a_day_without_rain_date_cannot_be_moved(oak, day):
    with pytest.raises(ValidationError, match="no rain date"):
        actions.set_state(day=day, to="moved", by=oak.lead)


def test_calling_off_twice_does_it_once_and_it_can_be_taken_back(oak, day):
    assert actions.set_state(day=day, to="cancelled", by=oak.lead).state == "cancelled"
    with pytest.raises(ValidationError, match="faster"):
        actions.set_state(day=day, to="cancelled", by=oak.organiser)
    assert actions.set_state(day=day, to="planned", by=oak.lead).state == "planned"


# ---- helpers


def test_a_double_press_is_one_helper(oak, day):
    uid = uuid.uuid4()
    first = actions.sign_up(day=day, name="Noor", phone="000 111 333", uid=uid)
    assert actions.sign_up(day=day, name="Noor", phone="000 111 333", uid=uid) == first
    assert actions.sign_up(day=day, name=" noor", phone="000111333", uid=uuid.uuid4()) == first
    assert SignUp.of(oak.group).count() == 1


def test_somebody_of_another_name_under_the_same_number_is_another_person(oak, day):
    actions.sign_up(day=day, name="Noor", phone="000 111 333")
    actions.sign_up(day=day, name="Bea", phone="000 111 333")
    assert Person.of(oak.group).filter(phone="000 111 333").count() == 2


def test_when_every_place_is_taken_only_the_lead_may_add_more(oak, day):
    actions.sign_up(day=day, name="Noor", phone="000 111 333")
    second = actions.sign_up(day=day, name="Bea", phone="bea@example.org")
    with pytest.raises(roster.Full):
        actions.sign_up(day=day, name="Ivo", phone="000 111 444")
    assert actions.sign_up(day=day, name="Ivo", by=oak.lead).state == "coming"
    actions.call_off(sign_up=second)
    actions.call_off(sign_up=SignUp.of(oak.group).get(person__name="Ivo"))
    assert roster.places_left(day) == 1


def test_coming_back_after_calling_off_is_the_same_row(oak, day):
    row = actions.sign_up(day=day, name="Noor", phone="000 111 333")
    actions.call_off(sign_up=row)
    again = actions.sign_up(day=day, name="Noor", phone="000 111 333", role="rake")
    assert (again.pk, again.state, again.role) == (row.pk, "coming", "rake")


def test_who_came_and_their_hours_can_be_written_again(oak, day):
    noor = actions.sign_up(day=day, name="Noor", phone="000 111 333")
    bea = actions.sign_up(day=day, name="Bea", phone="000 111 444")
    day = actions.mark_came(day=day, present=[noor.person_id, bea.person_id], others=1, by=oak.lead)
    assert roster.helpers_and_hours(day) == (3, D("13.50"))
    day = actions.mark_came(day=day, present=[bea.person_id], others=0, hours=D("3.333"), by=oak.lead)
    assert roster.helpers_and_hours(day) == (1, D("3.33"))
    noor.refresh_from_db()
    assert (noor.state, noor.hours) == ("missing", None)


def test_nobody_can_have_come_before_the_day(oak):
    day = make_day(oak, on=oak.today + timedelta(days=1))
    with pytest.raises(ValidationError, match="still to come"):
        actions.mark_came(day=day, present=[])


# ---- as built


def test_as_drawn_takes_the_plan_and_starts_the_day(oak, day, patch):
    row = actions.record_as_built(day=day, patch=patch, by=oak.lead)
    assert (row.area_m2, row.how, row.is_complete, row.complete_on) == (D("49.02"), "as drawn", True, oak.today)
    day.refresh_from_db()
    assert day.state == "under way"


def test_a_double_press_on_as_drawn_is_one_row(oak, day, patch):
    first = actions.record_as_built(day=day, patch=patch, by=oak.lead)
    assert actions.record_as_built(day=day, patch=patch, by=oak.lead) == first


def test_writing_again_adds_a_row_and_the_last_one_holds(oak, day, patch):
    actions.record_as_built(day=day, patch=patch, by=oak.lead)
    actions.record_as_built(
        day=day, patch=patch, by=oak.lead, area_m2=D("30"), how="measured", is_complete=False, depth_mm=80, layers=3
    )
    assert AsBuilt.of(oak.group).count() == 2
    held = asbuilt.latest_as_built(day)[patch.pk]
    assert (held.n, held.area_m2, held.complete_on, held.depth_mm) == (2, D("30.00"), None, 80)


def test_a_finished_patch_that_differs_needs_its_reason(oak, day, patch):
    with pytest.raises(ValidationError) as refused:
        actions.record_as_built(day=day, patch=patch, by=oak.lead, area_m2=D("47"), how="measured")
    assert "why_different" in refused.value.message_dict
    row = actions.record_as_built(
        day=day, patch=patch, by=oak.lead, area_m2=D("47"), how="measured", why_different="a stump in the way"
    )
    assert row.area_m2 == D("47.00")


def test_more_than_the_patch_has_is_refused_until_it_is_measured_again(oak, day, patch):
    values = {"day": day, "patch": patch, "by": oak.lead, "area_m2": D("52"), "how": "measured"}
    with pytest.raises(ValidationError) as refused:
        actions.record_as_built(**values, why_different="bigger")
    assert "49.02 m²" in refused.value.message_dict["area_m2"][0]
    row = actions.record_as_built(**values, why_different="the hedge came out", lawn_m2=D("55"))
    assert row.area_m2 == D("52.00")
    patch.refresh_from_db()
    assert (patch.lawn_m2, patch.measured_from) == (D("55.00"), "second measure")


def test_as_drawn_on_a_second_day_means_the_rest(oak, day, patch):
    part = actions.record_as_built(
        day=day, patch=patch, by=oak.lead, area_m2=D("20"), how="measured", is_complete=False
    )
    yard = day.day_patches.get().conversion
    second = make_day(oak, yard, starts=time(15), ends=time(18))
    row = second.day_patches.get()
    assert asbuilt.as_drawn_m2(second, row) == D("29.02"), "the first day is still open"
    ledger.write(day=day, patch=patch, as_built=part, by=oak.lead)
    assert asbuilt.as_drawn_m2(second, row) == D("29.02"), "the first day is counted"


def test_nothing_is_built_before_the_day_or_after_it_closed(oak):
    yard = make_agreed(oak)
    ahead = make_day(oak, yard, on=oak.today + timedelta(days=1))
    patch = ahead.day_patches.get().patch
    with pytest.raises(ValidationError, match="still to come"):
        actions.record_as_built(day=ahead, patch=patch, by=oak.lead)
    closed = make_day(oak, yard)
    Day.of(oak.group).filter(pk=closed.pk).update(state="closed")
    with pytest.raises(ValidationError, match="closed"):
        actions.record_as_built(day=closed, patch=patch, by=oak.lead)


def test_a_patch_of_another_day_is_refused(oak, day):
    yard = make_agreed(oak, make_yard(oak, address="3 Elder Row", reach="000 999 999"), rectangle("4", "3"))
    stranger = yard.place.patches.get()
    with pytest.raises(ValidationError, match="does not belong"):
        actions.record_as_built(day=day, patch=stranger, by=oak.lead)


def test_a_rescue_takes_the_finished_patches_and_counts_no_ground(oak, day, patch):
    built = actions.record_as_built(day=day, patch=patch, by=oak.lead)
    ledger.write(day=day, patch=patch, as_built=built, by=oak.lead)
    yard = day.day_patches.get().conversion
    yard.planned.update(complete_on=oak.today)
    rescue = make_day(oak, yard, kind="rescue", starts=time(16), ends=time(17))
    mended = actions.record_as_built(day=rescue, patch=patch, by=oak.lead)
    assert mended.area_m2 == 0
    assert ledger.write(day=rescue, patch=patch, as_built=mended, by=oak.lead) is None


def test_answers_of_the_visit_do_not_forbid_writing_what_was_built(oak):
    yard = make_agreed(oak)
    answer_all(oak, yard, septic={"septic": "here"})
    day = make_day(oak, yard)
    assert actions.record_as_built(day=day, patch=day.day_patches.get().patch, by=oak.lead).pk
