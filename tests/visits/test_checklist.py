"""The fifteen questions, what their answers raise, and what keeps the spade out."""

import datetime

import pytest
from django.utils import timezone

from conversions.visits.actions import add_entries, book_visit
from conversions.visits.checklist import current_answers, raised, read_answers, stops, wording
from conversions.visits.questions import ALL, BY_CODE, NOT_SURE, QUESTIONS, SAFETY
from conversions.visits.texts import CAUTIONS
from tests.rows import make_kept, make_yard, rectangle

ALL_WELL = {
    "say": {"right": "owners"},
    "pictures": {"pictures": "ground"},
    "grant": {"grant": "none"},
    "sides": {"sides": "walked"},
    "grass": {"grass": "clumps"},
    "weedkiller": {"killer": "no"},
    "pipes": {"public": "marked", "own": "none"},
    "septic": {"septic": "no"},
    "wet": {"standing": "no", "slope": "flat"},
    "trees": {"trees": "none"},
    "past": {"past": "none", "soil": "untested"},
    "sun": {"sun": "over 6"},
    "tap": {"tap": "yes"},
    "waters": {"minutes": "30 to 60", "bend": "no"},
    "way_in": {"way": "all"},
}


@pytest.fixture
def visit(oak):
    return book_visit(conversion=make_yard(oak), by=oak.visitor, due_at=timezone.now())


@pytest.fixture
def two_patches(oak):
    draft = make_kept(oak, None, rectangle(label="Front lawn"), rectangle("5", "4", label="Back lawn", zone="back"))
    return book_visit(conversion=draft.conversion, by=oak.visitor, due_at=timezone.now())


def answer(visit, world, **values):
    given = [{"question": question, "value": value} for question, value in values.items()]
    return add_entries(visit=visit, by=world.visitor, entries=given)


def answer_patch(visit, world, label, **values):
    patch = visit.conversion.place.patches.get(label=label)
    given = [{"question": question, "value": value, "patch": patch} for question, value in values.items()]
    return add_entries(visit=visit, by=world.visitor, entries=given)


def kinds(rows, kind):
    return {row["question"] for row in rows if row["kind"] == kind}


def test_there_are_fifteen_in_order_and_five_are_about_safety():
    assert [question.number for question in QUESTIONS] == list(range(1, 16))
    assert set(SAFETY) == {"say", "pipes", "septic", "past", "waters"}


def test_not_sure_can_always_be_answered():
    assert all(ask.choice(NOT_SURE) for question in QUESTIONS for ask in question.asks)


def test_the_five_have_no_usual_answer_and_the_ten_have_one_for_each_row():
    for question in QUESTIONS:
        if question.is_safety:
            assert question.usual is None and not any(ask.usual for ask in question.asks)
        else:
            assert all(ask.choice(question.usual[ask.code]) for ask in question.asks)
            assert raised(question, question.usual) == []


def test_codes_of_rows_and_details_never_share_a_key_within_a_question():
    for question in ALL:
        codes = [ask.code for ask in question.asks] + [detail.code for detail in question.details]
        assert len(codes) == len(set(codes))


def test_every_caution_an_answer_names_has_its_text():
    named = {key for question in QUESTIONS for ask in question.asks for choice in ask.choices for key in choice.raises}
    assert named <= set(CAUTIONS)


def test_with_nothing_answered_all_fifteen_keep_the_spade_out(oak, visit):
    rows = stops(visit.conversion)
    assert kinds(rows, "unanswered") == {question.code for question in QUESTIONS}
    assert kinds(rows, "stop") == set()


def test_with_all_well_nothing_does(oak, visit):
    answer(visit, oak, **ALL_WELL)
    assert stops(visit.conversion) == []
    assert read_answers(visit).unanswered == []


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.code)
def test_not_sure_is_an_answer_that_still_keeps_the_spade_out(oak, visit, question):
    for ask in question.asks:
        answer(visit, oak, **{**ALL_WELL, question.code: {**ALL_WELL[question.code], ask.code: NOT_SURE}})
        rows = stops(visit.conversion)
        assert [(row["question"], row["kind"]) for row in rows] == [(question.code, "unanswered")]
        assert rows[0]["is_safety"] == question.is_safety
        assert read_answers(visit).is_answered(question)


