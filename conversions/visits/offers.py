"""Three times to offer for a visit, so that booking is one press."""

import datetime
from typing import Any

from django.forms import ValidationError
from django.utils import timezone

from .forms import wall_time
from .models import Visit

EVENING, MORNING = datetime.time(17, 30), datetime.time(10, 0)
SATURDAY = 5


def offered_times(group: Any) -> list[datetime.datetime]:
    """Tomorrow, the day after, and the Saturday that follows; at the hour this group used last."""
    last = Visit.of(group).order_by("-pk").first()
    usual = timezone.localtime(last.due_at).time() if last else EVENING
    usual = usual.replace(minute=usual.minute // 30 * 30, second=0, microsecond=0)
    usual = usual if datetime.time(7) <= usual <= datetime.time(21) else EVENING
    today = group.today()
    days = [today + datetime.timedelta(days=1), today + datetime.timedelta(days=2)]
    weekend = days[-1] + datetime.timedelta(days=1)
    while weekend.weekday() != SATURDAY:
        weekend += datetime.timedelta(days=1)
    out = []
    for day in (*days, weekend):
        try:
            out.append(wall_time(group, day, MORNING if day.weekday() >= SATURDAY else usual))
        except ValidationError:
            continue
    return out
