"""How somebody is reached, read out of one free field, and who we know already under that number or address."""

import re
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from conversions.common.fold import address_key, digits
from conversions.groups.models import Group
from conversions.people.models import Person

from .models import Place

LEAST_DIGITS = 5  # an inside number of a small town; fewer is a slip
PHONE = re.compile(r"^[\d\s()+./-]+(?:\s*(?:x|ext\.?)\s*\d+)?$", re.I)


@dataclass(frozen=True)
class Reach:
    route: str
    phone: str = ""
    email: str = ""


def read_reach(text: str) -> Reach:
    """A phone number or an e-mail address; the route follows from which one it is.

    >>> read_reach("000 000 000").route
    'phone'
    """
    typed = re.sub(r"\s+", " ", text).strip()
    if "@" in typed:
        try:
            validate_email(typed)
        except ValidationError as error:
            raise ValidationError(_("This e-mail address looks broken. Read it back to them.")) from error
        return Reach("email", email=typed)
    if not PHONE.match(typed) or len(digits(typed)) < LEAST_DIGITS:
        raise ValidationError(_("Write a phone number or an e-mail address."))
    return Reach("phone", phone=typed)


def phone_pattern(text: str) -> str:
    """A pattern that finds this whole number however its digits are spaced."""
    middle = r"\D*".join(digits(text))
    return rf"^\D*{middle}\D*$"


def known_places(group: Group, address: str, unit: str = "") -> QuerySet[Place]:
    """Places whose address line is this one, with or without the flat."""
    whole, line = address_key(f"{address} {unit}"), address_key(address)
    same = Q(key=whole) | Q(key=line)
    if not unit:
        same |= Q(key__startswith=f"{line} ") & ~Q(unit="")
    return Place.of(group).filter(same, archived_at=None).order_by("pk")


def known_people(group: Group, reach: Reach) -> QuerySet[Person]:
    """People with this very number or e-mail address."""
    people = Person.of(group).filter(erased_at=None, member=None)
    if reach.email:
        return people.filter(email__iexact=reach.email)
    return people.filter(phone__regex=phone_pattern(reach.phone))
