"""The one rule for whether pictures may be taken at all: on a visit, on the build day and at a follow-up."""

from django.utils.translation import gettext as _

from conversions.common.photos import PhotoRefused
from conversions.people.consents import answers as consents
from conversions.yards.models import Conversion

from .checklist import Answers, read_answers
from .questions import BY_CODE


def wants_none(conversion: Conversion, answers: Answers | None = None) -> bool:
    """Whether they said, on a visit or when they were asked what they allow, that no pictures are taken.

    Where two answers stand and one of them is no, it is no until somebody has chosen. `answers`: read already.
    """
    contact = conversion.household.contact_id
    said = consents(conversion.group_id, [contact], ["photo record"]).get((contact, "photo record", None))
    scopes = (answers or read_answers(conversion)).scopes(BY_CODE["pictures"])
    return said is False or any(value.get("pictures") == "none" for scope in scopes for value in scope.values)


def refuse_unwanted(conversion: Conversion) -> None:
    """Raises PhotoRefused where they want none."""
    if wants_none(conversion):
        raise PhotoRefused(_("They asked for no pictures."))
