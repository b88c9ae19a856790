"""One caution: for the crew, for the household, and whom to ask."""

from dataclasses import dataclass, field

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

Words = str | Promise
STOP, ADVICE, NOTE = "stop", "advice", "note"
SEVERITIES = (STOP, ADVICE, NOTE)


@dataclass(frozen=True)
class Caution:
    key: str
    severity: str
    title: Words
    crew_text: Words
    household_text: Words = ""
    whom: Words = ""
    where: tuple[str, ...] = field(default=())  # labels of the patches it is about; empty: the whole yard


LOCATING = _("the locating service of your area; its rules for notice, dates and the hand-tools band hold")
HEALTH = _("the health department; a soil laboratory")
