"""Writing what happens after a build: care sheets, follow-ups, and what people saw."""

import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.groups.tenancy import Stale, change
from conversions.people import links, outbox
from conversions.people.models import Document, Link, Message

from .models import CareSheet, FollowUp
from .schedule import due_dates


def write_sheet(
    *, conversion: Any, day: Any, paper: bytes, title: str, why_again: str = "", newcomers: bool = False, by: Any = None
) -> CareSheet:
    """Keep one issue of a conversion's care sheet with its link, and queue it to the household.

    `newcomers` did not see the garden being built: their message says where it comes from.

    It gets the next number when there is one already; the earlier issue need not be told any more.
    """
    contact = conversion.household.contact
    with transaction.atomic():
        last = CareSheet.of(conversion.group).filter(conversion=conversion).order_by("-n").first()
        document = Document(
            group=conversion.group,
            kind="care sheet",
            title=title[:200],
            language=contact.language or conversion.group.language,
            variant="large print" if contact.large_print else "",
            content=paper,
        )
        document.full_clean()
        document.save()
        sheet = CareSheet(
            group=conversion.group,
            conversion=conversion,
            day=day,
            n=last.n + 1 if last else 1,
            document=document,
            why_again=why_again if last else "",
        )
        sheet.full_clean()
        sheet.save()
        link = links.make("care", "care sheet", sheet, person=contact)
        if last:
            outbox.drop(sheet.group, keys=[told_by(last)])
        values = {"address": conversion.place.address, "again": bool(last), "newcomers": newcomers}
        outbox.queue(
            key=told_by(sheet), kind="care-sheet", person=contact, by=by, conversion=conversion, day=day,
            values=values, link=link, document=document,
        )  # fmt: skip
    return sheet


def told_by(sheet: CareSheet) -> str:
    """The key of the message that brings this sheet."""
    return f"care-sheet:{sheet.pk}"


def write_follow_ups(*, conversion: Any, complete_on: datetime.date) -> list[FollowUp]:
    """The six follow-ups, counted from the first patch finished; written once, and never moved by a later patch.

    Those that were dropped because the day was opened again come back with their date counted afresh.
    """
    group = conversion.group
    with transaction.atomic():
        stands = {row.kind: row for row in FollowUp.of(group).filter(conversion=conversion).exclude(kind="rescue")}
        if any(row.state == "due" for row in stands.values()):
            return []
        rows = []
        for due in due_dates(complete_on, (group.season_ends_month, group.season_ends_day)):
            row = stands.get(due.kind) or FollowUp(group=group, conversion=conversion, kind=due.kind, state="dropped")
            if row.state == "dropped":
                row.state, row.due_on, row.revision = "due", due.on, row.revision + bool(row.pk)
                row.full_clean()
                row.save()
                rows.append(row)
    return rows


def take_back_care(*, day: Any, conversion: Any, first_on: datetime.date | None) -> None:
    """The day is opened again: its sheets' links end, and follow-ups still due are dropped, or counted from `first_on`.

    What somebody has already seen and recorded stays.
    """
    now, group = timezone.now(), conversion.group
    with transaction.atomic():
        sheets = list(CareSheet.of(group).filter(day=day, conversion=conversion))
        named = Link.of(group).filter(purpose="care", subject_type="care sheet", revoked_at=None)
        named.filter(subject_id__in=[sheet.pk for sheet in sheets]).update(revoked_at=now)
        outbox.drop(group, keys=[told_by(sheet) for sheet in sheets])
        due = FollowUp.of(group).filter(conversion=conversion, state="due").exclude(kind="rescue")
        if first_on is None:
            due.update(state="dropped", revision=F("revision") + 1)
            return
        for one in due_dates(first_on, (group.season_ends_month, group.season_ends_day)):
            due.filter(kind=one.kind).exclude(due_on=one.on).update(due_on=one.on, revision=F("revision") + 1)


def hand_on(*, conversion: Any, to: Any) -> list[FollowUp]:
    """What is still to be looked at goes on with the people who live there now; what was seen stays where it was.

    The links to the care sheets of those before end, and nobody tells them of one any more.
    """
    now, group = timezone.now(), conversion.group
    with transaction.atomic():
        rows = list(FollowUp.of(group).select_for_update().filter(conversion=conversion, state="due"))
        for row in rows:
            row.conversion, row.revision = to, row.revision + 1
            row.full_clean()
            row.save(update_fields=["conversion", "revision"])
        sheets = list(CareSheet.of(group).filter(conversion=conversion))
        named = Link.of(group).filter(purpose="care", subject_type="care sheet", revoked_at=None)
        named.filter(subject_id__in=[sheet.pk for sheet in sheets]).update(revoked_at=now)
        outbox.drop(group, keys=[told_by(sheet) for sheet in sheets])
    return rows


def _still_due(follow_up: FollowUp) -> None:
    if follow_up.state != "due":
        raise Stale(follow_up)


def note_no_answer(*, follow_up: FollowUp, revision: int, by: Any, how: str) -> FollowUp:
    """One try that reached nobody; the follow-up stays due."""
    _still_due(follow_up)
    tries = [*follow_up.tries, {"on": by.group.today().isoformat(), "how": how}]
    with transaction.atomic():
        return change(follow_up, revision, tries=tries)


def record_follow_up(
    *,
    follow_up: FollowUp,
    revision: int,
    by: Any,
    how: str,
    findings: dict[str, str],
    note: str = "",
    again_on: datetime.date | None = None,
) -> FollowUp:
    """What was seen or told. `again_on` asks for one more look on that day."""
    today = by.group.today()
    _still_due(follow_up)
    if again_on and again_on <= today:
        raise ValidationError({"again_on": _("Choose a day that is still to come.")})
    values = {"state": "done", "done_on": today, "how": how, "findings": findings, "note": note, "by": by}
    with transaction.atomic():
        row = change(follow_up, revision, **values)
        if again_on:
            last = FollowUp.of(row.group).filter(conversion=row.conversion_id, kind="rescue").order_by("-n").first()
            again = FollowUp(
                group=row.group,
                conversion=row.conversion,
                kind="rescue",
                n=last.n + 1 if last else 1,
                due_on=again_on,
            )
            again.full_clean()
            again.save()
    return row


def hand_over(*, sheet: CareSheet, by: Any) -> CareSheet:
    """Mark that the household has the sheet, on paper or by its link; a second press keeps the first date."""
    with transaction.atomic():
        CareSheet.of(sheet.group).filter(pk=sheet.pk, handed_over_on=None).update(handed_over_on=by.group.today())
        for message in Message.of(sheet.group).filter(key=told_by(sheet)):
            outbox.note_done(message=message, by=by)
    sheet.refresh_from_db()
    return sheet
