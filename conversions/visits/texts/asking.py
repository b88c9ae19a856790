"""Whom a household asks about a caution of its own yard, when, and at whose cost: three short sentences each.

Who pays is common practice, no source: asking an office is free, work on a house or its ground is for its owner to pay.
That public lines are marked free of charge is told by the locating services; elsewhere the local rules hold.
"""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _


@dataclass(frozen=True)
class Asking:
    whom: str | Promise
    when: str | Promise
    cost: str | Promise

    def __str__(self) -> str:
        return f"{self.whom} {self.when} {self.cost}"


FREE, OWNER_PAYS = _("It costs nothing to ask."), _("Asking is free. Any work is for the owner to pay.")
BEFORE_YES, BEFORE_DAY = _("Do it before you say yes."), _("Do it before the day.")
OFFICE_OR_LAB = _("Ask the health office or a soil lab.")
ADVISER = _("Ask a garden adviser near you, or ring us.")
WE_ASK = Asking(
    _("We ask the service that marks pipes and wires."), _("We do that before the day."), _("You pay nothing for it.")
)
BUILDER = _("Ask a licensed builder or engineer.")
SEPTIC = _("Ask a firm that is licensed for septic tanks, or the health office.")

ASKING = {
    "soil_untested": Asking(
        OFFICE_OR_LAB, _("Best before you say yes: it takes some weeks."), _("You pay the lab. Ask the price first.")
    ),
    "old_paint": Asking(
        _("Ask the health office, or a firm that is licensed for old lead paint."),
        _("Do it before anyone scrapes or digs near that wall."),
        OWNER_PAYS,
    ),
    "past_use": Asking(_("Ask the health office or a soil lab what to test for."), BEFORE_YES, OWNER_PAYS),
    "lead_low": Asking(OFFICE_OR_LAB, _("Ask at any time."), FREE),
    "lead_some": Asking(OFFICE_OR_LAB, _("Do it before you plant food."), FREE),
    "lead_high": Asking(_("Ask the health office."), _("Do it before you plant food."), OWNER_PAYS),
    "lead_stop": Asking(_("Ask the health office."), _("Do it before anyone gardens there."), OWNER_PAYS),
    "consent_open": Asking(_("Ask all those who own the ground or have a say in it."), BEFORE_YES, FREE),
    "consent_refused": Asking(_("Talk with the owner, if you like."), _("Take all the time you need."), FREE),
    "grant_first": Asking(
        _("Ask the people who give the grant."), _("Do it before you mow short, dig or cover the grass."), FREE
    ),
    "measure_again": Asking(
        _("You need not ask anyone."), _("We measure before we order."), _("You pay nothing for it.")
    ),
    "runners": Asking(ADVISER, _("Do it when you see the first ones."), _("Our help is free in the first year.")),
    "runners_bend": Asking(_("Ask a neighbour or a friend, or ring us."), BEFORE_YES, FREE),
    "knotweed": Asking(
        _("Ask your town hall about weeds you must report, or a licensed firm."),
        _("Do it before anyone cuts, digs or moves it."),
        OWNER_PAYS,
    ),
    "weedkiller": Asking(_("Read the label, or ask a garden adviser."), _("Do it before you plant food."), FREE),
    "not_marked": WE_ASK,
    "marks_ran_out": WE_ASK,
    "private_lines": Asking(
        _("Ask whoever laid them. If nobody knows, a firm can look for them."), BEFORE_DAY, OWNER_PAYS
    ),
    "septic_here": Asking(SEPTIC, BEFORE_YES, OWNER_PAYS),
    "septic_near": Asking(SEPTIC, BEFORE_DAY, OWNER_PAYS),
    "gutter": Asking(
        _("Ask your town hall for the rules on rain water."), _("Do it only if you change a drain."), FREE
    ),
    "wet_ground": Asking(_("Ask a firm that lays drains."), BEFORE_YES, OWNER_PAYS),
    "slope": Asking(BUILDER, _("Do it before any wall is built."), OWNER_PAYS),
    "steep": Asking(BUILDER, BEFORE_YES, OWNER_PAYS),
    "tree": Asking(
        _("Ask a trained tree expert, and look up the tree rules of your town."), BEFORE_DAY, OWNER_PAYS
    ),
    "tree_protected": Asking(
        _("Ask the tree officer of your town."), BEFORE_YES, _("Some towns ask for a fee. It is for the owner to pay.")
    ),
    "shade": Asking(ADVISER, _("Do it before you choose plants."), FREE),
    "half_sun": Asking(ADVISER, _("Do it before you choose plants."), FREE),
    "no_tap": Asking(
        _("Talk with us and with your neighbours."), BEFORE_DAY, _("Whoever owns the tap pays for the water.")
    ),
    "little_time": Asking(_("Talk with us."), BEFORE_YES, FREE),
    "nobody_waters": Asking(_("Ask a neighbour or a friend, or ring us."), BEFORE_YES, FREE),
    "hard_to_bend": Asking(
        _("Tell us."), BEFORE_YES, _("A higher bed costs more. You see the new price first.")
    ),
    "carry": Asking(
        _("For a heap on the street we ask the street office."),
        _("We do that a week before the day."),
        _("If they want a fee, we ask you first."),
    ),
    "overhead": Asking(
        _("We ask the power company how far off to stay."), _("We do that before the heap comes."),
        _("You pay nothing for it."),
    ),
}  # fmt: skip
