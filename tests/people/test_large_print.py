"""Somebody's wish for large print follows to every page that their link opens."""

import datetime

import pytest

from conversions.builds.actions import sign_up
from conversions.builds.roster import person_for
from conversions.care.actions import write_sheet
from conversions.people import links
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_sent, plan_token

pytestmark = pytest.mark.django_db

LARGE = '<body class="bare large '


def plan_page(world):
    quote = make_sent(world)
    return quote.conversion.household.contact, f"/p/{plan_token(quote)}/"


def care_page(world):
    day = make_day(world, make_agreed(world), on=world.today - datetime.timedelta(days=9))
    conversion = day.yards[0]
    sheet = write_sheet(conversion=conversion, day=day, paper=b"%PDF-1.7", title="Care sheet", by=world.organiser)
    return conversion.household.contact, f"/c/{links.token(links.make('care', 'care sheet', sheet))}/"


def own_sign_up_page(world):
    day = make_day(world, make_agreed(world), on=world.today + datetime.timedelta(days=9))
    person = person_for(world.helper)
    sign_up(day=day, person=person)
    return person, f"/s/{links.token(links.make('sign-up', 'day', day, person=person))}/"


@pytest.mark.parametrize("make_page", [plan_page, care_page, own_sign_up_page])
def test_a_page_behind_a_link_is_large_for_who_asked_for_large_print(client, oak, make_page):
    person, address = make_page(oak)
    assert LARGE not in client.get(address).content.decode()
    person.large_print = True
    person.save()
    assert LARGE in client.get(address).content.decode()
