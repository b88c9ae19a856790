"""Who signs in, the group they work for, and what each may do there."""

import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo, available_timezones

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager, PermissionsMixin
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext_lazy as _

from .tenancy import Grouped


class UserManager(BaseUserManager):
    def create_user(self, email: str, password: str | None = None, **fields):
        user = self.model(email=self.normalize_email(email).lower(), **fields)
        user.set_password(password)
        user.save()
        return user

    def create_superuser(self, email: str, password: str | None = None, **fields):
        return self.create_user(email, password, is_staff=True, is_superuser=True, **fields)

    def get_by_natural_key(self, email: str):
        return self.get(email=email.lower())


class User(AbstractBaseUser, PermissionsMixin):
    email = models.EmailField(_("e-mail"), unique=True)
    name = models.CharField(_("name"), max_length=120, blank=True)
    is_active = models.BooleanField(default=True)
    is_staff = models.BooleanField(default=False)
    joined_at = models.DateTimeField(default=timezone.now)
    language = models.CharField(_("language"), max_length=12, blank=True)  # empty: the group's
    sign_in_round = models.PositiveIntegerField(default=1, editable=False)  # one more ends every session of this person

    objects = UserManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: list[str] = []

    def __str__(self) -> str:
        return self.name or self.email

    def get_session_auth_hash(self) -> str:
        """What a session must match: it dies with a new password, and with a new round."""
        return salted_hmac("conversions.groups.User.session", f"{self.password}:{self.sign_in_round}").hexdigest()


def is_zone(value: str) -> None:
    if value not in available_timezones():
        raise ValidationError(_("%(value)s is not a time zone."), params={"value": value})


class Group(models.Model):
    """A neighbourhood group and the few things that hold for all its yards."""

    slug = models.SlugField(_("short name in the address"), unique=True, max_length=60)
    name = models.CharField(_("name"), max_length=120)
    zone = models.CharField(_("time zone"), max_length=60, default="UTC", validators=[is_zone])
    currency = models.CharField(_("what stands before or after an amount"), max_length=8, blank=True)
    currency_after = models.BooleanField(_("it stands after the amount"), default=False)
    minor_digits = models.PositiveSmallIntegerField(
        _("digits after the point"), default=2, choices=[(0, "0"), (2, "2"), (3, "3")]
    )
    units = models.CharField(
        _("units"),
        max_length=8,
        default="metric",
        choices=[("metric", _("metres")), ("imperial", _("feet and inches"))],
    )
    language = models.CharField(_("language"), max_length=12, default="en")
    paper = models.CharField(_("paper"), max_length=8, default="A4", choices=[("A4", "A4"), ("Letter", "Letter")])
    phone = models.CharField(_("phone that people may ring"), max_length=40, blank=True)
    phone_hours = models.CharField(_("when"), max_length=80, blank=True)
    postal = models.CharField(_("where a letter reaches you"), max_length=240, blank=True)
    season_ends_month = models.PositiveSmallIntegerField(
        default=10, validators=[MinValueValidator(1), MaxValueValidator(12)]
    )
    season_ends_day = models.PositiveSmallIntegerField(
        default=31, validators=[MinValueValidator(1), MaxValueValidator(31)]
    )
    originals_days = models.PositiveSmallIntegerField(
        _("days that pictures are kept as they came"), default=90, validators=[MaxValueValidator(3650)]
    )
    fire_strip_m = models.DecimalField(  # empty: no fire rule holds here, and no page asks about one
        _("strip kept free where a fire rule holds"),
        max_digits=4,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0.1")), MaxValueValidator(Decimal("30"))],
    )
    goals = models.JSONField(_("square metres hoped for, by year"), default=dict, blank=True)
    pace = models.JSONField(_("pace learned from logged days"), default=dict, blank=True)
    own = models.JSONField(
        _("numbers of the book set anew"), default=dict, blank=True
    )  # name: number, only the changed

    def __str__(self) -> str:
        return self.name

    def today(self) -> datetime.date:
        """The date on the wall where the group lives."""
        return timezone.now().astimezone(ZoneInfo(self.zone)).date()

    def goal(self, year: int) -> int | None:
        return self.goals.get(str(year))


class Member(Grouped):
    """One person's place in one group; roles are a set, and no flag at all means helper."""

    user = models.ForeignKey(User, models.RESTRICT, related_name="memberships")
    is_organiser = models.BooleanField(_("organiser"), default=False)
    is_visitor = models.BooleanField(_("visits yards"), default=False)
    is_lead = models.BooleanField(_("leads build days"), default=False)
    is_reader = models.BooleanField(_("sees numbers only"), default=False)
    ended_on = models.DateField(null=True, blank=True)

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "user"], name="member_once_per_group")]

    def __str__(self) -> str:
        return str(self.user)

    def take_roles(self, roles: frozenset[str]) -> None:
        """Set the flags; whoever gets none is a helper."""
        for role in ("organiser", "visitor", "lead", "reader"):
            setattr(self, f"is_{role}", role in roles)

    @property
    def roles(self) -> frozenset[str]:
        flags = {
            "organiser": self.is_organiser,
            "visitor": self.is_visitor,
            "lead": self.is_lead,
            "reader": self.is_reader,
        }
        return frozenset(role for role, held in flags.items() if held) or frozenset({"helper"})
