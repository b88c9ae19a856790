"""Putting slips right across parts: an enquiry typed twice, a day closed too early. The history tells it."""

import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F, Q, QuerySet, RestrictedError
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.builds import ledger
from conversions.builds.asbuilt import latest_as_built
from conversions.builds.models import Day, DayPatch, Ground
from conversions.care.actions import take_back_care
from conversions.care.models import CareSheet, FollowUp
from conversions.groups.models import Member
from conversions.groups.tenancy import Stale
from conversions.people.history import note_event
from conversions.people.models import Message
from conversions.visits.models import Entry
from conversions.yards.models import Conversion, Patch, Photo, Planned

from . import forget, learn

# ---- an enquiry typed twice


def twins(conversion: Conversion) -> QuerySet[Conversion]:
    """Other runs with the same people, number or address: one of them is the row that stays."""
    contact, place = conversion.household.contact, conversion.place
    same = Q(place=place) | Q(place__key=place.key) | Q(household__contact=contact)
    if contact.phone:
        same |= Q(household__contact__phone=contact.phone)
    return Conversion.of(conversion.group).for_lists().filter(same).exclude(pk=conversion.pk)


def why_enquiry_stays(conversion: Conversion) -> list[str]:
    """What has grown on it that must not go; empty where the enquiry may be taken back."""
    reasons = []
    told = Message.of(conversion.group).filter(conversion_id=conversion.pk, state__in=["sent", "leased"])
    if conversion.quotes.exclude(sent_at=None).exists() or told.exists():
        reasons.append(_("Something was sent to them about it. Set the yard aside instead."))
    if (
        conversion.day_patches.exists()
        or Ground.of(conversion.group).filter(patch__in=_own_patches(conversion)).exists()
    ):
        reasons.append(_("A build day or built ground belongs to it."))
    if Photo.of(conversion.group).filter(place=conversion.place).exists() and not _place_stays(conversion):
        reasons.append(_("There are pictures of it. Move them to the right yard first."))
    return reasons


def what_goes(conversion: Conversion) -> list[str]:
    """What is taken back with the enquiry, in words."""
    entries = Entry.of(conversion.group).filter(visit__conversion=conversion, replaced_by=None).count()
    drafts, visits = conversion.drafts.count(), conversion.visits.count()
    rows = [_("What was written down about it, and their name and number where nothing else needs them.")]
    if visits:
        rows.append(ngettext("%(n)d visit", "%(n)d visits", visits) % {"n": visits})
    if entries:
        rows.append(ngettext("%(n)d answer from a visit", "%(n)d answers from visits", entries) % {"n": entries})
    if drafts:
        rows.append(ngettext("%(n)d drawing", "%(n)d drawings", drafts) % {"n": drafts})
    if conversion.quotes.exists():
        rows.append(_("A quote that was never sent"))
    return rows


def _place_stays(conversion: Conversion) -> bool:
    return conversion.place.conversions.exclude(pk=conversion.pk).exists()


def _own_patches(conversion: Conversion) -> QuerySet[Patch]:
    """Patches that would go with the place."""
    return (
        Patch.of(conversion.group).filter(place=conversion.place)
        if not _place_stays(conversion)
        else Patch.of(conversion.group).none()
    )


def take_back_enquiry(*, conversion: Conversion, by: Member, reason: str) -> Conversion | None:
    """Delete an enquiry that should not be; the run that stays, where there is one, tells it in its history."""
    if not reason.strip():
        raise ValidationError({"reason": _("Say why in a word or two.")})
    with transaction.atomic():
        conversion = Conversion.of(conversion.group_id).select_for_update(of=("self",)).get(pk=conversion.pk)
        reasons = why_enquiry_stays(conversion)
        if reasons:
            raise ValidationError(reasons)
        stays = twins(conversion).first()
        number = conversion.pk
        try:
            forget.enquiry(conversion)
        except RestrictedError as error:
            raise ValidationError(_("Something else hangs by it, so it stays. Set the yard aside instead.")) from error
        changed = {"taken back": [number, None]}
        note_event(
            group=by.group, verb="enquiry-taken-back", by=by, words=reason.strip(), conversion=stays, changed=changed
        )
    return stays


