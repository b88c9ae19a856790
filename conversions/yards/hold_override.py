"""A hold set aside by two organisers, or by the only one there is; both are named."""

import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.groups.models import Member
from conversions.groups.tenancy import change

from .hold_kinds import RULES
from .holds import write
from .models import Hold
from .models.hold import WAITING

BANNER = datetime.timedelta(days=7)  # how long a hold that one person set aside alone stays in sight


def organisers(group: Any) -> int:
    return Member.of(group).filter(is_organiser=True, ended_on=None).count()


def why_not_overridden(hold: Hold) -> str:
    """Why nobody may set it aside; empty where two organisers may."""
    if RULES[hold.kind].is_safety:
        return _("This is about safety. Nobody sets it aside: it goes when we know.")
    if hold.state == "refused" and RULES[hold.kind].stands_refused:
        return _("They said no, and that holds.")
    return "" if hold.state in (*WAITING, "refused") or hold.state == "cleared" else _("There is nothing to set aside.")


def ask_override(*, hold: Hold, revision: int, by: Member, reason: str) -> Hold:
    """One organiser asks to go on in spite of it. Where there is no second one, that is enough, and it stays in sight."""
    reason = reason.strip()
    if problem := why_not_overridden(hold):
        raise ValidationError(problem)
    if not reason:
        raise ValidationError({"reason": _("Write why. Whoever reads it next year has to understand it.")})
    with transaction.atomic():
        row = change(hold, revision)
        values: dict[str, Any] = {"override_reason": reason[:240], "by": by, "second_by": None}
        if organisers(row.group_id) < 2:
            values |= {"state": "overridden", "overridden_at": timezone.now(), "cleared_by": by}
            return write(row, by, **values)
        if row.state == "cleared":  # it ran out: it waits again until the second one has said so
            values["state"] = "open"
        return write(row, by, "hold-override-asked", **values)


def confirm_override(*, hold: Hold, revision: int, by: Member) -> Hold:
    """The second organiser says so too; both are named. The one who asked cannot be the second."""
    if problem := why_not_overridden(hold):
        raise ValidationError(problem)
    if not hold.override_waits:
        raise ValidationError(_("Nobody asked to set this aside."))
    if hold.by_id == by.pk:
        raise ValidationError(_("You asked for it. Another organiser has to say so too."))
    if not by.is_organiser:
        raise ValidationError(_("Only an organiser can do this."))
    with transaction.atomic():
        row = change(hold, revision)
        return write(row, by, state="overridden", second_by=by, overridden_at=timezone.now(), cleared_by=by)


def keep_override(*, hold: Hold, revision: int, by: Member) -> Hold:
    """The second organiser does not agree, or the first thinks better of it: it goes on to block."""
    with transaction.atomic():
        row = change(hold, revision)
        state = "open" if row.state == "overridden" else row.state
        return write(row, by, state=state, override_reason="", by=None, second_by=None, overridden_at=None)
