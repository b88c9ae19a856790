"""Several people at the same moment, each on a connection of their own."""

import threading

import pytest
from django.core.exceptions import ValidationError
from django.db import connection

from conversions.groups.models import Member, User
from conversions.people import actions, links
from tests.conftest import World

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def oak_street():
    if connection.vendor == "sqlite":
        pytest.skip("a database in memory has one connection")
    return World("oak", "Oak Street Growers")


def at_once(*presses) -> list:
    """What each press gave or raised, all let go together."""
    start, ends = threading.Barrier(len(presses)), []

    def run(press):
        start.wait()
        try:
            ends.append(press())
        except (ValidationError, links.Dead) as refused:
            ends.append(type(refused))
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(press,)) for press in presses]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return ends


def own(member: Member) -> Member:
    return Member.everywhere.select_related("group", "user").get(pk=member.pk)


@pytest.mark.parametrize("_round", range(3))
def test_two_organisers_who_remove_each_other_leave_exactly_one(oak_street, _round):
    oak = oak_street
    Member.everywhere.filter(pk=oak.lead.pk).update(is_organiser=True)
    a, b, a2, b2 = own(oak.organiser), own(oak.lead), own(oak.organiser), own(oak.lead)
    ends = at_once(lambda: actions.remove(member=b, by=a), lambda: actions.remove(member=a2, by=b2))
    assert ends.count(ValidationError) == 1
    assert Member.of(oak.group).filter(is_organiser=True, ended_on=None).count() == 1


def test_two_last_organisers_who_leave_together_leave_one_behind(oak_street):
    oak = oak_street
    Member.everywhere.filter(pk=oak.lead.pk).update(is_organiser=True)
    a, b = own(oak.organiser), own(oak.lead)
    ends = at_once(lambda: actions.remove(member=a, by=a), lambda: actions.remove(member=b, by=b))
    assert ends.count(ValidationError) == 1
    assert Member.of(oak.group).filter(is_organiser=True, ended_on=None).count() == 1


def test_four_people_with_one_invitation_are_one_member(oak_street):
    oak = oak_street
    row = actions.invite(group=oak.group, by=oak.organiser, roles=frozenset({"lead"}))

    def press(n: int):
        mine = links.read_invite(links.token(row))
        return lambda: actions.join(invite=mine, user=User(email=f"p{n}@oak.example", password="!"))

    ends = at_once(*[press(n) for n in range(4)])
    assert ends.count(links.Dead) == 3
    assert User.objects.filter(email__startswith="p").count() == 1


def test_one_press_made_twice_gives_one_membership(oak_street):
    oak = oak_street
    user = User.objects.create_user("twice@oak.example", "a long enough password")
    rows = [actions.invite(group=oak.group, by=oak.organiser, roles=frozenset({"lead"})) for _n in range(2)]
    ends = at_once(*[lambda row=row: actions.join(invite=row, user=user) for row in rows])
    assert ends.count(actions.AlreadyIn) == 1
    assert Member.of(oak.group).filter(user=user).count() == 1
