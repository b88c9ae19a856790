"""What stops us, in one place: which kind of hold blocks what, the words for it, and every change of one."""

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common.dates import date_format
from conversions.groups.models import Member
from conversions.groups.tenancy import change
from conversions.people.history import note_event
from conversions.people.models import Document

from .models import Conversion, Hold, Patch
from .models.hold import SETTLED, WAITING

SENDING, ACCEPTING, BOOKING, BUILDING = PLACES = ("sending", "accepting", "booking", "building")
FIND_OUT_DAYS = 7  # how long whoever asked has to find out, unless another day is set
LEASE_NOTICE = datetime.timedelta(days=60)  # before a lease ends we ask what becomes of the garden (NEEDS scenario 10)
BANNER = datetime.timedelta(days=7)  # how long a hold that one person set aside alone stays in sight


@dataclass(frozen=True)
class Kind:
    """One kind: what it blocks while it waits, and its words for us (`waits`) and for the household (`waits_you`)."""

    blocks: tuple[str, ...]
    waits: Any
    waits_you: Any
    refused: Any
    good: Any  # what has an end: "The marks are good"
    to_do: Any
    is_safety: bool = False  # never set aside: it is cleared by what was found out, or not at all
    stands_refused: bool = True  # a no keeps the quote back too


# The one table of what blocks what. A rebate begun before its yes is lost (several published eligibility pages of lawn
# rebates), so it holds the booking too; what lies under the ground holds the spade alone, and quoting goes on.
RULES: dict[str, Kind] = {
    "owner": Kind(
        (ACCEPTING, BOOKING, BUILDING),
        gettext_lazy("We wait for the owner’s yes."),
        gettext_lazy("We wait for your owner’s yes."),
        gettext_lazy("The owner said no."),
        gettext_lazy("The owner’s yes is good"),
        gettext_lazy("Give them the owner’s page, and keep the signed one."),
    ),
    "association": Kind(
        (BOOKING, BUILDING),
        gettext_lazy("We wait for the association’s yes."),
        gettext_lazy("We wait for your association’s yes."),
        gettext_lazy("The association said no."),
        gettext_lazy("The association’s yes is good"),
        gettext_lazy("Give them the plan for the association, and keep the answer."),
    ),
    "strip": Kind(
        (BOOKING, BUILDING),
        gettext_lazy("We wait for leave to work on the public strip."),
        gettext_lazy("We wait for leave to work on the public strip."),
        gettext_lazy("There is no leave for the public strip."),
        gettext_lazy("The leave is good"),
        gettext_lazy("Ask whoever looks after the street."),
    ),
    "rebate": Kind(
        (BOOKING, BUILDING),
        gettext_lazy("Do not start: the lawn grant is not given yet. Work begun before the yes can lose the money."),
        gettext_lazy(
            "Please do not dig, cover or kill the grass yet, and do not let the lawn die: you may lose the grant."
        ),
        gettext_lazy("The grant was refused. If they go on without it, mark it as not needed."),
        gettext_lazy("The grant is good"),
        gettext_lazy("Ask whoever gives the grant, and write down their yes and the last day."),
        stands_refused=False,
    ),
    "marks": Kind(
        (BUILDING,),
        gettext_lazy("Pipes and wires are not marked yet."),
        gettext_lazy("We ask for pipes and wires to be marked. No digging before that."),
        gettext_lazy("The locating service does not mark here."),
        gettext_lazy("The marks are good"),
        gettext_lazy("Ask the locating service, and write down the ticket and its dates."),
        is_safety=True,
        stands_refused=False,
    ),
    "soil": Kind(
        (BUILDING,),
        gettext_lazy("We wait for the soil test."),
        gettext_lazy("We wait for the soil test before anybody digs."),
        gettext_lazy("The soil is not fit for our work."),
        gettext_lazy("The soil test is good"),
        gettext_lazy("Have the soil tested, and write down what the health department says."),
        is_safety=True,
        stands_refused=False,
    ),
    "septic": Kind(
        (BUILDING,),
        gettext_lazy("Nobody knows yet where the septic tank and its field are."),
        gettext_lazy("Please find out whether there is a septic tank, and where its field runs."),
        gettext_lazy("A drain field lies here. We do not build on it."),
        gettext_lazy("What was found out is good"),
        gettext_lazy("Ask the household how it went, then write it down."),
        is_safety=True,
        stands_refused=False,
    ),
    "ask": Kind(
        (BUILDING,),
        gettext_lazy("A question of the visit is open."),
        gettext_lazy("We still have a question about your ground."),
        gettext_lazy("A question of the visit is open."),
        gettext_lazy("The answer is good"),
        gettext_lazy("Find out, then write the answer into the visit."),
        is_safety=True,
        stands_refused=False,
    ),
}


