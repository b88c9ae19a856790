"""What was agreed for a yard (its site and take-off), and which agreed yards wait for a day."""

from decimal import ROUND_HALF_UP, Decimal

from django.db.models import Exists, OuterRef, Q, QuerySet

from conversions.groups.models import Group
from conversions.quotes.models import Quote
from conversions.yards.measure import takeoff_of
from conversions.yards.models import Conversion, Patch, Planned

from .models import OPEN, Day, DayPatch


def quote_of(conversion: Conversion) -> Quote | None:
    """What they said yes to; of a garden taken over, what it was built by."""
    agreed = Quote.of(conversion.group_id).filter(state="accepted")
    return agreed.filter(conversion=conversion).first() or agreed.filter(conversion=conversion.built_by).first()


def papers_of(conversion: Conversion, quote: Quote | None = None) -> tuple[dict, dict]:
    """The site document and its take-off: as frozen in the quote they said yes to, else of the kept plan."""
    quote = quote or quote_of(conversion)
    if quote and quote.frozen.get("takeoff"):
        return quote.frozen.get("site") or {}, quote.frozen["takeoff"]
    planned = Planned.of(conversion.group_id).filter(conversion__in=[conversion, conversion.built_by])
    planned = planned.select_related("draft").last()
    return (planned.draft.site, planned.draft.takeoff) if planned else ({}, {})


def part_of(papers: tuple[dict, dict], uids: set[str], group: Group) -> tuple[dict, dict]:
    """The same for some of its patches: what only these need of work and supplies, worked out by themselves."""
    site, whole = papers
    ours = [patch for patch in site.get("patches", []) if patch["uid"] in uids]
    if not ours or len(ours) == len(site["patches"]):
        return papers
    alone = site | {"patches": ours, "beds": [bed for bed in site.get("beds", []) if bed["patch"] in uids]}
    takeoff, problems = takeoff_of(alone, group)
    return papers if problems else (alone, takeoff)


def papers_on(day: Day, conversion: Conversion) -> tuple[dict, dict]:
    """What is built of a yard on one day; the patches of other days are not in it."""
    rows = [row for row in day.day_patches.all() if row.conversion_id == conversion.pk]
    return part_of(papers_of(conversion), {str(row.patch.uid) for row in rows}, day.group)


def papers_left(conversion: Conversion) -> tuple[dict, dict]:
    """What is still to build of a yard."""
    left = Planned.of(conversion.group_id).filter(conversion=conversion, complete_on=None)
    uids = {str(uid) for uid in left.values_list("patch__uid", flat=True)}
    return part_of(papers_of(conversion), uids, conversion.group)


def beds_m2(day: Day, patch: Patch) -> Decimal:
    """The beds planned on one patch of a day, whole patch and to the hundredth."""
    row = DayPatch.of(day.group_id).filter(day=day, patch=patch).select_related("conversion", "quote").first()
    beds = papers_of(row.conversion, row.quote)[1].get("beds", {}) if row else {}
    areas = [Decimal(str(bed["area_m2"])) for bed in beds.values() if bed.get("patch") == str(patch.uid)]
    return sum(areas, Decimal(0)).quantize(Decimal("0.01"), ROUND_HALF_UP)


def figure(takeoff: dict, key: str) -> Decimal:
    """One figure of a take-off as a Decimal; nought where the plan has none."""
    return Decimal(str(takeoff.get("figures", {}).get(key, {}).get("value") or 0))


def yards_to_build(group: Group) -> QuerySet[Conversion]:
    """Agreed yards with ground still to do; `has_day` says whether one is already set."""
    here = DayPatch.of(group).filter(conversion=OuterRef("pk"), day__state__in=OPEN, day__kind="build")
    unbuilt = Planned.of(group).filter(conversion=OuterRef("pk"), complete_on=None)
    agreed = Quote.of(group).filter(conversion=OuterRef("pk"), state="accepted")
    return (
        Conversion.of(group)
        .filter(Exists(unbuilt), Exists(agreed), closed_on=None)
        .annotate(has_day=Exists(here))
        .select_related("place", "household__contact")
        .order_by("has_day", "pk")
    )


def yards_to_mend(group: Group) -> QuerySet[Conversion]:
    """Built gardens, those that new people took over among them; `has_day` says whether a rescue is set already."""
    here = DayPatch.of(group).filter(conversion=OuterRef("pk"), day__state__in=OPEN, day__kind="rescue")
    built = Planned.of(group).filter(conversion=OuterRef("pk"), complete_on__isnull=False)
    return (
        Conversion.of(group)
        .filter(Exists(built) | Q(continues__isnull=False), closed_on=None)
        .annotate(has_day=Exists(here))
        .select_related("place", "household__contact")
        .order_by("has_day", "place__search", "pk")
    )
