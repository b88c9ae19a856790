"""The rows of picks: what may be answered, and what an answer raises. Every row ends in "Not sure"."""

from django.utils.translation import gettext_lazy as _

from .kinds import Ask, Choice, Detail, picks

WHO_MUST = Detail("who", _("Who else must say yes?"))
RIGHTS = Ask(
    "right",
    picks(
        Choice("owners", _("Owners, all say yes")),
        Choice("some owners", _("An owner is still to ask"), ("consent_open",), True, True),
        Choice("rent, yes", _("Rented, the owner says yes")),
        Choice("rent, open", _("Rented, the owner is still to ask"), ("consent_open",), True, True),
        Choice("shared", _("An association is still to ask"), ("consent_open",), True, True),
        Choice("nobody", _("The owner says no"), ("consent_refused",), True),
    ),
    details=(WHO_MUST,),
)
PICTURES = Ask(
    "pictures",
    picks(Choice("ground", _("Ground only, nobody in it")), Choice("none", _("No pictures"))),
    usual="ground",
)
GRANT = Ask(
    "grant",
    picks(
        Choice("none", _("None")),
        Choice("wanted", _("Wanted, no yes yet"), ("grant_first",), True, True),
        Choice("granted", _("Granted, work may start"), more=True),
    ),
    usual="none",
    details=(Detail("which", _("Which grant?")),),
)
SIDES = Ask(
    "sides",
    picks(
        Choice("walked", _("Walked and measured")),
        Choice("guessed", _("Guessed or from a picture"), ("measure_again",)),
    ),
    usual="walked",
)
GRASS = Ask(
    "grass",
    picks(
        Choice("clumps", _("Clumps")),
        Choice("runners", _("Runners"), ("runners",)),
        Choice("bindweed", _("Bindweed, horsetail, bramble"), ("runners",)),
        Choice("knotweed", _("Knotweed or its like"), ("knotweed",), True),
    ),
    usual="clumps",
)
KILLER = Ask(
    "killer",
    picks(Choice("no", _("No")), Choice("yes", _("Yes"), ("weedkiller",), more=True)),
    usual="no",
    details=(Detail("what", _("Which, and when?")),),
)
PUBLIC_LINES = Ask(
    "public",
    picks(
        Choice("marked", _("Marked, all of them"), more=True),
        Choice("some", _("Some of them"), ("not_marked",), True),
        Choice("no", _("Not yet"), ("not_marked",), True),
    ),
    words=_("Gas, electricity, water, telephone: marked by the locating service?"),
    details=(
        Detail("until", _("Marked until"), "date"),
        Detail("ticket", _("Ticket number")),
    ),
)
OWN_LINES = Ask(
    "own",
    picks(
        Choice("none", _("They have none")),
        Choice("shown", _("Shown to us"), ("private_lines",), more=True),
        Choice("hidden", _("Somewhere, not found"), ("private_lines",), True),
    ),
    words=_("Their own: sprinklers, lights, pet fence, pipe to a shed, tank?"),
    details=(Detail("where", _("Where do they run?")),),
)
SEPTIC = Ask(
    "septic",
    picks(
        Choice("no", _("No")),
        Choice("away", _("Yes, over 3 m away"), ("septic_near",)),
        Choice("here", _("Yes, here or nearer"), ("septic_here",), True),
    ),
)
STANDING = Ask(
    "standing",
    picks(
        Choice("no", _("No")),
        Choice("gutter", _("A gutter empties here"), ("gutter",)),
        Choice("yes", _("Water stands"), ("wet_ground",), True),
    ),
    words=_("A day after rain, does water stand here?"),
    usual="no",
)
# Source of the bands: a slope guide, good up to 20 %, fair up to 33 %; where we stop is common practice, no source.
SLOPE = Ask(
    "slope",
    picks(
        Choice("flat", _("Under 60 cm")),
        Choice("sloping", _("60 cm to 1 m"), ("slope",)),
        Choice("steep", _("Over 1 m"), ("steep",), True),
    ),
    words=_("How far does it fall over 3 m?"),
    usual="flat",
)
TREES = Ask(
    "trees",
    picks(
        Choice("none", _("None")),
        Choice("near", _("Yes"), ("tree",), more=True),
        Choice("protected", _("Yes, a protected one"), ("tree", "tree_protected"), True, True),
    ),
    usual="none",
    details=(
        Detail("off", _("From the trunk to the nearest edge"), "length"),
        Detail("trunk", _("Across the trunk, at chest height"), "small length", most_m=3),
    ),
)
PAST = Ask(
    "past",
    picks(
        Choice("none", _("None of these")),
        Choice("paint", _("Old paint")),
        Choice("other", _("Workshop, orchard, ash")),
        Choice("both", _("Paint and another")),
    ),
)
SOIL = Ask(
    "soil",
    picks(
        Choice("untested", _("Not tested")),
        Choice("tested", _("Tested"), more=True),
        Choice("cleared", _("Tested, we may go ahead"), more=True),
    ),
    words=_("Has the soil been tested?"),
    details=(Detail("lead", _("Lead"), "whole", _("mg/kg (ppm)")), Detail("advice", _("Who said what?"))),
)
SUN = Ask(
    "sun",
    picks(
        Choice("under 3", _("Under 3 hours"), ("shade",)),
        Choice("3 to 6", _("3 to 6 hours"), ("half_sun",)),
        Choice("over 6", _("Over 6 hours")),
    ),
    usual="over 6",
)
TAP = Ask("tap", picks(Choice("yes", _("Yes")), Choice("no", _("No"), ("no_tap",))), usual="yes")
MINUTES = Ask(
    "minutes",
    picks(
        Choice("under 30", _("Under 30"), ("little_time",), more=True),
        Choice("30 to 60", _("30 to 60"), more=True),
        Choice("over 60", _("Over 60"), more=True),
        Choice("nobody", _("Nobody yet"), ("nobody_waters",), True),
    ),
    words=_("Minutes a week they have for it"),
    details=(Detail("who", _("Who waters?")),),
)
BEND = Ask(
    "bend",
    picks(
        Choice("no", _("No")),
        Choice("helped", _("Yes, somebody helps"), ("hard_to_bend",)),
        Choice("yes", _("Yes"), ("hard_to_bend",)),
    ),
    words=_("Is it hard for anyone to bend?"),
)
WAY_IN = Ask(
    "way",
    picks(
        Choice("all", _("All three")),
        Choice("narrow", _("Narrow, or no room to tip"), ("carry",), more=True),
        Choice("wires", _("Wires above"), ("overhead",), more=True),
    ),
    usual="all",
    details=(
        Detail("gate", _("Narrowest gate"), "length", most_m=10),
        Detail("what", _("What is in the way?")),
    ),
)
