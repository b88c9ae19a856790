"""Build days, who comes, what was laid, and the ledger of ground."""

import uuid
from decimal import ROUND_HALF_UP, Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q, Sum
from django.db.models.functions import Coalesce, Round
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped, GroupedQuerySet

OPEN = ("planned", "confirmed", "moved", "under way")  # a day that can still change


class DayQuerySet(GroupedQuerySet):
    def open(self) -> "DayQuerySet":
        return self.filter(state__in=OPEN)

    def seen_by(self, member) -> "DayQuerySet":
        """All days for organisers, leads and visitors; a helper's own: signed up for, or in charge of."""
        if member.roles & {"organiser", "lead", "visitor"}:
            return self
        own = SignUp.of(member.group_id).filter(person__member=member).values("day")
        return self.filter(Q(pk__in=own) | Q(lead=member) | Q(deputy=member))

    def for_lists(self) -> "DayQuerySet":
        """Each with how many come, whose yards they are and what it counted: three queries for any number of days."""
        patches = DayPatch.everywhere.select_related("conversion__place", "conversion__household__contact", "patch")
        coming = models.Count("sign_ups", filter=Q(sign_ups__state__in=["coming", "came"]), distinct=True)
        counted = Ground.everywhere.filter(day=models.OuterRef("pk")).order_by().values("day")
        counted = counted.annotate(sum=Round(models.Sum("m2"), 2)).values("sum")
        return (
            self.annotate(coming=coming, counted_m2=models.Subquery(counted))
            .select_related("lead__user")
            .prefetch_related(models.Prefetch("day_patches", queryset=patches))
            .order_by("on", "starts", "pk")
        )


class Day(Grouped):
    KINDS = [("build", _("build")), ("rescue", _("rescue"))]
    STATES = [
        ("planned", _("planned")),
        ("confirmed", _("on")),
        ("moved", _("moved to the rain date")),
        ("cancelled", _("called off")),
        ("under way", _("under way")),
        ("closed", _("closed")),
    ]
    on = models.DateField(_("date"))
    starts = models.TimeField(_("from"))
    ends = models.TimeField(_("until"))
    rain_on = models.DateField(_("rain date"), null=True, blank=True)
    kind = models.CharField(max_length=8, choices=KINDS, default="build")
    state = models.CharField(max_length=10, choices=STATES, default="planned")
    lead = models.ForeignKey("groups.Member", models.RESTRICT, related_name="led_days")
    deputy = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    helpers_wanted = models.PositiveSmallIntegerField(_("helpers wanted"), default=4, validators=[MinValueValidator(1)])
    meeting_point = models.CharField(_("where to meet"), max_length=200, blank=True)
    notes = models.TextField(_("notes for the crew"), blank=True)
    facts = models.JSONField(_("what was ticked as ready"), default=dict, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    revision = models.PositiveIntegerField(default=1)

    everywhere = DayQuerySet.as_manager()

    personal = ("notes", "meeting_point")
    plain = ("kind", "state", "facts")

    class Meta(Grouped.Meta):
        constraints = [models.CheckConstraint(condition=Q(ends__gt=F("starts")), name="day_ends_after_start")]
        ordering = ["on", "starts", "pk"]

    def __str__(self) -> str:
        return str(self.held_on)

    @property
    def held_on(self):
        """The date it is held on; moving a day writes the rain date into `on`, so that closing keeps it."""
        return self.on

    @property
    def is_open(self) -> bool:
        return self.state in OPEN

    @property
    def length_h(self) -> Decimal:
        """Hours from start to end, rounded once."""
        minutes = (self.ends.hour - self.starts.hour) * 60 + self.ends.minute - self.starts.minute
        return (Decimal(minutes) / 60).quantize(Decimal("0.01"), ROUND_HALF_UP)

    @property
    def yards(self) -> list:
        """The conversions of this day, each once, in the day's order."""
        return list({row.conversion_id: row.conversion for row in self.day_patches.all()}.values())

    @property
    def planned_m2(self) -> Decimal:
        return sum((row.planned_m2 for row in self.day_patches.all()), Decimal("0.00"))

    @property
    def shown_m2(self) -> Decimal:
        """What it has added, of a day that is closed; before that, and of a rescue, the ground it is about.
        Needs a row that came through `for_lists`."""
        if self.state != "closed" or self.kind != "build":
            return self.planned_m2
        return self.counted_m2 or Decimal("0.00")

    @property
    def title(self) -> str:
        """Whose yards, as short as can be: "Adeyo, 14 Tansy Row" or "14 Tansy Row and 1 more"."""
        yards = self.yards
        if len(yards) == 1:
            return str(yards[0])
        more = len(yards) - 1
        return _("%(first)s and %(n)s more") % {"first": yards[0].place.address, "n": more} if yards else ""

    def may_run(self, member) -> bool:
        """Organisers run every day, leads every day, and whoever is named lead or deputy this one."""
        return bool(member.roles & {"organiser", "lead"}) or member.pk in (self.lead_id, self.deputy_id)


class DayPatch(Grouped):
    """One patch to be done on one day; a day may hold many yards, a yard may take many days."""

    day = models.ForeignKey(Day, models.RESTRICT, related_name="day_patches")
    conversion = models.ForeignKey("yards.Conversion", models.RESTRICT, related_name="day_patches")
    quote = models.ForeignKey("quotes.Quote", models.RESTRICT, null=True, blank=True, related_name="+")
    patch = models.ForeignKey("yards.Patch", models.RESTRICT, related_name="day_patches")
    order = models.PositiveSmallIntegerField(default=1)
    planned_m2 = models.DecimalField(max_digits=9, decimal_places=2)

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["day", "patch"], name="day_patch_once")]
        ordering = ["order", "pk"]


