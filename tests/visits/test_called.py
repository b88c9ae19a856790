"""The questions that appear only when an answer or a fact calls for them."""

import datetime
import re

import pytest
from django.utils import timezone

from conversions.visits.actions import add_entries, book_visit
from conversions.visits.checklist import raised, read_answers, stops, wording
from conversions.visits.facts import FACTS
from conversions.visits.kinds import EFFECTS
from conversions.visits.questions import ALL, BY_CODE, CALLED, NOT_SURE, QUESTIONS
from conversions.visits.texts import CAUTIONS
from conversions.yards import holds
from conversions.yards.hold_kinds import PLACES
from conversions.yards.models import GateCode, Hold
from tests.rows import make_open, make_yard, rectangle


@pytest.fixture
def visit(oak):
    return book_visit(conversion=make_yard(oak), by=oak.visitor, due_at=timezone.now())


def answer(visit, world, **values):
    given = [{"question": question, "value": value} for question, value in values.items()]
    return add_entries(visit=visit, by=world.visitor, entries=given)


def called(visit):
    return {question.code for question in read_answers(visit).called}


def call_for(visit, world, question):
    """Give the answer, or set the fact, that calls for a question; of one that is called by a called one, both."""
    call = question.called_by[0]
    if call.fact == "fire rule":
        world.group.fire_strip_m = "1.52"
        world.group.save()
        visit.conversion.group.refresh_from_db()
    elif call.fact:
        side = {"kerb": "kerb", "drive": "drive", "paved": "path", "lawn next door": "lawn"}[call.fact]
        make_open(world, visit.conversion, rectangle(beyond={"A": side}), beds=False)
    else:
        if BY_CODE[call.by].called_by:
            call_for(visit, world, BY_CODE[call.by])
        answer(visit, world, **{call.by: {call.ask: call.picks[0]}})


def test_each_says_in_data_what_calls_for_it_and_what_it_is_for():
    for question in ALL:
        assert question.effects and set(question.effects) <= set(EFFECTS), question.code
    for question in CALLED:
        assert question.called_by and question.letter
        for call in question.called_by:
            if call.fact:
                assert call.fact in FACTS
                continue
            asks = {ask.code: ask for ask in BY_CODE[call.by].asks}
            assert all(asks[call.ask].choice(pick) for pick in call.picks), question.code


def test_codes_and_marks_are_used_once_and_not_sure_is_always_there():
    assert len(BY_CODE) == len(ALL) and len({question.mark for question in ALL}) == len(ALL)
    assert all(ask.choice(NOT_SURE) for question in CALLED for ask in question.asks)
    assert {key for q in CALLED for ask in q.asks for choice in ask.choices for key in choice.raises} <= set(CAUTIONS)


def test_what_says_that_it_stops_or_holds_does_so():
    for question in ALL:
        can_stop = any(choice.stops for ask in question.asks for choice in ask.choices)
        assert ("stop" in question.effects) == can_stop or question.code == "past", question.code


def test_nothing_is_called_for_before_anything_is_known(visit):
    assert called(visit) == set()


@pytest.mark.parametrize("question", CALLED, ids=lambda question: question.code)
def test_each_appears_when_it_is_called_for_and_goes_with_what_called_it(oak, visit, question):
    call_for(visit, oak, question)
    assert question.code in called(visit)
    call = question.called_by[0]
    if call.by:
        answer(visit, oak, **{call.by: {}})
        assert question.code not in called(visit)


@pytest.mark.parametrize("question", ALL, ids=lambda question: question.code)
def test_not_sure_opens_a_to_do_with_a_name_that_blocks_building_and_neither_quote_nor_booking(oak, visit, question):
    if question.called_by:
        call_for(visit, oak, question)
    before = set(Hold.of(oak.group).values_list("pk", flat=True))
    answer(visit, oak, **{question.code: {ask.code: NOT_SURE for ask in question.asks}})
    (hold,) = Hold.of(oak.group).exclude(pk__in=before)
    assert hold.who == oak.visitor and hold.due_on == oak.today + datetime.timedelta(days=holds.FIND_OUT_DAYS)
    assert [place for place in PLACES if getattr(hold, f"blocks_{place}")] == ["building"]
    assert question.code in {row["question"] for row in stops(visit.conversion) if row["kind"] == "unanswered"}


def test_one_that_nobody_answered_keeps_nothing_back_and_one_no_longer_called_for_counts_no_more(oak, visit):
    answer(visit, oak, say={"right": "shared"})
    assert "association" not in {row["question"] for row in stops(visit.conversion)}
    answer(visit, oak, adult={"adult": "child"}, association={"association": NOT_SURE})
    assert "adult" in {row["question"] for row in stops(visit.conversion)}
    answer(visit, oak, say={"right": "owners"})
    assert not {"adult", "association"} & {row["question"] for row in stops(visit.conversion)}
    assert Hold.of(oak.group).get(about="association").state == "not needed"


