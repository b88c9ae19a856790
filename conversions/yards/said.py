"""What a household asked of us in its own words, and what a visitor wrote down: for whoever builds there."""

import datetime
from dataclasses import dataclass

from django.utils import timezone

from .models import Conversion


@dataclass(frozen=True)
class Said:
    words: str
    on: datetime.date
    who: str = ""  # of the household; empty where a visitor of ours wrote it
    days: str = ""  # that suit them


def words_of(yard: Conversion) -> list[Said]:
    """With each answer to a plan of this run what they added, then the notes of visits that are over. Oldest first.

    Asks nothing of the database where the yard came through `steps.with_rows`.
    """
    replies = [reply for quote in yard.quotes.all() for reply in quote.replies.all()]
    answers = [
        Said(reply.words, timezone.localdate(reply.said_at), reply.name, reply.days)
        for reply in sorted(replies, key=lambda reply: reply.pk)
        if (reply.words or reply.days) and reply.answer in ("yes", "no", "talk")
    ]
    notes = [
        Said(visit.notes, timezone.localdate(visit.due_at))
        for visit in sorted(yard.visits.all(), key=lambda visit: visit.pk)
        if visit.notes.strip() and visit.state in ("done", "cut short")
    ]
    return answers + notes
