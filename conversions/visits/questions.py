"""The fifteen core questions of a visit, as data: what is asked, what may be answered, and what an answer raises.

A question has one row of picks, or two where two facts must be known. "Not sure" is always among them. Five are about
safety: they have no usual answer and are never filled in for anybody.
"""

from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from .called import CALLED
from .kinds import NOT_SURE, Ask, Choice, Detail, Question
from .rows import (
    BEND,
    GRANT,
    GRASS,
    KILLER,
    MINUTES,
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
)

VERSION = 2

QUESTIONS: tuple[Question, ...] = (
    Question(
        1, "say", _("Who may say yes"), _("Who may say yes to this?"), (RIGHTS,),
        is_safety=True, is_must=True, effects=("stop", "hold"),
    ),
    Question(
        2, "pictures", _("Pictures"), _("May we take pictures of the ground?"), (PICTURES,), effects=("hold", "evidence")
    ),
    Question(
        3, "grant", _("Lawn grant"), _("Do they want a lawn grant, or have they asked for one?"), (GRANT,),
        _("Work begun before the yes can lose the money."), effects=("stop", "hold", "evidence"),
    ),
    Question(
        4, "sides", _("Sides"), _("Are the sides measured, and do we know what lies beyond each?"), (SIDES,),
        _("Write them on the plan."), is_must=True, effects=("hold", "quantity"),
    ),
    Question(
        5, "grass", _("What grows there"), _("What grows there?"), (GRASS,),
        _("Several kinds? Pick the last that fits."), per_patch=True, is_must=True,
        effects=("stop", "hold", "quantity", "care"),
    ),
    Question(
        6, "weedkiller", _("Weedkiller"), _("Weedkiller or weed-and-feed in the last year?"), (KILLER,),
        effects=("hold", "care"),
    ),
    Question(
        7, "pipes", _("Pipes and wires"), _("Pipes and wires under the lawn?"), (PUBLIC_LINES, OWN_LINES),
        _("We ask for the marking, not the household. Lines of their own are never marked: ask for those too."),
        is_safety=True, is_must=True, effects=("stop", "hold", "safety"),
    ),
    Question(
        8, "septic", _("Septic tank"), _("Septic tank or drain field?"), (SEPTIC,),
        is_safety=True, per_patch=True, is_must=True, effects=("stop", "hold"),
    ),
    Question(
        9, "wet", _("Water and slope"), _("Does water stand, is it steep?"), (STANDING, SLOPE),
        per_patch=True, is_must=True, effects=("stop", "hold", "quantity", "design"),
    ),
    Question(
        10, "trees", _("Trees"), _("Trees within 10 m?"), (TREES,), _("The nearest or the thickest."),
        per_patch=True, is_must=True, effects=("stop", "hold", "quantity", "design"),
    ),
    Question(
        11, "past", _("Old paint and what was here"), _("Old paint on a wall or fence, a workshop, an orchard, ash?"),
        (PAST, SOIL), _("Old: a house from before 1978, or nobody knows the year."),
        is_safety=True, per_patch=True, is_must=True, effects=("stop", "hold", "design", "care"),
    ),
    Question(
        12, "sun", pgettext_lazy("sunshine", "Sun"), _("How much sun on a clear day in early summer?"), (SUN,),
        per_patch=True, effects=("hold", "design"),
    ),
    Question(13, "tap", _("Tap"), _("Does the hose reach from a tap?"), (TAP,), effects=("hold", "care")),
    Question(
        14, "waters", _("Who waters"), _("Who waters and weeds?"), (MINUTES, BEND),
        is_safety=True, is_must=True, effects=("stop", "hold", "design", "care"),
    ),
    Question(
        15, "way_in", _("The way in"), _("Gate at least 90 cm, room for a lorry to tip, no wires above?"), (WAY_IN,),
        effects=("hold", "quantity", "safety"),
    ),
)  # fmt: skip
ALL = (*QUESTIONS, *CALLED)
BY_CODE = {question.code: question for question in ALL}
SAFETY = tuple(question.code for question in QUESTIONS if question.is_safety)

__all__ = [
    "ALL",
    "BY_CODE",
    "CALLED",
    "NOT_SURE",
    "QUESTIONS",
    "SAFETY",
    "VERSION",
    "Ask",
    "Choice",
    "Detail",
    "Question",
]