def test_half_an_answer_is_no_answer(oak, visit):
    answer(visit, oak, **{**ALL_WELL, "pipes": {"public": "marked"}})
    assert kinds(stops(visit.conversion), "unanswered") == {"pipes"}
    assert [question.code for question in read_answers(visit).unanswered] == ["pipes"]


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("say", {"right": "some owners"}),
        ("say", {"right": "rent, open"}),
        ("say", {"right": "shared"}),
        ("say", {"right": "nobody"}),
        ("grant", {"grant": "wanted"}),
        ("grass", {"grass": "knotweed"}),
        ("pipes", {"public": "no", "own": "none"}),
        ("pipes", {"public": "some", "own": "none"}),
        ("pipes", {"public": "marked", "own": "hidden"}),
        ("septic", {"septic": "here"}),
        ("wet", {"standing": "yes", "slope": "flat"}),
        ("wet", {"standing": "no", "slope": "steep"}),
        ("trees", {"trees": "protected"}),
        ("past", {"past": "other", "soil": "untested"}),
        ("past", {"past": "both", "soil": "tested", "lead": 50}),
        ("past", {"past": "none", "soil": "tested", "lead": 400}),
        ("past", {"past": "paint", "soil": "cleared", "lead": 1200}),
        ("waters", {"minutes": "nobody", "bend": "no"}),
    ],
)
def test_harm_law_and_money_stop(oak, visit, question, value):
    answer(visit, oak, **{**ALL_WELL, question: value})
    rows = stops(visit.conversion)
    assert [(row["question"], row["kind"]) for row in rows] == [(question, "stop")]
    assert str(rows[0]["words"]) and str(rows[0]["why"])


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("say", {"right": "rent, yes"}),
        ("grant", {"grant": "granted"}),
        ("grass", {"grass": "runners"}),
        ("weedkiller", {"killer": "yes"}),
        ("pipes", {"public": "marked", "own": "shown"}),
        ("septic", {"septic": "away"}),
        ("wet", {"standing": "gutter", "slope": "sloping"}),
        ("trees", {"trees": "near"}),
        ("past", {"past": "paint", "soil": "untested"}),
        ("past", {"past": "other", "soil": "cleared", "lead": 120}),
        ("past", {"past": "none", "soil": "tested", "lead": 399}),
        ("sun", {"sun": "under 3"}),
        ("tap", {"tap": "no"}),
        ("waters", {"minutes": "under 30", "bend": "helped"}),
        ("way_in", {"way": "wires"}),
    ],
)
def test_advice_does_not_stop(oak, visit, question, value):
    answer(visit, oak, **{**ALL_WELL, question: value})
    assert stops(visit.conversion) == []


def test_a_stop_is_per_patch(oak, two_patches):
    answer(two_patches, oak, **ALL_WELL)
    answer_patch(two_patches, oak, "Back lawn", septic={"septic": "here"})
    rows = stops(two_patches.conversion)
    assert [(row["question"], row["patch"].label) for row in rows] == [("septic", "Back lawn")]


def test_what_is_said_of_every_patch_stops_those_without_an_answer_of_their_own(oak, two_patches):
    answer(two_patches, oak, **{**ALL_WELL, "septic": {"septic": "here"}})
    assert [row["patch"] for row in stops(two_patches.conversion)] == [None]
    answer_patch(two_patches, oak, "Front lawn", septic={"septic": "away"})
    assert [row["patch"].label for row in stops(two_patches.conversion)] == ["Back lawn"]


def test_a_patch_without_an_answer_is_open_where_another_has_one(oak, two_patches):
    answer(two_patches, oak, **{key: value for key, value in ALL_WELL.items() if key != "septic"})
    answer_patch(two_patches, oak, "Front lawn", septic={"septic": "no"})
    rows = stops(two_patches.conversion)
    assert [(row["kind"], row["patch"].label) for row in rows] == [("unanswered", "Back lawn")]


def test_marks_that_have_run_out_stop_the_day_after(oak, visit):
    answer(visit, oak, **{**ALL_WELL, "pipes": {"public": "marked", "own": "none", "until": "2027-05-18"}})
    assert stops(visit.conversion, on=datetime.date(2027, 5, 18)) == []
    rows = stops(visit.conversion, on=datetime.date(2027, 5, 19))
    assert [(row["question"], row["kind"]) for row in rows] == [("pipes", "stop")]


