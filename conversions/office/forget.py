"""The one place where rows are deleted: typing mistakes, and what has run out by its date."""

import datetime

from django.db.models import Q

from conversions.groups.models import Group
from conversions.yards.models import GateCode


def gate_codes(group: Group, today: datetime.date) -> int:
    """Forget the codes whose date has passed, and those taken out; how many."""
    gone = GateCode.of(group).filter(Q(until_on__lt=today) | Q(code=""))
    return gone.delete()[0]
