"""A plan being drawn, and what a kept plan promises for each patch."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped

from .ground import Patch
from .living import Conversion


class Draft(Grouped):
    """One drawing of a conversion: `site` is the engine's own document, `takeoff` what the engine made of it."""

    STATES = [("open", _("open")), ("kept", _("kept"))]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    conversion = models.ForeignKey(Conversion, models.RESTRICT, related_name="drafts")
    number = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=4, choices=STATES, default="open")
    by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    parent = models.ForeignKey("self", models.RESTRICT, null=True, blank=True, related_name="children")
    site = models.JSONField(default=dict, blank=True)
    site_sha = models.CharField(max_length=64, blank=True)
    engine_version = models.CharField(max_length=20, blank=True)
    takeoff = models.JSONField(default=dict, blank=True)
    saved_at = models.DateTimeField(auto_now=True)
    kept_at = models.DateTimeField(null=True, blank=True)
    revision = models.PositiveIntegerField(default=1)

    plain = ("state", "site", "site_sha", "engine_version", "takeoff")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["group", "uid"], name="draft_uid"),
            models.UniqueConstraint(fields=["conversion", "number"], name="draft_number"),
            models.UniqueConstraint(
                fields=["conversion", "by"], condition=models.Q(state="open", parent=None), name="draft_one_open_each"
            ),
        ]
        ordering = ["number"]

    def site_at(self, revision: int) -> dict:
        """The drawing as it stood at a revision, which is what somebody saw who opened it then."""
        if revision == self.revision:
            return self.site
        save = self.saves.filter(revision=revision).first()
        return save.site if save else self.site


class DraftSave(Grouped):
    """One saved state of a drawing: shown beside a later one when two people saved, and gone back to by "Take back"."""

    draft = models.ForeignKey(Draft, models.CASCADE, related_name="saves")
    revision = models.PositiveIntegerField()
    uid = models.UUIDField(null=True, blank=True, editable=False)  # the page's own, where a script sent it
    site = models.JSONField(default=dict, blank=True)
    by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    plain = ("site",)

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["draft", "revision"], name="draft_save_once"),
            models.UniqueConstraint(fields=["draft", "uid"], name="draft_save_uid"),
        ]
        ordering = ["revision"]


class Planned(Grouped):
    """The ground a kept plan means to cover on one patch; complete_on is set by whoever closes the day."""

    conversion = models.ForeignKey(Conversion, models.RESTRICT, related_name="planned")
    patch = models.ForeignKey(Patch, models.RESTRICT, related_name="planned")
    draft = models.ForeignKey(Draft, models.RESTRICT, related_name="planned")
    planned_m2 = models.DecimalField(max_digits=9, decimal_places=2)
    complete_on = models.DateField(null=True, blank=True)

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["conversion", "patch"], name="planned_once")]
        ordering = ["pk"]
