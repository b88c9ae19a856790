"""The door: rows stay in their group, and a forgotten mark closes."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404
from django.test import RequestFactory

from conversions.builds.models import Day
from conversions.groups.tenancy import Door, GroupForm, Stale, change, fetch, move, open_to
from conversions.people.models import Person
from conversions.yards.models import Household, Place


def knock(world, role, view):
    request = RequestFactory().get("/")
    request.user = getattr(world, role).user
    kwargs = {"group": world.group.slug, "pk": 3}
    Door(None).process_view(request, view, (), kwargs)
    return request, kwargs


def unmarked(request):
    pass


@open_to("lead")
def for_leads(request):
    pass


def test_the_door_sets_group_and_member_and_takes_the_slug_away(oak):
    request, kwargs = knock(oak, "organiser", unmarked)
    assert (request.group, request.member, kwargs) == (oak.group, oak.organiser, {"pk": 3})


@pytest.mark.parametrize("role", ["visitor", "lead", "reader", "helper"])
def test_a_view_without_a_mark_is_for_organisers_only(oak, role):
    with pytest.raises(PermissionDenied):
        knock(oak, role, unmarked)


def test_a_mark_opens_to_that_role_and_to_no_other(oak):
    knock(oak, "lead", for_leads)
    knock(oak, "organiser", for_leads)
    with pytest.raises(PermissionDenied):
        knock(oak, "visitor", for_leads)


def test_a_stranger_and_a_former_member_find_nothing(oak, elm):
    request = RequestFactory().get("/")
    request.user = elm.organiser.user
    with pytest.raises(Http404):
        Door(None).process_view(request, unmarked, (), {"group": "oak"})
    oak.lead.ended_on = oak.today
    oak.lead.save(update_fields=["ended_on"])
    with pytest.raises(Http404):
        knock(oak, "lead", for_leads)


def test_a_mark_with_a_role_nobody_knows_stops_the_start():
    with pytest.raises(AssertionError, match="no such role"):
        open_to("treasurer")


def person(world, name="Noor Haddad"):
    return Person.everywhere.create(group=world.group, name=name)


def test_fetch_finds_only_the_groups_own_rows(oak, elm):
    request, _kwargs = knock(oak, "organiser", unmarked)
    assert fetch(request, Person, pk=person(oak).pk).name == "Noor Haddad"
    for pk in (person(elm).pk, 10**30):
        with pytest.raises(Http404):
            fetch(request, Person, pk=pk)


def test_a_row_that_points_into_another_group_is_refused(oak, elm):
    place = Place.everywhere.create(group=elm.group, address="3 Sorrel Court")
    row = Household(group=oak.group, place=place, contact=person(oak), tenure="own", from_on=oak.today)
    with pytest.raises(ValidationError):
        row.save()
    with pytest.raises(ValidationError):
        Household.everywhere.bulk_create([row])
    row = Household(group=oak.group, place_id=place.pk, contact=person(oak), tenure="own", from_on=oak.today)
    with pytest.raises(ValidationError):
        row.save()


def a_day(world):
    return Day.everywhere.create(
        group=world.group, on=world.today, starts="09:30", ends="14:00", lead=world.lead, notes="first"
    )


def test_change_writes_once_per_revision_and_shows_what_stands(oak):
    day = a_day(oak)
    change(day, 1, notes="second")
    assert (day.notes, day.revision) == ("second", 2)
    with pytest.raises(Stale) as stale:
        change(day, 1, notes="third")
    assert stale.value.row.notes == "second"


def test_only_the_first_of_two_moves_a_state(oak):
    day = a_day(oak)
    assert move(day, ["planned"], state="confirmed") is True
    assert move(day, ["planned"], state="cancelled") is False
    assert day.state == "confirmed"


def test_a_group_form_offers_only_the_groups_rows(oak, elm):
    from django import forms

    ours, theirs = person(oak, "Ada"), person(elm, "Bo")

    class PickForm(GroupForm):
        person = forms.ModelChoiceField(queryset=Person.everywhere.all())

    assert list(PickForm(group=oak.group).fields["person"].queryset) == [ours]
    assert not PickForm({"person": theirs.pk}, group=oak.group).is_valid()
