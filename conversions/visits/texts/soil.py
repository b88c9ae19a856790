"""Cautions about what may be in the soil: not tested is a state of its own.

None of this replaces a local code, the locating service, a doctor or a licensed trade. A comment names the published
source a figure or rule was read in; "common practice, no source" and "from memory" mean what they say.
"""

from django.utils.translation import gettext_lazy as _

from .kind import ADVICE, HEALTH, NOTE, STOP, Caution

SOIL = (
    # Source: US EPA directive of October 2025 (200 ppm screening, 600 removal) and health departments that differ;
    # the 10 ft (3 m) from painted walls is a rule of thumb: common practice, no source.
    Caution(
        "soil_untested",
        ADVICE,
        _("Soil not tested"),
        _(
            "Treat the soil as if it held lead: keep it damp, no digging, no small children in it, wash hands before food."
        ),
        _(
            "We do not know the lead in your soil. Please have it tested. Until we know, food grows only in lined frames filled "
            "with bought compost."
        ),
        HEALTH,
    ),
    Caution(
        "old_paint",
        ADVICE,
        _("Old paint"),
        _("No bed and no trench within 3 m (10 ft) of the painted wall or fence. Do not scrape or pick up flakes."),
        _("Paint flakes gather along old walls. We keep beds 3 m off and suggest a soil test from that strip."),
        _("a certified lead-paint professional, the health department"),
    ),
    # Source: one state's clean-up level for arsenic and lead on old orchards; the rest common practice, no source.
    Caution(
        "past_use",
        STOP,
        _("What was here before"),
        _("No digging until a test is back and somebody who knows says go ahead."),
        _(
            "An old orchard, a workshop or ash can leave lead, arsenic or oil in the soil. It needs a test and advice first."
        ),
        _("the health department, the environmental agency"),
    ),
    # Bands: US EPA directive of October 2025 and an older table of a state university; publishers differ.
    Caution(
        "lead_low",
        NOTE,
        _("Lead: low"),
        _("Under 100 ppm. Wash hands after work and before food."),
        _("Your test is low. Washing hands and vegetables is enough."),
        HEALTH,
    ),
    Caution(
        "lead_some",
        NOTE,
        _("Lead: some"),
        _("100 to 199 ppm. Damp the ground, cover all bare soil, no digging by small children, wash hands."),
        _(
            "Your result is above the usual but under the US screening level of 200 ppm. Clean compost on card, all bare soil "
            "covered, roots peeled. Your area may set a lower level."
        ),
        HEALTH,
    ),
    Caution(
        "lead_high",
        ADVICE,
        _("Lead: high"),
        _("200 to 399 ppm. No trench and no digging. Only framed, lined beds filled with bought compost."),
        _(
            "Your result is at or above the US screening level of 200 ppm. Please ask the health department. Grow only in "
            "lined frames of bought compost, fruit rather than leaves or roots."
        ),
        _("the health department, the environmental agency"),
    ),
    Caution(
        "lead_stop",
        STOP,
        _("Lead: too high"),
        _("400 ppm or more. We do not work in this soil."),
        _("Please speak to the health department before any gardening here, and keep children off bare soil."),
        _("the health department, a licensed contractor"),
    ),
)

# Any of these: no roots, no potatoes in the ground, lined frames only.
SUSPECT = frozenset({"soil_untested", "old_paint", "past_use", "lead_high", "lead_stop"})
