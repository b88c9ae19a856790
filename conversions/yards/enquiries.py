"""Who asked for a garden: an enquiry written down, begun again, and changed."""

import datetime
import uuid as uuids

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from conversions.groups.models import Group, Member
from conversions.groups.tenancy import change
from conversions.people.actions import change_person
from conversions.people.models import Person

from . import holds
from .models import Conversion, GateCode, Household, Place
from .reach import Reach, read_reach
from .writing import kept, next_number


class AlreadyKept(Exception):
    """This press wrote a yard before, with other words; `conversion` is what stands."""

    def __init__(self, conversion: Conversion):
        super().__init__("this enquiry was kept before")
        self.conversion = conversion


def take_enquiry(
    *,
    group: Group,
    by: Member,
    name: str,
    reach: str,
    address: str,
    tenure: str,
    unit: str = "",
    wish: str = "",
    note: str = "",
    place: Place | None = None,
    household: Household | None = None,
    person: Person | None = None,
    large_print: bool = False,
    language: str = "",
    uid: uuids.UUID | None = None,
) -> Conversion:
    """Write down who asked. A known place, household or person is used only where the caller names it."""
    how = read_reach(reach)
    with transaction.atomic():
        Group.objects.select_for_update().get(pk=group.pk)  # two presses, or two phones, one after the other
        stands = Conversion.of(group).filter(uid=uid).select_related("place", "household__contact").first()
        if uid and stands:
            if (stands.household.contact.name, stands.place.address) != (name, address) and household is None:
                raise AlreadyKept(stands)
            return stands
        if household:
            note = _with_news(note, household.contact, name, how)
            place = household.place
        else:
            place = place or kept(Place(group=group, address=address, unit=unit))
            note = _with_news(note, person, name, how) if person else note
            contact = person or _new_contact(group, name, how, large_print, language)
            today = group.today()
            household = kept(Household(group=group, place=place, contact=contact, tenure=tenure, from_on=today))
        return _new_conversion(place=place, household=household, by=by, uid=uid, wish=wish, note=note)


def _new_contact(group: Group, name: str, how: Reach, large_print: bool, language: str) -> Person:
    return kept(
        Person(
            group=group,
            name=name,
            route=how.route,
            phone=how.phone,
            email=how.email,
            large_print=large_print,
            language=language,
        )
    )


def _with_news(note: str, contact: Person, name: str, how: Reach) -> str:
    """What somebody we know told anew: an empty field is filled, anything else goes into the note, nothing is lost."""
    contact.phone, contact.email = contact.phone or how.phone, contact.email or how.email
    kept(contact)
    news = []
    if name != contact.name:
        news.append(_("%(name)s asked.") % {"name": name})
    for given, had in ((how.phone, contact.phone), (how.email, contact.email)):
        if given and given != had:
            news.append(_("Also reached at %(reach)s.") % {"reach": given})
    return "\n".join([note, *news]).strip()


def _new_conversion(*, place: Place, household: Household, by: Member, uid=None, wish="", note="") -> Conversion:
    row = kept(
        Conversion(
            group=place.group,
            uid=uid or uuids.uuid4(),
            place=place,
            household=household,
            number=next_number(Conversion.of(place.group).filter(place=place)),
            opened_on=place.group.today(),
            opened_by=by,
            wish=wish,
            note=note,
        )
    )
    holds.follow_tenure(conversion=row, by=by)
    return row


def start_again(*, conversion: Conversion, by: Member, uid: uuids.UUID | None = None) -> Conversion:
    """Another run with the same people on the same place; its drawing starts from the place's patches."""
    with transaction.atomic():
        Group.objects.select_for_update().get(pk=conversion.group_id)
        stands = Conversion.of(conversion.group).filter(uid=uid).first() if uid else None
        if not stands and conversion.household.until_on:
            raise ValidationError(_("Other people live here now. Begin it from their page."))
        return stands or _new_conversion(place=conversion.place, household=conversion.household, by=by, uid=uid)


def change_yard(
    *,
    conversion: Conversion,
    revision: int,
    person_revision: int,
    by: Member,
    name: str,
    phone: str,
    email: str,
    route: str,
    tenure: str,
    unit: str,
    large_print: bool,
    wish: str,
    note: str,
    gate_code: str = "",
    gate_until: datetime.date | None = None,
) -> Conversion:
    """Change what was written about a yard and its people. Raises Stale when somebody changed either meanwhile."""
    with transaction.atomic():
        change(conversion, revision, wish=wish, note=note)
        household, place = conversion.household, conversion.place
        reach = {"name": name, "phone": phone, "email": email, "route": route, "large_print": large_print}
        change_person(person=household.contact, revision=person_revision, by=by, **reach)
        household.tenure, place.unit = tenure, unit
        kept(household, "tenure")
        kept(place, "unit")
        _write_gate_code(place, gate_code, gate_until)
        holds.follow_tenure(conversion=conversion, by=by)
    return conversion


def _write_gate_code(place: Place, code: str, until_on: datetime.date | None) -> None:
    """One code for a place; one taken out stays as an empty row until the night clears it."""
    row = GateCode.of(place.group_id).filter(place=place).first()
    if row is None and not code:
        return
    row = row or GateCode(group=place.group, place=place)
    row.code, row.until_on = code, until_on or row.until_on or place.group.today()
    kept(row)
