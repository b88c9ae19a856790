"""The year in numbers: queries only, every square metre from the ledger, every sum a rounded Decimal."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Count, F, Q, QuerySet, Sum
from django.utils.dates import MONTHS

from conversions.builds.models import OPEN, AsBuilt, Day, DayPatch, Ground
from conversions.builds.roster import helpers_and_hours
from conversions.common.money import rounded
from conversions.groups.models import Group
from conversions.quotes.models import Quote

NOTHING = Decimal("0.00")
LAWN = Q(kind__in=["converted", "extension"]) | Q(kind="correction", corrects__kind__in=["converted", "extension"])
OTHER = Q(kind="other ground") | Q(kind="correction", corrects__kind="other ground")


@dataclass(frozen=True)
class Month:
    number: int
    m2: Decimal
    growing_m2: Decimal
    yards: int

    @property
    def name(self) -> str:
        return MONTHS[self.number]


@dataclass(frozen=True)
class Materials:
    """Worked out from the agreed plans of what was built, each patch by its share; `unknown` patches had no plan."""

    sheets: int = 0
    card_kg: Decimal = Decimal("0.0")
    chips_m3: Decimal = Decimal("0.0")
    compost_m3: Decimal = Decimal("0.0")
    unknown: int = 0


@dataclass(frozen=True)
class Waiting:
    """A day that is over but not closed: its ground stands in no figure."""

    day: Day
    m2: Decimal


@dataclass(frozen=True)
class Year:
    year: int
    months: list[Month]
    total_m2: Decimal
    growing_m2: Decimal
    other_m2: Decimal
    households: int
    new_households: int
    helpers: int
    hours: Decimal
    materials: Materials
    as_drawn: int
    measured: int
    waiting: list[Waiting]
    goal_m2: int | None

    @property
    def waiting_days(self) -> int:
        return len(self.waiting)

    @property
    def waiting_m2(self) -> Decimal:
        return sum((one.m2 for one in self.waiting), NOTHING)


def of_year(group: Group, year: int) -> QuerySet[Ground]:
    return Ground.of(group).filter(year=year)


def summed(rows: QuerySet, field: str = "m2") -> Decimal:
    """SQLite adds decimals as floats; the sum is brought back to the hundredth it was made of."""
    return rounded(rows.aggregate(total=Sum(field))["total"] or NOTHING, 2)


def years(group: Group) -> list[int]:
    """The years that can be looked at, newest first; this one always."""
    found = set(Ground.of(group).values_list("year", flat=True).distinct())
    return sorted(found | {group.today().year}, reverse=True)


def year(group: Group, year: int) -> Year:
    """Everything the tally says of one year."""
    rows = of_year(group, year)
    by_month = months(group, year)
    here, new = _households(group, year)
    helpers, hours = _helpers(group, year)
    standing = rows.exclude(kind="correction").exclude(pk__in=Ground.of(group).taken_back())
    how = dict(standing.values_list("as_built__how").annotate(n=Count("patch__place", distinct=True)))
    return Year(
        year=year,
        months=by_month,
        total_m2=sum((month.m2 for month in by_month), NOTHING),
        growing_m2=sum((month.growing_m2 for month in by_month), NOTHING),
        other_m2=summed(rows.filter(OTHER)),
        households=here,
        new_households=new,
        helpers=helpers,
        hours=hours,
        materials=materials(group, rows),
        as_drawn=how.get("as drawn", 0),
        measured=how.get("measured", 0),
        waiting=waiting(group, year),
        goal_m2=group.goal(year),
    )


def months(group: Group, year: int) -> list[Month]:
    """Lawn converted by month, corrections in: one query. A row taken back entirely makes no yard."""
    counts = ~Q(kind="correction") & ~Q(pk__in=Ground.of(group).taken_back())
    sums = (
        of_year(group, year)
        .filter(LAWN)
        .values("month")
        .annotate(
            total=Sum("m2"),
            growing=Sum("growing_m2"),
            yards=Count("patch__place", distinct=True, filter=counts),
        )
    )
    return [
        Month(row["month"], rounded(row["total"], 2), rounded(row["growing"], 2), row["yards"])
        for row in sums.order_by("month")
    ]


def _households(group: Group, year: int) -> tuple[int, int]:
    """Addresses helped this year, each once; and those of them never helped before."""
    built = Ground.of(group).exclude(kind="correction").filter(m2__gt=0).exclude(pk__in=Ground.of(group).taken_back())
    here = set(built.filter(year=year).values_list("patch__place", flat=True))
    before = set(built.filter(year__lt=year, patch__place__in=here).values_list("patch__place", flat=True))
    return len(here), len(here - before)


def _helpers(group: Group, year: int) -> tuple[int, Decimal]:
    """People by name, each once a year, with those who came without a name; and the hours of all, closed days only."""
    days = Day.of(group).filter(state="closed", on__range=(date(year, 1, 1), date(year, 12, 31)))
    people, nameless, hours = set(), 0, NOTHING
    for day in days.prefetch_related("sign_ups"):
        came = {row.person_id for row in day.sign_ups.all() if row.state == "came"}
        heads, day_hours = helpers_and_hours(day)
        people |= came
        nameless += heads - len(came)
        hours += day_hours
    return len(people) + nameless, rounded(hours, 2)


def materials(group: Group, rows: QuerySet[Ground]) -> Materials:
    """Cardboard, chips and compost of what was built: the agreed take-off of each patch, by built over planned."""
    built = list(rows.filter(day__isnull=False).with_left().filter(left_m2__gt=0).select_related("patch"))
    plans = _plans(group, built)
    used, unknown = [], 0
    for row in built:
        takeoff = plans.get((row.day_id, row.patch_id))
        share = patch_share(takeoff, str(row.patch.uid), row.left_m2) if takeoff else None
        if share is None:
            unknown += 1
        else:
            used.append(share)
    return Materials(
        sheets=int(rounded(_sum(one["sheets"] for one in used), 0)),
        card_kg=rounded(_sum(one["card_kg"] for one in used), 1),
        chips_m3=rounded(_sum(one["chips_m3"] for one in used), 1),
        compost_m3=rounded(_sum(one["compost_m3"] for one in used), 1),
        unknown=unknown,
    )


def _sum(values: Iterable[Decimal]) -> Decimal:
    return sum(values, Decimal(0))


def _plans(group: Group, built: list[Ground]) -> dict[tuple[int, int], dict[str, Any]]:
    """The take-off frozen in the quote that was agreed for each day and patch."""
    days = {row.day_id for row in built}
    links = DayPatch.of(group).filter(day__in=days).values_list("day", "patch", "conversion")
    agreed = Quote.of(group).filter(state="accepted", conversion__in={conversion for _d, _p, conversion in links})
    takeoffs = {quote.conversion_id: quote.frozen.get("takeoff") for quote in agreed.only("conversion", "frozen")}
    return {(day, patch): takeoffs[conversion] for day, patch, conversion in links if takeoffs.get(conversion)}


def patch_share(takeoff: dict[str, Any], uid: str, m2: Decimal) -> dict[str, Decimal] | None:
    """What `m2` of one patch used, to the thousandth; None where the plan does not know the patch."""
    patch = takeoff.get("patches", {}).get(uid)
    if not patch or not patch["cover_m2"]:
        return None
    part = m2 / _d(patch["cover_m2"])
    sheets = _d(patch["cardboard"]["sheets"]) * part
    beds = [bed for bed in takeoff["beds"].values() if bed["patch"] == uid]
    values = {
        "sheets": sheets,
        "card_kg": sheets * _per(takeoff, "cardboard_mass", "cardboard"),
        "chips_m3": _d(patch["chips_in_place_m3"]) * part * _loose(takeoff, "chips"),
        "compost_m3": _sum(_d(bed["compost_in_place_m3"]) for bed in beds) * part * _loose(takeoff, "compost"),
    }
    return {key: rounded(value, 3) for key, value in values.items()}


def _d(value: Any) -> Decimal:
    return Decimal(str(value))


def _per(takeoff: dict[str, Any], key: str, by: str) -> Decimal:
    whole = _d(takeoff["figures"][by]["value"])
    return _d(takeoff["figures"][key]["value"]) / whole if whole else Decimal(0)


def _loose(takeoff: dict[str, Any], key: str) -> Decimal:
    """Loose cubic metres for one that has settled, as the plan ordered it, before it was rounded to a load."""
    inputs = {label: value for label, value, _unit in takeoff["figures"][key]["inputs"]}
    return 1 / (1 - _d(inputs["settling"]))


def waiting(group: Group, year: int) -> list[Waiting]:
    """Days of that year that are over and not closed, with what was planned or already written for them."""
    today = group.today()
    days = Day.of(group).filter(state__in=OPEN, kind="build", on__lt=today, on__year=year).for_lists()
    days = list(days)
    held = {(row.day_id, row.patch_id): row.area_m2 for row in AsBuilt.of(group).filter(day__in=days).order_by("n")}
    return [
        Waiting(day, _sum(held.get((day.pk, row.patch_id), row.planned_m2) for row in day.day_patches.all()))
        for day in days
    ]


def ledger(group: Group, year: int) -> QuerySet[Ground]:
    """Every row of one year for the spreadsheet; no names and no addresses."""
    rows = of_year(group, year).annotate(ward=F("patch__place__ward"), label=F("patch__label"), how=F("as_built__how"))
    return rows.order_by("count_on", "pk")
