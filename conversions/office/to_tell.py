"""Who must still be told something, as lines for This week: one line for a build day, however many wait for the call."""

import datetime
from collections.abc import Callable, Iterator
from typing import Any

from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.groups.models import Group, Member
from conversions.people.models import Message

from .need import SOON, URGENT
from .telling import seen_by

STUCK = datetime.timedelta(hours=1)  # an e-mail due that long has nobody to send it
MOST = 60


def to_tell(member: Member, url: Callable[..., str]) -> Iterator[dict[str, Any]]:
    """The care sheets stand on this page already, as sheets to hand over."""
    rows = seen_by(member).filter(state__in=["by hand", "failed"]).exclude(kind="care-sheet")
    days: dict[tuple, list] = {}
    for row in rows[:MOST]:
        days.setdefault((row.day_id, row.kind) if row.day_id else (row.pk,), []).append(row)
    for some in days.values():
        first, count = some[0], len(some)
        title = str(first.person)
        if count > 1:
            title = ngettext("%(n)d person", "%(n)d people", count) % {"n": count}
        words = _("To be told: %(what)s.") % {"what": first.what}
        to = url("message", pk=first.pk) if count == 1 else url("messages")
        action = _("What to say")
        yield _line(URGENT if first.day_id else SOON, first.due_at, title, to, words, action)
    late = seen_by(member).filter(state="due", due_at__lt=timezone.now() - STUCK, tries=0).order_by("due_at")
    waiting = list(late.values_list("due_at", flat=True)[:MOST])
    if waiting:
        title = ngettext("%(n)d e-mail waits", "%(n)d e-mails wait", len(waiting)) % {"n": len(waiting)}
        words = _("Nothing sends them. Ask whoever runs this site to start “deliver”.")
        yield _line(SOON, waiting[0], title, url("messages"), words, _("See which"))


def untold_quotes(group: Group) -> list[int]:
    """Sent quotes whose household nobody has told yet."""
    rows = Message.of(group).filter(kind="quote-sent", state__in=["by hand", "failed"])
    return [int(key.partition(":")[2]) for key in rows.values_list("key", flat=True)]


def _line(urgency: int, since: datetime.datetime, title: str, to: str, words: str, action: str) -> dict[str, Any]:
    on = timezone.localtime(since).date()
    return {
        "urgency": urgency, "on": on, "title": capfirst(title), "url": to, "words": words, "action": action,
        "action_url": to, "kind": "tell",
    }  # fmt: skip
