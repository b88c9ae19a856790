"""A visitor who should be out by now and has not said so: who, since when, whom to ring, and what then."""

import datetime
from zoneinfo import ZoneInfo

from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.common.dates import time_format
from conversions.groups.models import Member
from conversions.people.models import Person
from conversions.visits.models import Visit

PATIENCE = datetime.timedelta(minutes=30)  # after they should be out; common practice, no source


def not_out(visit: Visit, looker: Member, zone: ZoneInfo) -> str:
    """What an organiser has to know and do, in words; empty where all is well, or where only the looker went.

    A visit that nobody began counts on its own day only. `visit` came with its goers, their members, users and persons.
    """
    goers = [goer.member for goer in visit.goers.all() if not goer.called_off_at]
    now = timezone.now()
    if visit.due_out_at is None or now <= visit.due_out_at + PATIENCE or {row.pk for row in goers} <= {looker.pk}:
        return ""
    same_day = now.astimezone(zone).date() == visit.due_at.astimezone(zone).date()
    return _words(visit, goers, zone) if visit.state == "under way" or same_day else ""


def _words(visit: Visit, goers: list[Member], zone: ZoneInfo) -> str:
    at = time_format(visit.due_out_at.astimezone(zone).time(), "H:i")
    said = _("%(who)s should be out since %(at)s and has not checked out.")
    first = said % {"who": ", ".join(str(member) for member in goers), "at": at}
    phones = [phone for member in goers if (phone := _phone(member))]
    ring = _("Ring %(phone)s.") % {"phone": ", ".join(phones)} if phones else _("Ring them: we have no number here.")
    return " ".join([first, ring, _("No answer: ring the household, then go and look, two of you.")])


def _phone(member: Member) -> str:
    try:
        return member.person.phone
    except Person.DoesNotExist:
        return ""
