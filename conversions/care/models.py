"""After the build: the care sheet and the follow-ups that fall due."""

from django.db import models
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped, GroupedQuerySet


class CareSheetQuerySet(GroupedQuerySet):
    def to_hand_over(self) -> "CareSheetQuerySet":
        """The newest sheet of each garden, where nobody has handed it over; the paper's bytes stay behind.

        The sheet of a day that was opened again waits until the day is closed once more; people who moved get none."""
        newer = models.Q(conversion__care_sheets__n__gt=models.F("n"))
        return (
            self.filter(handed_over_on=None, day__state="closed")
            .exclude(newer)
            .exclude(conversion__outcome="done")
            .select_related("conversion__place", "conversion__household__contact", "day")
        )


class FollowUpQuerySet(GroupedQuerySet):
    def due(self) -> "FollowUpQuerySet":
        return self.filter(state="due").select_related("conversion__place", "conversion__household__contact")


class CareSheet(Grouped):
    """One issue of a conversion's care sheet; a later patch re-issues it."""

    conversion = models.ForeignKey("yards.Conversion", models.RESTRICT, related_name="care_sheets")
    day = models.ForeignKey("builds.Day", models.RESTRICT, related_name="care_sheets")
    n = models.PositiveSmallIntegerField()
    document = models.ForeignKey("people.Document", models.RESTRICT, related_name="+")
    why_again = models.CharField(max_length=240, blank=True)
    made_at = models.DateTimeField(default=timezone.now)
    handed_over_on = models.DateField(null=True, blank=True)

    everywhere = CareSheetQuerySet.as_manager()

    plain = ("why_again",)

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["conversion", "n"], name="care_sheet_number")]
        ordering = ["n"]

    @property
    def first_on(self):
        """The day the first patch of this garden was finished; every date on the sheet counts from it."""
        dates = self.conversion.built_by.planned.exclude(complete_on=None).order_by("complete_on")
        return dates.values_list("complete_on", flat=True).first() or self.day.held_on


class FollowUp(Grouped):
    KINDS = [
        ("week 1", _("week 1")),
        ("month 1", _("month 1")),
        ("season's end", _("season's end")),
        ("year 1", _("year 1")),
        ("year 2", _("year 2")),
        ("year 3", _("year 3")),
        ("rescue", _("rescue")),
    ]
    STATES = [("due", _("due")), ("done", _("done")), ("dropped", _("dropped"))]
    conversion = models.ForeignKey("yards.Conversion", models.RESTRICT, related_name="follow_ups")
    kind = models.CharField(max_length=12, choices=KINDS)
    n = models.PositiveSmallIntegerField(default=1)
    due_on = models.DateField()
    state = models.CharField(max_length=8, choices=STATES, default="due")
    tries = models.JSONField(default=list, blank=True)  # [{"on": "2026-05-12", "how": "phone"}], no names
    done_on = models.DateField(null=True, blank=True)
    how = models.CharField(max_length=12, blank=True)
    findings = models.JSONField(default=dict, blank=True)
    note = models.TextField(blank=True)
    by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    revision = models.PositiveIntegerField(default=1)

    everywhere = FollowUpQuerySet.as_manager()

    personal = ("findings", "note")
    plain = ("kind", "state", "tries", "how")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["conversion", "kind", "n"], name="follow_up_once")]
        ordering = ["due_on", "pk"]

    @property
    def words(self) -> str:
        return capfirst(_("another look") if self.kind == "rescue" else self.get_kind_display())
