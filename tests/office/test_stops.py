"""Who draws a plan reads on it what stops the yard, and lays no bed unaware."""

import datetime
import re

import pytest

from conversions.visits.actions import add_entries, book_visit, finish_visit
from conversions.visits.models import Visit
from conversions.yards.models import Hold
from tests.rows import make_open, rectangle

pytestmark = pytest.mark.django_db

SEPTIC = {"question": "septic", "value": {"septic": "here"}, "as_typed": ""}
PIPES = {"question": "pipes", "value": {"public": "no", "own": "none"}, "as_typed": ""}
KNOTWEED = {"question": "grass", "value": {"grass": "knotweed"}, "as_typed": ""}


def words(answer) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


@pytest.fixture
def draft(oak):
    return make_open(oak, None, rectangle(), beds=False)


def visited(world, draft, *entries):
    visit = book_visit(conversion=draft.conversion, by=world.visitor, due_at=datetime.datetime.now(datetime.UTC))
    add_entries(visit=visit, by=world.visitor, entries=list(entries))
    return finish_visit(visit=Visit.everywhere.get(pk=visit.pk), by=world.visitor)


def pages(client, world, draft):
    return [words(client.get(world.url(f"yards/{draft.conversion_id}/plan/{page}"))) for page in ("", "draw/")]


def test_the_plan_and_the_board_say_at_their_top_what_stops_the_yard(organiser, oak, draft):
    visited(oak, draft, SEPTIC, PIPES)
    for page in pages(organiser, oak, draft):
        assert "Stop: nobody builds here yet" in page
        assert "A drain field lies here. We do not build on it." in page
        assert "Pipes and wires are not marked yet." in page
        assert page.count("drain field") == 1, "a hold and the answer that opened it are one line"


def test_it_stands_there_when_a_layout_was_made(organiser, oak, draft):
    visited(oak, draft, SEPTIC)
    uid = draft.site["patches"][0]["uid"]
    carried = {"drawing": draft.number, "revision": draft.revision}
    address = oak.url(f"yards/{draft.conversion_id}/plan/patches/{uid}/layout/")
    said = words(organiser.post(address, carried, follow=True))
    assert "up to" in said and said.index("We do not build on it") < said.index("What it takes")


def test_a_stop_that_opened_no_hold_is_told_too(organiser, oak, draft):
    visited(oak, draft, KNOTWEED)
    assert not Hold.of(oak.group).exists()
    for page in pages(organiser, oak, draft):
        assert "Stop: nobody builds here yet" in page and "notweed" in page


def test_nothing_is_said_where_nothing_stops(organiser, oak, draft):
    for page in pages(organiser, oak, draft):
        assert "nobody builds here yet" not in page


def test_what_was_settled_stops_no_more(organiser, oak, draft):
    visited(oak, draft, SEPTIC)
    Hold.of(oak.group).update(state="not needed")
    assert "nobody builds here yet" not in pages(organiser, oak, draft)[0]
