"""An invitation into the group: a link that one person may use once."""

from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.models import Group
from conversions.groups.tenancy import Grouped


class Invite(Grouped):
    """Which roles are waiting, and until when. Its token is made like a link's, and never stored."""

    purpose, generation = "join", 1  # what a link signs besides its number

    name = models.CharField(_("for whom"), max_length=120, blank=True)
    is_organiser = models.BooleanField(default=False)
    is_visitor = models.BooleanField(default=False)
    is_lead = models.BooleanField(default=False)
    is_reader = models.BooleanField(default=False)
    by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="invites")
    made_at = models.DateTimeField(default=timezone.now)
    expires_at = models.DateTimeField()
    used_by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    personal = ("name",)

    class Meta(Grouped.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(used_by=None, used_at=None) | models.Q(used_by__isnull=False, used_at__isnull=False),
                name="invite_used_by_and_at_together",
            )
        ]

    def __str__(self) -> str:
        return self.name or str(self.pk)

    @classmethod
    def open_in(cls, group: Group) -> models.QuerySet[Self]:
        """Those that would still let somebody in."""
        return cls.of(group).filter(used_by=None, revoked_at=None, expires_at__gt=timezone.now())

    @property
    def roles(self) -> frozenset[str]:
        return frozenset(r for r in ("organiser", "visitor", "lead", "reader") if getattr(self, f"is_{r}"))
