"""Looking at a page changes nothing: every address, opened as an organiser or by its link, writes no row."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from conversions.builds.models import Day
from conversions.care.models import CareSheet
from conversions.people import links
from conversions.quotes.models import Quote
from tests.test_doors import INSIDE, street  # noqa: F401 - the two groups with everything in them

WRITES = ("INSERT", "UPDATE", "DELETE", "REPLACE")


def written(client, address: str) -> list[str]:
    """What a GET wrote, apart from the visitor's own session."""
    with CaptureQueriesContext(connection) as found:
        client.get(address)
    said = [row["sql"] for row in found.captured_queries if row["sql"].lstrip().upper().startswith(WRITES)]
    return [sql for sql in said if "django_session" not in sql]


@pytest.mark.parametrize("name", INSIDE)
def test_opening_a_page_writes_nothing(client, street, db, name):  # noqa: F811
    oak, ours = street[0]
    oak.sign_in(client, "organiser")
    assert written(client, reverse(name, kwargs={"group": "oak", **ours[name]})) == []


def test_opening_a_link_writes_nothing(client, street, db):  # noqa: F811
    oak = street[0][0]
    subjects = {
        "plan-public": ("plan", "quote", Quote.of(oak.group).get(state="sent")),
        "plan-public-paper": ("plan", "quote", Quote.of(oak.group).get(state="sent")),
        "sign-up-public": ("sign-up", "day", Day.of(oak.group).get()),
        "care-public": ("care", "care sheet", CareSheet.of(oak.group).get()),
        "care-public-paper": ("care", "care sheet", CareSheet.of(oak.group).get()),
    }
    for name, subject in subjects.items():
        token = links.token(links.make(*subject))
        assert written(client, reverse(name, args=[token])) == [], name