# ---- a picture somebody wants out


def remove_photo(*, photo: Photo, by: Member, reason: str) -> None:
    """Take a picture out for good; the history of its yards says that, and never what was in it."""
    if not reason.strip():
        raise ValidationError({"reason": _("Say why in a word or two.")})
    yards = list(Conversion.of(photo.group_id).filter(place=photo.place))
    forget.picture(photo)
    with transaction.atomic():
        for yard in yards:
            note_event(group=by.group, verb="photo-removed", by=by, words=reason.strip(), conversion=yard)


# ---- a day closed too early


def why_day_stays(day: Day) -> str:
    """Why a closed day cannot be opened again; empty where it can."""
    if day.state != "closed":
        return _("This day is not closed.")
    if Conversion.of(day.group_id).filter(day_patches__day=day, household__until_on__isnull=False).exists():
        return _("Other people live there now. Correct the square metres instead, with the reason.")
    counted = Ground.of(day.group_id).filter(day=day)
    if any(ledger.count_on(day.group, row.complete_on) != row.complete_on for row in counted):
        return _("A report with this day is published. Correct the square metres instead, with the reason.")
    return ""


def what_reopens(day: Day) -> list[str]:
    """What opening the day again undoes, in words."""
    yards = DayPatch.of(day.group_id).filter(day=day).values("conversion")
    due = FollowUp.of(day.group_id).filter(conversion__in=yards, state="due").exclude(kind="rescue").count()
    rows = [_("Its square metres leave the tally until the day is closed again.")]
    if CareSheet.of(day.group_id).filter(day=day).exists():
        rows.append(_("The link to its care sheet ends. Closing again makes a new sheet."))
    if due:
        rows.append(ngettext("%(n)d follow-up waits with it", "%(n)d follow-ups wait with it", due) % {"n": due})
    rows.append(_("Who came, and follow-ups already noted, stay."))
    return rows


def reopen_day(*, day: Day, by: Member, revision: int, reason: str) -> Day:
    """Open a closed day again. Its ledger rows are corrected to nothing, so that closing counts afresh, never twice.

    Pressed twice it is done once. Raises Stale when the day was changed meanwhile.
    """
    reason = reason.strip()
    if not reason:
        raise ValidationError({"reason": _("Say why, so that whoever reads the tally next year understands.")})
    with transaction.atomic():
        patches = DayPatch.of(day.group_id).filter(day=day).values("patch")
        list(Patch.of(day.group_id).select_for_update().filter(pk__in=patches).order_by("pk"))
        day.refresh_from_db()
        if day.is_open:
            return day
        if problem := why_day_stays(day):
            raise ValidationError(problem)
        closed = Day.of(day.group_id).filter(pk=day.pk, revision=revision, state="closed")
        if not closed.update(state="under way", closed_at=None, revision=F("revision") + 1):
            raise Stale(day)
        day.refresh_from_db()
        ledger.take_back(day=day, reason=reason, by=by)
        _unfinish(day)
        learn.learn(day.group)
        yards = Conversion.of(day.group_id).filter(day_patches__day=day).select_related("group").distinct()
        for conversion in yards:
            take_back_care(day=day, conversion=conversion, first_on=_first_on(conversion))
            note_event(group=day.group, verb="day-reopened", by=by, words=reason, conversion=conversion, day=day)
    return day


def _unfinish(day: Day) -> None:
    """What this day finished is not finished any more; what another day finished stays."""
    if day.kind == "rescue":
        return
    held = latest_as_built(day)
    for row in DayPatch.of(day.group_id).filter(day=day):
        built = held.get(row.patch_id)
        if built and built.is_complete:
            done_on = built.complete_on or day.held_on
            planned = Planned.of(day.group_id).filter(conversion=row.conversion_id, patch=row.patch_id)
            planned.filter(complete_on=done_on).update(complete_on=None)


def _first_on(conversion: Conversion) -> datetime.date | None:
    done = conversion.planned.exclude(complete_on=None).order_by("complete_on")
    return done.values_list("complete_on", flat=True).first()
