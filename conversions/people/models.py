"""Everyone we know, with or without an account, and the links and papers made for them."""

import hashlib
import uuid

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.common.fold import fold
from conversions.groups.tenancy import Grouped


class Person(Grouped):
    """Household contact, helper, donor, landlord or member: one row each."""

    ROUTES = [
        ("phone", _("phone call")),
        ("text", _("text message")),
        ("email", _("e-mail")),
        ("post", _("letter")),
        ("door", _("knock on the door")),
    ]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    name = models.CharField(_("name"), max_length=120)
    route = models.CharField(_("how they like to be reached"), max_length=8, choices=ROUTES, default="phone")
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    postal = models.CharField(_("postal address"), max_length=240, blank=True)
    language = models.CharField(_("language"), max_length=12, blank=True)
    large_print = models.BooleanField(_("large print"), default=False)
    units = models.CharField(_("units"), max_length=8, blank=True)  # empty: the group's
    can_do = models.CharField(_("glad to do"), max_length=240, blank=True)
    first_aid = models.BooleanField(_("first-aider"), default=False)
    seats = models.PositiveSmallIntegerField(_("seats in a car"), null=True, blank=True)
    under_18 = models.BooleanField(_("under 18"), default=False)
    member = models.OneToOneField("groups.Member", models.RESTRICT, null=True, blank=True, related_name="person")
    search = models.CharField(max_length=400, blank=True, editable=False, db_index=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    personal = ("name", "route", "phone", "email", "postal", "language", "units", "can_do", "search")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "uid"], name="person_uid")]
        ordering = ["search", "pk"]

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs) -> None:
        self.search = fold(f"{self.name} {self.phone} {self.email}")[:400]
        if kwargs.get("update_fields") is not None:
            kwargs["update_fields"] = {*kwargs["update_fields"], "search"}
        super().save(*args, **kwargs)


class Document(Grouped):
    """A paper as it left the house: bytes that never change."""

    KINDS = [
        ("plan", _("your plan")),
        ("crew sheet", _("crew sheet")),
        ("care sheet", _("care sheet")),
    ]
    kind = models.CharField(max_length=16, choices=KINDS)
    title = models.CharField(max_length=200)
    language = models.CharField(max_length=12, default="en")
    variant = models.CharField(max_length=16, blank=True)  # such as large print
    content = models.BinaryField(blank=True)
    sha256 = models.CharField(max_length=64, editable=False)
    made_at = models.DateTimeField(default=timezone.now)
    is_personal = models.BooleanField(default=True)
    erased_at = models.DateTimeField(null=True, blank=True)

    personal = ("title", "content")
    plain = ("kind", "language", "variant", "sha256")

    class Meta(Grouped.Meta):
        pass

    def __str__(self) -> str:
        return self.title

    def save(self, *args, **kwargs) -> None:
        if not self.sha256:
            self.sha256 = hashlib.sha256(self.content).hexdigest()
        super().save(*args, **kwargs)


class Link(Grouped):
    """A way in for somebody without an account. The token is computed, never stored."""

    PURPOSES = [("plan", _("your plan")), ("sign-up", _("helping on a day")), ("care", _("care sheet"))]
    SUBJECTS = [("quote", "quote"), ("day", "day"), ("care sheet", "care sheet")]
    purpose = models.CharField(max_length=12, choices=PURPOSES)
    person = models.ForeignKey(Person, models.CASCADE, null=True, blank=True, related_name="links")
    subject_type = models.CharField(max_length=12, choices=SUBJECTS)
    subject_id = models.PositiveBigIntegerField()
    generation = models.PositiveSmallIntegerField(default=1)
    expires_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    plain = ("purpose", "subject_type")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["group", "purpose", "subject_type", "subject_id"],
                condition=models.Q(person=None),
                name="link_one_open_per_subject",
            ),
            models.UniqueConstraint(
                fields=["group", "purpose", "subject_type", "subject_id", "person"],
                condition=models.Q(person__isnull=False),
                name="link_one_per_person",
            ),
        ]
