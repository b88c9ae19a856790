"""What keeps the spade out, said on the page of the yard itself."""

import datetime
import re

import pytest

from conversions.visits.actions import add_entries, book_visit, finish_visit
from tests.builds.rows import answer_all
from tests.rows import make_kept, make_yard

pytestmark = pytest.mark.django_db

SEPTIC = {"question": "septic", "value": {"septic": "here"}, "as_typed": ""}


def words(client, world, yard) -> str:
    html = client.get(world.url(f"yards/{yard.pk}/")).content.decode()
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))


def visited(world, yard, *entries):
    visit = book_visit(conversion=yard, by=world.visitor, due_at=datetime.datetime.now(datetime.UTC))
    add_entries(visit=visit, by=world.visitor, entries=list(entries))
    finish_visit(visit=visit, by=world.visitor)
    return visit


def test_a_stop_and_what_is_open_stand_on_the_yards_page(organiser, oak):
    yard = make_yard(oak)
    visit = visited(oak, yard, SEPTIC)
    said = words(organiser, oak, yard)
    assert "Before anybody digs" in said and "Stop: Septic tank or drain field" in said
    assert "14 questions are open" in said
    assert f"/visits/{visit.pk}/#q-septic" in organiser.get(oak.url(f"yards/{yard.pk}/")).content.decode()


def test_a_stop_names_its_patch(organiser, oak):
    yard = make_kept(oak).conversion
    visited(oak, yard, {**SEPTIC, "patch": yard.place.patches.get()})
    assert "Stop: Septic tank or drain field (Front lawn)" in words(organiser, oak, yard)


def test_a_lead_sees_the_stop_without_a_door_that_is_shut_to_leads(client, oak):
    yard = make_yard(oak)
    visit = visited(oak, yard, SEPTIC)
    oak.sign_in(client, "lead")
    assert "Stop: Septic tank or drain field" in words(client, oak, yard)
    assert f"/visits/{visit.pk}/" not in client.get(oak.url(f"yards/{yard.pk}/")).content.decode()


def test_nothing_is_said_before_anybody_was_there_or_when_nothing_blocks(organiser, oak):
    yard = make_yard(oak)
    assert "Before anybody digs" not in words(organiser, oak, yard)
    finish_visit(visit=answer_all(oak, yard), by=oak.visitor)
    assert "Before anybody digs" not in words(organiser, oak, yard)


def test_advice_an_answer_brought_up_stands_on_the_yards_page_until_it_is_dug(organiser, oak):
    yard = make_yard(oak)
    assert "Take care" not in words(organiser, oak, yard), "nobody was there"
    visited(oak, yard, {"question": "past", "value": {"past": "paint", "soil": "untested"}, "as_typed": ""})
    said = words(organiser, oak, yard)
    assert "Take care Advice: Old paint" in said and "Advice: Soil not tested" in said
