"""What closed build days teach: the group's own pace, out of the hours people worked and the hours by the book."""

from dataclasses import dataclass

from conversions.builds.agreed import papers_of, part_of
from conversions.builds.models import AsBuilt, Day, DayPatch
from conversions.builds.roster import helpers_and_hours
from conversions.groups.models import Group
from conversions.sizing import learn_pace
from conversions.sizing.own import RATE, Own, read_own
from conversions.yards.measure import takeoff_of
from conversions.yards.models import Conversion

AROUND = ("brief_and_setup", "tidy_and_pack")  # every helper's share of the day that is no work on the garden


@dataclass(frozen=True)
class Done:
    """The patches of one yard that were worked on, with the square metres made that day."""

    conversion: Conversion
    row: DayPatch
    made_m2: dict[int, float]  # by patch key

    @property
    def key(self) -> tuple:
        return (self.conversion.pk, *sorted(self.made_m2.items()))


def done_by_yard(rows: list[tuple[DayPatch, AsBuilt | None]]) -> list[Done]:
    """What a day made, yard by yard; a patch left for another day is not in it."""
    yards: dict[int, Done] = {}
    for row, built in rows:
        if built and built.area_m2:
            done = yards.setdefault(row.conversion_id, Done(row.conversion, row, {}))
            done.made_m2[row.patch_id] = float(built.area_m2)
    return list(yards.values())


def book_hours(done: Done) -> float:
    """Hours of work by the book for what was made: of a patch made in part, its part. Runs the engine, so it is slow.

    The agreed plan is sized again without the group's own pace: a pace learned from its own echo would run away.
    """
    patches = {row.patch_id: row.patch for row in _patches(done)}
    uids = {str(patch.uid) for patch in patches.values()}
    alone, _takeoff = part_of(papers_of(done.conversion, done.row.quote), uids, done.conversion.group)
    takeoff, problems = takeoff_of(alone)
    cover = sum(float(patch.coverable_m2) for patch in patches.values())
    if problems or not takeoff or not cover:
        return 0.0
    share = min(1.0, sum(done.made_m2.values()) / cover)
    return round(takeoff["figures"]["hours"]["value"] * share, 2)


def _patches(done: Done):
    rows = DayPatch.of(done.row.group_id).filter(day=done.row.day_id, patch__in=done.made_m2)
    return rows.select_related("patch")


def worked_hours(day: Day, own: Own) -> float:
    """Hours of work in the book's sense out of the hours people were there; 0 where nobody noted who came.

    Everybody's signing in and tidying is taken off, then rest, talk and the mixed strength of a crew, as the engine
    does the other way round when it asks how many people a day needs.

    12 people for 4.5 hours: (54 - 12 × 0.9) × 0.75 × 0.75 = 24.3.
    """
    if not day.facts.get("came_noted"):
        return 0.0
    heads, hours = helpers_and_hours(day)
    around = heads * sum(own[RATE + task] for task in AROUND)
    return round(max(0.0, float(hours) - around) * own["crew_factor"] * own["working_share"], 2)


def note_hours(day: Day, book_h: float) -> None:
    """Keep with the day how long its work takes by the book; inside the transaction that closes it."""
    day.facts = day.facts | {"book_h": book_h}
    day.save(update_fields=["facts"])


def learn(group: Group) -> None:
    """Work the group's pace out afresh from all its closed days; inside the transaction that closed or opened one.

    Whoever closes another day meanwhile waits here, and then counts this one too. The lock lets new rows name the
    group, or two closings, which both wrote some, would wait for each other for ever.
    """
    group = Group.objects.select_for_update(no_key=True).get(pk=group.pk)
    group.pace = what_days_teach(group)
    group.save(update_fields=["pace"])


def what_days_teach(group: Group) -> dict[str, float | int | str]:
    """Factor on the book's hours, from how many days, as of today; nothing where no closed day has both hours."""
    closed = Day.of(group).filter(state="closed", kind="build").order_by("on", "pk").prefetch_related("sign_ups")
    own = read_own(group.own)
    found = learn_pace([(day.facts.get("book_h", 0.0), worked_hours(day, own)) for day in closed], own)
    if not found.days:
        return {}
    return {"factor": round(found.mean, 4), "days": found.days, "as_of": group.today().isoformat()}
