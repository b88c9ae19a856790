"""Which cautions a yard gets, and that each has words for those who need them."""

import pytest
from django.utils import timezone

from conversions.visits.actions import add_entries, book_visit
from conversions.visits.cautions import CAUTIONS, cautions_for, has_suspect_soil
from conversions.visits.texts import ALWAYS, SEVERITIES, STOP
from tests.rows import make_kept, make_yard, rectangle


@pytest.fixture
def visit(oak):
    return book_visit(conversion=make_yard(oak), by=oak.visitor, due_at=timezone.now())


def answer(visit, world, question, value, patch=None):
    add_entries(visit=visit, by=world.visitor, entries=[{"question": question, "value": value, "patch": patch}])


def keys(conversion, **season):
    return [caution.key for caution in cautions_for(conversion, **season)]


def test_every_caution_says_what_the_crew_does_and_how_grave_it_is():
    for key, caution in CAUTIONS.items():
        assert caution.key == key and str(caution.crew_text) and str(caution.title)
        assert caution.severity in SEVERITIES
        assert "!" not in str(caution.crew_text) + str(caution.household_text)


def test_what_could_harm_or_break_a_law_names_whom_to_ask():
    without = [key for key, caution in CAUTIONS.items() if caution.severity == STOP and not caution.whom]
    assert without == []


def test_marks_smell_heat_and_lifting_are_there_on_every_day(oak, visit):
    found = keys(visit.conversion)
    assert {"marks", "smell_hiss", "heat", "lifting", "lightning", "clean_hands"} <= set(found)
    assert {caution.key for caution in ALWAYS} <= set(found)


def test_in_the_cold_cold_takes_the_place_of_heat(oak, visit):
    found = keys(visit.conversion, season="cold")
    assert "cold" in found and "heat" not in found


def test_soil_nobody_asked_about_is_not_tested(oak, visit):
    assert "soil_untested" in keys(visit.conversion)
    assert has_suspect_soil(visit.conversion)
    answer(visit, oak, "past", {"past": "none", "soil": "untested"})
    assert "soil_untested" not in keys(visit.conversion)
    assert not has_suspect_soil(visit.conversion)


def test_a_low_lead_result_clears_the_suspicion_and_a_high_one_does_not(oak, visit):
    answer(visit, oak, "past", {"past": "none", "soil": "tested", "lead": 150})
    assert not has_suspect_soil(visit.conversion)
    answer(visit, oak, "past", {"past": "none", "soil": "tested", "lead": 250})
    assert has_suspect_soil(visit.conversion)


def test_answers_bring_their_caution_and_take_it_away_again(oak, visit):
    answer(visit, oak, "grass", {"grass": "runners"})
    assert "runners" in keys(visit.conversion)
    answer(visit, oak, "grass", {"grass": "clumps"})
    assert "runners" not in keys(visit.conversion)


def test_creeping_grass_asks_for_one_more_layer_and_200_mm(oak):
    words = str(CAUTIONS["runners"].crew_text)
    assert "One more layer" in words and "200 mm" in words


def test_stops_come_first_and_each_caution_once(oak, visit):
    answer(visit, oak, "septic", {"septic": "here"})
    answer(visit, oak, "sun", {"sun": "3 to 6"})
    cautions = cautions_for(visit.conversion)
    ranks = [SEVERITIES.index(caution.severity) for caution in cautions]
    assert ranks == sorted(ranks)
    assert len({caution.key for caution in cautions}) == len(cautions)


def test_a_caution_names_the_patch_it_is_about(oak):
    draft = make_kept(oak, None, rectangle(label="Front lawn"), rectangle("5", "4", label="Back lawn", zone="back"))
    visit = book_visit(conversion=draft.conversion, by=oak.visitor, due_at=timezone.now())
    answer(visit, oak, "septic", {"septic": "no"})
    answer(visit, oak, "septic", {"septic": "here"}, draft.conversion.place.patches.get(label="Back lawn"))
    found = {caution.key: caution.where for caution in cautions_for(visit.conversion)}
    assert found["septic_here"] == ("Back lawn",)
    assert found["marks"] == ()


def test_while_two_answers_stand_the_cautions_of_both_hold(oak, visit):
    for value in ({"septic": "no"}, {"septic": "here"}):
        given = [{"question": "septic", "value": value, "replaces": []}]
        add_entries(visit=visit, by=oak.visitor, entries=given)
    assert "septic_here" in keys(visit.conversion)


def test_the_whole_list_takes_few_queries(oak, visit, django_assert_num_queries):
    answer(visit, oak, "grass", {"grass": "runners"})
    conversion = type(visit.conversion).of(oak.group).select_related("place", "group").get()
    with django_assert_num_queries(2):
        assert cautions_for(conversion)
