"""Links: a token that is computed, never stored, and dies when it should."""

import datetime

import pytest
from django.utils import timezone

from conversions.people import links
from tests.rows import make_quote

pytestmark = pytest.mark.django_db


@pytest.fixture
def link(oak):
    return links.make("plan", "quote", make_quote(oak))


def test_a_link_is_made_once_and_found_again(oak, link):
    class Subject:
        group, pk = oak.group, link.subject_id

    assert links.make("plan", "quote", Subject) == link


def test_a_token_names_its_own_link(link):
    assert links.read("plan", links.token(link)) == link


def test_nothing_of_the_token_is_stored(link):
    secret = links.token(link).partition(".")[2]
    assert secret not in str({field.name: getattr(link, field.attname) for field in link._meta.concrete_fields})


@pytest.mark.parametrize("change", [lambda t: t[:-1], lambda t: t + "x", lambda t: "2" + t, lambda t: t.swapcase()])
def test_a_token_with_one_sign_wrong_opens_nothing_and_names_no_link(link, change):
    with pytest.raises(links.Dead) as dead:
        links.read("plan", change(links.token(link)))
    assert dead.value.link is None


def test_a_token_does_not_open_another_purpose(link):
    with pytest.raises(links.Dead):
        links.read("care", links.token(link))


def test_a_new_generation_ends_the_old_token(link):
    old = links.token(link)
    link.generation += 1
    link.save()
    with pytest.raises(links.Dead):
        links.read("plan", old)
    assert links.read("plan", links.token(link)) == link


@pytest.mark.parametrize("field", ["revoked_at", "expires_at"])
def test_a_link_taken_back_or_run_out_is_dead_and_still_names_its_group(link, field):
    setattr(link, field, timezone.now() - datetime.timedelta(seconds=1))
    link.save()
    with pytest.raises(links.Dead) as dead:
        links.read("plan", links.token(link))
    assert dead.value.link.group == link.group


def test_another_key_signs_another_token(link, settings):
    before = links.token(link)
    settings.LINK_KEY = "another key"
    assert links.token(link) != before


def test_the_whole_address_uses_the_operators_own_base(link, settings):
    settings.BASE_URL = "https://growers.example"
    assert links.address(link) == f"https://growers.example/p/{links.token(link)}/"
