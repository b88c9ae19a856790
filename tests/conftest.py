"""A small world: two groups, one person per role in each, and helpers to sign in as them."""

import datetime

import pytest

from conversions.groups.models import Group, Member, User

ROLES = ("organiser", "visitor", "lead", "reader", "helper")


class World:
    """One group and its members by role: oak.organiser, oak.visitor, ..."""

    def __init__(self, slug: str, name: str):
        self.group = Group.objects.create(
            slug=slug, name=name, zone="Europe/London", currency="$", phone="000 000 000", phone_hours="after six"
        )
        for role in ROLES:
            user = User.objects.create_user(
                f"{role}@{slug}.example", "a long enough password", name=f"{role.title()} {slug.title()}"
            )
            flag = {} if role == "helper" else {f"is_{role}": True}
            member = Member(group=self.group, user=user, **flag)
            member.full_clean()
            member.save()
            setattr(self, role, member)

    def sign_in(self, client, role: str = "organiser"):
        client.force_login(getattr(self, role).user, backend="django.contrib.auth.backends.ModelBackend")
        return client

    def url(self, path: str = "") -> str:
        return f"/g/{self.group.slug}/{path}"

    @property
    def today(self) -> datetime.date:
        return self.group.today()


@pytest.fixture
def oak(db) -> World:
    return World("oak", "Oak Street Growers")


@pytest.fixture
def elm(db) -> World:
    return World("elm", "Elm Row Growers")


@pytest.fixture
def organiser(client, oak):
    """A client signed in as oak's organiser."""
    return oak.sign_in(client)
