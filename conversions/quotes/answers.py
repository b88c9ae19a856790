"""What households answer: exactly one answer to a version counts, whoever presses first."""

import datetime
import uuid
from collections.abc import Mapping

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone

from conversions.groups.models import Member
from conversions.people.consents import write_consent
from conversions.people.history import note_event
from conversions.people.models import Link
from conversions.yards import holds
from conversions.yards.hold_kinds import ACCEPTING
from conversions.yards.models import Conversion

from . import outcome, outgoing
from .models import Quote, Reply


class Refused(Exception):
    """This version can no longer be answered; `quote` is the row as it stands now."""

    def __init__(self, quote: Quote):
        super().__init__(f"quote {quote.pk} is {quote.state}")
        self.quote = quote


class Held(Exception):
    """Their yes has to wait: `words` say for what."""

    def __init__(self, words: list[str]):
        super().__init__(" ".join(words))
        self.words = words


class Clash(Exception):
    """This very answer was kept before, with other content."""


def record_reply(
    *,
    quote: Quote,
    answer: str,
    route: str,
    name: str,
    by: Member | None = None,
    link: Link | None = None,
    uid: uuid.UUID | None = None,
    relation: str = "",
    witness: str = "",
    words: str = "",
    days: str = "",
    said_at: datetime.datetime | None = None,
    consents: Mapping[str, str] | None = None,
) -> Reply:
    """Keep what a household said to one version. One answer counts; a repeated `uid` gives the row kept before.

    `consents` is what they said to the questions beside it, kind -> yes or no; each becomes a row of its own.

    Raises Refused where the version is replaced, run out or withdrawn; Held for a yes that a hold keeps back; Clash for a known uid with other content.
    """
    reply = Reply(
        group=quote.group,
        uid=uid or uuid.uuid4(),
        quote=quote,
        answer=answer,
        route=route,
        name=name,
        relation=relation,
        witness=witness,
        words=words,
        days=days,
        said_at=said_at or timezone.now(),
        by=by,
        link=link,
    )
    if kept := _kept(reply):
        return kept
    try:
        with transaction.atomic():
            kept = _answer(reply)
            _allow(kept, consents or {})
            return kept
    except (IntegrityError, ValidationError):
        if kept := _kept(reply):  # the same press came twice at once
            return kept
        raise


def _allow(reply: Reply, consents: Mapping[str, str]) -> None:
    """Behind the link it is the person of this household who answers; nobody of ours stands between."""
    contact = reply.quote.conversion.household.contact
    for kind, answer in consents.items():
        write_consent(person=contact, by=reply.by, kind=kind, answer=answer, how="link", on=reply.group.today())


def _kept(reply: Reply) -> Reply | None:
    kept = Reply.of(reply.group).filter(uid=reply.uid).first()
    if kept and (kept.quote_id, kept.answer, kept.name) != (reply.quote_id, reply.answer, reply.name):
        raise Clash
    return kept


def _answer(reply: Reply) -> Reply:
    Conversion.of(reply.group).select_for_update().get(pk=reply.quote.conversion_id)
    reply.counts = _move(reply)
    if reply.counts:
        before = Reply.of(reply.group).filter(quote=reply.quote, counts=True).first()
        if before:
            reply.replaces = before
            Reply.of(reply.group).filter(pk=before.pk).update(counts=False)
    outgoing.be_quiet(reply.quote)
    reply.full_clean()
    reply.save()
    verb, conversion = f"reply-{reply.answer}", reply.quote.conversion
    note_event(group=reply.group, verb=verb, by=reply.by, words=reply.name, conversion=conversion)
    return reply


def _move(reply: Reply) -> bool:
    """The change of state this answer makes, as one conditional update: true for whoever came first."""
    quote, today = reply.quote, reply.group.today()
    here = Quote.of(reply.group).filter(pk=quote.pk)
    good = here.filter(valid_until__gte=today)
    moved = 0
    new_yes = reply.answer == "yes" and quote.state != "accepted"
    if new_yes and (held := holds.why_not(quote.conversion, ACCEPTING, you=bool(reply.link_id))):
        raise Held(held)
    if reply.answer == "yes":
        # only the group's own hand turns a no into a yes: somebody then spoke with the household
        was = ["sent", "declined"] if reply.by_id and not _has_newer(quote) else ["sent"]
        open_to_yes = good.filter(state__in=was)
        if open_to_yes.exists():
            _retire_agreed(quote)
        moved = open_to_yes.update(state="accepted", revision=F("revision") + 1)
    elif reply.answer == "no":
        moved = good.filter(state="sent").update(state="declined", revision=F("revision") + 1)
    elif reply.answer == "withdraw":
        moved = here.filter(state="accepted").update(state="withdrawn", revision=F("revision") + 1)
    quote.refresh_from_db()
    if not moved and not _may_be_noted(reply, today):
        raise Refused(quote)
    if moved and reply.answer != "withdraw":
        (outcome.take_up if reply.answer == "yes" else outcome.set_aside)(quote)
    return bool(moved)


def _has_newer(quote: Quote) -> bool:
    newer = Quote.of(quote.group).filter(conversion=quote.conversion_id, version__gt=quote.version)
    return newer.filter(state__in=["sent", "accepted"]).exists()


def _retire_agreed(quote: Quote) -> None:
    """A yes to a newer version takes the place of the yes to the older one."""
    older = Quote.of(quote.group).filter(conversion=quote.conversion_id, state="accepted").exclude(pk=quote.pk)
    older.update(state="replaced", revision=F("revision") + 1)


def _may_be_noted(reply: Reply, today: datetime.date) -> bool:
    """Said too late to change anything, and still worth keeping: a second yes, or a wish to talk."""
    quote = reply.quote
    if reply.answer == "yes":
        return quote.state == "accepted"
    if reply.answer == "no":
        return quote.state == "declined"
    return reply.answer == "talk" and quote.state in ("sent", "accepted", "declined") and not quote.is_expired(today)
