"""What has happened at a yard, newest first, and when each of the seven layers was laid."""

import datetime
from dataclasses import dataclass

from django.db.models import Q
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.people.history import of_conversion
from conversions.people.models import Event, Message

from . import hold_words
from .models import Conversion
from .models.living import STAGE_NUMBER, STAGES
from .steps import DRAWERS, LEADERS, ORGANISERS, at

PUT_RIGHT = {
    "withdrawn": gettext_lazy("They changed their mind. Everything was released"),
    "not-now": gettext_lazy("Not now"),
    "taken-up": gettext_lazy("Taken up again"),
    "hold-opened": gettext_lazy("Something to wait for"),
    "hold-cleared": gettext_lazy("Put right"),
    "hold-refused": gettext_lazy("Refused"),
    "hold-overridden": gettext_lazy("Set aside"),
    "hold-override-asked": gettext_lazy("Asked to set it aside"),
    "photo-moved": gettext_lazy("A picture changed its yard"),
    "enquiry-taken-back": gettext_lazy("A second enquiry was taken back"),
    "reply-taken-back": gettext_lazy("An answer was taken back"),
    "day-reopened": gettext_lazy("The build day was opened again"),
    "moved-out": gettext_lazy("Other people live here now"),
    "moved-in": gettext_lazy("New people live here"),
    "photo-removed": gettext_lazy("A picture was taken out"),
    "same-ground": gettext_lazy("Two places are one piece of ground"),
    "same-ground-undone": gettext_lazy("Two pieces of ground after all"),
}
ROUTES = {  # how they were told: by itself, and by somebody
    "email": (gettext_lazy("sent by e-mail"), gettext_lazy("told by %(who)s, the e-mail did not go")),
    "phone": (gettext_lazy("rung"), gettext_lazy("rung by %(who)s")),
    "text": (gettext_lazy("text message sent"), gettext_lazy("text message sent by %(who)s")),
    "post": (gettext_lazy("letter sent"), gettext_lazy("letter sent by %(who)s")),
    "door": (gettext_lazy("told at the door"), gettext_lazy("told at the door by %(who)s")),
}
ICONS = {"email": "mail", "phone": "phone", "text": "phone", "post": "paper", "door": "pin"}
TEXTURES = ("lawn", "soil", "card", "chip", "compost", "plant", "plant")


@dataclass(frozen=True)
class Happened:
    on: datetime.date
    words: str
    icon: str
    url: str = ""
    pk: int = 0
    roles: frozenset[str] = frozenset()
    note: str = ""
    is_ahead: bool = False


def _local(when: datetime.datetime) -> datetime.date:
    return timezone.localtime(when).date()


def story(yard: Conversion, today: datetime.date, *, alone: bool = False) -> list[Happened]:
    """Every dated fact of a yard that came through `steps.with_rows`. `alone`: nobody is named in a group of one."""
    out = [Happened(yard.opened_on, _("Enquiry written down"), "mail")]
    for visit in yard.visits.all():
        on, ahead = _local(visit.due_at), visit.state in ("planned", "under way")
        note = at(visit.due_at) if ahead else visit.get_state_display()
        out.append(Happened(on, _("Visit"), "pin", "visit", visit.pk, DRAWERS, note, ahead))
    for draft in yard.drafts.all():
        if draft.kept_at:
            out.append(Happened(_local(draft.kept_at), _("Plan kept"), "ruler"))
    for quote in yard.quotes.all():
        if quote.sent_at:
            words = _("Quote sent") if quote.version == 1 else _("New quote sent")
            note = "" if quote.state == "sent" else quote.get_state_display()
            out.append(Happened(_local(quote.sent_at), words, "paper", "quote", quote.pk, ORGANISERS, note))
    for day in {part.day for part in yard.day_patches.all()}:
        ahead = day.state in ("planned", "confirmed", "moved", "under way")
        note = day.get_state_display()
        out.append(Happened(day.held_on, _("Build day"), "build", "day", day.pk, LEADERS, note, ahead))
    for follow_up in yard.follow_ups.all():
        on = follow_up.done_on or follow_up.due_on
        words, ahead = follow_up.get_kind_display().capitalize(), follow_up.state == "due"
        out.append(Happened(on, words, "care", "follow-up", follow_up.pk, LEADERS, "", ahead))
    slips = list(of_conversion(yard.group_id, yard.pk).filter(verb__in=PUT_RIGHT).order_by("at", "pk"))
    marked = max((row.pk for row in slips if row.verb == "hold-cleared" and _kind(row) == "marks"), default=0)
    for event in slips:
        words, about = _put_right(event, _marked_until(yard) if event.pk == marked else None)
        note = " ".join(filter(None, (about, f"({event.by})" if event.by and not alone else "")))
        out.append(Happened(_local(event.at), words, "undo", note=note))
    out += _told(yard, alone)
    out.reverse()  # of two things on one day the later one comes first
    return sorted(out, key=lambda row: (row.is_ahead, row.on), reverse=True)