def test_runners_stop_where_nobody_can_bend_to_pull_them(oak, visit):
    answer(visit, oak, **{**ALL_WELL, "grass": {"grass": "runners"}, "waters": {"minutes": "over 60", "bend": "yes"}})
    assert [row["question"] for row in stops(visit.conversion)] == ["grass"]
    answer(visit, oak, waters={"minutes": "over 60", "bend": "helped"})
    assert stops(visit.conversion) == []


@pytest.mark.parametrize(
    ("lead", "key"),
    [(0, "lead_low"), (99, "lead_low"), (100, "lead_some"), (199, "lead_some"), (200, "lead_high"), (399, "lead_high")]
    + [(400, "lead_stop"), (5000, "lead_stop")],
)
def test_lead_falls_into_its_band(lead, key):
    found = raised(BY_CODE["past"], {"past": "none", "soil": "tested", "lead": lead})
    assert [(row.key, row.stops) for row in found] == [(key, key == "lead_stop")]


def test_not_tested_is_a_state_of_its_own(oak, visit):
    past = BY_CODE["past"]

    def keys(**value):
        return [row.key for row in raised(past, value, visit.conversion.place)]

    assert keys(past="paint", soil="untested") == ["old_paint", "soil_untested"]
    assert keys(past=NOT_SURE, soil="untested") == ["soil_untested"]
    assert keys(past="paint", soil="tested", lead=60) == ["old_paint", "lead_low"]
    assert keys(past="none", soil="untested") == []
    visit.conversion.place.built_year = 1962
    assert keys(past="none", soil="untested") == ["old_paint", "soil_untested"]
    visit.conversion.place.built_year = 1978
    assert keys(past="none", soil="untested") == []


def test_two_different_answers_are_open_until_somebody_chooses(oak, visit):
    answer(visit, oak, **ALL_WELL)
    for value in ({"sun": "under 3"}, {"sun": "3 to 6"}):
        add_entries(visit=visit, by=oak.organiser, entries=[{"question": "sun", "value": value, "replaces": []}])
    assert kinds(stops(visit.conversion), "unanswered") == {"sun"}
    assert "sun" in [question.code for question in read_answers(visit).unanswered]


def test_two_people_who_agree_are_no_clash(oak, visit):
    answer(visit, oak, **ALL_WELL)
    add_entries(visit=visit, by=oak.organiser, entries=[{"question": "tap", "value": {"tap": "yes"}, "replaces": []}])
    assert stops(visit.conversion) == []


def test_answers_of_an_earlier_visit_still_hold(oak, visit):
    answer(visit, oak, **ALL_WELL)
    later = book_visit(conversion=visit.conversion, by=oak.visitor, due_at=timezone.now())
    answer(later, oak, tap={"tap": "no"})
    held = current_answers(later)
    assert held["tap"].value == {"tap": "no"} and held["sun"].value == {"sun": "over 6"}
    assert len(held) == 15


def test_an_answer_reads_as_a_person_would_say_it(oak):
    value = {"trees": "near", "off": {"m": 3.81, "typed": "12'6\""}, "trunk": {"m": 0.26, "typed": "26 cm"}}
    said = "Yes. From the trunk to the nearest edge: %s. Across the trunk, at chest height: %s"
    assert wording(BY_CODE["trees"], value, "metric") == said % ("3.81 m", "260 mm")
    assert wording(BY_CODE["trees"], value, "imperial") == said % ("12 ft 6 in", "10.2 in")
    assert wording(BY_CODE["way_in"], {"way": "narrow", "gate": {"m": 0.8, "typed": "0.8"}}, "metric").endswith(
        "0.80 m"
    )
    value = {"public": "marked", "own": "none", "until": "2027-05-18"}
    assert wording(BY_CODE["pipes"], value, "metric") == "Marked, all of them. Marked until: 18 May. They have none"
    assert wording(BY_CODE["past"], {"past": "none", "soil": "tested", "lead": 85}, "metric").endswith(
        "Lead: 85 mg/kg (ppm)"
    )
