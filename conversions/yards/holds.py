"""What stops us, in one place: what a yard may not do while it waits, and every change of a hold."""

import datetime
from collections.abc import Iterable, Sequence
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from conversions.common.dates import date_format
from conversions.groups.models import Member
from conversions.groups.tenancy import change
from conversions.people.history import note_event
from conversions.people.models import Document

from .hold_kinds import BOOKING, BUILDING, PLACES, RULES, Call
from .models import Conversion, Hold
from .models.hold import SETTLED, WAITING

FIND_OUT_DAYS = 7  # how long whoever asked has to find out, unless another day is set
LEASE_NOTICE = datetime.timedelta(days=60)  # before a lease ends we ask the tenants what becomes of the garden


# ---- what blocks, and where


def why_here(hold: Hold, place: str, days: Sequence[tuple[str, datetime.date | None]] = (), you: bool = False) -> str:
    """Why this hold blocks `place`, in words; empty where it does not.

    `days` are the days it has to be good on: ("build", date) and ("rain", date). Without any, today counts.
    """
    if not getattr(hold, f"blocks_{place}") and not (hold.state == "refused" and RULES[hold.kind].stands_refused):
        return ""
    rule = RULES[hold.kind]
    if hold.state == "refused":
        return str(rule.refused)
    if hold.state in WAITING:
        return str(rule.waits_you if you else rule.waits)
    return "" if hold.state != "cleared" else _ran_out(hold, days or [("today", hold.group.today())])


def _ran_out(hold: Hold, days: Iterable[tuple[str, datetime.date | None]]) -> str:
    """A yes that does not reach the day is none: which end, and which day."""
    good = str(RULES[hold.kind].good)
    for day, on in days:
        if on and hold.valid_until and hold.valid_until < on:
            end = {"good": good, "until": _short(hold.valid_until), "on": _short(on)}
            return {
                "build": _("%(good)s until %(until)s; the build day is %(on)s."),
                "rain": _("%(good)s until %(until)s; the rain date is %(on)s."),
            }.get(day, _("%(good)s until %(until)s, and no longer.")) % end
        if on and hold.valid_from and hold.valid_from > on:
            start = {"good": good, "from": _short(hold.valid_from), "on": _short(on)}
            return _("%(good)s from %(from)s, and not yet on %(on)s.") % start
    return ""


def _short(on: datetime.date) -> str:
    return date_format(on, "j M")


def why_not(
    conversion: Conversion,
    place: str,
    days: Sequence[tuple[str, datetime.date | None]] = (),
    *,
    you: bool = False,
    patches: set[int] | None = None,
) -> list[str]:
    """Everything that keeps this yard from being sent, accepted, booked or built, in words; empty where nothing does.

    A hold on one patch stops that patch: it counts only where `patches` (their ids) names it.
    """
    rows = Hold.of(conversion.group_id).filter(conversion=conversion).select_related("group")
    ours = [row for row in rows if row.patch_id is None or (patches is not None and row.patch_id in patches)]
    return list(dict.fromkeys(filter(None, (why_here(row, place, days, you) for row in ours))))


def patches_held(conversion: Conversion) -> set[int]:
    """Ids of the patches that stay as they are while the others are built."""
    rows = Hold.of(conversion.group_id).filter(conversion=conversion, patch__isnull=False, blocks_booking=True)
    return set(rows.filter(state__in=[*WAITING, "refused"]).values_list("patch", flat=True))


def lease_ends(hold: Hold, today: datetime.date) -> bool:
    """Time to ask what becomes of the garden when they move out."""
    has_end = hold.kind == "owner" and hold.valid_until and hold.state not in ("not needed", "refused")
    return bool(has_end) and today >= hold.valid_until - LEASE_NOTICE


# ---- opened by what was answered


def follow(*, conversion: Conversion, calls: Iterable[Call], by: Member | None, settles: bool = True) -> list[Hold]:
    """Open what the answers call for, once; gives the holds that are new or open again.

    A hold that nobody touched, and that is not called for any more, is not needed any more (unless `settles` is false:
    then the caller knows only part of the facts). What a person settled stays so until something else is answered.
    """
    with transaction.atomic():
        Conversion.of(conversion.group_id).select_for_update().get(pk=conversion.pk)
        rows = Hold.of(conversion.group_id).filter(conversion=conversion).select_for_update()
        standing = {(row.kind, row.about, row.patch_id): row for row in rows}
        called = {call.key: call for call in calls}
        opened = [_open(conversion, call, standing.get(key), by) for key, call in called.items()]
        for key, row in standing.items():
            if settles and key not in called and row.state in (*WAITING, "refused") and row.facts.get("said"):
                _write_over(row, by, state="not needed", cleared_by=None)
    return [row for row in opened if row]


