"""The first hour without a browser: no empty page leaves somebody alone, and odd but honest input does no harm."""

import datetime
import re

import pytest
import time_machine

from conversions.builds.actions import record_as_built
from conversions.care.models import FollowUp
from conversions.office import close_day
from conversions.people import letters, outbox
from conversions.people.models import Person
from conversions.yards.models import Conversion
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_kept, make_quote, make_sent, make_yard

# Of a group with nothing in it: the page, the words that say what comes next, and the address of the way on.
EMPTY = [
    ("", "The first garden, layer by layer", "yards/new/"),
    ("yards/", "It begins with somebody who asks", "yards/new/"),
    ("yards/?q=nobody", "It begins with somebody who asks", "yards/new/"),
    ("days/", "When a household has said yes, set a day for its yard.", "days/new/"),
    ("days/new/", "A yard can have a day once its household has said yes to your plan.", "yards/"),
    ("days/new/?kind=rescue", "Nothing is built yet that could need mending.", "days/"),
    ("aftercare/", "When you close a build day, its follow-ups stand here.", "days/"),
    ("tally/", "It counts when a build day is closed.", "days/"),
    ("people/", "Whoever asks, helps or joins stands here.", "yards/new/"),
    ("people/?q=nobody", "Nobody fits.", "people/"),
    ("messages/", "Nobody waits to be told.", "messages/test/"),
    ("search/?q=nobody", "Nobody we know by that.", "yards/new/"),
]


def main_of(answer) -> str:
    return re.search(r"<main.*?</main>", answer.content.decode(), re.S).group(0)


@pytest.mark.parametrize(("path", "words", "way"), EMPTY)
def test_every_empty_page_says_what_comes_next_and_how_to_get_there(organiser, oak, path, words, way):
    page = main_of(organiser.get(oak.url(path)))
    assert words in page
    assert f'href="{oak.url(way)}"' in page


@pytest.mark.parametrize("path", ["", "days/"])
def test_a_helper_without_a_day_is_told_how_to_get_one(client, oak, path):
    page = main_of(oak.sign_in(client, "helper").get(oak.url(path)))
    assert "Ask for the sign-up link" in page or "Days you sign up for stand here." in page


def test_five_wrong_passwords_wait_with_a_way_out_and_the_right_one_opens_later(client, oak):
    wrong = {"username": "lead@oak.example", "password": "not it"}
    answers = [client.post("/sign-in/", wrong) for _try in range(6)]
    assert [answer.status_code for answer in answers[:4]] == [200] * 4
    assert answers[-1].status_code == 429
    page = " ".join(answers[-1].content.decode().split())
    assert "/password/forgotten/" in page and "Wait half an hour" in page
    with time_machine.travel(datetime.datetime.now(datetime.UTC) + datetime.timedelta(hours=2), tick=False):
        right = {"username": "lead@oak.example", "password": "a long enough password"}
        assert client.post("/sign-in/", right)["Location"] == "/"


@pytest.mark.parametrize("name", ["Zoë 🌻", "Prince", "李", "O’Brien-Śmigły", "نور"])
def test_any_name_is_kept_found_and_written_to(organiser, oak, name):
    asked = {
        "name": name, "reach": "zoe@house.example", "address": "9 Elder Lane", "tenure": "own",
        "uid": "55555555-5555-4555-8555-555555555555",
    }  # fmt: skip
    answer = organiser.post(oak.url("yards/new/"), asked)
    yard = Conversion.of(oak.group).get()
    assert answer["Location"] == oak.url(f"yards/{yard.pk}/")
    person = Person.of(oak.group).get(pk=yard.household.contact_id)
    assert person.name == name
    assert name in organiser.get(oak.url("search/"), {"q": name}).content.decode()
    message = outbox.queue(
        key="test:1", kind="test", person=person, conversion=yard, values={}, by=oak.organiser, route="email"
    )
    assert letters.compose(message).body
    quote = make_sent(oak, make_quote(oak, make_kept(oak, yard)), is_rendered=True)  # no letter of it breaks the paper
    assert bytes(quote.document.content).startswith(b"%PDF")


def test_an_enquiry_just_before_midnight_on_new_years_eve_is_of_the_old_year(oak):
    oak.group.zone = "Pacific/Auckland"
    oak.group.save()
    with time_machine.travel("2026-12-31T10:59:00Z", tick=False):  # 23:59 in Auckland, thirteen hours ahead of UTC
        assert make_yard(oak).opened_on == datetime.date(2026, 12, 31)
    with time_machine.travel("2026-12-31T11:00:00Z", tick=False):
        assert make_yard(oak, address="9 Elder Lane").opened_on == datetime.date(2027, 1, 1)


def test_a_garden_of_a_leap_day_is_looked_at_on_the_28th_for_three_years(oak):
    with time_machine.travel("2028-02-29T15:00:00Z", tick=False):
        day = make_day(oak, make_agreed(oak))
        record_as_built(day=day, patch=day.day_patches.get().patch, by=oak.lead)
        day.refresh_from_db()
        close_day.close_day(day=day, by=oak.lead, revision=day.revision, sheets=close_day.papers(day))
    due = dict(FollowUp.of(oak.group).filter(kind__startswith="year").values_list("kind", "due_on"))
    assert due == {f"year {n}": datetime.date(2028 + n, 2, 28) for n in (1, 2, 3)}
