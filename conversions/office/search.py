"""Who is ringing: yards, people and build days by a name, a number or a street."""

from dataclasses import dataclass, field

from django.db.models import Case, Count, Q, QuerySet, Value, When

from conversions.builds.models import Day, DayPatch, SignUp
from conversions.common.fold import asks, number_in
from conversions.groups.models import Group, Member
from conversions.people.models import Person
from conversions.yards.models import Conversion

MOST = 20
MOST_DAYS = 8


@dataclass(frozen=True)
class Found:
    number: str = ""
    yards: list[Conversion] = field(default_factory=list)
    people: list[Person] = field(default_factory=list)  # known to us, and in none of these yards
    days: list[Day] = field(default_factory=list)
    more_yards: bool = False
    is_empty: bool = False


def find(group: Group, member: Member, asked: str) -> Found:
    """Five queries, however many rows fit; nothing asked finds nothing."""
    if not asked.strip():
        return Found()
    number = number_in(asked)
    yards = list(_yards(group, asked, number)[: MOST + 1])
    people = list(_people(group, asked)[:MOST])
    days = list(_days(group, member, yards, people)[:MOST_DAYS])
    return Found(number, yards[:MOST], people, days, len(yards) > MOST, not (yards or people or days))


def _yards(group: Group, asked: str, number: str) -> QuerySet[Conversion]:
    """A yard whose whole number was typed stands first, then the runs that are still open, the newest first."""
    exact = Q(household__contact__search__endswith=f" {number}") if number else Q(pk=None)
    order = Case(When(exact, then=Value(0)), When(closed_on=None, then=Value(1)), default=Value(2))
    return Conversion.of(group).matching(asked).for_lists().order_by(order, "-pk")


def _people(group: Group, asked: str) -> QuerySet[Person]:
    people = Person.of(group).filter(asks(asked, "search"), erased_at=None, households=None)
    listed = Q(sign_ups__state__in=["coming", "came", "missing"])
    return people.annotate(days_helped=Count("sign_ups", filter=listed)).order_by("search", "pk")


def _days(group: Group, member: Member, yards: list[Conversion], people: list[Person]) -> QuerySet[Day]:
    """The days of these yards and of these people, those to come first."""
    at_yards = DayPatch.of(group).filter(conversion__in=[yard.pk for yard in yards]).values("day")
    of_people = SignUp.of(group).filter(person__in=[person.pk for person in people]).exclude(state="off").values("day")
    order = Case(When(state__in=["closed", "cancelled"], then=Value(1)), default=Value(0))
    days = Day.of(group).seen_by(member).filter(Q(pk__in=at_yards) | Q(pk__in=of_people))
    return days.for_lists().order_by(order, "-on", "-pk")
