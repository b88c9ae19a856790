"""What has happened at a yard, newest first, and when each of the seven layers was laid."""

import datetime
from dataclasses import dataclass

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.people.history import of_conversion

from .models import Conversion
from .models.living import STAGE_NUMBER, STAGES
from .steps import DRAWERS, LEADERS, ORGANISERS, at

PUT_RIGHT = {
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


def story(yard: Conversion, today: datetime.date) -> list[Happened]:
    """Every dated fact of a yard that came through `steps.with_rows`."""
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
    for event in of_conversion(yard.group_id, yard.pk).filter(verb__in=PUT_RIGHT).order_by("at", "pk"):
        note = " ".join(filter(None, (event.words, str(event.by or "") and f"({event.by})")))
        out.append(Happened(_local(event.at), PUT_RIGHT[event.verb], "undo", note=note))
    out.reverse()  # of two things on one day the later one comes first
    return sorted(out, key=lambda row: (row.is_ahead, row.on), reverse=True)


def layers(yard: Conversion) -> list[dict]:
    """The seven layers, top first, each with whether it is laid."""
    reached = yard.stage_number
    rows = []
    for (code, word), texture in zip(STAGES, TEXTURES, strict=True):
        number = STAGE_NUMBER[code]
        done = number <= reached
        rows.append(
            {"word": word, "texture": texture if done else "todo", "is_done": done, "is_now": number == reached}
        )
    return rows[::-1]
