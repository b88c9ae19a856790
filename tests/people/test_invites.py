"""The members page and the page behind an invitation, as people meet them."""

import re

import pytest
from django.core.cache import cache

from conversions.groups.models import Group, Member, User
from conversions.people import actions, links
from conversions.people.models_invite import Invite

pytestmark = pytest.mark.django_db
PASSWORD = "a long enough password"
ACCOUNT = {"your_name": "Ines New", "email": "New@oak.example", "password": "three words in a row"}


@pytest.fixture(autouse=True)
def empty_counters():
    cache.clear()


def invite(world, *roles) -> Invite:
    return actions.invite(group=world.group, by=world.organiser, roles=frozenset(roles))


def way(row: Invite) -> str:
    return f"/join/{links.token(row)}/"


def said(response) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def alone(world) -> None:
    Member.of(world.group).exclude(pk=world.organiser.pk).update(ended_on=world.today)


# ---- the members page


def test_the_page_says_who_is_in_and_what_they_do(organiser, oak):
    text = said(organiser.get(oak.url("members/")))
    assert "5 people" in text and "Visitor Oak" in text and "visits yards" in text and "helper" in text


def test_a_group_of_one_sees_no_roles_only_the_invitation(organiser, oak):
    alone(oak)
    page = organiser.get(oak.url("members/"))
    assert "So far it is you" in said(page)
    assert "member-roles" not in page.content.decode() and "/roles/" not in page.content.decode()
    menu = said(organiser.get(oak.url("")))
    assert "Invite somebody" in menu and "Leave the group" not in menu


def test_an_invitation_is_made_with_its_roles_and_its_address_shown(organiser, oak):
    answer = organiser.post(
        oak.url("members/"), {"name": "Ines", "roles": ["visitor", "lead"], "days": "14"}, follow=True
    )
    row = Invite.of(oak.group).get()
    assert (row.roles, row.name, row.by) == ({"visitor", "lead"}, "Ines", oak.organiser)
    assert 13.9 < (row.expires_at - row.made_at).total_seconds() / 86400 < 14.1
    assert f'value="http://testserver{way(row)}"' in answer.content.decode()


def test_an_invitation_with_a_wrong_role_or_time_is_refused_beside_its_field(organiser, oak):
    answer = organiser.post(oak.url("members/"), {"name": "Ines", "roles": ["king"], "days": "9999"})
    assert answer.status_code == 400 and not Invite.of(oak.group).exists()
    assert set(answer.context["form"].errors) == {"roles", "days"}
    assert 'value="Ines"' in answer.content.decode()


def test_nothing_of_the_token_is_stored(oak):
    row = invite(oak, "lead")
    secret = links.token(row).partition(".")[2]
    assert secret not in str({f.name: getattr(row, f.attname) for f in row._meta.concrete_fields})


def test_roles_are_ticked_per_person_and_kept(organiser, oak):
    at = oak.url(f"members/{oak.helper.pk}/roles/")
    answer = organiser.post(at, {f"m{oak.helper.pk}-roles": ["visitor", "reader"]}, follow=True)
    oak.helper.refresh_from_db()
    assert oak.helper.roles == {"visitor", "reader"}
    assert "Helper Oak: visits yards, sees numbers only." in said(answer)
    organiser.post(at, {})
    oak.helper.refresh_from_db()
    assert oak.helper.roles == {"helper"}


def test_an_unknown_role_changes_nothing(organiser, oak):
    at = oak.url(f"members/{oak.visitor.pk}/roles/")
    answer = organiser.post(at, {f"m{oak.visitor.pk}-roles": ["king"]}, follow=True)
    oak.visitor.refresh_from_db()
    assert oak.visitor.roles == {"visitor"} and "Nothing was changed" in said(answer)


def test_the_last_organiser_is_told_why_the_role_stays(organiser, oak):
    answer = organiser.post(oak.url(f"members/{oak.organiser.pk}/roles/"), {}, follow=True)
    assert "You are the last organiser" in said(answer)
    answer = organiser.post(oak.url("leave/"))
    assert answer.status_code == 409 and "You are the last organiser" in said(answer)
    oak.organiser.refresh_from_db()
    assert oak.organiser.is_organiser and not oak.organiser.ended_on


