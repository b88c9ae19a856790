"""What was seen on site: the visit, and one row for each answer, never overwritten."""

import uuid

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped


class Visit(Grouped):
    STATES = [
        ("planned", _("planned")),
        ("under way", _("under way")),
        ("done", _("done")),
        ("cut short", _("cut short")),
        ("no answer", _("nobody home")),
    ]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    conversion = models.ForeignKey("yards.Conversion", models.RESTRICT, related_name="visits")
    due_at = models.DateTimeField(_("when"))
    due_out_at = models.DateTimeField(null=True, blank=True)
    state = models.CharField(max_length=10, choices=STATES, default="planned")
    reason = models.CharField(max_length=240, blank=True)
    notes = models.TextField(_("notes"), blank=True)
    checked_in_at = models.DateTimeField(null=True, blank=True)
    checked_out_at = models.DateTimeField(null=True, blank=True)
    checklist_version = models.PositiveSmallIntegerField(default=1)
    revision = models.PositiveIntegerField(default=1)

    personal = ("notes", "reason")
    plain = ("state",)

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "uid"], name="visit_uid")]
        ordering = ["due_at", "pk"]


class VisitMember(Grouped):
    """Who goes."""

    visit = models.ForeignKey(Visit, models.CASCADE, related_name="goers")
    member = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    called_off_at = models.DateTimeField(null=True, blank=True)

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["visit", "member"], name="visit_member_once")]


class Entry(Grouped):
    """One answer as somebody gave it. The current answers are the entries nobody replaces."""

    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    visit = models.ForeignKey(Visit, models.RESTRICT, related_name="entries")
    patch = models.ForeignKey("yards.Patch", models.RESTRICT, null=True, blank=True, related_name="+")
    question = models.CharField(max_length=40)
    value = models.JSONField(default=dict, blank=True)
    as_typed = models.CharField(max_length=400, blank=True)
    by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    device_at = models.DateTimeField(null=True, blank=True)  # told, not trusted
    received_at = models.DateTimeField(default=timezone.now)

    personal = ("value", "as_typed")
    plain = ("question",)

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "uid"], name="entry_uid")]
        ordering = ["pk"]


class EntryReplaces(Grouped):
    """What the writer of an entry saw and replaced."""

    entry = models.ForeignKey(Entry, models.CASCADE, related_name="replaces")
    replaced = models.ForeignKey(Entry, models.RESTRICT, related_name="replaced_by")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["entry", "replaced"], name="entry_replaces_once")]