def _open(conversion: Conversion, call: Call, row: Hold | None, by: Member | None) -> Hold | None:
    said = call.said or call.kind
    if row and row.facts.get("said") == said and (row.state != "not needed" or row.cleared_by_id):
        return None
    today = conversion.group.today()
    blocks = (BUILDING,) if call.is_unsure else RULES[call.kind].blocks
    if call.patch and not call.is_unsure:
        blocks = (*blocks, BOOKING)  # this patch stays as it is, and the others are built
    row = row or Hold(group=conversion.group, conversion=conversion, kind=call.kind, about=call.about, patch=call.patch)
    row.revision += bool(row.pk)  # a page opened before this answer says nothing about it
    row.state = "cleared" if call.good_until else "refused" if call.is_refused else "open"
    row.valid_until = call.good_until or row.valid_until
    for place in PLACES:
        setattr(row, f"blocks_{place}", place in blocks)
    row.facts = {**row.facts, **call.facts, "said": said}
    row.who, row.due_on = row.who or by, today + datetime.timedelta(days=FIND_OUT_DAYS)
    row.cleared_by, row.override_reason = by if call.good_until else None, ""
    row.by = row.second_by = row.overridden_at = None
    row.full_clean()
    row.save()
    _tell(row, by, "hold-cleared" if call.good_until else "hold-opened")
    return row


def follow_tenure(*, conversion: Conversion, by: Member) -> None:
    """Who rents needs the owner's yes, whether or not anybody has visited yet."""
    if conversion.household.tenure == "rent":
        follow(conversion=conversion, calls=[Call("owner", said="rent")], by=by, settles=False)


# ---- changed by a person


def open_hold(*, conversion: Conversion, kind: str, by: Member) -> Hold:
    """Somebody knows of a reason that no answer brought up. Asked twice, it is one hold."""
    if kind not in RULES or kind == "ask":
        raise ValidationError({"kind": _("Choose what we wait for.")})
    with transaction.atomic():
        Conversion.of(conversion.group_id).select_for_update().get(pk=conversion.pk)
        row = (
            Hold.of(conversion.group_id)
            .select_for_update()
            .filter(conversion=conversion, kind=kind, patch=None)
            .first()
        )
        if row and not row.is_settled:
            return row
        said = f"{row.facts.get('said', '')}+" if row else "by hand"
        return _open(conversion, Call(kind, said=said), row, by)


def note_marks(
    *, conversion: Conversion, by: Member, state: str, until: datetime.date | None = None, ticket: str = ""
) -> None:
    """What the locating service said for a build day (asked, marked, none) holds for the yard as well."""
    to = {"asked": "asked", "marked": "cleared", "none": "not needed"}[state]
    end = until if state == "marked" else None
    with transaction.atomic():
        Conversion.of(conversion.group_id).select_for_update().get(pk=conversion.pk)
        rows = Hold.of(conversion.group_id).select_for_update()
        row = rows.filter(conversion=conversion, kind="marks", patch=None).first()
        row = row or Hold(group=conversion.group, conversion=conversion, kind="marks")
        facts = {**row.facts, "ticket": ticket, "said": row.facts.get("said", "by hand")}
        _write_over(row, by, state=to, valid_until=end, facts=facts, cleared_by=by if to in SETTLED else None)


def settle(*, hold: Hold, revision: int, by: Member, state: str, document: Document | None = None, **said: Any) -> Hold:
    """Write down how it stands: asked, cleared, refused or not needed, with its dates and facts. Raises Stale.

    `said`: valid_from, valid_until, who, due_on, and `facts` (ticket, seen_by, reserved_m2, lead_ppm) beside what is known.
    """
    facts = said.pop("facts", {})
    if state not in ("open", "asked", "cleared", "refused", "not needed"):
        raise ValidationError({"state": _("Choose how it stands.")})
    if hold.kind == "ask" and state != "asked":
        raise ValidationError({"state": _("Answer the question in the visit: then this goes by itself.")})
    if state == "cleared":
        _check_cleared(hold, document, said, facts)
    values = {**said, "state": state, "facts": {**hold.facts, **{key: value for key, value in facts.items() if value}}}
    values |= {"cleared_by": by if state in SETTLED else None, "override_reason": "", "by": None}
    if document:
        values["document"] = document
    with transaction.atomic():
        return write(change(hold, revision), by, **values)


def _check_cleared(hold: Hold, document: Document | None, said: dict, facts: dict) -> None:
    start, end = said.get("valid_from"), said.get("valid_until")
    if start and end and end < start:
        raise ValidationError({"valid_until": _("The last day must come after the first.")})
    if hold.kind == "owner" and not (document or hold.document_id or facts.get("seen_by")):
        raise ValidationError(
            {"seen_by": _("Add a picture of the signed page, or write who has seen it on paper. A word is not enough.")}
        )
    if hold.kind == "marks" and not end:
        raise ValidationError({"valid_until": _("Write the last day the marks are good for; it stands on the ticket.")})


def write(row: Hold, doer: Member | None, verb: str = "", **values: Any) -> Hold:
    """Change a hold and note it in the history: as `verb`, or as the state it is in now."""
    was = row.state if row.pk else ""
    for name, value in values.items():
        setattr(row, name, value)
    row.full_clean()
    row.save()
    _tell(row, doer, verb or f"hold-{row.state.replace(' ', '-')}", was)
    return row


def _write_over(row: Hold, doer: Member | None, **values: Any) -> Hold:
    """Change a hold whatever page of it is open: that page is then old."""
    row.revision += bool(row.pk)
    return write(row, doer, **values)


def _tell(row: Hold, by: Member | None, verb: str, was: str = "") -> None:
    changed = {"kind": ["", row.kind], "state": [was, row.state]}
    where = f" ({row.patch})" if row.patch else ""
    words = f"{row}{where}"
    note_event(group=row.group, verb=verb, by=by, words=words, conversion=row.conversion, changed=changed)
