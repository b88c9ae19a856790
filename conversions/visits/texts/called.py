"""Cautions that the answer to a question brings up which was asked only because another answer called for it.

None of this replaces a local code, the locating service, a doctor or a licensed trade. A comment names the published
source a figure or rule was read in; "common practice, no source" and "from memory" mean what they say. What the
household has to be told of these stands in the words of the plan itself, so they speak to us alone.
"""

from django.utils.translation import gettext_lazy as _

from .kind import ADVICE, NOTE, STOP, Caution

CALLED = (
    # Common practice, no source: a garden wants more than one season.
    Caution("lease_short", ADVICE, _("The lease ends soon"), _("Less than a year is left. Build small, in frames that can move."), whom=_("the owner or landlord")),
    Caution("ask_the_others", ADVICE, _("Others use this ground"), _("Ask them before you measure: their washing line, their path, their children’s place."), whom=_("all who use the ground")),
    Caution("come_again", ADVICE, _("Talk with those who live here"), _("What this person said is no yes. Ring those who live here.")),
    # Common practice, no source; a child neither decides nor translates for the house.
    Caution("no_adult", STOP, _("No adult was there"), _("Do not stay with children alone. Leave, and come when an adult is in."), whom=_("an adult of the household")),
    # Source: eligibility pages of several lawn-rebate schemes: living grass, and pictures from before.
    Caution("grant_begun", ADVICE, _("Grass dead, or work begun"), _("The grant may be lost. Change nothing more, and ask first."), whom=_("whoever gives the grant")),
    # Source: city right-of-way pages; the permit differs from place to place.
    Caution("public_strip", ADVICE, _("Public ground"), _("Ask for leave before anything lies there. Keep the path free, and count on somebody digging there one day."), whom=_("the city’s public-works office")),
    # Source: city codes on sight triangles; heights read there range from 24 to 36 in.
    Caution("low_plants", ADVICE, _("Low plants by the road"), _("No frame, no heap and nothing tall where drivers must see. Ask the height; do not assume one."), whom=_("the city or county code office")),
    # Source: state defensible-space rules and fire-department pages: the first 5 ft (1.5 m) hold nothing that burns.
    Caution("fire_strip", STOP, _("Fire strip"), _("No chips, card or timber in the strip along what burns. Bare soil or gravel there."), whom=_("the fire department; the defensible-space code of the area")),
    # Common practice, no source.
    Caution("edge_creeps", NOTE, _("It comes in at the edge"), _("Cut a clean edge on that side and lap the card up it. Look there every week in the first year.")),
    Caution("spray_next_door", NOTE, _("Spray next door"), _("Beds away from that side. Ask them to tell us before they spray.")),
    # Source: lawn-rebate pages that ask for pictures of the running system and of capped heads.
    Caution("sprinklers", NOTE, _("Sprinklers"), _("Take a picture while they run. Flag each head; they are capped before the card lies.")),
    # Source: two extension services on drain fields.
    Caution("find_field", ADVICE, _("Find the drain field"), _("Keep the heap, the lorry and every bed away from where it may run until it is found."), whom=_("a septic professional, the health department")),
    Caution("well_near", ADVICE, _("A well"), _("No manure, no heap and no fuel near the well."), whom=_("the health department, for how far off")),
    # Common practice, no source.
    Caution("gutter_stays", NOTE, _("The gutter stays"), _("Leave a bare channel from its mouth to the edge. No bed across it.")),
    Caution("roots", NOTE, _("Roots on top"), _("Card and thin chips only over them. Cut none.")),
    # Source: extension pages on walnuts: tomatoes, peppers and potatoes suffer near the roots.
    Caution("walnut", NOTE, _("A walnut"), _("Tomatoes, peppers and potatoes do badly near its roots. Put them far off, or in a frame.")),
    # Common practice, no source.
    Caution("no_water", ADVICE, _("No water yet"), _("No planting day before somebody says where the water comes from.")),
    # Source: advice pages on gardening seated: beds 24 to 36 in high, reached 24 in from one side.
    Caution("high_bed", NOTE, _("A higher bed"), _("Ask for the height and draw a frame of it. It takes up to three times the compost.")),
    # Source: the same pages: paths of 36 in or more, firm, slope under 5 %.
    Caution("firm_path", NOTE, _("Firm path"), _("Loose chips are hard going on wheels. Plan a firm path, 90 cm wide or more.")),
    # Common practice, no source.
    Caution("photo_of_the_way", NOTE, _("Picture of the way"), _("Take one of the narrow part, with the tape across it.")),
    Caution("street_heap", ADVICE, _("Heap on the street"), _("Ask whether it needs leave. Nobody stands behind a lorry that backs; somebody watches the road."), whom=_("the city’s public-works office")),
    Caution("no_heap", ADVICE, _("No place for a heap"), _("No lorry is booked before there is one. Bags or a trailer may do.")),
    # Common practice, no source; how far off differs from place to place.
    Caution("keep_clear", ADVICE, _("Keep it clear"), _("Nothing within reach of a hydrant, a drain or a stop. Choose another place."), whom=_("the fire department; the city")),
    Caution("dog_loose", ADVICE, _("A dog runs free"), _("Nobody goes in before it is held. Ring from the gate.")),
)  # fmt: skip
