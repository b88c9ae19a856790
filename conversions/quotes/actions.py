"""A quote on its way: made from a kept plan, and sent. Each step is one short transaction."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from conversions.groups.models import Member
from conversions.groups.tenancy import Stale
from conversions.people.history import note_event
from conversions.people.models import Document
from conversions.yards.models import Conversion, Draft

from . import outcome, outgoing
from .book import book
from .line_actions import follow_taxes, save_line, why_not_sent
from .models import Line, Quote
from .pricing import START, price
from .proposal import Paper


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
            deposit=before.deposit if before else None,
        )
        quote.full_clean()
        quote.save()
        _write_lines(quote, before)
        outcome.take_up(quote)
    return quote


def reissue(*, quote: Quote, by: Member) -> Quote:
    """The next version of the same plan at today's prices, with everything that was settled with this household.

    Where a version that is not sent yet waits already, that one is given: nobody's typed work is set aside.
    """
    waiting = Quote.of(quote.group).filter(conversion=quote.conversion_id, state="draft").first()
    return waiting or draft_quote(draft=quote.draft, by=by)


def _write_lines(quote: Quote, before: Quote | None) -> None:
    prices = {item: row.values for item, row in book(quote.group).items()}
    earlier = list(before.lines.all()) if before else []
    settled = {line.item: line for line in earlier}
    for n, values in enumerate(price(quote.draft.takeoff, prices, quote.draft.site["beds"]), start=1):
        line = Line(group=quote.group, quote=quote, n=n, **values.columns())
        if values.item in settled:
            _settle_as(line, settled[values.item])
        save_line(line)
    for line in earlier:
        if line.item not in START:
            save_line(Line(group=quote.group, quote=quote, n=line.n, amount=line.amount, **line.values.columns()))
    follow_taxes(quote)


def _settle_as(line: Line, before: Line) -> None:
    """What was settled with this household once holds on: who brings and pays, words, a quantity changed by hand.

    A hand's quantity holds only while the plan still asks for the same: a new plan's figure is not overruled unseen.
    """
    for name in ("brought_by", "paid_by", "words", "is_left_out", "if_not_free_amount", "if_not_free_by"):
        setattr(line, name, getattr(before, name))
    if (line.engine_quantity, line.unit) == (before.engine_quantity, before.unit):
        line.quantity = before.quantity


def send_quote(*, quote: Quote, revision: int, by: Member, paper: Paper) -> Quote:
    """Freeze the figures, words and bytes of `paper`, which was rendered before, and make the link to it.

    Raises Stale where somebody changed or sent the quote since the paper was made.
    """
    group = quote.group
    with transaction.atomic():
        Conversion.of(group).select_for_update().get(pk=quote.conversion_id)
        if problems := why_not_sent(quote):
            raise ValidationError(problems)
        document = Document(
            group=group, kind="plan", title=paper.title, language=paper.language, variant=paper.variant,
            content=paper.content,
        )  # fmt: skip
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
            what_changed=paper.what_changed,
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