def test_a_fact_calls_by_itself(oak):
    rented = make_yard(oak, name="Ida Rowe", address="3 Tansy Row", tenure="rent")
    visit = book_visit(conversion=rented, by=oak.visitor, due_at=timezone.now())
    assert called(visit) == {"owner"}
    GateCode(group=oak.group, place=rented.place, code="4711", until_on=oak.today).save()
    make_open(oak, rented, rectangle(beyond={"A": "kerb", "B": "lawn"}), beds=False)
    again = type(visit).of(oak.group).get(pk=visit.pk)
    assert called(again) == {"owner", "dog", "public", "sight", "feel", "spray"}


def test_who_rents_waits_for_the_owners_yes_also_where_a_visitor_writes_that_the_owners_said_it(oak):
    rented = make_yard(oak, name="Ida Rowe", address="3 Tansy Row", tenure="rent")
    visit = book_visit(conversion=rented, by=oak.visitor, due_at=timezone.now())
    answer(visit, oak, say={"right": "owners"})
    assert [(hold.kind, hold.state) for hold in Hold.of(oak.group)] == [("owner", "open")]
    answer(visit, oak, say={"right": "rent, yes"})
    assert [(hold.kind, hold.state) for hold in Hold.of(oak.group)] == [("owner", "open")]


def test_a_lease_that_ends_within_a_year_is_told_with_its_year(oak, visit):
    answer(visit, oak, say={"right": "rent, yes"})
    soon = (oak.today + datetime.timedelta(days=200)).isoformat()
    answer(visit, oak, owner={"owner": "known", "name": "Mr Pell", "lease": soon})
    assert "lease_short" in {found.key for found in _raised(visit, "owner")}
    far = (oak.today + datetime.timedelta(days=500)).isoformat()
    answer(visit, oak, owner={"owner": "known", "lease": far})
    assert _raised(visit, "owner") == []
    value = {"owner": "known", "lease": "2027-11-30"}
    assert wording(BY_CODE["owner"], value, "metric") == "We know. The lease ends: 30 November 2027"


def _raised(visit, code):
    answers = read_answers(visit)
    (scope,) = answers.scopes(BY_CODE[code])
    return raised(scope.question, scope.values[0], None, answers.conversion.group.today())


def test_public_ground_waits_for_leave(oak, visit):
    make_open(oak, visit.conversion, rectangle(beyond={"C": "kerb"}), beds=False)
    answer(visit, oak, public={"public": "yes"})
    assert [(hold.kind, hold.blocks_booking) for hold in Hold.of(oak.group)] == [("strip", True)]
    assert holds.why_not(visit.conversion, "booking") == ["We wait for leave to work on the public strip."]


# ---- the page


def test_the_page_hides_those_nobody_calls_for_and_shows_one_once_its_answer_is_kept(organiser, oak, visit):
    def hidden():
        html = organiser.get(oak.url(f"visits/{visit.pk}/")).content.decode()
        return set(re.findall(r'data-question="(\w+)"[^>]* hidden', html))

    assert hidden() == {question.code for question in CALLED}
    answer(visit, oak, way_in={"way": "wires"})
    assert {question.code for question in CALLED} - hidden() == {"haul", "wires", "heap"}


def test_an_answer_to_a_called_one_is_kept_through_the_page_with_its_small_fields(organiser, oak, visit):
    answer(visit, oak, say={"right": "rent, yes"})
    data = {"owner-owner": "known", "owner-owner-name": "Mr Pell", "owner-owner-lease": "2027-11-30"}
    assert organiser.post(oak.url(f"visits/{visit.pk}/entries/"), data).status_code == 302
    entry = visit.entries.get(question="owner")
    assert entry.value == {"owner": "known", "name": "Mr Pell", "lease": "2027-11-30"}
    html = organiser.post(
        oak.url(f"visits/{visit.pk}/entries/"), {**data, "owner-owner-lease": "soon"}
    ).content.decode()
    assert "Write the day like" in html and 'value="soon"' in html


def test_the_counter_names_the_must_haves_that_are_left(organiser, oak, visit):
    musts = [question for question in QUESTIONS if question.is_must]
    assert {question.code for question in QUESTIONS if question.is_safety} < {question.code for question in musts}
    easy = {q.code: {ask.code: ask.choices[0].code for ask in q.asks} for q in QUESTIONS if not q.is_must}
    answer(visit, oak, **easy, **{q.code: {ask.code: NOT_SURE for ask in q.asks} for q in musts[3:]})
    html = organiser.get(oak.url(f"visits/{visit.pk}/")).content.decode()
    assert "12 of 15" in html and "3 must-haves left" in html
