"""The ground: a place, and the patches of lawn on it. Both outlive households and conversions."""

import datetime
import uuid
from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from conversions.common.fold import address_key, fold
from conversions.groups.tenancy import Grouped


class Place(Grouped):
    """One piece of ground with an address; not called property, a name Python needs for itself."""

    DWELLINGS = [("house", _("house")), ("duplex", _("part of a house")), ("flat", _("flat")), ("other", _("other"))]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    address = models.CharField(_("street and number"), max_length=200)  # as typed
    unit = models.CharField(_("flat or unit"), max_length=40, blank=True)
    ward = models.CharField(_("part of town"), max_length=80, blank=True)
    key = models.CharField(max_length=200, editable=False, db_index=True)  # normalised, not unique: a duplex stays two
    dwelling = models.CharField(max_length=8, choices=DWELLINGS, blank=True)
    built_year = models.PositiveSmallIntegerField(_("year the house was built"), null=True, blank=True)
    same_ground_as = models.ForeignKey("self", models.RESTRICT, null=True, blank=True, related_name="+")
    search = models.CharField(max_length=300, blank=True, editable=False, db_index=True)
    archived_at = models.DateTimeField(null=True, blank=True)

    personal = ("address", "unit", "key", "search")
    plain = ("ward", "dwelling")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "uid"], name="place_uid")]

    def __str__(self) -> str:
        return f"{self.address}, {self.unit}" if self.unit else self.address

    def save(self, *args, **kwargs) -> None:
        self.key = address_key(f"{self.address} {self.unit}")
        self.search = fold(f"{self.address} {self.unit} {self.ward}")
        if kwargs.get("update_fields") is not None:
            kwargs["update_fields"] = {*kwargs["update_fields"], "key", "search"}
        super().save(*args, **kwargs)


class GateCode(Grouped):
    """How to get in, for those who visit; apart from the place, because it is forgotten by its date."""

    place = models.OneToOneField(Place, models.CASCADE, related_name="gate_code")
    code = models.CharField(_("gate code"), max_length=60, blank=True)
    until_on = models.DateField(_("forget it after"))

    personal = ("code",)

    class Meta(Grouped.Meta):
        pass

    def is_good(self, today: datetime.date) -> bool:
        return bool(self.code) and self.until_on >= today


class Patch(Grouped):
    """A named piece of lawn: the only thing that has square metres.

    converted (from the ledger) + kept + excluded + not yet = lawn. Not yet is computed, the rest is stored.
    """

    ZONES = [("front", _("front")), ("back", _("back")), ("side", _("side")), ("other", _("elsewhere"))]
    BEFORE = [("lawn", _("lawn")), ("other", _("not lawn"))]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    place = models.ForeignKey(Place, models.RESTRICT, related_name="patches")
    label = models.CharField(_("name of this patch"), max_length=60)
    zone = models.CharField(max_length=8, choices=ZONES, default="front")
    ground_before = models.CharField(max_length=8, choices=BEFORE, default="lawn")
    lawn_m2 = models.DecimalField(max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))])
    kept_m2 = models.DecimalField(max_digits=9, decimal_places=2, default=Decimal("0"))
    excluded_m2 = models.DecimalField(max_digits=9, decimal_places=2, default=Decimal("0"))
    measured_from = models.CharField(
        max_length=16, default="draft", choices=[("draft", _("the drawing")), ("second measure", _("measured again"))]
    )
    why_measured = models.CharField(max_length=240, blank=True)

    plain = ("label", "zone", "ground_before", "measured_from", "why_measured")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["group", "uid"], name="patch_uid"),
            models.UniqueConstraint(fields=["place", "label"], name="patch_label"),
            models.CheckConstraint(
                condition=models.Q(kept_m2__gte=0, excluded_m2__gte=0, lawn_m2__gt=0), name="patch_not_negative"
            ),
        ]
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.label

    @property
    def coverable_m2(self) -> Decimal:
        """What can ever be converted here."""
        return self.lawn_m2 - self.kept_m2 - self.excluded_m2
