"""The page of a dead link."""

import re

import pytest

from conversions.groups.models import Group

pytestmark = pytest.mark.django_db


def text(response) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def test_a_token_that_names_nothing_shows_every_group_that_has_a_phone(client, oak, elm):
    Group.objects.filter(pk=elm.group.pk).update(phone="")
    page = client.get("/p/77.nonsense/")
    assert page.status_code == 404
    assert "Oak Street Growers" in text(page) and "Elm Row Growers" not in text(page)
    assert 'href="tel:000000000"' in page.content.decode()


def test_the_page_of_a_dead_link_tells_no_referrer(client, oak):
    assert client.get("/p/77.nonsense/")["Referrer-Policy"] == "no-referrer"
