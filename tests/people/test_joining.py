"""Starting a group, coming in, changing roles, and going: what stands in the rows afterwards."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import IntegrityError, transaction

from conversions.groups.models import Group, Member, User
from conversions.people import actions, links
from conversions.people.models import Link, Person
from conversions.people.models_invite import Invite
from tests.rows import make_quote

pytestmark = pytest.mark.django_db
PASSWORD = "a long enough password"


def somebody(email: str = "new@oak.example", name: str = "Ines New") -> User:
    user = User(email=email, name=name)
    user.set_password(PASSWORD)
    return user


def invite(world, *roles, **more) -> Invite:
    return actions.invite(group=world.group, by=world.organiser, roles=frozenset(roles), **more)


def second_organiser(world) -> Member:
    world.lead.is_organiser = True
    world.lead.save()
    return world.lead


# ---- starting


def test_whoever_starts_a_group_is_its_organiser_and_somebody_we_know():
    member = actions.start_group(name="Tansy Row Growers", user=somebody(), zone="Europe/London", units="imperial")
    assert member.roles == {"organiser"}
    assert (member.group.slug, member.group.zone, member.group.paper) == (
        "tansy-row-growers",
        "Europe/London",
        "Letter",
    )
    assert Person.of(member.group).get().member == member


def test_two_groups_of_one_name_get_two_addresses():
    slugs = [actions.start_group(name="Elm & Oak", user=somebody(f"{n}@oak.example")).group.slug for n in range(3)]
    assert slugs == ["elm-oak", "elm-oak-2", "elm-oak-3"]


def test_a_name_without_latin_letters_still_gets_an_address():
    assert actions.start_group(name="Садоводы", user=somebody()).group.slug == "group"


def test_a_group_that_cannot_be_made_leaves_no_account_behind():
    with pytest.raises(ValidationError):
        actions.start_group(name="Oak", user=somebody(), zone="Nowhere/At_all")
    assert not User.objects.filter(email="new@oak.example").exists()


# ---- coming in


def test_an_invitation_gives_exactly_its_roles_once(oak):
    row = invite(oak, "visitor", "lead")
    member = actions.join(invite=row, user=somebody())
    assert member.roles == {"visitor", "lead"}
    assert Person.of(oak.group).get(member=member).email == "new@oak.example"
    with pytest.raises(links.Dead):
        actions.join(invite=row, user=somebody("late@oak.example"))
    assert not User.objects.filter(email="late@oak.example").exists()


def test_an_invitation_without_roles_lets_in_a_helper(oak):
    assert actions.join(invite=invite(oak), user=somebody()).roles == {"helper"}


def test_an_invitation_taken_back_lets_nobody_in(oak):
    row = invite(oak, "lead")
    assert actions.revoke(invite=row) is True
    assert actions.revoke(invite=row) is False
    with pytest.raises(links.Dead):
        actions.join(invite=row, user=somebody())


def test_an_invitation_that_ran_out_lets_nobody_in(oak):
    row = invite(oak, "lead", days=3)
    Invite.everywhere.filter(pk=row.pk).update(expires_at=row.expires_at - datetime.timedelta(days=4))
    with pytest.raises(links.Dead):
        actions.join(invite=row, user=somebody())


def test_who_is_in_already_leaves_the_invitation_unused(oak):
    row = invite(oak, "organiser")
    with pytest.raises(actions.AlreadyIn):
        actions.join(invite=row, user=oak.helper.user)
    row.refresh_from_db()
    oak.helper.refresh_from_db()
    assert row.used_by is None and oak.helper.roles == {"helper"}


def test_coming_back_opens_the_old_membership_again_with_the_new_roles(oak):
    actions.remove(member=oak.visitor, by=oak.organiser)
    back = actions.join(invite=invite(oak, "lead"), user=oak.visitor.user)
    assert back.pk == oak.visitor.pk
    assert (back.ended_on, back.roles) == (None, {"lead"})


def test_only_a_standing_organiser_can_invite(oak):
    with pytest.raises(ValidationError, match="no longer an organiser"):
        actions.invite(group=oak.group, by=oak.visitor, roles=frozenset({"organiser"}))


def test_used_by_and_used_at_stand_together(oak):
    row = invite(oak)
    with pytest.raises(IntegrityError), transaction.atomic():
        Invite.everywhere.filter(pk=row.pk).update(used_by=oak.helper)


# ---- roles


def test_roles_are_a_set_and_replace_what_was(oak):
    actions.change_roles(member=oak.visitor, by=oak.organiser, roles=frozenset({"lead", "reader"}))
    oak.visitor.refresh_from_db()
    assert oak.visitor.roles == {"lead", "reader"}


def test_the_last_organiser_cannot_lose_the_role(oak):
    with pytest.raises(ValidationError, match="last organiser"):
        actions.change_roles(member=oak.organiser, by=oak.organiser, roles=frozenset({"lead"}))
    oak.organiser.refresh_from_db()
    assert oak.organiser.is_organiser


def test_who_stops_organising_leaves_no_invitation_open(oak):
    second = second_organiser(oak)
    row = actions.invite(group=oak.group, by=second, roles=frozenset({"organiser"}))
    actions.change_roles(member=second, by=oak.organiser, roles=frozenset({"lead"}))
    with pytest.raises(links.Dead):
        links.read_invite(links.token(row))


def test_somebody_who_left_gets_no_role(oak):
    actions.remove(member=oak.helper, by=oak.helper)
    with pytest.raises(ValidationError, match="not in the group"):
        actions.change_roles(member=oak.helper, by=oak.organiser, roles=frozenset({"lead"}))


# ---- going


def test_removing_ends_sessions_invitations_and_links_at_once(oak, client):
    second = second_organiser(oak)
    row = actions.invite(group=oak.group, by=second, roles=frozenset())
    person = Person(group=oak.group, name="Lead Oak", member=second)
    person.save()
    link = links.make("plan", "quote", make_quote(oak), person=person)
    oak.sign_in(client, "lead")
    assert client.get("/g/oak/").status_code == 200
    actions.remove(member=second, by=oak.organiser)
    answer = client.get("/g/oak/")
    assert answer["Location"].startswith("/sign-in/"), "signed out, not only refused"
    for dead in (lambda: links.read_invite(links.token(row)), lambda: links.read("plan", links.token(link))):
        with pytest.raises(links.Dead):
            dead()
    assert Link.everywhere.get(pk=link.pk).revoked_at


def test_leaving_oneself_keeps_the_session_for_other_groups(oak, elm, client):
    actions.join(invite=invite(elm, "lead"), user=oak.helper.user)
    oak.sign_in(client, "helper")
    actions.remove(member=oak.helper, by=oak.helper)
    assert client.get("/g/oak/").status_code == 404
    assert client.get("/g/elm/").status_code == 200


def test_the_last_organiser_can_neither_leave_nor_be_removed(oak):
    with pytest.raises(ValidationError, match="last organiser"):
        actions.remove(member=oak.organiser, by=oak.organiser)


def test_of_two_organisers_who_remove_each_other_only_the_first_does(oak):
    second = second_organiser(oak)
    mine, theirs = Member.everywhere.get(pk=oak.organiser.pk), Member.everywhere.get(pk=second.pk)
    actions.remove(member=theirs, by=mine)  # meanwhile the other page is open already
    with pytest.raises(ValidationError, match="no longer an organiser"):
        actions.remove(member=oak.organiser, by=second)
    assert Member.of(oak.group).filter(is_organiser=True, ended_on=None).get() == oak.organiser


# ---- the operator's command


def test_the_command_starts_a_group_and_prints_a_link_that_sets_the_password(client, capsys):
    call_command("start_group", "Fold Lane Growers", email="Kim@fold.example")
    printed = capsys.readouterr().out
    address = next(word for word in printed.split() if "/password/new/" in word)
    page = client.get("/password/" + address.split("/password/", 1)[1], follow=True)
    assert page.status_code == 200
    page = client.post(page.redirect_chain[-1][0], {"new_password1": PASSWORD, "new_password2": PASSWORD}, follow=True)
    assert page.redirect_chain[-1][0] == "/g/fold-lane-growers/"
    assert client.get("/password/" + address.split("/password/", 1)[1], follow=True).context["validlink"] is False


def test_the_command_knows_an_account_that_is_there(oak, capsys):
    call_command("start_group", "Second Oak", email="organiser@oak.example", zone="Europe/London")
    assert "password/new" not in capsys.readouterr().out
    assert Member.everywhere.get(group=Group.objects.get(slug="second-oak")).user == oak.organiser.user


def test_the_command_refuses_what_is_no_e_mail_in_words():
    with pytest.raises(CommandError, match="valid email"):
        call_command("start_group", "Oak", email="not one")
    assert not Group.objects.exists()
