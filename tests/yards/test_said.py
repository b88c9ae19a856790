"""What a household asked for with its answer reaches whoever builds there."""

import datetime
import io
import re

import pytest
from django.utils import timezone
from pypdf import PdfReader

from conversions.builds import crewsheet
from conversions.quotes.answers import record_reply
from conversions.visits.actions import book_visit, finish_visit, write_notes
from conversions.yards.models import Conversion
from conversions.yards.said import words_of
from conversions.yards.steps import with_rows
from tests.builds.rows import make_day
from tests.rows import make_sent

pytestmark = pytest.mark.django_db


def words(answer) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


@pytest.fixture
def yard(oak):
    quote = make_sent(oak)
    said = {"answer": "yes", "route": "slip", "name": "Ruth Okafor", "words": "Please keep the rose."}
    record_reply(quote=quote, by=oak.organiser, **said)
    return quote.conversion


def test_it_stands_on_the_yard_and_on_the_day_before_and_on_it(client, oak, yard):
    day = make_day(oak, yard, on=oak.today + datetime.timedelta(days=5))
    oak.sign_in(client, "lead")
    for page in (f"yards/{yard.pk}/", f"days/{day.pk}/?at=before", f"days/{day.pk}/?at=on"):
        said = words(client.get(oak.url(page)))
        assert "What they asked of us “Please keep the rose.” Ruth Okafor, " in said, page


def test_it_stands_on_the_crew_sheet_shortened_where_it_is_long(oak, yard):
    record_reply(
        quote=yard.quotes.get(),
        by=oak.organiser,
        answer="talk",
        route="slip",
        name="Ruth Okafor",
        words="Mind the bees. " * 20,
    )
    day = make_day(oak, yard, on=oak.today + datetime.timedelta(days=5))
    first, second = crewsheet.context(day)["yards"][0]["asked"]
    assert first == "Please keep the rose." and len(second) == 160
    paper = PdfReader(io.BytesIO(crewsheet.pdf(day))).pages[0].extract_text()
    assert "“Please keep the rose.”" in " ".join(paper.split())


def test_a_note_of_a_visit_is_told_once_the_visit_is_over(organiser, oak, yard):
    visit = book_visit(conversion=yard, by=oak.visitor, due_at=timezone.now())
    visit = write_notes(visit=visit, revision=visit.revision, notes="The tap is behind the shed.")
    page = oak.url(f"yards/{yard.pk}/")
    assert "behind the shed" not in words(organiser.get(page))
    finish_visit(visit=visit, by=oak.visitor)
    assert "The tap is behind the shed. Noted at the visit of " in words(organiser.get(page))


def test_what_we_noted_ourselves_is_not_theirs(oak, yard):
    assert [row.words for row in words_of(yard)] == ["Please keep the rose."]
    record_reply(quote=yard.quotes.get(), answer="withdraw", route="ours", name="Mina", words="Rang.", by=oak.organiser)
    assert [row.words for row in words_of(yard)] == ["Please keep the rose."]


def test_a_yard_with_its_rows_at_hand_asks_nothing_more(oak, yard, django_assert_num_queries):
    row = with_rows(Conversion.of(oak.group), oak.group).get(pk=yard.pk)
    with django_assert_num_queries(0):
        assert words_of(row)
