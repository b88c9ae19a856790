"""A household that stops: everything promised is released together, everybody hears it once, and nothing is counted."""

import datetime
import uuid
from dataclasses import dataclass, field
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Exists, F, OuterRef, Q, QuerySet
from django.utils.translation import gettext as _

from conversions.builds import notices
from conversions.builds.agreed import figure, papers_on, yards_to_build
from conversions.builds.models import Day, SignUp
from conversions.groups.models import Member
from conversions.groups.tenancy import move
from conversions.people import outbox
from conversions.people.history import note_event
from conversions.people.models import Event, Link, Message
from conversions.quotes.answers import record_reply
from conversions.quotes.models import Quote, Reply
from conversions.yards.models import Conversion, Hold, Planned
from conversions.yards.models.hold import WAITING

from . import forget

BEFORE_WORK = ("planned", "confirmed", "moved")
UNDO_DAYS = 14  # after that a household that comes back is a new run, with a new plan


@dataclass
class Freed:
    """What goes back to the pool, and which days are off or smaller."""

    people: int = 0
    chips_m3: Decimal = Decimal(0)
    card_m2: Decimal = Decimal(0)
    off: list[Day] = field(default_factory=list)
    smaller: list[Day] = field(default_factory=list)


def why_not(conversion: Conversion) -> str:
    """Why a yard can no longer be withdrawn; empty where it can."""
    if conversion.outcome == "done":
        return _("This run has ended already.")
    built = Planned.of(conversion.group_id).filter(conversion=conversion, complete_on__isnull=False)
    if built.exists() or conversion.continues_id:
        return _("The garden is built. What they want now belongs to the aftercare.")
    if conversion.day_patches.filter(day__state="under way").exists():
        return _("The build day is under way. Close it first, with what was built.")
    return ""


def days_of(conversion: Conversion) -> QuerySet[Day]:
    return Day.of(conversion.group_id).filter(state__in=BEFORE_WORK, day_patches__conversion=conversion).distinct()


def what_goes_back(conversion: Conversion) -> Freed:
    """Worked out from the days as they stand, before anything is changed."""
    freed = Freed()
    for day in days_of(conversion).for_lists():
        takeoff = papers_on(day, conversion)[1]
        freed.chips_m3 += figure(takeoff, "chips")
        freed.card_m2 += figure(takeoff, "cardboard_area")
        if any(row.conversion_id != conversion.pk for row in day.day_patches.all()):
            freed.smaller.append(day)
        else:
            freed.off.append(day)
            freed.people += SignUp.of(day.group_id).filter(day=day, state="coming").count()
    return freed


def withdraw(
    *,
    conversion: Conversion,
    by: Member | None = None,
    link: Link | None = None,
    route: str = "phone",
    name: str = "",
    words: str = "",
    uid: uuid.UUID | None = None,
) -> Conversion:
    """They changed their mind. Pressed twice, or by two people at once, it happens once.

    `by` wrote it down, or `link` is what they pressed it behind. Raises ValidationError where work has begun.
    """
    with transaction.atomic():
        row = Conversion.of(conversion.group_id).select_for_update(of=("self",)).get(pk=conversion.pk)
        if row.outcome == "withdrawn":
            return row
        if problem := why_not(row):
            raise ValidationError(problem)
        freed, contact = what_goes_back(row), row.household.contact
        _end_quotes(row, by=by, link=link, route=route, name=name or contact.name, words=words, uid=uid)
        had_grant = Hold.of(row.group).filter(conversion=row, kind="rebate").exclude(state="not needed").exists()
        _release(row, freed, by)
        row.outcome, row.closed_on = "withdrawn", row.group.today()
        row.save(update_fields=["outcome", "closed_on"])
        numbers = {"people": freed.people, "chips": str(freed.chips_m3), "card": str(freed.card_m2)}
        changed = {key: [value, 0] for key, value in numbers.items()}
        event = note_event(group=row.group, verb="withdrawn", by=by, words=words, conversion=row, changed=changed)
        values = {"address": row.place.address, "grant": had_grant}
        outbox.queue(
            key=f"withdrawn:{event.pk}", kind="withdrawn", person=contact, by=by, conversion=row, values=values
        )
    return row


def _end_quotes(conversion: Conversion, *, by, link, route, name, words, uid) -> None:
    """A yes is taken back by a reply of theirs; what they had not answered yet can no longer be."""
    quotes = Quote.of(conversion.group_id).filter(conversion=conversion)
    if agreed := quotes.filter(state="accepted").first():
        witness = str(by)[:120] if by and route == "phone" else ""
        said = {"name": name[:120], "words": words[:400], "witness": witness, "by": by, "link": link, "uid": uid}
        record_reply(quote=agreed, answer="withdraw", route="link" if link else route, **said)
    quotes.filter(state__in=["draft", "sent"]).update(state="withdrawn", revision=F("revision") + 1)


