"""What needs somebody for a yard: its next step, a quote without an answer, a follow-up, a sheet not handed over."""

import datetime
from collections.abc import Iterable
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.builds.agreed import yards_to_build
from conversions.builds.models import DayPatch
from conversions.care.models import CareSheet, FollowUp
from conversions.common.dates import date_format
from conversions.groups.models import Group
from conversions.quotes.models import Quote, Reply
from conversions.visits.models import Visit
from conversions.yards.models import Conversion, Draft, Hold
from conversions.yards.models.hold import WAITING

from .need import EACH, LATER, NEXT, SOON, WEEK, Look, Need
from .to_tell import untold_quotes

PATIENCE = datetime.timedelta(days=4)  # how long a quote may lie before we ring


def replies(look: Look) -> Iterable[Need]:
    """Quotes out with a household: let's talk, no answer yet, or run out."""
    talk = Reply.of(look.group).filter(quote=OuterRef("pk"), answer="talk")
    rows = Quote.of(look.group).filter(Q(state="sent") | Q(state="expired"), conversion__closed_on=None)
    rows = rows.annotate(wants_talk=Exists(talk)).select_related("conversion__place", "conversion__household__contact")
    untold = set(untold_quotes(look.group))
    for quote in rows.defer("frozen").order_by("sent_at")[:EACH]:
        if quote.pk in untold and not quote.is_expired(look.today):
            continue  # it stands on the list as somebody to be told
        sent_on = quote.sent_at.astimezone(ZoneInfo(look.group.zone)).date()
        ago = (look.today - sent_on).days
        urgency, words, action = SOON, _("They would like to talk."), _("Ring and answer")
        if quote.is_expired(look.today):
            words, action = _("The quote ran out on %s.") % date_format(quote.valid_until, "j F"), _("Look at it again")
        elif not quote.wants_talk:
            urgency = NEXT if look.today - sent_on >= PATIENCE else LATER
            words = ngettext("No answer for %s day.", "No answer for %s days.", ago) % ago if ago else _("Sent today.")
            action = _("Ring")
        url = look.url("quote", pk=quote.pk)
        yield Need(urgency, sent_on, str(quote.conversion), url, words, action, url, stack=3, kind="quote")


def agreed(look: Look) -> Iterable[Need]:
    begun = DayPatch.of(look.group).filter(conversion=OuterRef("pk"), day__state="closed", patch__ground__isnull=False)
    held = Hold.of(look.group).filter(conversion=OuterRef("pk"), blocks_booking=True, patch=None, state__in=WAITING)
    rows = yards_to_build(look.group).filter(~Exists(held), has_day=False).annotate(is_begun=Exists(begun))
    for yard in rows[:EACH]:
        new = look.url("day-new") + f"?yard={yard.pk}"
        words = _("Ground is left to do, and no day for it.") if yard.is_begun else _("Agreed, no day yet.")
        own = look.url("yard", pk=yard.pk)
        yield Need(SOON, yard.opened_on, str(yard), own, words, _("Fix a day"), new, stack=4, kind="day")


def unquoted(look: Look) -> Iterable[Need]:
    """Yards between the enquiry and the first quote, each with its next step."""
    rows = (
        open_yards(look.group)
        .filter(is_quoted=False, is_agreed=False, continues=None)  # a run of care has its garden already
        .annotate(
            has_visit=Exists(
                Visit.of(look.group).filter(conversion=OuterRef("pk"), state__in=["planned", "under way"])
            ),
            has_unsent=Exists(Quote.of(look.group).filter(conversion=OuterRef("pk"), state="draft")),
            has_kept=Exists(Draft.of(look.group).filter(conversion=OuterRef("pk"), state="kept")),
        )
    )
    for yard in rows.select_related("place", "household__contact").order_by("opened_on", "pk")[:EACH]:
        step = next_step(look, yard)
        if step:
            urgency, words, action, url, stack = step
            title, own = str(yard), look.url("yard", pk=yard.pk)
            yield Need(urgency, yard.opened_on, title, own, words, action, url, stack=stack, kind="yard")


def next_step(look: Look, yard: Conversion) -> tuple[int, str, str, str, int] | None:
    stack = 2 if yard.is_visited else 1
    is_organiser = look.may()
    if yard.has_unsent or yard.has_kept:
        words = _("The quote is made and not sent.") if yard.has_unsent else _("The plan is kept, no quote yet.")
        return (NEXT, words, _("Open the yard"), look.url("yard", pk=yard.pk), stack) if is_organiser else None
    if not yard.is_visited and not yard.has_visit:
        since = date_format(yard.opened_on, "j F")
        words = _("Asked on %s, no visit yet.") % since
        return NEXT, words, _("Book the visit"), look.url("visit-book", pk=yard.pk), stack
    if yard.is_visited:
        return NEXT, _("Visited, no plan yet."), _("Lay it out"), look.url("plan", pk=yard.pk), stack
    return None  # the visit itself stands on the list


def open_yards(group: Group) -> Any:
    """Conversions that go on, each with the facts its stage is read from."""
    return Conversion.of(group).filter(closed_on=None, outcome="").with_facts()


def follow_ups(look: Look) -> Iterable[Need]:
    rows = FollowUp.of(look.group).due().filter(due_on__lte=look.today + WEEK)
    for row in rows[:EACH]:
        url = look.url("follow-up", pk=row.pk)
        late = (look.today - row.due_on).days
        urgency = LATER if late < 0 else SOON
        tag = "late" if late > 7 else ""
        action = _("Ring and write down") if late >= 0 else _("Open it")
        yield Need(
            urgency,
            row.due_on,
            str(row.conversion),
            url,
            _("%s: how is it growing?") % row.words,
            action,
            url,
            tag=tag,
            kind="care",
        )


def sheets(look: Look) -> Iterable[Need]:
    for sheet in CareSheet.of(look.group).to_hand_over()[:EACH]:
        words = _("The care sheet is made and not handed over.")
        url = look.url("aftercare")
        on = sheet.day.on
        yield Need(SOON, on, str(sheet.conversion), url, words, _("Print or note it"), url, stack=6, kind="sheet")
