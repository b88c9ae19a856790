"""Prices, quotes and answers: everything that writes them, each in one short transaction."""

import datetime
import uuid
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.groups.models import Group, Member
from conversions.groups.tenancy import Stale, change
from conversions.people.history import note_event
from conversions.people.models import Document, Link
from conversions.yards.models import Conversion, Draft

from . import outcome, outgoing
from .book import book
from .models import Line, Price, Quote, Reply
from .pricing import START, price
from .proposal import Paper


def set_price(
    *,
    group: Group,
    item: str,
    price: Decimal,
    by: Member | None,
    pack: Decimal | None = None,
    from_on: datetime.date | None = None,
    usual_bringer: str | None = None,
) -> Price:
    """A new price from today on; a slip put right on the same day takes the place of that day's row."""
    from_on = from_on or group.today()
    with transaction.atomic():
        now = book(group, from_on)[item].values
        row = Price.of(group).select_for_update().filter(item=item, from_on=from_on).first()
        row = row or Price(group=group, item=item, from_on=from_on)
        row.unit, row.price, row.by = START[item].unit, price, by
        row.pack = now.pack if pack is None else pack
        row.usual_bringer = usual_bringer or now.bringer
        row.full_clean()
        row.save()
        _fill_missing(group, item, row.price)
    return row


def set_currency(*, group: Group, currency: str, currency_after: bool) -> Group:
    group.currency, group.currency_after = currency.strip(), currency_after
    group.full_clean()
    group.save(update_fields=["currency", "currency_after"])
    return group


def _fill_missing(group: Group, item: str, unit_price: Decimal) -> None:
    """Quotes not sent yet that waited for this price get it; a price a quote already has is left alone."""
    waiting = Line.of(group).filter(item=item, unit_price=None, quote__state="draft").select_related("quote")
    for line in waiting.select_for_update(of=("self",)):
        line.unit_price = unit_price
        line.amount = line.values.amount(group.minor_digits)
        line.full_clean()
        line.save(update_fields=["unit_price", "amount"])
        Quote.of(group).filter(pk=line.quote_id).update(revision=F("revision") + 1)


def draft_quote(*, draft: Draft, by: Member) -> Quote:
    """A quote from a kept plan. Asked twice for the same plan, it gives the one that is not sent yet."""
    if draft.state != "kept" or not draft.takeoff:
        raise ValidationError(_("Keep the plan first, then make the quote from it."))
    group = draft.group
    with transaction.atomic():
        conversion = Conversion.of(group).select_for_update().get(pk=draft.conversion_id)
        versions = Quote.of(group).filter(conversion=conversion)
        unsent = versions.filter(state="draft").order_by("-version").first()
        if unsent and unsent.draft_id == draft.pk:
            return unsent
        versions.filter(state="draft").update(state="withdrawn", revision=F("revision") + 1)
        before = versions.order_by("-version").first()
        quote = Quote(
            group=group,
            conversion=conversion,
            draft=draft,
            version=before.version + 1 if before else 1,
            made_by=by,
        )
        quote.full_clean()
        quote.save()
        _write_lines(quote, before)
        outcome.take_up(quote)
    return quote


def _write_lines(quote: Quote, before: Quote | None) -> None:
    prices = {item: row.values for item, row in book(quote.group).items()}
    chosen = {line.item: line for line in before.lines.all()} if before else {}
    for n, values in enumerate(price(quote.draft.takeoff, prices), start=1):
        line = Line(group=quote.group, quote=quote, n=n, **vars(values))
        if values.item in chosen:  # who brings and who pays were settled with this household once
            line.brought_by, line.paid_by = chosen[values.item].brought_by, chosen[values.item].paid_by
        if values.item == "soil test" and values.item in chosen:
            line.quantity = chosen[values.item].quantity
        line.amount = line.values.amount(quote.group.minor_digits)
        line.full_clean()
        line.save()


def change_line(
    *, quote: Quote, revision: int, n: int, quantity: Decimal, brought_by: str, paid_by: str, words: str = ""
) -> Line:
    """Change one line of a quote that is not sent yet; quantity 0 leaves it out. The engine's figure stays beside."""
    with transaction.atomic():
        _take(quote, revision)
        line = quote.lines.get(n=n)
        was_bought = _is_bought(line)
        line.quantity, line.brought_by, line.paid_by, line.words = quantity, brought_by, paid_by, words
        _save_line(line)
        if line.item == "compost" and was_bought != _is_bought(line):
            _follow_compost(quote, is_bought=not was_bought)
    return line


def _is_bought(line: Line) -> bool:
    return line.quantity > 0 and line.brought_by == "group"


def _follow_compost(quote: Quote, *, is_bought: bool) -> None:
    """A trip is paid for only where compost is bought."""
    for trip in quote.lines.filter(item="compost delivery"):
        trip.quantity = Decimal(1) if is_bought else Decimal(0)
        _save_line(trip)


def _save_line(line: Line) -> None:
    line.amount = line.values.amount(line.group.minor_digits)
    line.full_clean()
    line.save(update_fields=["quantity", "brought_by", "paid_by", "words", "amount"])


def _take(quote: Quote, revision: int) -> None:
    """Raise the revision of a quote that is still a draft, or Stale with what stands now."""
    still = Quote.of(quote.group).filter(state="draft", pk=quote.pk)
    if not still.exists():
        raise Stale(Quote.of(quote.group).get(pk=quote.pk))
    change(quote, revision)


def send_quote(*, quote: Quote, revision: int, by: Member, paper: Paper) -> Quote:
    """Freeze the figures, words and bytes of `paper`, which was rendered before, and make the link to it.

    Raises Stale where somebody changed or sent the quote since the paper was made.
    """
    group = quote.group
    with transaction.atomic():
        Conversion.of(group).select_for_update().get(pk=quote.conversion_id)
        if quote.missing():
            raise ValidationError(_("A price is missing. Type it first; 0 is a price too."))
        document = Document(group=group, kind="plan", title=paper.title, language=paper.language, content=paper.content)
        document.full_clean()
        document.save()
        versions = Quote.of(group).filter(conversion=quote.conversion_id)
        versions.filter(state="sent").update(state="replaced", revision=F("revision") + 1)
        sent = versions.filter(pk=quote.pk, state="draft", revision=revision).update(
            state="sent",
            revision=revision + 1,
            sentence=paper.sentence,
            offered_on=paper.offered_on,
            offered_rain_on=paper.offered_rain_on,
            valid_until=paper.valid_until,
            sent_at=paper.sent_at,
            frozen=paper.frozen,
            document=document,
        )
        if not sent:
            raise Stale(Quote.of(group).get(pk=quote.pk))
        quote.refresh_from_db()
        quote.full_clean()
        outgoing.tell(quote=quote, by=by)
        note_event(group=group, verb="quote-sent", by=by, conversion=quote.conversion)
    return quote


class Refused(Exception):
    """This version can no longer be answered; `quote` is the row as it stands now."""

    def __init__(self, quote: Quote):
        super().__init__(f"quote {quote.pk} is {quote.state}")
        self.quote = quote


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
) -> Reply:
    """Keep what a household said to one version. One answer counts; a repeated `uid` gives the row kept before.

    Raises Refused where the version is replaced, run out or withdrawn; Clash for a known uid with other content.
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
            return _answer(reply)
    except (IntegrityError, ValidationError):
        if kept := _kept(reply):  # the same press came twice at once
            return kept
        raise


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