class SignUp(Grouped):
    STATES = [("coming", _("coming")), ("off", _("cannot come")), ("came", _("came")), ("missing", _("did not come"))]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    day = models.ForeignKey(Day, models.RESTRICT, related_name="sign_ups")
    person = models.ForeignKey("people.Person", models.RESTRICT, related_name="sign_ups")
    role = models.CharField(_("glad to do"), max_length=40, blank=True)
    state = models.CharField(max_length=8, choices=STATES, default="coming")
    in_at = models.DateTimeField(null=True, blank=True)
    out_at = models.DateTimeField(null=True, blank=True)
    hours = models.DecimalField(
        max_digits=7, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(Decimal("0"))]
    )

    personal = ("role",)
    plain = ("state",)

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["group", "uid"], name="sign_up_uid"),
            models.UniqueConstraint(fields=["day", "person"], name="sign_up_once"),
        ]
        ordering = ["pk"]


class AsBuilt(Grouped):
    """What was made complete on one day on one patch, never a running total; the highest n holds."""

    HOW = [("as drawn", _("as drawn")), ("measured", _("measured"))]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    day = models.ForeignKey(Day, models.RESTRICT, related_name="as_built")
    patch = models.ForeignKey("yards.Patch", models.RESTRICT, related_name="as_built")
    n = models.PositiveSmallIntegerField()
    area_m2 = models.DecimalField(max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0"))])
    how = models.CharField(max_length=10, choices=HOW)
    measured_by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    checked_by = models.CharField(max_length=120, blank=True)
    layers = models.PositiveSmallIntegerField(null=True, blank=True)
    depth_mm = models.PositiveSmallIntegerField(null=True, blank=True)  # the thinnest of five pokes
    is_complete = models.BooleanField(default=False)  # the whole planned patch stands
    complete_on = models.DateField(null=True, blank=True)
    why_different = models.CharField(max_length=240, blank=True)
    site = models.JSONField(default=dict, blank=True)
    at = models.DateTimeField(default=timezone.now)

    personal = ("checked_by",)
    plain = ("how", "why_different", "site")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["group", "uid"], name="as_built_uid"),
            models.UniqueConstraint(fields=["day", "patch", "n"], name="as_built_number"),
        ]
        ordering = ["pk"]

    @property
    def is_left(self) -> bool:
        """Nothing was finished here that day; the patch waits for another."""
        return not self.area_m2 and not self.is_complete


class GroundQuerySet(GroupedQuerySet):
    def with_left(self) -> "GroundQuerySet":
        """Each row that corrects nothing with `left_m2`: what it counts today, its corrections in."""
        corrections = Coalesce(Sum("corrections__m2"), Decimal("0"), output_field=models.DecimalField())
        return self.filter(corrects=None).annotate(left_m2=Round(F("m2") + corrections, 2))

    def taken_back(self) -> "GroundQuerySet":
        """Keys of the rows whose corrections left nothing: history, and no yard of this year any more."""
        corrected = self.filter(corrects=None, corrections__isnull=False)
        left = Round(F("m2") + Sum("corrections__m2"), 2)
        return corrected.annotate(left_m2=left).filter(left_m2__lte=0).values("pk")


class Ground(Grouped):
    """The ledger: append-only, and the only source of the tally."""

    KINDS = [
        ("converted", _("lawn converted")),
        ("extension", _("extension")),
        ("other ground", _("other ground improved")),
        ("correction", _("correction")),
    ]
    patch = models.ForeignKey("yards.Patch", models.RESTRICT, related_name="ground")
    day = models.ForeignKey(Day, models.RESTRICT, null=True, blank=True, related_name="ground")
    as_built = models.ForeignKey(AsBuilt, models.RESTRICT, null=True, blank=True, related_name="ground")
    corrects = models.ForeignKey("self", models.RESTRICT, null=True, blank=True, related_name="corrections")
    kind = models.CharField(max_length=12, choices=KINDS)
    m2 = models.DecimalField(max_digits=9, decimal_places=2)
    growing_m2 = models.DecimalField(max_digits=9, decimal_places=2, default=Decimal("0"))
    complete_on = models.DateField()
    count_on = models.DateField()
    year = models.PositiveSmallIntegerField()
    month = models.PositiveSmallIntegerField()
    reason = models.CharField(max_length=240, blank=True)
    by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    everywhere = GroundQuerySet.as_manager()

    plain = ("kind", "reason")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["day", "patch"], condition=Q(kind="converted"), name="ground_once_a_day"),
            models.CheckConstraint(
                condition=~Q(kind="converted") | Q(day__isnull=False, as_built__isnull=False), name="ground_has_a_day"
            ),
            models.CheckConstraint(
                condition=Q(kind="correction", corrects__isnull=False) | (~Q(kind="correction") & Q(corrects=None)),
                name="ground_correction_names_a_row",
            ),
            models.CheckConstraint(
                condition=Q(kind="correction") | Q(m2__gte=0), name="ground_only_corrections_negative"
            ),
            models.CheckConstraint(condition=Q(month__gte=1, month__lte=12), name="ground_month"),
        ]
        indexes = [models.Index(fields=["group", "year", "month"], name="ground_by_month")]
        ordering = ["pk"]

    @property
    def stands_m2(self) -> Decimal:
        """What this row counts with its corrections, which may be prefetched."""
        return sum((row.m2 for row in self.corrections.all()), self.m2)
