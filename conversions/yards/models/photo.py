"""A picture of the ground: served upright, shrunk and without position; as it came it is kept apart, for a time."""

import uuid

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped

from .ground import Patch, Place


class Photo(Grouped):
    SLOTS = [
        ("left", _("from the left")),
        ("middle", _("from the middle")),
        ("right", _("from the right")),
        ("close", _("close up")),
        ("other", _("something else")),
    ]
    TAKEN_FOR = [
        ("visit", _("visit")),
        ("day", _("build day")),
        ("follow-up", _("follow-up")),
        ("household", _("household")),
    ]
    PEOPLE = [("none", _("nobody in it")), ("adult", _("an adult")), ("child", _("a child")), ("unsure", _("not sure"))]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    place = models.ForeignKey(Place, models.RESTRICT, related_name="photos")
    patch = models.ForeignKey(Patch, models.RESTRICT, null=True, blank=True, related_name="photos")
    slot = models.CharField(max_length=8, choices=SLOTS, default="other")
    taken_for = models.CharField(max_length=12, choices=TAKEN_FOR)
    taken_for_id = models.PositiveBigIntegerField()
    original_key = models.CharField(max_length=120, blank=True)  # never served; empty once its time has run out
    original_until_on = models.DateField(null=True, blank=True)
    original_sha256 = models.CharField(max_length=64)
    original_bytes = models.PositiveIntegerField()
    view_key = models.CharField(max_length=120)
    thumb_key = models.CharField(max_length=120)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True, blank=True)
    received_at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    blurred_from = models.ForeignKey("self", models.RESTRICT, null=True, blank=True, related_name="blurred")
    is_blurred = models.BooleanField(default=False)  # stays true once the picture it was made from is taken out
    people = models.CharField(max_length=8, choices=PEOPLE, default="unsure")
    only_household = models.BooleanField(_("everybody in it lives here"), default=False)

    personal = ("original_key", "view_key", "thumb_key")
    plain = ("slot", "taken_for", "original_sha256", "people")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "uid"], name="photo_uid")]
        ordering = ["pk"]
