"""The one place where rows are deleted: typing mistakes, and what has run out by its date."""

import datetime

from django.db.models import Q

from conversions.groups.models import Group
from conversions.people.models import Message, Person
from conversions.visits.models import Entry, EntryReplaces
from conversions.yards.models import Conversion, GateCode


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


def _is_needed_nowhere(person: Person) -> bool:
    known_for_itself = person.member_id or person.can_do or person.first_aid or person.erased_at
    return not (known_for_itself or person.households.exists() or person.sign_ups.exists() or person.messages.exists())
