"""Who lives at a place, and each run from enquiry to growing."""

import uuid

from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext_lazy as _

from conversions.common.fold import asks
from conversions.groups.tenancy import Grouped, GroupedQuerySet

from .ground import Place

STAGES = [
    ("enquiry", _("Enquiry")),
    ("visited", _("Visited")),
    ("quoted", _("Quoted")),
    ("agreed", _("Agreed")),
    ("booked", _("Booked")),
    ("built", _("Built")),
    ("growing", _("Growing")),
]
APART = [("not now", _("Not now")), ("ended", _("Ended"))]
STAGE_NUMBER = {code: number for number, (code, _label) in enumerate(STAGES, start=1)}


class Household(Grouped):
    """People at a place for a time; two may live there at once."""

    TENURES = [
        ("own", _("They own it")),
        ("rent", _("They rent it")),
        ("shared", _("Shared")),
        ("not sure", _("Not sure")),
    ]
    place = models.ForeignKey(Place, models.RESTRICT, related_name="households")
    contact = models.ForeignKey("people.Person", models.RESTRICT, related_name="households")
    tenure = models.CharField(_("own or rent"), max_length=8, choices=TENURES)
    from_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)

    plain = ("tenure",)

    class Meta(Grouped.Meta):
        pass

    def __str__(self) -> str:
        return str(self.contact)


class ConversionQuerySet(GroupedQuerySet):
    def with_facts(self) -> "ConversionQuerySet":
        """Each row with the seven facts its stage is read from: one query, no step to the right."""
        here = Q(pk=OuterRef("pk"))
        rows = self.model.everywhere.filter(here)
        planned = rows.filter(planned__planned_m2__gt=0)  # nothing planned: an earlier drawing had this patch
        unfinished = rows.filter(planned__planned_m2__gt=0, planned__complete_on=None)
        return self.annotate(
            is_visited=Exists(rows.filter(visits__state="done")),
            is_quoted=Exists(rows.filter(quotes__state__in=["sent", "accepted", "replaced", "expired", "declined"])),
            is_agreed=Exists(rows.filter(quotes__state="accepted")),
            is_booked=Exists(
                rows.filter(
                    day_patches__day__kind="build",
                    day_patches__day__state__in=["planned", "confirmed", "moved", "under way"],
                )
            ),  # a day that is closed and left ground to do is no day to wait for
            has_plan=Exists(planned),
            has_unbuilt=Exists(unfinished),
            is_growing=Exists(rows.filter(follow_ups__kind="season's end", follow_ups__state="done")),
            season_is_ahead=Exists(rows.filter(follow_ups__kind="season's end", follow_ups__state="due")),
        )

    def matching(self, asked: str) -> "ConversionQuerySet":
        """By the name, the number or the street somebody has in mind."""
        return self.filter(asks(asked, "place__search", "household__contact__search"))

    def for_lists(self) -> "ConversionQuerySet":
        return self.with_facts().select_related("place", "household__contact").order_by("-pk")


class Conversion(Grouped):
    """One run from enquiry to growing. Its stage is computed from facts, never stored."""

    OUTCOMES = [
        ("waiting", _("waiting")),
        ("declined", _("said no")),
        ("withdrawn", _("withdrawn")),
        ("done", _("done")),
    ]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    place = models.ForeignKey(Place, models.RESTRICT, related_name="conversions")
    household = models.ForeignKey(Household, models.RESTRICT, related_name="conversions")
    number = models.PositiveSmallIntegerField()
    opened_on = models.DateField()
    opened_by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    wish = models.CharField(_("what they would like, in their words"), max_length=400, blank=True)
    note = models.TextField(_("note"), blank=True)
    continues = models.ForeignKey("self", models.RESTRICT, null=True, blank=True, related_name="continued_by")
    closed_on = models.DateField(null=True, blank=True)
    outcome = models.CharField(max_length=12, choices=OUTCOMES, blank=True)
    ask_again_on = models.DateField(_("ask again"), null=True, blank=True)  # of those that wait; the first of a month
    revision = models.PositiveIntegerField(default=1)

    everywhere = ConversionQuerySet.as_manager()

    personal = ("wish", "note")
    plain = ("outcome",)

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["group", "uid"], name="conversion_uid"),
            models.UniqueConstraint(fields=["place", "number"], name="conversion_number"),
        ]

    def __str__(self) -> str:
        return f"{self.household.contact.name}, {self.place.address}"

    @property
    def built_by(self) -> "Conversion":
        """The run that built what this one looks after: itself, or an earlier one with the people before."""
        run = self
        while run.continues_id:
            run = run.continues
        return run

    def drawing(self):
        """The drawing that counts now: the newest open one worked on since the last one was kept, else that one."""
        kept, drawn = self.drafts.filter(state="kept").order_by("-kept_at").first(), self.drafts.filter(state="open")
        if kept:
            begun = Q(number__gt=kept.number, saved_at__gte=kept.kept_at)
            drawn = drawn.filter(begun | Q(saved_at__gt=kept.kept_at))
        return drawn.order_by("-number").first() or kept

    @property
    def stage(self) -> str:
        """The stage's code; needs a row that came through `with_facts`."""
        if self.outcome in ("waiting", "declined"):
            return "not now"
        if self.outcome in ("withdrawn", "done"):
            return "ended"
        if self.continues_id and not self.has_plan:
            return "built" if self.season_is_ahead else "growing"
        if self.is_growing:
            return "growing"
        if self.has_plan and not self.has_unbuilt:
            return "built"
        if self.is_booked and self.is_agreed:
            return "booked"
        if self.is_agreed:
            return "agreed"
        if self.is_quoted:
            return "quoted"
        return "visited" if self.is_visited else "enquiry"

    @property
    def stage_word(self) -> str:
        return dict(STAGES + APART)[self.stage]

    @property
    def stage_number(self) -> int:
        return STAGE_NUMBER.get(self.stage, 0)
