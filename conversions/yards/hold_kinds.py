"""The kinds of hold: what each blocks while it waits, its words, and that a fact calls for one."""

import datetime
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext_lazy

from .models import Patch

SENDING, ACCEPTING, BOOKING, BUILDING = PLACES = ("sending", "accepting", "booking", "building")


@dataclass(frozen=True)
class Kind:
    """One kind: what it blocks while it waits, and its words for us (`waits`) and for the household (`waits_you`)."""

    blocks: tuple[str, ...]
    waits: Any
    waits_you: Any
    refused: Any
    good: Any  # what has an end: "The marks are good"
    to_do: Any
    is_safety: bool = False  # never set aside: it is cleared by what was found out, or not at all
    stands_refused: bool = True  # a no keeps the quote back too


# The one table of what blocks what. A rebate begun before its yes is lost (several published eligibility pages of lawn
# rebates), so it holds the booking too; what lies under the ground holds the spade alone, and quoting goes on.
RULES: dict[str, Kind] = {
    "owner": Kind(
        (ACCEPTING, BOOKING, BUILDING),
        gettext_lazy("We wait for the owner’s yes."),
        gettext_lazy("We wait for your owner’s yes."),
        gettext_lazy("The owner said no."),
        gettext_lazy("The owner’s yes is good"),
        gettext_lazy("Give them the owner’s page, and keep the signed one."),
    ),
    "association": Kind(
        (BOOKING, BUILDING),
        gettext_lazy("We wait for the association’s yes."),
        gettext_lazy("We wait for your association’s yes."),
        gettext_lazy("The association said no."),
        gettext_lazy("The association’s yes is good"),
        gettext_lazy("Give them the plan for the association, and keep the answer."),
    ),
    "strip": Kind(
        (BOOKING, BUILDING),
        gettext_lazy("We wait for leave to work on the public strip."),
        gettext_lazy("We wait for leave to work on the public strip."),
        gettext_lazy("There is no leave for the public strip."),
        gettext_lazy("The leave is good"),
        gettext_lazy("Ask whoever looks after the street."),
    ),
    "rebate": Kind(
        (BOOKING, BUILDING),
        gettext_lazy("Do not start: the lawn grant is not given yet. Work begun before the yes can lose the money."),
        gettext_lazy(
            "Please do not dig, cover or kill the grass yet, and do not let the lawn die: you may lose the grant."
        ),
        gettext_lazy("The grant was refused. If they go on without it, mark it as not needed."),
        gettext_lazy("The grant is good"),
        gettext_lazy("Ask whoever gives the grant, and write down their yes and the last day."),
        stands_refused=False,
    ),
    "marks": Kind(
        (BUILDING,),
        gettext_lazy("Pipes and wires are not marked yet."),
        gettext_lazy("We ask for pipes and wires to be marked. No digging before that."),
        gettext_lazy("The locating service does not mark here."),
        gettext_lazy("The marks are good"),
        gettext_lazy("Ask the locating service, and write down the ticket and its dates."),
        is_safety=True,
        stands_refused=False,
    ),
    "soil": Kind(
        (BUILDING,),
        gettext_lazy("We wait for the soil test."),
        gettext_lazy("We wait for the soil test before anybody digs."),
        gettext_lazy("The soil is not fit for our work."),
        gettext_lazy("The soil test is good"),
        gettext_lazy("Have the soil tested, and write down what the health department says."),
        is_safety=True,
        stands_refused=False,
    ),
    "septic": Kind(
        (BUILDING,),
        gettext_lazy("Nobody knows yet where the septic tank and its field are."),
        gettext_lazy("Please find out whether there is a septic tank, and where its field runs."),
        gettext_lazy("A drain field lies here. We do not build on it."),
        gettext_lazy("What was found out is good"),
        gettext_lazy("Ask the household how it went, then write it down."),
        is_safety=True,
        stands_refused=False,
    ),
    "ask": Kind(
        (BUILDING,),
        gettext_lazy("A question of the visit is open."),
        gettext_lazy("We still have a question about your ground."),
        gettext_lazy("A question of the visit is open."),
        gettext_lazy("The answer is good"),
        gettext_lazy("Find out, then write the answer into the visit."),
        is_safety=True,
        stands_refused=False,
    ),
}


@dataclass(frozen=True)
class Call:
    """That an answer or a fact calls for a hold. `is_unsure`: nobody knows, which blocks building and nothing else."""

    kind: str
    patch: Patch | None = None
    about: str = ""
    is_unsure: bool = False
    is_refused: bool = False
    good_until: datetime.date | None = None  # it is settled already, and holds as long as that
    said: str = ""  # what was said, so that another answer later opens it again
    facts: dict = field(default_factory=dict, compare=False)

    @property
    def key(self) -> tuple[str, str, int | None]:
        return self.kind, self.about, self.patch.pk if self.patch else None
