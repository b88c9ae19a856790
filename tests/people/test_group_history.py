"""Coming in, going and new roles stand in the group's history, with who did it."""

import html

import pytest

from conversions.groups.models import Member, User
from conversions.people import actions
from conversions.people.models import Event

pytestmark = pytest.mark.django_db


def page_of(client, world) -> str:
    return html.unescape(client.get(world.url("history/")).content.decode())


def join(world, *roles) -> Member:
    row = actions.invite(group=world.group, by=world.organiser, roles=frozenset(roles))
    return actions.join(invite=row, user=User(email="new@oak.example", name="Ines New", password="!"))


def verbs(world) -> list[str]:
    return list(Event.of(world.group).order_by("pk").values_list("verb", flat=True))


def test_who_came_in_stands_with_roles_and_who_invited(organiser, oak):
    join(oak, "lead", "visitor")
    page = page_of(organiser, oak)
    assert "Ines New came in" in page and "visits yards, leads build days" in page and "Organiser Oak" in page


def test_a_helper_came_in_as_a_helper(organiser, oak):
    join(oak)
    assert "<p>helper</p>" in page_of(organiser, oak)


def test_new_roles_stand_with_old_and_new_and_the_same_again_does_not(organiser, oak):
    for _press in range(2):
        actions.change_roles(member=oak.lead, by=oak.organiser, roles=frozenset({"reader"}))
    assert verbs(oak) == ["roles-changed"]
    assert Event.of(oak.group).get().changed == {"roles": [["lead"], ["reader"]]}
    page = page_of(organiser, oak)
    assert "Lead Oak has new roles" in page and "leads build days, now sees numbers only" in page


def test_who_was_removed_and_who_left_are_told_apart(organiser, oak):
    actions.remove(member=oak.lead, by=oak.organiser)
    actions.remove(member=oak.helper, by=oak.helper)
    page = page_of(organiser, oak)
    assert "Lead Oak was removed from the group" in page and "Helper Oak left the group" in page


def test_a_second_press_writes_no_second_going(oak):
    for _press in range(2):
        actions.remove(member=oak.lead, by=oak.organiser)
    assert verbs(oak) == ["removed"]


def test_who_comes_back_came_in_twice(oak):
    first = join(oak)
    actions.remove(member=first, by=oak.organiser)
    row = actions.invite(group=oak.group, by=oak.organiser, roles=frozenset({"visitor"}))
    actions.join(invite=row, user=first.user)
    assert verbs(oak) == ["joined", "removed", "joined"]


def test_the_last_organiser_who_cannot_go_leaves_no_trace(oak):
    with pytest.raises(Exception, match="last organiser"):
        actions.remove(member=oak.organiser, by=oak.organiser)
    assert verbs(oak) == []


def test_a_new_group_begins_its_history(client):
    member = actions.start_group(name="Tansy Row", user=User(email="a@b.example", name="Ada Bell", password="!"))
    client.force_login(member.user)
    page = html.unescape(client.get(f"/g/{member.group.slug}/history/").content.decode())
    assert "Ada Bell started the group" in page


def test_a_long_history_takes_as_many_queries_as_a_short_one(organiser, oak, django_assert_max_num_queries):
    for n in range(30):
        roles = frozenset({"reader"} if n % 2 else {"visitor"})
        actions.change_roles(member=oak.lead, by=oak.organiser, roles=roles)
    with django_assert_max_num_queries(12):
        organiser.get(oak.url("history/"))
