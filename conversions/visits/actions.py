"""What changes on a visit: booking it, answering, noting, keeping photos, and being done."""

import datetime
import uuid as uuids
from collections.abc import Iterable
from typing import Any

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.common import photos
from conversions.groups.models import Member
from conversions.groups.tenancy import Grouped, change, move
from conversions.yards import pictures
from conversions.yards.models import Conversion, Patch, Photo, Place

from . import effects
from .models import Entry, EntryReplaces, Visit, VisitMember
from .no_pictures import refuse_unwanted
from .questions import BY_CODE, VERSION

USUAL_LENGTH = datetime.timedelta(hours=1)
OPEN = ("planned", "under way")
YEARS = (1500, 2200)  # what may be the year of a house


class Conflict(Exception):
    """This uid is known with other content; `row` holds what stands."""

    def __init__(self, row: Grouped):
        super().__init__(f"{type(row).__name__} {row.pk} was kept with other content")
        self.row = row


def _kept(row: Any) -> Any:
    row.full_clean()
    row.save()
    return row


# ---- booking


def book_visit(
    *,
    conversion: Conversion,
    by: Member,
    due_at: datetime.datetime,
    goers: Iterable[Member] = (),
    uid: uuids.UUID | None = None,
    lasts: datetime.timedelta = USUAL_LENGTH,
) -> Visit:
    """Fix when somebody goes, who, and by when they should be out; whoever books goes if nobody else is named."""
    with transaction.atomic():
        Conversion.of(conversion.group_id).select_for_update().get(pk=conversion.pk)
        stands = Visit.of(conversion.group_id).filter(uid=uid).first() if uid else None
        if stands:
            if (stands.conversion_id, stands.due_at) != (conversion.pk, due_at):
                raise Conflict(stands)
            return stands
        visit = _kept(
            Visit(
                group=conversion.group,
                uid=uid or uuids.uuid4(),
                conversion=conversion,
                due_at=due_at,
                due_out_at=due_at + lasts,
                checklist_version=VERSION,
            )
        )
        _name_goers(visit, goers or (by,))
    return visit


def move_visit(
    *,
    visit: Visit,
    revision: int,
    by: Member,
    due_at: datetime.datetime,
    goers: Iterable[Member] = (),
    lasts: datetime.timedelta = USUAL_LENGTH,
) -> Visit:
    """Another time, or somebody else goes. Raises Stale when somebody was faster."""
    with transaction.atomic():
        change(visit, revision, due_at=due_at, due_out_at=due_at + lasts)
        _name_goers(visit, goers or (by,))
    return visit


def _name_goers(visit: Visit, goers: Iterable[Member]) -> None:
    wanted = {member.pk: member for member in goers}
    for goer in visit.goers.all():
        goes = wanted.pop(goer.member_id, None) is not None
        goer.called_off_at = None if goes else goer.called_off_at or timezone.now()
        _kept(goer)
    for member in wanted.values():
        _kept(VisitMember(group=visit.group, visit=visit, member=member))


# ---- answering


def add_entries(*, visit: Visit, by: Member, entries: Iterable[dict]) -> list[Entry]:
    """Append answers. Each: uid, question, value, as_typed, patch, and `replaces`, the uids the writer saw.

    Without `replaces` an answer takes the place of all that stand for its question and patch. A uid that is known gives
    back its row; with other content it raises Conflict, and none of these answers is kept.
    """
    out = []
    with transaction.atomic():
        Conversion.of(visit.group_id).select_for_update().get(pk=visit.conversion_id)
        for given in entries:
            out.append(_add_entry(visit, by, given))
        if any(entry.question == "built" for entry in out):
            _note_year(visit)
        effects.follow(conversion=visit.conversion, by=by)
        _arrive(visit)
    return out


def _note_year(visit: Visit) -> None:
    """The year of the house belongs to the place, where nobody has written it yet: every later visit knows it."""
    year = visit.entries.filter(question="built", replaced_by=None).order_by("-pk").first()
    place = visit.conversion.place
    if year and place.built_year is None and YEARS[0] <= year.value.get("year", 0) <= YEARS[1]:
        place.built_year = year.value["year"]
        _kept(place)


def _add_entry(visit: Visit, by: Member, given: dict) -> Entry:
    if given["question"] not in BY_CODE:
        raise ValidationError(_("There is no such question."))
    patch: Patch | None = given.get("patch")
    uid = uuids.UUID(str(given.get("uid") or uuids.uuid4()))
    stands = Entry.of(visit.group_id).filter(uid=uid).first()
    if stands:
        same = (visit.pk, given["question"], given["value"], patch.pk if patch else None)
        if (stands.visit_id, stands.question, stands.value, stands.patch_id) != same:
            raise Conflict(stands)
        return stands
    here = Entry.of(visit.group_id).filter(
        visit__conversion=visit.conversion_id, question=given["question"], patch=patch
    )
    seen = given.get("replaces")
    replaced = list(here.filter(replaced_by=None) if seen is None else here.filter(uid__in=seen))
    entry = _kept(
        Entry(
            group=visit.group,
            uid=uid,
            visit=visit,
            patch=patch,
            question=given["question"],
            value=given["value"],
            as_typed=given.get("as_typed", ""),
            by=by,
            device_at=given.get("device_at"),
        )
    )
    for old in replaced:
        _kept(EntryReplaces(group=visit.group, entry=entry, replaced=old))
    return entry


