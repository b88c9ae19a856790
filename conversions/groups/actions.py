"""What changes in a membership."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from .models import Group, Member, User


def hold(group: Group) -> None:
    """Whoever changes who is in waits here for whoever came first; to be called inside a transaction."""
    Group.objects.select_for_update().get(pk=group.pk)


def still_organiser(by: Member) -> None:
    """Refuse what an organiser started who has been removed, or lost the role, meanwhile."""
    by.refresh_from_db(fields=["ended_on", "is_organiser"])
    if by.ended_on or not by.is_organiser:
        raise ValidationError(_("You are no longer an organiser here, so nothing was changed."))


def keep_one_organiser(member: Member) -> None:
    others = Member.of(member.group).filter(is_organiser=True, ended_on=None).exclude(pk=member.pk)
    if member.is_organiser and not others.exists():
        raise ValidationError(_("You are the last organiser. Make somebody else an organiser first."))


def leave(*, member: Member) -> Member:
    """End a membership; the last organiser cannot leave."""
    with transaction.atomic():
        hold(member.group)
        member.refresh_from_db(fields=["ended_on", "is_organiser"])
        keep_one_organiser(member)
        if not member.ended_on:
            member.ended_on = member.group.today()
            member.full_clean()
            member.save(update_fields=["ended_on"])
    return member


def change_roles(*, member: Member, by: Member, roles: frozenset[str]) -> Member:
    """Give exactly these roles; the last organiser keeps theirs."""
    with transaction.atomic():
        hold(member.group)
        still_organiser(by)
        member.refresh_from_db(fields=["ended_on", "is_organiser"])
        if member.ended_on:
            raise ValidationError(_("They are not in the group any more."))
        if "organiser" not in roles:
            keep_one_organiser(member)
        member.take_roles(roles)
        member.full_clean()
        member.save(update_fields=["is_organiser", "is_visitor", "is_lead", "is_reader"])
    return member


def sign_out_everywhere(*, user: User) -> None:
    """End every session of this person, on every phone."""
    User.objects.filter(pk=user.pk).update(sign_in_round=F("sign_in_round") + 1)


def change_group(*, group: Group, **values: object) -> Group:
    """Keep what the group's own page asks; only what changed is written."""
    changed = [name for name, value in values.items() if getattr(group, name) != value]
    with transaction.atomic():
        for name in changed:
            setattr(group, name, values[name])
        group.full_clean()
        group.save(update_fields=changed)
    return group


def choose_language(*, user: User, language: str) -> User:
    """What this person reads from now on, in every group; empty is whatever each group reads."""
    user.language = language
    user.full_clean()
    user.save(update_fields=["language"])
    return user
