"""Everything that stops us, one row for each reason: what it is, what it blocks, and how it was settled."""

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped, GroupedQuerySet

from .ground import Patch
from .living import Conversion

WAITING = ("open", "asked")
SETTLED = ("cleared", "not needed", "overridden")


class HoldQuerySet(GroupedQuerySet):
    def in_force(self) -> "HoldQuerySet":
        """Of yards that go on."""
        return self.filter(conversion__closed_on=None, conversion__outcome="")

    def for_lists(self) -> "HoldQuerySet":
        return self.select_related(
            "conversion__place", "conversion__household__contact", "patch", "who__user", "by__user", "second_by__user",
            "cleared_by__user",
        )  # fmt: skip


class Hold(Grouped):
    """One reason to wait. There is one row for each kind, patch and question of a run; its history is in the events."""

    KINDS = [
        ("owner", _("the owner’s yes")),
        ("association", _("the association’s yes")),
        ("strip", _("leave for the public strip")),
        ("rebate", _("the lawn grant")),
        ("marks", _("pipes and wires marked")),
        ("soil", _("the soil")),
        ("septic", _("the septic tank")),
        ("ask", _("a question nobody could answer")),
    ]
    STATES = [
        ("open", _("open")),
        ("asked", _("asked, no answer yet")),
        ("cleared", _("cleared")),
        ("refused", _("refused")),
        ("not needed", _("not needed")),
        ("overridden", _("set aside by us")),
    ]
    conversion = models.ForeignKey(Conversion, models.CASCADE, related_name="holds")
    patch = models.ForeignKey(Patch, models.RESTRICT, null=True, blank=True, related_name="holds")
    kind = models.CharField(max_length=12, choices=KINDS)
    about = models.CharField(max_length=40, blank=True)  # the question of a visit, where the kind is "ask"
    state = models.CharField(max_length=12, choices=STATES, default="open")
    blocks_sending = models.BooleanField(default=False)
    blocks_accepting = models.BooleanField(default=False)
    blocks_booking = models.BooleanField(default=False)
    blocks_building = models.BooleanField(default=True)
    valid_from = models.DateField(_("good from"), null=True, blank=True)
    valid_until = models.DateField(_("good until"), null=True, blank=True)
    facts = models.JSONField(
        _("what is known"), default=dict, blank=True
    )  # ticket, seen_by, reserved_m2, lead_ppm, said
    document = models.ForeignKey("people.Document", models.RESTRICT, null=True, blank=True, related_name="+")
    who = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")  # sees to it
    due_on = models.DateField(_("by when"), null=True, blank=True)
    opened_at = models.DateTimeField(default=timezone.now)
    cleared_by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    override_reason = models.CharField(_("why we set it aside"), max_length=240, blank=True)
    by = models.ForeignKey(
        "groups.Member", models.RESTRICT, null=True, blank=True, related_name="+"
    )  # asks to set aside
    second_by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    overridden_at = models.DateTimeField(null=True, blank=True)
    revision = models.PositiveIntegerField(default=1)

    everywhere = HoldQuerySet.as_manager()

    personal = ("facts", "override_reason")
    plain = ("kind", "about", "state")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["conversion", "kind", "about"], condition=Q(patch=None), name="hold_once_for_the_yard"
            ),
            models.UniqueConstraint(
                fields=["conversion", "kind", "about", "patch"],
                condition=Q(patch__isnull=False),
                name="hold_once_a_patch",
            ),
            models.CheckConstraint(
                condition=~Q(state="overridden") | ~Q(override_reason=""), name="hold_override_has_a_reason"
            ),
            models.CheckConstraint(
                condition=Q(second_by=None) | ~Q(by=models.F("second_by")), name="hold_second_is_another"
            ),
        ]
        ordering = ["pk"]

    def __str__(self) -> str:
        asked = self.facts.get("question")
        return f"{self.get_kind_display()}: {asked}" if asked else str(self.get_kind_display())

    @property
    def is_waiting(self) -> bool:
        return self.state in WAITING

    @property
    def is_settled(self) -> bool:
        return self.state in SETTLED

    @property
    def override_waits(self) -> bool:
        """One organiser asked to set it aside, and no second one has said so yet."""
        return bool(self.override_reason and self.by_id) and self.state in (*WAITING, "refused")
