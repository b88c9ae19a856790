"""Cautions of every build day, whatever the yard.

None of this replaces a local code, the locating service, a doctor or a licensed trade. A comment names the published
source a figure or rule was read in; "common practice, no source" and "from memory" mean what they say.
"""

from django.utils.translation import gettext_lazy as _

from .kind import ADVICE, HEALTH, LOCATING, NOTE, STOP, Caution

ALWAYS = (
    # Source: locate-service pages (free marking, a few days' notice, lines only inches down); state lists of the
    # tolerance band, 18 to 24 in each side of a mark.
    Caution(
        "marks",
        STOP,
        _("Marks first"),
        _(
            "No spade goes in until the lead has seen the ticket and its dates. Within 0.6 m of a mark, or more where "
            "your area says so: hand tools only, gently, and stop at anything that is not soil. Leave paint and flags."
        ),
        _(
            "We ask for the public pipes and wires to be marked before we dig, even for a shallow edge. Please leave the "
            "paint and the flags where they are: mow before the marking, not after."
        ),
        LOCATING,
    ),
    # Source: a utility's pipeline-leak page and a gas-safety page: leave, no spark or phone near, ring from afar.
    Caution(
        "smell_hiss",
        STOP,
        _("Smell or hiss"),
        _(
            "Gas smell, a hiss, or a line that is hit: everyone leaves at once, on foot. No phone, flame, switch or engine "
            "near it. Ring the emergency number and the gas company from far off. Do not cover or mend anything."
        ),
        _("If you smell gas or hear a hiss, leave at once and ring the emergency number from outside, far off."),
        _("the emergency number; the gas company"),
    ),
    # Source: occupational-safety heat pages and a hydration sheet (a cup every 15 to 20 minutes); the weather service's
    # heat-index chart (103 F, 39 C: danger). The pattern of rest is common practice, no source.
    Caution(
        "heat",
        ADVICE,
        _("Heat"),
        _(
            "A cup of water every 15 to 20 minutes, a hat, breaks in the shade. Feels like 33 °C (91 °F) or more: start early, "
            "rest 15 minutes each hour, watch each other. 39 °C (103 °F) or a heat warning: no build. Confused, faint or no "
            "longer sweating: ring the emergency number and cool with water at once."
        ),
        _("We may start earlier, stop sooner or move the day because of heat."),
        _("the weather service; a doctor"),
    ),
    # Source: weather service, lightning safety: indoors at the first thunder, 30 minutes after the last.
    Caution(
        "lightning",
        STOP,
        _("Thunder"),
        _("At the first thunder everyone goes indoors or into a car. Start again 30 minutes after the last."),
        _("A storm stops the work for a while."),
        _("the weather service"),
    ),
    # Source: NIOSH lifting equation, worked for bags lifted from the ground; the swapping time from a national
    # occupational health centre's shovelling guidance.
    Caution(
        "lifting",
        NOTE,
        _("Lifting"),
        _(
            "Two people to a bag over 12 kg, or open it where it lies. Barrow what is loose, half full. Turn with the feet, "
            "not the back. Swap tasks every 15 minutes. Whoever has a bad back chooses another job."
        ),
        _("A heap near the beds saves backs: please keep the drive clear for it."),
        _("occupational-health guidance"),
    ),
    # Source: health-agency advice on potting mix: damp it, open away from the face, gloves, wash hands.
    Caution(
        "dust",
        NOTE,
        _("Dust from compost and chips"),
        _(
            "Damp compost and chips before moving them, open bags away from the face, wear gloves. With asthma, a weak immune "
            "system or a bad chest: another job, or a mask. A heap that steams is hot inside: open it with a fork."
        ),
        _("Damp the compost before you handle it, wear gloves, wash your hands afterwards."),
        _("a doctor"),
    ),
    # Source: bands of several health departments on soil lead; washing is advised in all of them.
    Caution(
        "clean_hands",
        NOTE,
        _("Clean hands"),
        _("Wash hands before eating and when you go. Keep soil damp and shoes at the door."),
        _("Wash hands and vegetables, peel roots, leave garden shoes at the door."),
        HEALTH,
    ),
    # Source: health-department pages on sharps.
    Caution(
        "sharps",
        NOTE,
        _("Glass and needles"),
        _(
            "Walk the lawn slowly first, adults in thick gloves. Never take a needle by hand. If somebody is pricked: wash, "
            "tell the lead, go to a doctor at once."
        ),
        _("Tell us if glass or needles were found here. Please clear what pets have left the day before."),
        _("the health department"),
    ),
)

COLD = (
    # Source: weather service, wind-chill chart; the level at which we stop is common practice, no source.
    Caution(
        "cold",
        NOTE,
        _("Cold"),
        _(
            "Layers, dry gloves, breaks indoors. Frozen ground, ice on paths or wind chill below -18 °C (0 °F): no build."
        ),
        _("We move the day if the ground is frozen."),
        _("the weather service"),
    ),
)
