"""What must be ready before a day may run."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError

from conversions.builds import actions, gates
from conversions.quotes.models import Quote
from conversions.visits.actions import add_entries
from conversions.yards.models import Planned
from tests.builds.rows import answer_all, make_agreed, make_day
from tests.rows import make_yard, rectangle


@pytest.fixture
def yard(oak):
    yard = make_agreed(oak)
    answer_all(oak, yard)
    return yard


@pytest.fixture
def day(oak, yard):
    on = oak.today + timedelta(days=10)
    return make_day(oak, yard, on=on, rain_on=on + timedelta(days=7), helpers_wanted=2)


def gate(day, key):
    return next(gate for gate in gates.ready(day) if gate.key == key)


def test_a_new_day_misses_supplies_and_hands_but_nothing_stops_it(day):
    found = {row.key: row.state for row in gates.ready(day)}
    assert found == {
        "agreed": "ok",
        "digging": "ok",
        "marks": "ok",
        "rain": "ok",
        "cardboard": "missing",
        "chips": "missing",
        "compost": "missing",
        "helpers": "missing",
    }


def test_the_marks_found_at_the_visit_need_not_be_typed_again(oak, day):
    marks = gate(day, "marks")
    assert "T-0420" in marks.why
    assert marks.tag.startswith("Marked until")


def test_a_household_that_did_not_say_yes_stops_the_day(oak, yard, day):
    Quote.of(oak.group).filter(conversion=yard).update(state="withdrawn")
    stopped = gate(day, "agreed")
    assert stopped.state == "stop" and "14 Tansy Row" in stopped.why


def test_an_unanswered_safety_question_stops_the_spade_and_is_named(oak):
    day = make_day(oak, make_agreed(oak), on=oak.today + timedelta(days=10))
    stopped = gate(day, "digging")
    assert stopped.state == "stop"
    assert "Septic tank" in stopped.why and "Who waters" in stopped.why


def test_a_septic_field_stops_the_spade_in_words(oak):
    yard = make_agreed(oak)
    answer_all(oak, yard, septic={"septic": "here"})
    stopped = gate(make_day(oak, yard, on=oak.today + timedelta(days=10)), "digging")
    assert stopped.state == "stop" and "drain field" in stopped.why and "Nothing dug" in stopped.why


def test_a_stop_on_a_patch_that_is_not_built_that_day_stops_nothing(oak):
    yard = make_agreed(oak, None, rectangle("6", "4"), rectangle("5", "4", label="Back lawn", zone="back"))
    visit = answer_all(oak, yard)
    front, back = yard.place.patches.order_by("pk")
    day = make_day(oak, yard, on=oak.today + timedelta(days=10))
    entry = {"question": "septic", "value": {"septic": "here"}, "as_typed": "", "patch": back}
    add_entries(visit=visit, by=oak.visitor, entries=[entry])
    assert "Back lawn" in gate(day, "digging").why
    Planned.of(oak.group).filter(patch=back).update(complete_on=oak.today)
    only_front = make_day(oak, yard, on=oak.today + timedelta(days=12))
    assert gate(only_front, "digging").state == "ok"


def test_ground_nobody_marked_is_missing_while_there_is_time_and_a_stop_when_the_day_is_near(oak):
    yard = make_agreed(oak)
    answer_all(oak, yard, pipes={"public": "no", "until": "", "ticket": ""})
    far = make_day(oak, yard, on=oak.today + timedelta(days=10))
    near = make_day(oak, yard, on=oak.today + timedelta(days=2))
    assert gate(far, "marks").state == "missing"
    assert gate(near, "marks").state == "stop"
    assert gate(far, "digging").state == "ok", "the marks have their own gate"


@pytest.mark.parametrize(
    ("days_good", "state", "words"),
    [(9, "stop", "before the day"), (10, "stop", "the rain date is"), (17, "ok", "T-9")],
)
def test_marks_must_outlive_the_day_and_its_rain_date(oak, day, days_good, state, words):
    until = oak.today + timedelta(days=days_good)
    day = actions.note_marks(day=day, by=oak.lead, state="marked", until=until, ticket="T-9")
    found = gate(day, "marks")
    assert found.state == state and words in found.why


def test_marks_need_their_last_day_and_nothing_here_needs_a_name(oak, day):
    with pytest.raises(ValidationError) as refused:
        actions.note_marks(day=day, by=oak.lead, state="marked")
    assert "until" in refused.value.message_dict
    with pytest.raises(ValidationError) as refused:
        actions.note_marks(day=day, by=oak.lead, state="none")
    assert "ticket" in refused.value.message_dict


def test_facts_ticked_from_two_old_pages_both_stay(oak, day):
    actions.tick(day=day, fact="chips", is_ready=True, by=oak.lead)
    actions.tick(day=day, fact="cardboard", is_ready=True, by=oak.organiser)
    day.refresh_from_db()
    assert gate(day, "chips").state == gate(day, "cardboard").state == "ok"
    actions.tick(day=day, fact="chips", is_ready=False, by=oak.lead)
    day.refresh_from_db()
    assert gate(day, "chips").state == "missing"


def test_a_day_with_a_stop_cannot_be_confirmed(oak):
    day = make_day(oak, make_agreed(oak), on=oak.today + timedelta(days=10))
    with pytest.raises(ValidationError, match="Not yet"):
        actions.set_state(day=day, to="confirmed", by=oak.lead)


def test_supplies_and_hands_that_are_missing_do_not_forbid_confirming(oak, day):
    assert actions.set_state(day=day, to="confirmed", by=oak.lead).state == "confirmed"


def test_two_yards_are_weighed_together(oak, yard, day):
    other = make_agreed(oak, make_yard(oak, name="Sam Nakata", address="19 Millrace Lane", reach="000 222 222"))
    both = make_day(oak, yard, other, on=oak.today + timedelta(days=12))
    one = gate(day, "cardboard").words
    assert gate(both, "cardboard").words != one
    assert gate(both, "digging").yard == other.pk
