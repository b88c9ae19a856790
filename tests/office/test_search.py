"""Who is ringing: from every page, by name, number or street, on both databases."""

from datetime import timedelta

import pytest
from django.urls import reverse

from conversions.builds.actions import sign_up
from tests.builds.rows import make_agreed, make_day
from tests.rows import make_yard


def text(answer) -> str:
    return answer.content.decode()


def ask(client, oak, words: str) -> str:
    return text(client.get(oak.url("search/"), {"q": words}))


@pytest.mark.parametrize("path", ["", "yards/", "days/", "aftercare/", "tally/", "prices/", "search/", "yards/new/"])
def test_every_page_offers_the_box(organiser, oak, path):
    page = text(organiser.get(oak.url(path)))
    assert f'action="{oak.url("search/")}"' in page
    assert 'id="lookup" type="search" name="q"' in page


@pytest.mark.parametrize("role", ["reader", "helper"])
def test_who_may_not_see_yards_is_offered_no_box_and_finds_nobody(client, oak, role):
    make_yard(oak)
    page = text(oak.sign_in(client, role).get(oak.url()))
    assert 'id="lookup"' not in page
    assert client.get(oak.url("search/"), {"q": "Okafor"}).status_code == 403


@pytest.mark.parametrize(
    "words",
    [
        "okafor", "ÓKAFÓR", "Ruth Okafor", "okafor tansy", "tansy 14", "TÁNSY", "ruth  okafor",
        "000 111 222", "000111222", "(000) 111-222", "00 01 11 22 2", "111 222", "+44 00 111 222",
    ],
)  # fmt: skip
def test_a_yard_is_found_by_name_number_or_street_however_it_is_written(organiser, oak, words):
    row = make_yard(oak, name="Ruth Okáfor")
    assert reverse("yard", args=["oak", row.pk]) in ask(organiser, oak, words)


@pytest.mark.parametrize("words", ["brandt", "okafor sorrel", "999 999", "%", "_", "tansy 15", "'", "000 111 333"])
def test_what_nobody_is_called_finds_nobody(organiser, oak, words):
    make_yard(oak)
    page = ask(organiser, oak, words)
    assert "Nobody we know by that." in page
    assert "Ruth Okafor" not in page


def test_a_number_with_its_country_in_front_is_the_same_number(organiser, oak):
    row = make_yard(oak, reach="0000 112 2334")
    assert reverse("yard", args=["oak", row.pk]) in ask(organiser, oak, "+00 000 112 2334")


def test_the_yard_of_the_number_that_rings_stands_first(organiser, oak):
    caller = make_yard(oak, reach="000 111 222")
    make_yard(oak, name="Sol Marin", reach="+9 000 111 222", address="3 Sorrel Court")
    make_yard(oak, name="Ines Ojo", reach="000 111 2223", address="4 Sorrel Court")
    page = ask(organiser, oak, "000111222")
    order = [page.index(name) for name in ("Ruth Okafor", "Ines Ojo", "Sol Marin")]
    assert order[0] == min(order)
    assert reverse("yard", args=["oak", caller.pk]) in page


def test_nothing_asked_lists_nothing(organiser, oak):
    make_yard(oak)
    page = ask(organiser, oak, "  ")
    assert "Who is ringing?" in page
    assert "Ruth Okafor" not in page and "Nobody we know" not in page


def test_an_unknown_number_goes_on_into_the_enquiry(organiser, oak):
    page = ask(organiser, oak, "000 999 888")
    assert f"{reverse('enquiry', args=['oak'])}?reach=000%20999%20888" in page
    assert 'value="000 999 888"' in text(organiser.get(oak.url("yards/new/"), {"reach": "000 999 888"}))


def test_a_yard_comes_with_its_stage_and_its_build_days(organiser, oak):
    yard = make_agreed(oak)
    day = make_day(oak, yard, on=oak.today + timedelta(days=3))
    page = ask(organiser, oak, "okafor")
    assert "<b>Booked.</b>" in page
    assert reverse("day", args=["oak", day.pk]) in page


def test_a_helper_is_found_with_the_days_they_are_on(organiser, oak):
    day = make_day(oak)
    sign_up(day=day, name="Wren Abara", phone="000 777 666")
    page = ask(organiser, oak, "000777666")
    assert "Wren Abara" in page and "on the list of 1 build day" in page
    assert reverse("day", args=["oak", day.pk]) in page


def test_a_helpers_number_is_shown_to_organisers_only(client, oak):
    sign_up(day=make_day(oak), name="Wren Abara", phone="000 777 666")
    assert "· 000 777 666" in ask(oak.sign_in(client), oak, "wren")
    assert "000 777 666" not in ask(oak.sign_in(client, "lead"), oak, "wren")


def test_another_groups_people_are_not_found(organiser, oak, elm):
    make_yard(elm)
    assert "Nobody we know by that." in ask(organiser, oak, "okafor")


def test_what_was_typed_is_shown_as_text(organiser, oak):
    assert "<script>x" not in ask(organiser, oak, "<script>x")


def test_more_rows_take_no_more_queries(organiser, oak, django_assert_num_queries):
    make_day(oak, make_agreed(oak))
    with django_assert_num_queries(QUERIES):
        ask(organiser, oak, "o")
    for n in range(4):
        yard = make_agreed(oak, make_yard(oak, name=f"Olu {n}", reach=f"000 333 00{n}", address=f"{n} Sorrel Court"))
        day = make_day(oak, yard, on=oak.today + timedelta(days=n))
        sign_up(day=day, name=f"Odd {n}", phone=f"000 444 00{n}")
    with django_assert_num_queries(QUERIES):
        ask(organiser, oak, "o")


QUERIES = 7  # session, account, membership; yards, people, days and the yards of those
