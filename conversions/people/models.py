"""Everyone we know, with or without an account, and the links and papers made for them."""

import hashlib
import uuid

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.common.fold import digits, fold
from conversions.groups.tenancy import Grouped, GroupedQuerySet

from .models_event import Appended
from .models_event import Event as Event
from .models_invite import Invite as Invite


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
    revision = models.PositiveIntegerField(default=1)
    erased_at = models.DateTimeField(null=True, blank=True)

    personal = ("name", "route", "phone", "email", "postal", "language", "units", "can_do", "search")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "uid"], name="person_uid")]
        ordering = ["search", "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def found_by(self) -> str:
        return fold(f"{self.name} {self.phone} {self.email} {digits(self.phone)}")[:400]

    def save(self, *args, **kwargs) -> None:
        self.search = self.found_by
        if kwargs.get("update_fields") is not None:
            kwargs["update_fields"] = {*kwargs["update_fields"], "search"}
        super().save(*args, **kwargs)


class Document(Grouped):
    """A paper as it left the house: bytes that never change."""

    KINDS = [
        ("plan", _("your plan")),
        ("crew sheet", _("crew sheet")),
        ("care sheet", _("care sheet")),
        ("signed page", _("a signed page")),
    ]
    kind = models.CharField(max_length=16, choices=KINDS)
    title = models.CharField(max_length=200)
    language = models.CharField(max_length=12, default="en")
    variant = models.CharField(max_length=16, blank=True)  # such as large print
    content = models.BinaryField(blank=True)
    sha256 = models.CharField(max_length=64, blank=True, editable=False)
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


class Consent(Appended):
    """What somebody said when they were asked. No row means not asked, and not asked means no."""

    KINDS = [
        ("contact", _("We may keep their name and number")),
        ("photo record", _("Pictures of the ground for our record")),
        ("photo public", _("Pictures of the ground shown to others")),
        ("people in photo", _("Pictures that show them or their children")),
        ("share name", _("Their name told to other helpers")),
        ("future", _("We may ask them again in later years")),
    ]
    ANSWERS = [("yes", _("Yes")), ("no", _("No"))]
    HOW = [
        ("asked", _("asked in person")),
        ("phone", _("on the phone")),
        ("paper", _("signed on paper")),
        ("message", _("by message")),
        ("link", _("on their own page")),
    ]
    person = models.ForeignKey(Person, models.CASCADE, related_name="consents")
    kind = models.CharField(_("what we asked"), max_length=16, choices=KINDS)
    answer = models.CharField(_("what they said"), max_length=4, choices=ANSWERS)
    on = models.DateField(_("when"))
    how = models.CharField(_("how"), max_length=8, choices=HOW)
    notice_version = models.CharField(max_length=12)
    by = models.ForeignKey(
        "groups.Member", models.RESTRICT, null=True, blank=True, related_name="+"
    )  # null: themselves
    child = models.ForeignKey(Person, models.CASCADE, null=True, blank=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    personal = ("answer", "how")
    plain = ("kind", "notice_version")

    class Meta(Appended.Meta):
        ordering = ["-on", "-pk"]


class MessageQuerySet(GroupedQuerySet):
    def to_do(self) -> "MessageQuerySet":
        """What a person must do: tell somebody by hand, or see to an e-mail that did not go."""
        return self.filter(state__in=["by hand", "failed"]).select_related("person", "document", "link")


class Message(Grouped):
    """The outbox: one thing to tell one person. E-mails go by themselves, every other route is a to-do."""

    KINDS = {
        "quote-sent": _("their plan"),
        "quote-reminder": _("their plan runs out soon"),
        "care-sheet": _("the care sheet"),
        "day-moved": _("the build day moves"),
        "day-off": _("no build day"),
        "day-on": _("the build day is on after all"),
        "septic-ask": _("a question about the septic tank"),
        "withdrawn": _("they stop, and everything is released"),
        "day-smaller": _("one yard fewer on the day"),
        "grant-wait": _("the lawn must wait for the grant"),
        "test": _("a test message"),
    }
    STATES = [
        ("due", _("waits to be sent")),
        ("leased", _("being sent")),
        ("sent", _("told")),
        ("failed", _("did not go")),
        ("by hand", _("to do")),
        ("dropped", _("no longer needed")),
    ]
    person = models.ForeignKey(Person, models.CASCADE, related_name="messages")
    kind = models.CharField(max_length=16)
    conversion_id = models.PositiveBigIntegerField(null=True, blank=True, db_index=True)  # plain numbers: those parts
    day_id = models.PositiveBigIntegerField(null=True, blank=True, db_index=True)  # stand to the right of this one
    route = models.CharField(max_length=8, choices=Person.ROUTES)
    language = models.CharField(max_length=12)
    template = models.CharField(max_length=60)
    values = models.JSONField(default=dict, blank=True)
    link = models.ForeignKey(
        Link, models.RESTRICT, null=True, blank=True, related_name="+"
    )  # its token only on sending
    document = models.ForeignKey(Document, models.RESTRICT, null=True, blank=True, related_name="+")
    by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    due_at = models.DateTimeField(default=timezone.now)
    state = models.CharField(max_length=8, choices=STATES, default="due")
    lease_until = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    outcome = models.CharField(max_length=300, blank=True)
    key = models.CharField(max_length=80)

    everywhere = MessageQuerySet.as_manager()

    personal = ("values", "outcome")
    plain = ("kind", "route", "language", "template", "state", "key")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "key"], name="message_key")]
        indexes = [models.Index(fields=["state", "due_at"], name="message_due")]
        ordering = ["due_at", "pk"]

    def __str__(self) -> str:
        return self.key

    @property
    def what(self) -> str:
        """What it is about, in words."""
        return str(self.KINDS.get(self.kind, self.kind))
