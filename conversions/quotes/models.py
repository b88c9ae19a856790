"""Prices, quotes with their lines, and what households answered."""

import uuid
from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped

from .pricing import LineValues, household_pays

BRINGERS = [("group", _("We bring")), ("household", _("You bring")), ("free", _("Given free"))]
PAYERS = [("household", _("household")), ("group", _("our group")), ("donor", _("donor")), ("grant", _("grant"))]


class Price(Grouped):
    """What one thing costs from a date on; append-only, so a sent quote never moves."""

    ITEMS = [
        ("cardboard", _("Cardboard")),
        ("chips", _("Wood chips")),
        ("work", _("Our work")),
        ("tools", _("Tools")),
        ("compost", _("Compost")),
        ("compost delivery", _("Compost delivery")),
        ("frame", _("Framed bed")),
        ("plants", _("Seedlings and seed")),
        ("soil test", _("Soil test")),
    ]
    item = models.CharField(max_length=20, choices=ITEMS)
    unit = models.CharField(max_length=20)
    pack = models.DecimalField(_("sold in steps of"), max_digits=8, decimal_places=3, default=Decimal("1"))
    price = models.DecimalField(max_digits=12, decimal_places=4, validators=[MinValueValidator(Decimal("0"))])
    usual_bringer = models.CharField(max_length=10, choices=BRINGERS, default="group")
    from_on = models.DateField()
    by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")

    plain = ("item", "unit", "usual_bringer")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "item", "from_on"], name="price_one_a_day")]
        ordering = ["item", "-from_on"]


class Quote(Grouped):
    STATES = [
        ("draft", _("not sent yet")),
        ("sent", _("sent")),
        ("replaced", _("replaced")),
        ("accepted", _("agreed")),
        ("declined", _("said no")),
        ("withdrawn", _("withdrawn")),
        ("expired", _("run out")),
    ]
    conversion = models.ForeignKey("yards.Conversion", models.RESTRICT, related_name="quotes")
    draft = models.ForeignKey("yards.Draft", models.RESTRICT, related_name="quotes")
    version = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=10, choices=STATES, default="draft")
    sentence = models.CharField(_("a sentence of your own"), max_length=400, blank=True)
    changes = models.CharField(_("what changed"), max_length=400, blank=True)
    valid_until = models.DateField(null=True, blank=True)
    offered_on = models.DateField(_("build day"), null=True, blank=True)
    offered_rain_on = models.DateField(_("rain date"), null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    made_by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    frozen = models.JSONField(default=dict, blank=True)  # site, takeoff, texts, engine version; no names
    document = models.ForeignKey("people.Document", models.RESTRICT, null=True, blank=True, related_name="+")
    revision = models.PositiveIntegerField(default=1)

    personal = ("sentence",)
    plain = ("state", "changes", "frozen")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["conversion", "version"], name="quote_version"),
            models.UniqueConstraint(fields=["conversion"], condition=Q(state="accepted"), name="quote_one_accepted"),
            models.UniqueConstraint(fields=["conversion"], condition=Q(state="sent"), name="quote_one_sent"),
            models.CheckConstraint(
                condition=Q(state__in=["draft", "withdrawn"]) | Q(sent_at__isnull=False, valid_until__isnull=False),
                name="quote_sent_has_dates",
            ),
        ]
        ordering = ["version"]

    def __str__(self) -> str:
        return f"{self.conversion} ({self.version})"

    def is_expired(self, today) -> bool:
        return self.state == "expired" or (self.state == "sent" and self.valid_until < today)

    def total(self) -> Decimal:
        """What the household pays: the sum of the lines as they are shown."""
        return household_pays((line.values for line in self.lines.all()), self.group.minor_digits)

    def missing(self) -> list["Line"]:
        """The lines that wait for a price."""
        return [line for line in self.lines.all() if line.values.needs_price()]


class Line(Grouped):
    """One line as the household reads it; everything copied in, nothing looked up later."""

    quote = models.ForeignKey(Quote, models.CASCADE, related_name="lines")
    n = models.PositiveSmallIntegerField()
    item = models.CharField(max_length=20, choices=Price.ITEMS)
    words = models.CharField(max_length=240, blank=True)
    quantity = models.DecimalField(max_digits=12, decimal_places=3)
    low = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    high = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    unit = models.CharField(max_length=20)
    engine_quantity = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    unit_price = models.DecimalField(max_digits=12, decimal_places=4, null=True, blank=True)  # null: price not set
    amount = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    brought_by = models.CharField(max_length=10, choices=BRINGERS, default="group")
    paid_by = models.CharField(max_length=10, choices=PAYERS, default="household")

    plain = ("item", "words", "unit", "brought_by", "paid_by")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["quote", "n"], name="line_number")]
        ordering = ["n"]

    @property
    def values(self) -> LineValues:
        return LineValues(
            item=self.item,
            quantity=self.quantity,
            unit=self.unit,
            engine_quantity=self.engine_quantity,
            low=self.low,
            high=self.high,
            unit_price=self.unit_price,
            brought_by=self.brought_by,
            paid_by=self.paid_by,
        )

    @property
    def is_changed(self) -> bool:
        """Somebody wrote another quantity than the one worked out."""
        return self.engine_quantity is not None and self.quantity != self.engine_quantity


class Reply(Grouped):
    """What a household said to one version; append-only, and one answer counts."""

    ANSWERS = [
        ("yes", _("Yes")), ("no", _("No")), ("talk", _("Let's talk")), ("withdraw", _("Changed their mind")),
        ("taken back", _("Taken back by us")),
    ]  # fmt: skip
    ROUTES = [
        ("link", _("link")),
        ("slip", _("paper slip")),
        ("phone", _("read back on the phone")),
        ("person", _("in person")),
        ("ours", _("our own note")),
    ]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    quote = models.ForeignKey(Quote, models.RESTRICT, related_name="replies")
    answer = models.CharField(max_length=10, choices=ANSWERS)
    route = models.CharField(max_length=8, choices=ROUTES)
    name = models.CharField(_("who decided"), max_length=120)
    relation = models.CharField(max_length=80, blank=True)
    witness = models.CharField(_("who heard it read back"), max_length=120, blank=True)
    words = models.CharField(_("anything they said"), max_length=400, blank=True)
    days = models.CharField(_("days that suit"), max_length=200, blank=True)
    said_at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")
    link = models.ForeignKey("people.Link", models.RESTRICT, null=True, blank=True, related_name="+")
    replaces = models.ForeignKey("self", models.RESTRICT, null=True, blank=True, related_name="+")
    counts = models.BooleanField(default=False)

    personal = ("name", "relation", "witness", "words", "days")
    plain = ("answer", "route")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["group", "uid"], name="reply_uid"),
            models.UniqueConstraint(
                fields=["quote"], condition=Q(counts=True, answer__in=["yes", "no"]), name="reply_one_counts"
            ),
            models.CheckConstraint(condition=~Q(route="phone") | ~Q(witness=""), name="reply_phone_has_witness"),
            models.CheckConstraint(
                condition=Q(by__isnull=False, link=None) | Q(by=None, link__isnull=False), name="reply_by_or_link"
            ),
        ]
        ordering = ["pk"]