def _release(conversion: Conversion, freed: Freed, by: Member | None) -> None:
    """Days, helpers, holds, and whatever was about to be said."""
    group, contact = conversion.group, conversion.household.contact
    waiting = Message.of(group).filter(state__in=outbox.OPEN)
    theirs = Q(conversion_id=conversion.pk) | Q(
        day_id__in=[day.pk for day in freed.off + freed.smaller], person=contact
    )
    outbox.drop(group, keys=list(waiting.filter(theirs).values_list("key", flat=True)))
    for day in freed.off:
        if move(day, BEFORE_WORK, state="cancelled", revision=F("revision") + 1):
            notices.off(day=day, by=by, but=contact)
            SignUp.of(group).filter(day=day, state="coming").update(state="off")
            note_event(group=group, verb="day-cancelled", by=by, day=day, conversion=conversion)
    for day in freed.smaller:
        forget.from_day(day, conversion)
        Day.of(group).filter(pk=day.pk).update(revision=F("revision") + 1)
        day.refresh_from_db()
        notices.smaller(day=day, by=by)
        note_event(group=group, verb="day-changed", by=by, day=day, conversion=conversion)
    for hold in Hold.of(group).filter(conversion=conversion, state__in=[*WAITING, "refused"]):
        hold.facts = hold.facts | {"before": hold.state}
        hold.state, hold.override_reason, hold.by = "not needed", "", None
        hold.save(update_fields=["facts", "state", "override_reason", "by"])
        note_event(group=group, verb="hold-not-needed", by=by, words=str(hold), conversion=conversion)


# ---- afterwards


def went_back(conversion: Conversion) -> dict[str, Decimal | int]:
    """What the withdrawal gave back, as it was written down then."""
    event = Event.of(conversion.group_id).filter(conversion_id=conversion.pk, verb="withdrawn").order_by("-pk").first()
    if event is None:
        return {}
    return {
        "people": event.changed["people"][0],
        "chips": Decimal(event.changed["chips"][0]),
        "card": Decimal(event.changed["card"][0]),
        "on": event.at,
    }


def next_ready(conversion: Conversion, most: int = 3) -> list[Conversion]:
    """Agreed yards with no day and nothing to wait for, the nearest in size first; each has `size_m2`."""
    group = conversion.group
    held = Hold.of(group).filter(conversion=OuterRef("pk"), patch=None, state__in=[*WAITING, "refused"])
    rows = yards_to_build(group).filter(~Exists(held), has_day=False, outcome="").exclude(pk=conversion.pk)
    found = list(rows.prefetch_related("planned"))
    wanted = _size(conversion)
    for row in found:
        row.size_m2 = _size(row)
    return sorted(found, key=lambda row: (abs(row.size_m2 - wanted), row.opened_on, row.pk))[:most]


def _size(conversion: Conversion) -> Decimal:
    return sum((row.planned_m2 for row in conversion.planned.all() if row.complete_on is None), Decimal("0.00"))


def may_take_up(conversion: Conversion) -> bool:
    """A slip, or second thoughts within two weeks."""
    if conversion.outcome in ("waiting", "declined"):
        return True
    since = conversion.group.today() - datetime.timedelta(days=UNDO_DAYS)
    return conversion.outcome == "withdrawn" and bool(conversion.closed_on) and conversion.closed_on >= since


def take_up(*, conversion: Conversion, by: Member) -> Conversion:
    """The yard goes on. A yes taken back by the withdrawal counts again while its plan is good; days are set anew."""
    with transaction.atomic():
        row = Conversion.of(conversion.group_id).select_for_update(of=("self",)).get(pk=conversion.pk)
        if row.outcome == "":
            return row
        if not may_take_up(row):
            raise ValidationError(_("That is too long ago. Begin a second conversion here instead."))
        if row.outcome == "withdrawn":
            _give_back_yes(row)
            untold = Message.of(row.group).filter(conversion_id=row.pk, kind="withdrawn", state__in=outbox.OPEN)
            outbox.drop(row.group, keys=list(untold.values_list("key", flat=True)))
            for hold in Hold.of(row.group).filter(conversion=row, state="not needed"):
                hold.state = hold.facts.pop("before", hold.state)
                hold.save(update_fields=["facts", "state"])
        row.outcome, row.closed_on, row.ask_again_on = "", None, None
        row.save(update_fields=["outcome", "closed_on", "ask_again_on"])
        note_event(group=row.group, verb="taken-up", by=by, conversion=row)
    return row


def _give_back_yes(conversion: Conversion) -> None:
    reply = Reply.of(conversion.group_id).filter(quote__conversion=conversion, answer="withdraw", counts=True).last()
    if reply is None or Quote.of(conversion.group_id).filter(conversion=conversion, state="accepted").exists():
        return
    Reply.of(conversion.group_id).filter(pk=reply.pk).update(counts=False)
    if reply.replaces_id:
        Reply.of(conversion.group_id).filter(pk=reply.replaces_id).update(counts=True)
    Quote.of(conversion.group_id).filter(pk=reply.quote_id).update(state="accepted", revision=F("revision") + 1)


# ---- not now


def not_now(
    *, conversion: Conversion, by: Member, outcome: str, ask_again_on: datetime.date | None = None
) -> Conversion:
    """They wait, or said no for now; perhaps with a month to ask again. A set day has to be withdrawn from."""
    if outcome not in ("waiting", "declined"):
        raise ValidationError({"outcome": _("Choose one of the two.")})
    with transaction.atomic():
        row = Conversion.of(conversion.group_id).select_for_update(of=("self",)).get(pk=conversion.pk)
        if (row.outcome, row.ask_again_on) == (outcome, ask_again_on):
            return row
        if problem := why_not(row):
            raise ValidationError(problem)
        if row.outcome == "withdrawn":
            raise ValidationError(_("This run has ended already."))
        if days_of(row).exists():
            raise ValidationError(_("A build day is set for this yard. Call the day off first."))
        row.outcome, row.ask_again_on = outcome, ask_again_on
        row.full_clean()
        row.save(update_fields=["outcome", "ask_again_on"])
        note_event(group=row.group, verb="not-now", by=by, conversion=row)
    return row