def test_an_organiser_who_gives_the_role_away_lands_where_they_may_be(organiser, oak):
    actions.change_roles(member=oak.lead, by=oak.organiser, roles=frozenset({"organiser"}))
    answer = organiser.post(oak.url(f"members/{oak.organiser.pk}/roles/"), {f"m{oak.organiser.pk}-roles": ["lead"]})
    assert answer["Location"] == oak.url("")


def test_removing_asks_first_and_then_ends_it(organiser, oak, client):
    at = oak.url(f"members/{oak.visitor.pk}/remove/")
    assert "Remove Visitor Oak?" in said(organiser.get(at))
    oak.visitor.refresh_from_db()
    assert oak.visitor.ended_on is None, "looking removes nobody"
    assert "no longer in the group" in said(organiser.post(at, follow=True))
    oak.visitor.refresh_from_db()
    assert oak.visitor.ended_on == oak.today
    assert organiser.get(at).status_code == 404


def test_anybody_may_leave_and_is_told_so(client, oak):
    oak.sign_in(client, "helper")
    assert "Leave Oak Street Growers?" in said(client.get(oak.url("leave/")))
    assert "You have left Oak Street Growers" in said(client.post(oak.url("leave/"), follow=True))
    assert client.get(oak.url("")).status_code == 404


def test_an_invitation_can_be_taken_back_once(organiser, oak, client):
    row = invite(oak, "lead")
    at = oak.url(f"invites/{row.pk}/revoke/")
    assert "opens nothing now" in said(organiser.post(at, follow=True))
    assert "used or taken back already" in said(organiser.post(at, follow=True))


def test_the_members_page_asks_the_same_few_questions_of_the_database_however_many_are_in(
    organiser, oak, django_assert_num_queries
):
    for n in range(6):
        invite(oak, "lead")
        user = User.objects.create_user(f"m{n}@oak.example", PASSWORD)
        Member(group=oak.group, user=user).save()
    with django_assert_num_queries(5):  # session, user, the door, members, invitations
        organiser.get(oak.url("members/"))


# ---- behind the link


def test_somebody_new_makes_an_account_and_is_in(client, oak):
    row = invite(oak, "visitor")
    page = said(client.get(way(row)))
    assert "Come into Oak Street Growers" in page and "Organiser Oak invites you. Your part: visits yards." in page
    answer = client.post(way(row), ACCOUNT, follow=True)
    assert answer.redirect_chain == [(oak.url(""), 302)]
    member = Member.of(oak.group).get(user__email="new@oak.example")
    assert (member.roles, str(member)) == ({"visitor"}, "Ines New")


def test_somebody_signed_in_joins_with_one_press(client, oak, elm):
    elm.sign_in(client, "reader")
    row = invite(oak, "lead")
    assert "Join as Reader Elm" in said(client.get(way(row)))
    assert client.post(way(row))["Location"] == oak.url("")
    assert Member.of(oak.group).get(user=elm.reader.user).roles == {"lead"}
    assert "Elm Row Growers" in said(client.get(oak.url(""))), "the other group stands in the menu"


def test_an_e_mail_with_an_account_is_sent_to_sign_in_and_joins_afterwards(client, oak, elm):
    row = invite(oak, "lead")
    answer = client.post(way(row), ACCOUNT | {"email": "Reader@elm.example"})
    assert answer.status_code == 400 and "There is an account with this e-mail" in said(answer)
    assert f"/sign-in/?next={way(row)}" in answer.content.decode()
    answer = client.post("/sign-in/", {"username": "reader@elm.example", "password": PASSWORD, "next": way(row)})
    assert answer["Location"] == way(row)
    assert client.post(way(row))["Location"] == oak.url("")


def test_looking_at_an_invitation_uses_nothing(client, oak):
    row = invite(oak, "lead")
    for _time in range(3):
        assert client.get(way(row)).status_code == 200
        assert client.head(way(row)).status_code == 200
    row.refresh_from_db()
    assert row.used_by is None


def test_a_poor_password_is_refused_and_the_rest_kept(client, oak):
    row = invite(oak)
    answer = client.post(way(row), ACCOUNT | {"password": "short"})
    assert answer.status_code == 400 and 'value="Ines New"' in answer.content.decode()
    assert not User.objects.filter(email="new@oak.example").exists()