def _kind(event: Event) -> str:
    """Of what kind the hold is that it is about."""
    return (event.changed.get("kind") or ["", ""])[1]


def _marked_until(yard: Conversion) -> datetime.date | None:
    return next((row.valid_until for row in yard.holds.filter(kind="marks", state="cleared", patch=None)), None)


def _put_right(event: Event, until: datetime.date | None) -> tuple[str, str]:
    """What happened, and what it was about, in the language of whoever reads."""
    kind, words = _kind(event), str(PUT_RIGHT[event.verb])
    if not event.verb.startswith("hold-") or not kind:
        return words, event.words
    if event.verb == "hold-cleared":
        words = hold_words.put_right(kind, until)
    return words, hold_words.named(kind, event.words)


def _told(yard: Conversion, alone: bool) -> list[Happened]:
    """What the household was told, how, and by whom; of a build day only what went to them."""
    days = {part.day_id for part in yard.day_patches.all()}
    theirs = Q(conversion_id=yard.pk) | Q(day_id__in=days, person=yard.household.contact_id)
    rows = Message.of(yard.group_id).filter(theirs, state="sent").select_related("done_by__user")
    return [_telling(row, alone) for row in rows.order_by("done_at", "pk")]


def _telling(row: Message, alone: bool) -> Happened:
    way, way_by = ROUTES[row.route]
    how = way_by % {"who": row.done_by} if row.done_by and not alone else way
    words = _("%(what)s: %(how)s") % {"what": capfirst(row.what), "how": how}
    return Happened(_local(row.done_at or row.made_at), words, ICONS[row.route], "message", row.pk, ORGANISERS)


def layers(yard: Conversion) -> list[dict]:
    """The seven layers, top first, each with whether it is laid and, where that is known, on which day."""
    reached, laid = yard.stage_number, _laid(yard)
    rows = []
    for (code, word), texture in zip(STAGES, TEXTURES, strict=True):
        number = STAGE_NUMBER[code]
        done = number <= reached
        rows.append(
            {
                "word": word,
                "texture": texture if done else "todo",
                "is_done": done,
                "is_now": number == reached,
                "on": laid.get(code) if done or code == "built" else None,  # the build day is known beforehand
            }
        )
    return rows[::-1]


def _laid(yard: Conversion) -> dict[str, datetime.date]:
    """When each layer was laid, as far as a dated row tells; the build day itself stands at "built"."""
    days = {part.day_id: part.day for part in yard.day_patches.all() if part.day.state != "cancelled"}
    dates = {
        "visited": [_local(visit.due_at) for visit in yard.visits.all() if visit.state in ("done", "cut short")],
        "quoted": [_local(quote.sent_at) for quote in yard.quotes.all() if quote.sent_at],
        "agreed": [
            _local(reply.said_at)
            for quote in yard.quotes.all()
            for reply in quote.replies.all()
            if quote.state == "accepted" and reply.counts
        ],
        "booked": _set_on(yard, [pk for pk, day in days.items() if day.kind == "build"]),
        "built": [day.held_on for day in days.values()],
    }
    return {"enquiry": yard.opened_on} | {code: min(found) for code, found in dates.items() if found}


def _set_on(yard: Conversion, days: list[int]) -> list[datetime.date]:
    """When its build days were set, as far as that was written down."""
    if not days:
        return []
    rows = of_conversion(yard.group_id, yard.pk).filter(verb="day-set", day_id__in=days)
    return [_local(at) for at in rows.values_list("at", flat=True)]
