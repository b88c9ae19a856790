"""The fifteen core questions of a visit, as data: what is asked, what may be answered, and what an answer raises.

A question has one row of picks, or two where two facts must be known. "Not sure" is always among them. Five are about
safety: they have no usual answer and are never filled in for anybody.
"""

from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from .rows import (
    BEND,
    GRANT,
    GRASS,
    KILLER,
    MINUTES,
    NOT_SURE,
    OWN_LINES,
    PAST,
    PICTURES,
    PUBLIC_LINES,
    RIGHTS,
    SEPTIC,
    SIDES,
    SLOPE,
    SOIL,
    STANDING,
    SUN,
    TAP,
    TREES,
    WAY_IN,
    Ask,
    Choice,
    Detail,
    Words,
)

VERSION = 1


@dataclass(frozen=True)
class Question:
    number: int
    code: str
    short: Words
    words: Words
    asks: tuple[Ask, ...]
    hint: Words = ""
    is_safety: bool = False
    per_patch: bool = False

    @property
    def choices(self) -> tuple[Choice, ...]:
        return self.asks[0].choices

    @property
    def usual(self) -> dict[str, str] | None:
        """The grey answer, one pick per row; none where it is about safety."""
        return None if self.is_safety else {ask.code: ask.usual for ask in self.asks}

    @property
    def details(self) -> tuple[Detail, ...]:
        return tuple(detail for ask in self.asks for detail in ask.details)


QUESTIONS: tuple[Question, ...] = (
    Question(1, "say", _("Who may say yes"), _("Who may say yes to this?"), (RIGHTS,), is_safety=True),
    Question(2, "pictures", _("Pictures"), _("May we take pictures of the ground?"), (PICTURES,)),
    Question(
        3,
        "grant",
        _("Lawn grant"),
        _("Do they want a lawn grant, or have they asked for one?"),
        (GRANT,),
        _("Work begun before the yes can lose the money."),
    ),
    Question(
        4,
        "sides",
        _("Sides"),
        _("Are the sides measured, and do we know what lies beyond each?"),
        (SIDES,),
        _("Write them on the plan."),
    ),
    Question(
        5,
        "grass",
        _("What grows there"),
        _("What grows there?"),
        (GRASS,),
        _("Several kinds? Pick the last that fits."),
        per_patch=True,
    ),
    Question(6, "weedkiller", _("Weedkiller"), _("Weedkiller or weed-and-feed in the last year?"), (KILLER,)),
    Question(
        7,
        "pipes",
        _("Pipes and wires"),
        _("Pipes and wires under the lawn?"),
        (PUBLIC_LINES, OWN_LINES),
        _("We ask for the marking, not the household. Lines of their own are never marked: ask for those too."),
        is_safety=True,
    ),
    Question(
        8, "septic", _("Septic tank"), _("Septic tank or drain field?"), (SEPTIC,), is_safety=True, per_patch=True
    ),
    Question(9, "wet", _("Water and slope"), _("Does water stand, is it steep?"), (STANDING, SLOPE), per_patch=True),
    Question(
        10, "trees", _("Trees"), _("Trees within 10 m?"), (TREES,), _("The nearest or the thickest."), per_patch=True
    ),
    Question(
        11,
        "past",
        _("Old paint and what was here"),
        _("Old paint on a wall or fence, a workshop, an orchard, ash?"),
        (PAST, SOIL),
        _("Old: a house from before 1978, or nobody knows the year."),
        is_safety=True,
        per_patch=True,
    ),
    Question(12, "sun", pgettext_lazy("sunshine", "Sun"), _("How much sun on a clear day in early summer?"), (SUN,), per_patch=True),
    Question(13, "tap", _("Tap"), _("Does the hose reach from a tap?"), (TAP,)),
    Question(14, "waters", _("Who waters"), _("Who waters and weeds?"), (MINUTES, BEND), is_safety=True),
    Question(
        15,
        "way_in",
        _("The way in"),
        _("Gate at least 90 cm, room for a lorry to tip, no wires above?"),
        (WAY_IN,),
    ),
)
BY_CODE = {question.code: question for question in QUESTIONS}
SAFETY = tuple(question.code for question in QUESTIONS if question.is_safety)

__all__ = ["BY_CODE", "NOT_SURE", "QUESTIONS", "SAFETY", "VERSION", "Ask", "Choice", "Detail", "Question"]