@dataclass(frozen=True)
class Call:
    """That an answer or a fact calls for a hold. `is_unsure`: nobody knows, which blocks building and nothing else."""

    kind: str
    patch: Patch | None = None
    about: str = ""
    is_unsure: bool = False
    is_refused: bool = False
    good_until: datetime.date | None = None  # it is settled already, and holds as long as that
    said: str = ""  # what was said, so that another answer later opens it again
    facts: dict = field(default_factory=dict, compare=False)

    @property
    def key(self) -> tuple[str, str, int | None]:
        return self.kind, self.about, self.patch.pk if self.patch else None


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
        rows = Hold.of(conversion.group_id).filter(conversion=conversion)
        standing = {(row.kind, row.about, row.patch_id): row for row in rows}
        called = {call.key: call for call in calls}
        opened = [_open(conversion, call, standing.get(key), by) for key, call in called.items()]
        for key, row in standing.items():
            if settles and key not in called and row.state in (*WAITING, "refused") and row.facts.get("said"):
                _set(row, by, state="not needed", cleared_by=None)
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
        row = Hold.of(conversion.group_id).filter(conversion=conversion, kind=kind, patch=None).first()
        if row and not row.is_settled:
            return row
        said = f"{row.facts.get('said', '')}+" if row else "by hand"
        return _open(conversion, Call(kind, said=said), row, by)


def note_marks(
    *, conversion: Conversion, by: Member, state: str, until: datetime.date | None = None, ticket: str = ""
) -> None:
    """What the locating service said for a build day (asked, marked, none) holds for the yard as well."""
    row = Hold.of(conversion.group_id).filter(conversion=conversion, kind="marks", patch=None).first()
    row = row or Hold(group=conversion.group, conversion=conversion, kind="marks")
    to = {"asked": "asked", "marked": "cleared", "none": "not needed"}[state]
    facts = {**row.facts, "ticket": ticket, "said": row.facts.get("said", "by hand")}
    end = until if state == "marked" else None
    _set(row, by, state=to, valid_until=end, facts=facts, cleared_by=by if to in SETTLED else None)


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
        return _set(change(hold, revision), by, **values)


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


def _set(row: Hold, doer: Member | None, **values: Any) -> Hold:
    was = row.state if row.pk else ""
    for name, value in values.items():
        setattr(row, name, value)
    row.full_clean()
    row.save()
    _tell(row, doer, f"hold-{row.state.replace(' ', '-')}", was)
    return row


def _tell(row: Hold, by: Member | None, verb: str, was: str = "") -> None:
    changed = {"kind": ["", row.kind], "state": [was, row.state]}
    where = f" ({row.patch})" if row.patch else ""
    words = f"{row}{where}"
    note_event(group=row.group, verb=verb, by=by, words=words, conversion=row.conversion, changed=changed)


# ---- set aside by two


def organisers(group: Any) -> int:
    return Member.of(group).filter(is_organiser=True, ended_on=None).count()


def why_not_overridden(hold: Hold) -> str:
    """Why nobody may set it aside; empty where two organisers may."""
    if RULES[hold.kind].is_safety:
        return _("This is about safety. Nobody sets it aside: it goes when we know.")
    if hold.state == "refused" and RULES[hold.kind].stands_refused:
        return _("They said no, and that holds.")
    return "" if hold.state in (*WAITING, "refused") or hold.state == "cleared" else _("There is nothing to set aside.")


def ask_override(*, hold: Hold, revision: int, by: Member, reason: str) -> Hold:
    """One organiser asks to go on in spite of it. Where there is no second one, that is enough, and it stays in sight."""
    reason = reason.strip()
    if problem := why_not_overridden(hold):
        raise ValidationError(problem)
    if not reason:
        raise ValidationError({"reason": _("Write why. Whoever reads it next year has to understand it.")})
    with transaction.atomic():
        row = change(hold, revision)
        values: dict[str, Any] = {"override_reason": reason[:240], "by": by, "second_by": None}
        if organisers(row.group_id) < 2:
            values |= {"state": "overridden", "overridden_at": timezone.now(), "cleared_by": by}
            return _set(row, by, **values)
        if row.state == "cleared":  # it ran out: it waits again until the second one has said so
            values["state"] = "open"
        for name, value in values.items():
            setattr(row, name, value)
        row.full_clean()
        row.save()
        _tell(row, by, "hold-override-asked", row.state)
    return row


def confirm_override(*, hold: Hold, revision: int, by: Member) -> Hold:
    """The second organiser says so too; both are named. The one who asked cannot be the second."""
    if problem := why_not_overridden(hold):
        raise ValidationError(problem)
    if not hold.override_waits:
        raise ValidationError(_("Nobody asked to set this aside."))
    if hold.by_id == by.pk:
        raise ValidationError(_("You asked for it. Another organiser has to say so too."))
    if not by.is_organiser:
        raise ValidationError(_("Only an organiser can do this."))
    with transaction.atomic():
        row = change(hold, revision)
        return _set(row, by, state="overridden", second_by=by, overridden_at=timezone.now(), cleared_by=by)


def keep_override(*, hold: Hold, revision: int, by: Member) -> Hold:
    """The second organiser does not agree, or the first thinks better of it: it goes on to block."""
    with transaction.atomic():
        row = change(hold, revision)
        state = "open" if row.state == "overridden" else row.state
        return _set(row, by, state=state, override_reason="", by=None, second_by=None, overridden_at=None)
