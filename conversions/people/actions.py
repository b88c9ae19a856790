"""Starting a group, coming in and going: what writes a Member together with a Person; and changing a person."""

import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from conversions.groups import actions as groups
from conversions.groups.models import Group, Member, User
from conversions.groups.tenancy import Stale, change

from . import links
from .history import differences, note_event
from .models import Link, Person
from .models_invite import Invite

HOLDS_DAYS = 14


class AlreadyIn(ValidationError):
    """Somebody who is in the group opened an invitation to it; the invitation stays unused."""


def start_group(*, name: str, user: User, zone: str = "UTC", units: str = "metric") -> Member:
    """A new group whose first organiser is `user`, an account that may be new and not saved yet."""
    with transaction.atomic():
        _save_account(user)
        group = Group(name=name, slug=free_slug(name), zone=zone, units=units)
        group.paper = "Letter" if units == "imperial" else "A4"
        group.full_clean()
        group.save()
        member = Member(group=group, user=user, is_organiser=True)
        member.full_clean()
        member.save()
        note_event(group=group, verb="group-started", by=member, person=_know(member))
    return member


def free_slug(name: str) -> str:
    """The name as it stands in the address, with a number where another group has it already."""
    wanted = slugify(name)[:50].strip("-") or "group"
    taken = set(Group.objects.filter(slug__startswith=wanted).values_list("slug", flat=True))
    n, slug = 1, wanted
    while slug in taken:
        n += 1
        slug = f"{wanted}-{n}"
    return slug


def invite(*, group: Group, by: Member, roles: frozenset[str], days: int = HOLDS_DAYS, name: str = "") -> Invite:
    """A link that lets one person in with these roles; without any they come as a helper."""
    with transaction.atomic():
        groups.hold(group)
        groups.still_organiser(by)
        row = Invite(
            group=group,
            by=by,
            name=name,
            expires_at=timezone.now() + datetime.timedelta(days=days),
            **{f"is_{role}": True for role in roles},
        )
        row.full_clean()
        row.save()
    return row


def revoke(*, invite: Invite) -> bool:
    """Take an unused invitation back; false where it was used or taken back before."""
    return bool(_take_back(Invite.of(invite.group).filter(pk=invite.pk)))


def join(*, invite: Invite, user: User) -> Member:
    """Let `user` in, once. An account that is not saved yet is made in the same stroke.

    Raises links.Dead where somebody was faster or the invitation was taken back, AlreadyIn for who is in.
    """
    with transaction.atomic():
        groups.hold(invite.group)
        _save_account(user)
        member = Member.of(invite.group).filter(user=user).first()
        if member and not member.ended_on:
            raise AlreadyIn(_("You are in this group already. The invitation stays unused."))
        member = member or Member(group=invite.group, user=user)
        member.ended_on = None  # coming back opens the old membership again
        member.take_roles(invite.roles)
        member.full_clean()
        member.save()
        roles = {"roles": [[], sorted(member.roles)]}
        note_event(group=invite.group, verb="joined", by=invite.by, person=_know(member), changed=roles)
        if not Invite.open_in(invite.group).filter(pk=invite.pk).update(used_by=member, used_at=timezone.now()):
            invite.refresh_from_db()
            raise links.Dead(invite)
    return member


def remove(*, member: Member, by: Member) -> Member:
    """End a membership by an organiser, or one's own. What the person holds in their hand dies at once."""
    with transaction.atomic():
        groups.hold(member.group)
        if by.pk != member.pk:
            groups.still_organiser(by)
        was_in = Member.of(member.group).filter(pk=member.pk, ended_on=None).exists()
        groups.leave(member=member)
        if was_in:
            verb = "left" if by.pk == member.pk else "removed"
            note_event(group=member.group, verb=verb, by=by, person=_know(member))
        _take_back(Invite.of(member.group).filter(by=member))
        Link.of(member.group).filter(person__member=member, revoked_at=None).update(revoked_at=timezone.now())
        if by.pk != member.pk:
            groups.sign_out_everywhere(user=member.user)
    return member


def change_roles(*, member: Member, by: Member, roles: frozenset[str]) -> Member:
    """Give exactly these roles. Who stops being an organiser leaves no invitation open behind them."""
    with transaction.atomic():
        groups.hold(member.group)
        had = sorted(Member.of(member.group).get(pk=member.pk).roles)
        groups.change_roles(member=member, by=by, roles=roles)
        if had != sorted(member.roles):
            roles_now = {"roles": [had, sorted(member.roles)]}
            note_event(group=member.group, verb="roles-changed", by=by, person=_know(member), changed=roles_now)
        if not member.is_organiser:
            _take_back(Invite.of(member.group).filter(by=member))
    return member


def _take_back(invites: QuerySet) -> int:
    return invites.filter(used_by=None, revoked_at=None).update(revoked_at=timezone.now())


def _save_account(user: User) -> None:
    if user.pk is None:
        user.full_clean()
        user.save()


def _know(member: Member) -> Person:
    """The one row for this member among everyone we know."""
    person = Person.of(member.group).filter(member=member).first()
    if person is None:
        person = Person(
            group=member.group, member=member, name=str(member)[:120], route="email", email=member.user.email
        )
        person.full_clean()
        person.save()
    return person


def change_person(*, person: Person, revision: int, by: Member, **values) -> Person:
    """Change what we know of somebody. Raises Stale when somebody saved them meanwhile."""
    trial = Person.of(person.group_id).get(pk=person.pk)
    if trial.revision != revision:
        raise Stale(trial)
    changed = differences(trial, values)
    if not changed:
        return trial
    for name, value in values.items():
        setattr(trial, name, value)
    trial.full_clean()
    with transaction.atomic():
        row = change(trial, revision, search=trial.found_by, **values)
        note_event(group=row.group, verb="person-changed", by=by, person=row, changed=changed)
    return row
