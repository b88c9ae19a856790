"""After the build: the care sheet and the follow-ups that fall due."""

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped


class CareSheet(Grouped):
    """One issue of a conversion's care sheet; a later patch re-issues it."""

    conversion = models.ForeignKey("yards.Conversion", models.RESTRICT, related_name="care_sheets")
    day = models.ForeignKey("builds.Day", models.RESTRICT, related_name="care_sheets")
    n = models.PositiveSmallIntegerField()
    document = models.ForeignKey("people.Document", models.RESTRICT, related_name="+")
    why_again = models.CharField(max_length=240, blank=True)
    made_at = models.DateTimeField(default=timezone.now)
    handed_over_on = models.DateField(null=True, blank=True)

    plain = ("why_again",)

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["conversion", "n"], name="care_sheet_number")]
        ordering = ["n"]


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

    personal = ("findings", "note")
    plain = ("kind", "state", "tries", "how")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["conversion", "kind", "n"], name="follow_up_once")]
        ordering = ["due_on", "pk"]