def _arrive(visit: Visit) -> None:
    """The first thing written on a planned visit says that somebody is there."""
    move(visit, ("planned",), state="under way", checked_in_at=timezone.now())


def write_notes(*, visit: Visit, revision: int, notes: str) -> Visit:
    """Raises Stale, with what stands now, when somebody wrote after `revision`."""
    with transaction.atomic():
        change(visit, revision, notes=notes)
        _arrive(visit)
    return visit


# ---- photos


def keep_photo(
    *,
    place: Place,
    by: Member | None,
    file: Any,
    taken_for: str,
    taken_for_id: int,
    slot: str = "other",
    patch: Patch | None = None,
    people: str = "unsure",
    uid: uuids.UUID | None = None,
) -> Photo:
    """Take in one picture. Raises PhotoRefused, and nothing is stored; picture and files come before the transaction.

    As it came it is kept beside, served to nobody, until the date that the group has set.
    """
    accepted = photos.accept(file)
    if stands := _stands(place, uid, accepted):
        return stands
    about = {"patch": patch, "slot": slot, "taken_for": taken_for, "taken_for_id": taken_for_id, "people": people}
    photo = _photo_of(accepted, place, uid=uid or uuids.uuid4(), by=by, **about)
    files = {photo.view_key: accepted.view_bytes, photo.thumb_key: accepted.thumb_bytes}
    if photo.original_key:
        files[photo.original_key] = accepted.original
    try:
        photo.full_clean()
        return pictures.stored(photo, files)
    except (ValidationError, IntegrityError):
        if stands := _stands(place, uid, accepted):  # sent twice at once, and the other one was faster
            return stands
        raise


def _photo_of(accepted: Any, place: Place, **about: Any) -> Photo:
    """Its row, not saved yet, with a folder of its own for its files."""
    folder = f"{place.group_id}/{uuids.uuid4().hex}"  # never a name that came with the file
    days = place.group.originals_days
    return Photo(
        group=place.group,
        place=place,
        original_sha256=accepted.sha256,
        original_bytes=accepted.size,
        original_key=f"{folder}/original" if days else "",
        original_until_on=place.group.today() + datetime.timedelta(days=days) if days else None,
        view_key=f"{folder}/view.jpg",
        thumb_key=f"{folder}/thumb.jpg",
        width=accepted.width,
        height=accepted.height,
        taken_at=_claimed(accepted.taken_at),
        received_at=timezone.now(),
        **about,
    )


def _stands(place: Place, uid: uuids.UUID | None, accepted: Any) -> Photo | None:
    """The picture with this uid, kept before. Raises Conflict where it is another one."""
    stands = Photo.of(place.group_id).filter(uid=uid).first() if uid else None
    if stands and stands.original_sha256 != accepted.sha256:
        raise Conflict(stands)
    return stands


def _claimed(taken_at: datetime.datetime | None) -> datetime.datetime | None:
    """A camera without a zone means the wall clock here; a moment that cannot be is nobody's."""
    if taken_at is None or not taken_at.year >= 2000:
        return None
    if timezone.is_naive(taken_at):
        taken_at = timezone.make_aware(taken_at)
    return taken_at if taken_at < timezone.now() + datetime.timedelta(days=1) else None


def keep_visit_photo(*, visit: Visit, by: Member, file: Any, slot: str, **more: Any) -> Photo:
    """A picture of this visit, unless the household wants none; one that is kept already is told to be."""
    if not Photo.of(visit.group_id).filter(uid=more.get("uid")).exists():
        refuse_unwanted(visit.conversion)
    place = visit.conversion.place
    photo = keep_photo(place=place, by=by, file=file, taken_for="visit", taken_for_id=visit.pk, slot=slot, **more)
    with transaction.atomic():
        _arrive(visit)
    return photo


# ---- being done


def finish_visit(*, visit: Visit, by: Member, state: str = "done", reason: str = "") -> Visit:
    """Done, cut short (with a reason), or nobody home. Pressed twice it is done once; the slower of two is told."""
    if state not in ("done", "cut short", "no answer"):
        raise ValidationError(_("There is no such end to a visit."))
    reason = reason.strip()
    if state == "cut short" and not reason:
        raise ValidationError({"reason": _("Write why you left early, in a word or two.")})
    if len(reason) > 240:
        raise ValidationError({"reason": _("Keep it under 240 letters.")})
    now = timezone.now()
    with transaction.atomic():
        first = move(visit, OPEN, state=state, reason=reason, checked_out_at=now)
        if first and visit.checked_in_at is None:
            visit.checked_in_at = now
            visit.save(update_fields=["checked_in_at"])
    if not first and (visit.state, visit.reason) != (state, reason):
        raise ValidationError(
            _("Somebody was faster: this visit is marked “%(state)s”.") % {"state": visit.get_state_display()}
        )
    return visit
