"""One piece of ground written down as two places: it counts under one of them, and neither is merged into the other."""

from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from conversions.groups.models import Member
from conversions.people.history import note_event

from .models import Conversion, Patch, Place
from .reach import known_places, phone_pattern


def choices(place: Place) -> QuerySet[Place]:
    """Every place that this one could be the same ground as."""
    rows = Place.of(place.group_id).filter(archived_at=None).exclude(pk=place.pk)
    return rows.prefetch_related("households__contact").order_by("search", "pk")


def twins(place: Place) -> list[Place]:
    """Places with the same address line, or whose people have the same number. Offered, never merged: a duplex stays two."""
    pks = set(known_places(place.group, place.address, place.unit).values_list("pk", flat=True))
    for contact in [home.contact for home in place.households.filter(until_on=None).select_related("contact")]:
        reached = Q()
        if contact.phone:
            reached |= Q(households__contact__phone__regex=phone_pattern(contact.phone))
        if contact.email:
            reached |= Q(households__contact__email__iexact=contact.email)
        if reached:
            now = Place.of(place.group_id).filter(reached, households__until_on=None)
            pks |= set(now.values_list("pk", flat=True))
    return list(choices(place).filter(pk__in=pks))


def others(place: Place) -> QuerySet[Place]:
    """Places that are marked as the same ground as this one."""
    return Place.of(place.group_id).filter(same_ground_as=place).order_by("pk")


def counted_m2(place: Place) -> Decimal:
    """What the ledger says of this place today; summed here because databases add decimals as floats."""
    rows = Patch.of(place.group_id).filter(place=place).values_list("ground__m2", flat=True)
    return sum((m2 for m2 in rows if m2), Decimal(0))


def why_not(place: Place, other: Place) -> str:
    """Why this place cannot be marked as the same ground as the other; empty where it can."""
    if place.pk == other.pk:
        return _("A place is always the same ground as itself. Choose the other one.")
    if other.same_ground_as_id == place.pk:
        return _("%(other)s is marked as the same ground as this place already. Take that back first.") % {
            "other": other
        }
    if other.same_ground_as_id:
        words = _("%(other)s itself is the same ground as %(third)s. Choose %(third)s.")
        return words % {"other": other, "third": other.same_ground_as}
    if pointing := others(place).first():
        words = _("%(third)s is marked as the same ground as this place. Mark it as %(other)s first.")
        return words % {"third": pointing, "other": other}
    if counted_m2(place):
        words = _(
            "Ground of this place is counted already. Open %(other)s, and mark that as the same ground as this one."
        )
        return words % {"other": other}
    return ""


def mark(*, place: Place, other: Place, by: Member) -> Place:
    """From now on the ground of this place counts under the other one, and it takes no row of the ledger itself.

    Marked twice is marked once. Raises ValidationError with the sentence of `why_not`.
    """
    with transaction.atomic():
        place, other = _locked(place, other)
        if place.same_ground_as_id == other.pk:
            return place
        if problem := why_not(place, other):
            raise ValidationError(problem)
        place.same_ground_as = other
        place.full_clean()
        place.save(update_fields=["same_ground_as"])
        _tell(place, "same-ground", _("The same ground as %(place)s: it counts there.") % {"place": other}, by)
        _tell(other, "same-ground", _("%(place)s is the same ground: it counts here.") % {"place": place}, by)
    return place


def take_back(*, place: Place, by: Member) -> Place:
    """They are two pieces of ground after all. What was built meanwhile counts once its day is opened and closed again."""
    with transaction.atomic():
        (place,) = _locked(place)
        other = place.same_ground_as
        if other is None:
            return place
        place.same_ground_as = None
        place.save(update_fields=["same_ground_as"])
        words = _("Not the same ground as %(place)s after all.")
        _tell(place, "same-ground-undone", words % {"place": other}, by)
        _tell(other, "same-ground-undone", words % {"place": place}, by)
    return place


def is_uncounted(place: Place) -> bool:
    """Whether something was built here that no ledger row counts."""
    closed = {"as_built__day__state": "closed", "as_built__day__kind": "build", "as_built__area_m2__gt": 0}
    return Patch.of(place.group_id).filter(place=place, ground=None, **closed).exists()


def _locked(*places: Place) -> list[Place]:
    """Fresh rows, their patches locked first as the ledger does, so that no day is closed between look and mark."""
    group, pks = places[0].group_id, [place.pk for place in places]
    list(Patch.of(group).select_for_update().filter(place__in=pks).order_by("pk"))
    rows = {row.pk: row for row in Place.of(group).select_for_update().filter(pk__in=pks).order_by("pk")}
    return [rows[pk] for pk in pks]


def _tell(place: Place, verb: str, words: str, by: Member) -> None:
    for conversion in Conversion.of(place.group_id).filter(place=place):
        note_event(group=by.group, verb=verb, by=by, words=words, conversion=conversion)
