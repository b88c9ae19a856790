"""Rows written before digits were searched for are found by their number after the migration."""

from importlib import import_module

import pytest
from django.apps import apps

from conversions.common.fold import asks
from conversions.people.models import Person
from tests.people.test_outbox import make_person

pytestmark = pytest.mark.django_db
MIGRATION = import_module("conversions.people.migrations.0003_search_digits")


def test_an_old_row_is_found_by_its_number_however_it_is_spaced(oak):
    person = make_person(oak, name="Zoë Marin", phone="(000) 321 44-55")
    Person.of(oak.group).filter(pk=person.pk).update(search="zoe marin (000) 321 44-55")
    assert not Person.of(oak.group).filter(asks("0003214455", "search")).exists()
    MIGRATION.rebuild(apps, None)
    assert Person.of(oak.group).get(asks("000 321 4455", "search")) == person
    person.refresh_from_db()
    assert person.search == person.found_by


def test_a_row_that_is_right_stays_as_it_is(oak):
    person = make_person(oak)
    before = person.search
    MIGRATION.rebuild(apps, None)
    person.refresh_from_db()
    assert person.search == before


def test_the_list_of_people_finds_a_number_however_it_is_spaced(organiser, oak):
    make_person(oak, name="Sol Marin", phone="000 321 44 55")
    page = organiser.get(oak.url("people/?q=000-3214455")).content.decode()
    assert "Sol Marin" in page
