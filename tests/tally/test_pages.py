"""The page of the tally, and its strip of ground."""

import datetime
from decimal import Decimal

import pytest

from conversions.builds import ledger
from conversions.tally.counts import Month
from conversions.tally.strip import round_goal, strip
from conversions.tally.views import adds_up
from tests.builds.rows import make_bare_day, make_built, make_patch

D = Decimal


def test_the_page_shows_the_year_its_months_and_both_units(oak, client):
    oak.group.goals = {"2025": 400}
    oak.group.save()
    patch, day = make_patch(oak, "100.00"), make_bare_day(oak, datetime.date(2025, 6, 1))
    ledger.write(day=day, patch=patch, as_built=make_built(day, patch, "92.90"), by=oak.lead)
    page = oak.sign_in(client, "reader").get(oak.url("tally/?year=2025")).content.decode()
    assert (
        "Tally of 2025" in page and '<b>92.9</b> <span class="u">m²</span>' in page and "1,000 sq ft" in page
    )  # 92.9 / 0.09290304 = 999.97
    assert "of 400 m² hoped for" in page and 'scope="row">June' in page


def test_a_year_without_ground_says_how_it_begins_and_lists_no_noughts(oak, client):
    page = oak.sign_in(client, "reader").get(oak.url("tally/")).content.decode()
    assert "It counts when a build day is closed." in page
    assert "What went into it" not in page and "How it was measured" not in page


@pytest.mark.parametrize("year", ["", "x", "99999999999999999999", "-1", "٢٠٢٥", "1"])
def test_a_year_that_is_none_shows_this_one(oak, client, year):
    page = oak.sign_in(client).get(oak.url("tally/"), {"year": year})
    assert page.status_code == 200 and f"Tally of {oak.today.year}" in page.content.decode()


def test_the_page_asks_the_same_number_of_questions_for_any_group(oak, client, django_assert_num_queries):
    place = make_patch(oak, "99.00").place
    for month in range(1, 10):
        patch, day = make_patch(oak, "9.00", place=place), make_bare_day(oak, datetime.date(2025, month, 1))
        ledger.write(day=day, patch=patch, as_built=make_built(day, patch, "9.00"), by=oak.lead)
    oak.sign_in(client)
    with django_assert_num_queries(15):
        client.get(oak.url("tally/?year=2025"))


def test_readers_leads_and_visitors_see_the_tally_and_helpers_do_not(oak, client):
    codes = {
        role: oak.sign_in(client, role).get(oak.url("tally/")).status_code
        for role in ("reader", "lead", "visitor", "helper")
    }
    assert codes == {"reader": 200, "lead": 200, "visitor": 200, "helper": 403}


@pytest.mark.parametrize(
    ("m2", "goal"), [("0", "50"), ("50", "50"), ("51", "100"), ("150", "200"), ("201", "500"), ("501", "1000")]
)
def test_a_year_without_a_goal_is_drawn_against_a_round_figure(m2, goal):
    assert round_goal(D(m2)) == D(goal)


def test_the_strip_says_in_words_what_it_draws(db):
    svg = strip([Month(5, D("30.00"), D("0"), 1)], D("30.00"), 100, "metric")
    assert 'aria-label="30.0 m² of lawn converted, of 100 m² hoped for"' in svg
    assert 'width="115.2"' in svg  # 30 of 100 on a strip 384 wide


def test_more_ground_than_hoped_for_fills_the_strip(db):
    svg = strip([Month(5, D("130.00"), D("0"), 1)], D("130.00"), 100, "metric")
    assert 'width="384.0"' in svg


def test_months_that_do_not_add_up_as_shown_say_that_each_is_rounded(oak, client):
    words = "Each figure is rounded by itself"
    for month in (6, 7):
        patch, day = make_patch(oak, "100.00"), make_bare_day(oak, datetime.date(2025, month, 1))
        ledger.write(day=day, patch=patch, as_built=make_built(day, patch, "30.05"), by=oak.lead)
        page = oak.sign_in(client, "reader").get(oak.url("tally/?year=2025")).content.decode()
        assert (words in page) is (month == 7), "30.1 alone; 30.1 and 30.1 beside 60.1"


@pytest.mark.parametrize(
    ("parts", "total", "units", "fits"),
    [
        (["30.00", "30.10"], "60.10", "metric", True),
        (["30.04", "30.04"], "60.08", "metric", False),  # 30.0 and 30.0 beside 60.1
        (["9.30", "9.30"], "18.60", "imperial", True),  # 100 + 100 beside 200 square feet
        (["9.34", "9.34"], "18.68", "imperial", False),  # 100.53 twice is 201.07: 101 + 101 beside 201
    ],
)
def test_what_is_shown_adds_up_or_not(parts, total, units, fits):
    assert adds_up([D(one) for one in parts], D(total), units) is fits
