"""One press on the visit page keeps all of it: answers, notes and pictures, whichever button it was."""

import datetime
import uuid
from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError
from django.utils.translation import gettext as _

from conversions.common.asked import uid_of, whole
from conversions.common.photos import PhotoRefused
from conversions.groups.tenancy import Stale
from conversions.yards.models import Photo

from . import actions
from .checklist import read_answers
from .forms import AnswersForm, digest
from .models import Entry, Visit
from .plan import Written, write_into_plan

TRIES = 3  # to add notes while others write
LONGEST_NOTES = 4000  # letters of all notes of a visit; our own guess


@dataclass
class Outcome:
    form: AnswersForm
    kept: int = 0
    photos: int = 0
    plan: Written = field(default_factory=Written)
    is_repeat: bool = False  # this page was saved before with other answers
    theirs: str | None = None  # notes somebody else wrote meanwhile
    notes: str = ""
    note_error: str = ""
    photo_errors: dict[str, str] = field(default_factory=dict)

    @property
    def is_sound(self) -> bool:
        is_mended = not (self.is_repeat or self.theirs is not None or self.note_error or self.photo_errors)
        return self.form.is_valid() and is_mended

    @property
    def status(self) -> int:
        return 409 if self.is_repeat or self.theirs is not None else 200

    @property
    def words(self) -> dict[str, Any]:
        """What the page shows when something needs mending."""
        return {
            "is_repeat": self.is_repeat,
            "theirs": self.theirs,
            "notes": self.notes,
            "note_error": self.note_error,
            "photo_errors": self.photo_errors,
            "was_kept": bool(self.kept or self.photos),
        }


def save(request: Any, visit: Visit, device_at: datetime.datetime | None = None) -> Outcome:
    """Keep what was sent; `device_at` is when the phone says it was written."""
    form = AnswersForm(request.POST, group=request.group, answers=read_answers(visit))
    form.is_valid()
    outcome = Outcome(form)
    _save_answers(request, visit, outcome, device_at)
    _save_notes(request, visit, outcome)
    _save_photos(request, visit, outcome)
    if not outcome.is_sound:
        outcome.form = form.renewed(read_answers(visit))
    return outcome


def _save_answers(request: Any, visit: Visit, outcome: Outcome, device_at: datetime.datetime | None = None) -> None:
    given = [{**entry, "device_at": device_at} for entry in getattr(outcome.form, "kept", [])]
    if not given:
        return
    uids = [entry["uid"] for entry in given if entry["uid"]]
    known = set(Entry.of(visit.group_id).filter(uid__in=uids).values_list("uid", flat=True))
    try:
        actions.add_entries(visit=visit, by=request.member, entries=given)
    except (actions.Conflict, IntegrityError):
        outcome.is_repeat = True
        return
    outcome.kept = len(given)
    # What came before is in the plan, or was put right there since.
    asked = [entry["question"] for entry in given if entry["uid"] not in known]
    outcome.plan = write_into_plan(conversion=visit.conversion, by=request.member, questions=asked)


def _save_notes(request: Any, visit: Visit, outcome: Outcome) -> None:
    """Only notes that this person changed are written; another's are never put back by an old page."""
    more = plain(request.POST.get("notes_more", ""))
    if more:
        return _add_notes(visit, outcome, more)
    outcome.notes = notes = plain(request.POST.get("notes", visit.notes))
    if digest(notes) in (request.POST.get("notes_was"), digest(visit.notes)):
        outcome.notes = visit.notes
        return
    if _is_too_long(notes, outcome):
        return
    revision = whole(request.POST.get("revision")) or 0
    try:
        actions.write_notes(visit=visit, revision=revision, notes=notes)
        outcome.kept += 1
    except Stale as stale:
        visit.refresh_from_db(fields=["notes", "revision", "state"])
        outcome.theirs = stale.row.notes


def _add_notes(visit: Visit, outcome: Outcome, more: str) -> None:
    """Notes written without signal are added to what stands; the same ones sent twice are added once.

    Only whole paragraphs are the same ones: "dog" is news also where "dogs" stands.
    """
    for _once in range(TRIES):
        outcome.notes = visit.notes
        if f"\n\n{more}\n\n" in f"\n\n{plain(visit.notes)}\n\n":
            return
        notes = f"{visit.notes}\n\n{more}".strip()
        if _is_too_long(notes, outcome):
            return
        try:
            actions.write_notes(visit=visit, revision=visit.revision, notes=notes)
            outcome.kept += 1
            return
        except Stale:
            visit.refresh_from_db(fields=["notes", "revision", "state"])
    outcome.theirs = visit.notes


def _is_too_long(notes: str, outcome: Outcome) -> bool:
    if len(notes) <= LONGEST_NOTES:
        return False
    said = _("All notes of a visit together may have %(most)s letters; with this they have %(now)s.")
    outcome.note_error = said % {"most": LONGEST_NOTES, "now": len(notes)}
    return True


def _save_photos(request: Any, visit: Visit, outcome: Outcome) -> None:
    people = request.POST.get("photo-people", "")
    for slot, _words in Photo.SLOTS:
        first = uid_of(request.POST.get(f"photo-{slot}-uid"))
        for n, file in enumerate(request.FILES.getlist(f"photo-{slot}")):
            given = {"file": file, "slot": slot, "uid": nth_uid(first, n), "people": who_is_in_it(people)}
            try:
                actions.keep_visit_photo(visit=visit, by=request.member, **given)
                outcome.photos += 1
            except PhotoRefused as refused:
                outcome.photo_errors[slot] = str(refused)
            except actions.Conflict:
                outcome.photo_errors[slot] = _(
                    "This page was saved before with another picture. Choose yours once more."
                )
            except (ValidationError, IntegrityError):
                outcome.photo_errors[slot] = _("This picture could not be kept. Choose it once more.")


def who_is_in_it(answer: str) -> str:
    """Nobody looked, or something else was sent: then somebody may be in it."""
    return answer if answer in dict(Photo.PEOPLE) else "unsure"


def nth_uid(first: uuid.UUID | None, n: int) -> uuid.UUID | None:
    """Of several pictures chosen at once each has its own, the same again when the page is sent again."""
    return uuid.uuid5(first, str(n)) if first and n else first


def plain(text: str) -> str:
    """Line ends as we keep them, and without the one character that a database refuses."""
    return text.replace("\r\n", "\n").replace("\0", "").strip()
