"""Prices, quotes with their lines, and what households answered."""

import uuid
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from conversions.groups.tenancy import Grouped
from conversions.people.models import Appended

from .pricing import LineValues, PriceValues, household_pays
from .units import EACH, SIZED, SOLD_IN

BRINGERS = [("group", _("We bring")), ("household", _("You bring")), ("free", _("Given free"))]
PAYERS = [("household", _("household")), ("group", _("our group")), ("donor", _("donor")), ("grant", _("grant"))]
DECIDERS = [("household", _("They decide, and pay it")), ("group", _("We decide, and pay it"))]
MORE_THAN_NOTHING = MinValueValidator(Decimal("0.001"))


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
    ROUNDINGS = [("up", _("up to the next step")), ("nearest", _("to the nearest step")), ("none", _("not at all"))]
    unit = models.CharField(max_length=20, choices=EACH.items())
    pack = models.DecimalField(
        _("sold in steps of"), max_digits=8, decimal_places=3, default=Decimal("1"), validators=[MORE_THAN_NOTHING]
    )
    rounding = models.CharField(_("rounded"), max_length=8, choices=ROUNDINGS, default="up")
    holds = models.DecimalField(  # m3 in one bag or load, m of one board; empty for what has no size
        _("one holds"), max_digits=10, decimal_places=6, null=True, blank=True, validators=[MORE_THAN_NOTHING]
    )
    face = models.DecimalField(  # how high one board stands, in m
        _("one board is high"), max_digits=5, decimal_places=3, null=True, blank=True, validators=[MORE_THAN_NOTHING]
    )
    price = models.DecimalField(max_digits=12, decimal_places=4, validators=[MinValueValidator(Decimal("0"))])
    usual_bringer = models.CharField(max_length=10, choices=BRINGERS, default="group")
    from_on = models.DateField()
    by = models.ForeignKey("groups.Member", models.RESTRICT, null=True, blank=True, related_name="+")

    plain = ("item", "unit", "rounding", "usual_bringer")

    class Meta(Grouped.Meta):
        constraints = [models.UniqueConstraint(fields=["group", "item", "from_on"], name="price_one_a_day")]
        ordering = ["item", "-from_on"]

    @property
    def values(self) -> PriceValues:
        return PriceValues(
            self.unit, self.pack, self.price, self.usual_bringer, self.rounding, self.holds, self.face
        )  # fmt: skip

    def take(self, values: PriceValues) -> None:
        self.unit, self.pack, self.price, self.usual_bringer = values.unit, values.pack, values.price, values.bringer
        self.rounding, self.holds, self.face = values.rounding, values.holds, values.face

    def clean(self) -> None:
        if self.unit not in SOLD_IN.get(self.item, ()):
            raise ValidationError({"unit": _("This is not sold so.")})
        if self.unit in SIZED and not self.holds:
            raise ValidationError({"holds": _("Write how much one holds.")})
        if self.unit == "board" and not self.face:
            raise ValidationError({"face": _("Write how high one board stands.")})


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
    what_changed = models.TextField(_("what changed"), max_length=1200, blank=True)  # one sentence a line
    deposit = models.DecimalField(  # part of what they pay, asked for before the build; empty: none
        _("deposit"), max_digits=12, decimal_places=3, null=True, blank=True, validators=[MORE_THAN_NOTHING]
    )
    valid_until = models.DateField(null=True, blank=True)
    offered_on = models.DateField(_("build day"), null=True, blank=True)
    offered_rain_on = models.DateField(_("rain date"), null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    made_by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    frozen = models.JSONField(default=dict, blank=True)  # site, takeoff, texts, engine version; no names
    document = models.ForeignKey("people.Document", models.RESTRICT, null=True, blank=True, related_name="+")
    revision = models.PositiveIntegerField(default=1)

    personal = ("sentence",)
    plain = ("state", "what_changed", "frozen")

    class Meta(Grouped.Meta):
        constraints = [
            models.UniqueConstraint(fields=["conversion", "version"], name="quote_version"),
            models.UniqueConstraint(fields=["conversion"], condition=Q(state="accepted"), name="quote_one_accepted"),
            models.UniqueConstraint(fields=["conversion"], condition=Q(state="sent"), name="quote_one_sent"),
            models.UniqueConstraint(fields=["conversion"], condition=Q(state="draft"), name="quote_one_draft"),
            models.CheckConstraint(
                condition=Q(state__in=["draft", "withdrawn"]) | Q(sent_at__isnull=False, valid_until__isnull=False),
                name="quote_sent_has_dates",
            ),
        ]
        ordering = ["version"]

    def __str__(self) -> str:
        return f"{self.conversion} ({self.version})"

    @property
    def changes(self) -> list[str]:
        """What changed since the version sent before, one sentence each; empty in a first version."""
        return [words for words in self.what_changed.splitlines() if words.strip()]

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

    ITEMS = [*Price.ITEMS, ("own", _("Something else")), ("tax", _("Tax")), ("grant", _("Grant"))]
    quote = models.ForeignKey(Quote, models.CASCADE, related_name="lines")
    n = models.PositiveSmallIntegerField()
    item = models.CharField(max_length=20, choices=ITEMS)
    name = models.CharField(max_length=80, blank=True)  # of what is not in the book: own lines, a tax, a grant
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
    is_left_out = models.BooleanField(default=False)
    if_not_free_amount = models.DecimalField(  # at most so much, as agreed; empty: worked out from the price
        max_digits=12, decimal_places=3, null=True, blank=True, validators=[MinValueValidator(Decimal("0"))]
    )
    if_not_free_by = models.CharField(max_length=10, choices=DECIDERS, default="household")

    plain = ("item", "name", "words", "unit", "brought_by", "paid_by", "if_not_free_by")

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
            name=self.name,
            is_left_out=self.is_left_out,
            if_not_free_amount=self.if_not_free_amount,
            if_not_free_by=self.if_not_free_by,
            fixed=self.amount if self.item == "tax" else None,
        )

    def get_item_display(self) -> str:
        """What it is called: its own words where it has some, else the book's."""
        return self.name or str(dict(self.ITEMS).get(self.item, self.item))

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


class Payment(Appended):
    """Money that came from a household or went back to it; append-only, and less than nothing is given back."""

    HOW = [
        ("cash", _("cash")),
        ("transfer", _("by bank")),
        ("card", _("by card")),
        ("cheque", _("by cheque")),
        ("other", _("another way")),
    ]
    uid = models.UUIDField(default=uuid.uuid4, editable=False)
    conversion = models.ForeignKey("yards.Conversion", models.RESTRICT, related_name="payments")
    on = models.DateField(_("when"))
    amount = models.DecimalField(_("how much"), max_digits=12, decimal_places=3)
    how = models.CharField(_("how"), max_length=8, choices=HOW)
    words = models.CharField(_("a note"), max_length=200, blank=True)
    by = models.ForeignKey("groups.Member", models.RESTRICT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    personal = ("words",)
    plain = ("how",)

    class Meta(Appended.Meta):
        constraints = [
            models.UniqueConstraint(fields=["group", "uid"], name="payment_uid"),
            models.CheckConstraint(condition=~Q(amount=0), name="payment_not_nothing"),
        ]
        ordering = ["on", "pk"]
