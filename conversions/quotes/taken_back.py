"""Taking back an answer that was not theirs to give, or that we wrote down wrongly."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from conversions.groups.models import Member
from conversions.people.history import note_event
from conversions.yards.models import Conversion

from . import outcome
from .models import Quote, Reply

FROM = ("accepted", "declined")


def why_not(quote: Quote) -> str:
    """Why the answer has to stay; empty where it may be taken back."""
    if quote.state not in FROM:
        return _("There is no answer to take back.")
    if quote.conversion.day_patches.exclude(day__state="cancelled").exists():
        return _("A build day is set for this yard. Call the day off first.")
    return ""


def take_back_answer(*, quote: Quote, by: Member, reason: str) -> Reply:
    """The quote waits for its answer again; what was said stays on record and no longer counts.

    Where a newer version was sent meanwhile, that one is open and this one is replaced.
    """
    if not reason.strip():
        raise ValidationError({"reason": _("Say why, so that whoever reads it later understands.")})
    with transaction.atomic():
        Conversion.of(quote.group_id).select_for_update().get(pk=quote.conversion_id)
        quote.refresh_from_db()
        if problem := why_not(quote):
            raise ValidationError(problem)
        versions = Quote.of(quote.group_id).filter(conversion=quote.conversion_id)
        to = "replaced" if versions.filter(state="sent").exists() else "sent"
        versions.filter(pk=quote.pk).update(state=to, revision=F("revision") + 1)
        outcome.take_up(quote)
        before = Reply.of(quote.group_id).filter(quote=quote, counts=True).first()
        if before:
            Reply.of(quote.group_id).filter(pk=before.pk).update(counts=False)
        reply = Reply(
            group=quote.group,
            quote=quote,
            answer="taken back",
            route="ours",
            name=str(by)[:120],
            words=reason.strip(),
            by=by,
            replaces=before,
        )
        reply.full_clean()
        reply.save()
        note_event(group=quote.group, verb="reply-taken-back", by=by, words=reason.strip(), conversion=quote.conversion)
    quote.refresh_from_db()
    return reply