def test_who_is_in_already_is_told_so(client, oak):
    oak.sign_in(client, "lead")
    row = invite(oak, "organiser")
    assert "You are in this group already" in said(client.get(way(row)))
    assert client.post(way(row))["Location"] == oak.url("")
    oak.lead.refresh_from_db()
    assert oak.lead.roles == {"lead"}


@pytest.mark.parametrize(
    ("how", "status", "words"),
    [
        ("used", 410, "It was used already"),
        ("revoked", 410, "It was taken back"),
        ("expired", 410, "Its time has run out"),
        ("forged", 404, "copied without its last letters"),
    ],
)
def test_an_invitation_that_opens_nothing_says_why_in_words(client, oak, how, status, words):
    row = invite(oak, "lead")
    at = way(row)
    if how == "used":
        actions.join(invite=row, user=User(email="x@oak.example", password="!"))
    elif how == "revoked":
        actions.revoke(invite=row)
    elif how == "expired":
        Invite.everywhere.update(expires_at=row.made_at)
    else:
        at = at[:-2] + ("A/" if at[-2] != "A" else "B/")
    for answer in (client.get(at), client.post(at, ACCOUNT)):
        assert answer.status_code == status and words in said(answer)
    assert ("000 000 000" in said(client.get(at))) is (how != "forged"), "somebody to ring, where the group is known"
    assert not User.objects.filter(email="new@oak.example").exists()


def test_the_page_behind_an_invitation_is_kept_nowhere(client, oak):
    answer = client.get(way(invite(oak)))
    assert answer["Cache-Control"] == "private, no-store"
    assert answer["Referrer-Policy"] == "same-origin"
    assert "noindex" in answer["X-Robots-Tag"]


def test_a_plan_link_does_not_open_as_an_invitation(client, oak):
    from tests.rows import make_quote

    link = links.make("plan", "quote", make_quote(oak))
    assert client.get(f"/join/{links.token(link)}/").status_code == 404


# ---- starting a group


def test_starting_is_closed_unless_the_operator_opens_it(client, oak):
    for answer in (
        client.get("/start/"),
        client.post("/start/", ACCOUNT | {"name": "Mine", "units": "metric", "zone": "UTC"}),
    ):
        assert answer.status_code == 403
        assert "Ask them for a group of your own" in said(answer) and "000 000 000" in said(answer)
    assert Group.objects.count() == 1
    assert "Start a group" not in said(client.get("/sign-in/"))


NEW = ACCOUNT | {"name": "Tansy Row", "units": "imperial", "zone": "America/Chicago"}


def test_starting_asks_six_things_and_opens_the_first_page(client, settings, db):
    settings.REGISTRATION = "open"
    assert "Start a group" in said(client.get("/sign-in/"))
    assert len(client.get("/start/").context["form"].fields) == 6
    answer = client.post("/start/", NEW, follow=True)
    assert answer.redirect_chain[-1][0] == "/g/tansy-row/"
    group = Group.objects.get()
    assert (group.zone, group.units, group.paper) == ("America/Chicago", "imperial", "Letter")


def test_somebody_signed_in_starts_another_with_three_answers(client, oak, settings):
    settings.REGISTRATION = "open"
    oak.sign_in(client, "helper")
    assert set(client.get("/start/").context["form"].fields) == {"name", "units", "zone"}
    client.post("/start/", {"name": "Tansy Row", "units": "metric", "zone": "UTC"})
    assert Member.everywhere.get(group__slug="tansy-row").user == oak.helper.user


def test_a_start_with_a_known_e_mail_or_no_name_is_refused_beside_the_field(client, oak, settings):
    settings.REGISTRATION = "open"
    answer = client.post("/start/", NEW | {"name": " ", "email": "lead@oak.example"})
    assert answer.status_code == 400 and set(answer.context["form"].errors) == {"name", "email"}
    assert Group.objects.count() == 1


def test_one_address_cannot_start_groups_without_end(client, settings, db):
    settings.REGISTRATION = "open"
    for n in range(11):
        client.logout()
        answer = client.post("/start/", NEW | {"email": f"p{n}@oak.example"})
    assert answer.status_code == 429 and Group.objects.count() == 10
    assert "Wait an hour" in said(answer)
