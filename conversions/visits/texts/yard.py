"""Cautions that an answer of the visit raises.

None of this replaces a local code, the locating service, a doctor or a licensed trade. A comment names the published
source a figure or rule was read in; "common practice, no source" and "from memory" mean what they say.
"""

from django.utils.translation import gettext_lazy as _

from .kind import ADVICE, LOCATING, NOTE, STOP, Caution

RAISED = (
    # Common practice, no source; what a tenancy or an association may ask differs from place to place.
    Caution(
        "consent_open",
        STOP,
        _("Somebody else must say yes"),
        _("No work before the written yes of everybody who must give it."),
        _("Please get the written yes of the owner, the co-owners or the association. We start only then."),
        _("the owner or landlord, the association, the municipal office"),
    ),
    Caution(
        "consent_refused",
        STOP,
        _("The owner says no"),
        _("No work here."),
        _("The owner has said no, so we cannot build here. Ring us if that changes."),
        _("the owner or landlord"),
    ),
    # Source: eligibility pages of several lawn-rebate schemes: work before approval is refused.
    Caution(
        "grant_first",
        STOP,
        _("Grant not given yet"),
        _("No work, no mowing short and no killing of grass before the grant is given: begun work can lose it."),
        _("Please wait for the written yes of the grant, and keep the grass alive until then."),
        _("whoever gives the grant"),
    ),
    # Common practice, no source.
    Caution(
        "measure_again",
        ADVICE,
        _("Measure again"),
        _("Tape the sides before the day: amounts on this plan are a guess."),
        _("We measure once more before we order."),
    ),
    # Common practice, no source.
    Caution(
        "runners",
        ADVICE,
        _("Creeping grass or roots"),
        _("One more layer of card, laps of 200 mm or more. Dig nothing: each cut piece grows. Weight the edge."),
        _("Expect to pull runners at the edge every week in the first year. We come and help."),
        _("an extension service or a gardening adviser"),
    ),
    # Common practice, no source.
    Caution(
        "runners_bend",
        STOP,
        _("Runners, and hard to bend"),
        _("No build until it is settled who pulls the runners each week."),
        _("Creeping grass must be pulled by hand each week in the first year. Let us talk about who can do it."),
        _("the household, a neighbour who helps"),
    ),
    # Common practice, no source; which plants must be reported is law in many places.
    Caution(
        "knotweed",
        STOP,
        _("Knotweed or its like"),
        _("No digging, cutting, mowing or carting here. Keep off with tools and boots."),
        _("This plant must be dealt with first; moving it may be against the law. We don't build over it."),
        _("the local authority on invasive plants, a licensed contractor"),
    ),
    # From memory: some lawn weedkillers last in clippings, hay and manure.
    Caution(
        "weedkiller",
        ADVICE,
        _("Weedkiller was used"),
        _("Leave clippings off the beds. Food only after a bed of test beans has grown well."),
        _("Some weedkillers last. Tell us the name and the date, and let us grow test beans before you plant food."),
        _("an extension service; the label"),
    ),
    # Source: locate-service pages.
    Caution(
        "not_marked",
        STOP,
        _("Not marked yet"),
        _("No digging until all public lines are marked and we hold the ticket with its dates."),
        _("We ask for the marking. No digging before that."),
        LOCATING,
    ),
    Caution(
        "marks_ran_out",
        STOP,
        _("The marks have run out"),
        _("These marks no longer hold. No digging until they are renewed."),
        _("We ask for new marks before we dig."),
        LOCATING,
    ),
    Caution(
        "private_lines",
        ADVICE,
        _("Lines of their own"),
        _("The locating service does not mark these. Ask where they run, flag sprinkler heads, lift rather than chop."),
        _("Please show us sprinklers, lights, pet fences and pipes past the meter, or tell us you do not know."),
        _("the owner, whoever laid them, a private locator"),
    ),
    # Source: two extension services on drain fields: lines as shallow as 6 in, keep watering 10 ft (3 m) off.
    Caution(
        "septic_here",
        STOP,
        _("Septic tank or drain field"),
        _("Nothing dug, piled, wheeled or parked on the field or within 3 m (10 ft) of it."),
        _(
            "We do not build on a drain field or within 3 m of it: its pipes lie shallow, cover and watering upset it, and "
            "food there is a health risk. Another patch may do."
        ),
        _("a septic professional, the health department"),
    ),
    Caution(
        "septic_near",
        ADVICE,
        _("Septic tank nearby"),
        _("Flag tank, lids and field. No heap, lorry or loaded barrow on them; stay 3 m (10 ft) off."),
        _("Show us the tank, its lids and the field before the day."),
        _("a septic professional"),
    ),
    # Common practice, no source.
    Caution(
        "gutter",
        NOTE,
        _("Water must get away"),
        _("Leave gutter outlets, channels and drain covers open."),
        _("We keep gutter outlets and drains clear so that water still leaves the house."),
        _("local drainage rules"),
    ),
    # Source: an extension horticulturist on sheet mulch: wet soils get wetter. That we stop is common practice, no source.
    Caution(
        "wet_ground",
        STOP,
        _("Water stands here"),
        _("No build here: cover makes wet ground wetter."),
        _(
            "Water stands here, and our cover would keep it wet. Another patch, or drainage by somebody who knows it, first."
        ),
        _("local drainage rules, a drainage contractor"),
    ),
    # Source of the bands: a slope guide. What we do there is common practice, no source.
    Caution(
        "slope",
        ADVICE,
        _("On a slope"),
        _("Work across the fall, never stand below a full barrow, chock its wheel."),
        _("Beds run across the slope and the first area may be smaller. Retaining walls are not our work."),
        _("a licensed engineer or contractor for any retaining wall"),
    ),
    Caution(
        "steep",
        STOP,
        _("Too steep"),
        _("No build here: chips and card would slide."),
        _("This ground is too steep for our way of working. Another patch may do."),
        _("a licensed engineer or contractor"),
    ),
    # Source: Vancouver (WA) tree code, 1 ft per inch of trunk; other codes ask for 1.25 or 1.5. Thumb: common practice.
    Caution(
        "tree",
        ADVICE,
        _("By the tree"),
        _(
            "No trench inside the tree's ring: 12 times the trunk's width, 1.83 m (6 ft) at least. Lay on top only, thin chips, "
            "bare ground round the bark. Cut no root thicker than a thumb."
        ),
        _("Near your tree we only lay on top, without an edge trench, and leave bare ground around the trunk."),
        _("a certified arborist; the local tree rules, some ask for a wider ring"),
    ),
    Caution(
        "tree_protected",
        STOP,
        _("Protected tree"),
        _("No work inside the ring of a protected tree without written leave."),
        _("Your tree is protected. We need written leave before we work near it."),
        _("the local authority's tree officer"),
    ),
    # Source: a home-garden programme asks for 6 hours at least. Under 3 for fruiting plants: common practice, no source.
    Caution(
        "shade",
        ADVICE,
        _("Little sun"),
        _("Too dark for tomatoes, squash and beans."),
        _("Under 3 hours of sun is too little for fruiting plants. Leaves may do; shrubs and flowers do better."),
        _("an extension service or a gardening adviser"),
    ),
    Caution(
        "half_sun",
        NOTE,
        _("Half sun"),
        _("Leafy plants here."),
        _("With 3 to 6 hours of sun, leaves and herbs do best."),
    ),
    # Common practice, no source.
    Caution(
        "no_tap",
        ADVICE,
        _("No tap in reach"),
        _("Bring water for drinking, washing and wetting the card."),
        _("Let us find out where the water comes from before the day, and who carries it in summer."),
    ),
    # Common practice, no source.
    Caution(
        "little_time",
        NOTE,
        _("Little time"),
        _("Keep the beds small."),
        _("With under half an hour a week, start with a small bed. It can grow next year."),
    ),
    Caution(
        "nobody_waters",
        STOP,
        _("Nobody waters yet"),
        _("No build until somebody is named who waters."),
        _("Young plants die without water. Let us find somebody before we build."),
        _("the household, a neighbour who helps"),
    ),
    # Source: advice pages on gardening seated: beds 24 to 36 in high, reach 24 in from one side.
    Caution(
        "hard_to_bend",
        ADVICE,
        _("Hard to bend"),
        _("Offer a higher frame and firm, wide paths."),
        _("A higher bed is easier to reach, and takes more compost. Tell us the height that suits."),
    ),
    # Source: NIOSH lifting equation, carry over 10 m.
    Caution(
        "carry",
        NOTE,
        _("A longer carry"),
        _("More helpers for the barrows, short turns, two to a bag."),
        _("We need a place on your own ground for the heap; on the street it may need a permit."),
        _("the public-works department for a heap on the street"),
    ),
    # Common practice, no source; the safe distance is the utility's to say.
    Caution(
        "overhead",
        STOP,
        _("Wires above"),
        _("No raised tipper and no long tools under wires. Tip somewhere else."),
        _("A lorry cannot tip under the wires. Is there another place for the heap?"),
        _("the electricity company"),
    ),
)
