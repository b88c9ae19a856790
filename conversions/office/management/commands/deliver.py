"""Sends what is due from the outbox and says what it did. Run it all the time, or with --once from a timer."""

import datetime
import time
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from conversions.office import due
from conversions.people import outbox
from conversions.people.models import Message

WORDS = {
    "sent": "sent",
    "file": "written as a file, no mail server is set",
    "put off": "put off",
    "failed": "given up, it is on the list of things to do",
    "by hand": "no address, it is on the list of things to do",
}


class Command(BaseCommand):
    help = "Send the e-mails that are due; list what is to be told by hand."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="send what is due now, then end")
        parser.add_argument("--every", type=int, default=20, help="seconds between two looks (20)")
        parser.add_argument(
            "--lease", type=int, default=int(outbox.LEASE.total_seconds()), help="seconds a message is held (300)"
        )

    def handle(self, *, once: bool, every: int, lease: int, **options: Any) -> None:
        held = datetime.timedelta(seconds=lease)
        self.last = ""
        while True:
            self._round(held)
            if once:
                return
            time.sleep(max(1, every))

    def _round(self, held: datetime.timedelta) -> None:
        counts = dict.fromkeys(WORDS, 0)
        queued = due.queue_due()
        while done := outbox.deliver_next(lease=held):
            counts[done.how] += 1
            due.after(done.message)
            self._say(f"{done.message.key}, try {done.message.tries}: {WORDS[done.how]}")
        to_do = Message.everywhere.filter(state__in=["by hand", "failed"]).count()
        told = ", ".join(f"{n} {how}" for how, n in counts.items() if n) or "nothing to send"
        summary = f"{told}; {queued} newly due; {to_do} to tell by hand"
        if summary != self.last:  # a worker that runs all day says the same thing once
            self._say(summary if settings.EMAIL_HOST else f"{summary}; no mail server is set")
        self.last = summary

    def _say(self, words: str) -> None:
        self.stdout.write(f"{timezone.now():%Y-%m-%d %H:%M:%S} {words}")
        self.stdout.flush()
