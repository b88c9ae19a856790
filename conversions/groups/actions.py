"""What changes in a membership."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from .models import Group, Member


def leave(*, member: Member) -> Member:
    """End a membership; the last organiser cannot leave."""
    with transaction.atomic():
        Group.objects.select_for_update().get(pk=member.group_id)
        others = Member.of(member.group).filter(is_organiser=True, ended_on=None).exclude(pk=member.pk)
        if member.is_organiser and not others.exists():
            raise ValidationError(_("You are the last organiser. Make somebody else an organiser first."))
        member.ended_on = member.group.today()
        member.full_clean()
        member.save(update_fields=["ended_on"])
    return member
