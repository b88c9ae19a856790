"""The one place where rows are deleted: typing mistakes, what is off a day, and what has run out by its date."""

import datetime

from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import Q

from conversions.builds.models import Day, DayPatch
from conversions.groups.models import Group
from conversions.people.models import Message, Person
from conversions.visits.models import Entry, EntryReplaces
from conversions.yards.models import Conversion, GateCode, Photo


def gate_codes(group: Group, today: datetime.date) -> int:
    """Forget the codes whose date has passed, and those taken out; how many."""
    gone = GateCode.of(group).filter(Q(until_on__lt=today) | Q(code=""))
    return gone.delete()[0]


def enquiry(conversion: Conversion) -> None:
    """An enquiry typed by mistake, with what was drawn and answered on it; the caller has asked whether it may go.

    Household, place and person go too where nothing else needs them. Raises RestrictedError where something does
    hang by the enquiry.
    """
    group, place, household = conversion.group_id, conversion.place, conversion.household
    entries = Entry.of(group).filter(visit__conversion=conversion)
    EntryReplaces.of(group).filter(entry__in=entries).delete()
    entries.delete()
    conversion.visits.all().delete()
    conversion.quotes.all().delete()
    conversion.planned.all().delete()
    for draft in conversion.drafts.order_by("-number"):  # a later drawing may name an earlier one as its parent
        draft.delete()
    Message.of(group).filter(conversion_id=conversion.pk).delete()
    conversion.delete()
    if household.conversions.exists():
        return
    contact = household.contact
    household.delete()
    if not place.conversions.exists() and not place.households.exists():
        place.patches.all().delete()
        place.delete()
    if _is_needed_nowhere(contact):
        contact.delete()


def from_day(day: Day, conversion: Conversion) -> None:
    """What of a yard was to be done on a day that goes on without it; the history says that it was there."""
    DayPatch.of(day.group_id).filter(day=day, conversion=conversion).delete()


def picture(photo: Photo) -> None:
    """A picture somebody asks to be taken out, with every file of it. Copies in which nobody can be made out stay."""
    keys = [key for key in (photo.original_key, photo.view_key, photo.thumb_key) if key]
    with transaction.atomic():
        for copy in Photo.of(photo.group_id).filter(blurred_from=photo):
            copy.blurred_from = None
            copy.save(update_fields=["blurred_from"])
        photo.delete()
    for key in keys:  # after the row, so that no page asks for a file that is gone
        default_storage.delete(key)


def _is_needed_nowhere(person: Person) -> bool:
    known_for_itself = person.member_id or person.can_do or person.first_aid or person.erased_at
    return not (known_for_itself or person.households.exists() or person.sign_ups.exists() or person.messages.exists())
