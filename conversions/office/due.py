"""What should be queued by now because of the date, and what follows once a message has gone."""

import datetime

from django.utils import timezone

from conversions.care.models import CareSheet
from conversions.groups.models import Group
from conversions.people.models import Message
from conversions.quotes.models import Quote
from conversions.quotes.outgoing import REMIND_DAYS, remind

from .to_tell import untold_quotes

PATIENCE = datetime.timedelta(days=5)  # nobody is reminded of what came this week


def queue_due() -> int:
    """Reminders of quotes that run out soon and have no answer; how many are new."""
    before = timezone.now()
    for group in Group.objects.all():
        today = group.today()
        ends = today + datetime.timedelta(days=max(REMIND_DAYS))
        waiting = Quote.of(group).filter(state="sent", valid_until__range=(today, ends), conversion__closed_on=None)
        waiting = waiting.filter(sent_at__lt=before - PATIENCE)
        rows = waiting.select_related("group", "conversion__place", "conversion__household__contact", "made_by")
        untold = set(untold_quotes(group))  # nobody is reminded of what they were not told
        for quote in rows.exclude(pk__in=untold).defer("frozen"):
            left = (quote.valid_until - today).days
            remind(quote=quote, days=min(days for days in REMIND_DAYS if days >= left))
    return Message.everywhere.filter(made_at__gte=before).count()


def after(message: Message) -> None:
    """A care sheet that went by e-mail is handed over."""
    kind, _colon, pk = message.key.partition(":")
    if kind == "care-sheet" and message.state == "sent" and pk.isdecimal():
        sheets = CareSheet.of(message.group).filter(pk=pk, handed_over_on=None)
        sheets.update(handed_over_on=message.group.today())
