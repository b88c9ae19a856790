"""Who helps on a day: signing up, calling off, who came, and the hours that makes."""

import uuid as uuids
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from conversions.common.fold import fold
from conversions.groups.models import Group, Member
from conversions.groups.tenancy import move
from conversions.people.models import Person
from conversions.yards.reach import Reach, known_people, read_reach

from .models import OPEN, Day, SignUp


class Full(ValidationError):
    """Every place is taken."""


def person_for(member: Member) -> Person:
    """The person behind an account; made the first time one is needed."""
    known = Person.of(member.group_id).filter(member=member).first()
    if known:
        return known
    person = Person(group=member.group, name=str(member)[:120], email=member.user.email, route="email", member=member)
    person.full_clean()
    person.save()
    return person


def _known(group: Group, name: str, how: Reach | None) -> Person | None:
    """Somebody of the same name with the same number or e-mail; a bare name is known only if it is the only one."""
    if how:
        people = known_people(group, how)
    else:
        people = Person.of(group).filter(erased_at=None, sign_ups__isnull=False).distinct()
    same = [person for person in people.filter(search__startswith=fold(name)) if fold(person.name) == fold(name)]
    return same[0] if len(same) == 1 or (same and how) else None


def sign_up(
    *,
    day: Day,
    person: Person | None = None,
    name: str = "",
    phone: str = "",
    role: str = "",
    uid: uuids.UUID | None = None,
    by: Member | None = None,
) -> SignUp:
    """One helper for one day, once: a second press, and a return after calling off, give the same row.

    `phone` is a number or an e-mail. Whoever runs the day (`by`) may add more than were asked for.
    """
    with transaction.atomic():
        day = Day.of(day.group_id).select_for_update(of=("self",)).get(pk=day.pk)
        known = SignUp.of(day.group_id).filter(uid=uid).select_related("person").first() if uid else None
        if known:
            return known
        if day.state not in OPEN:
            raise ValidationError(_("This day takes no more helpers."))
        if person is None:
            how = read_reach(phone) if phone.strip() else None
            person = _known(day.group, name, how) or _new_person(day.group, name, how)
        row = SignUp.of(day.group_id).filter(day=day, person=person).first()
        if row and row.state != "off":
            return row
        if by is None and places_left(day) < 1:
            raise Full(_("All places are taken."))
        row = row or SignUp(group=day.group, day=day, person=person, uid=uid or uuids.uuid4())
        row.state, row.role = "coming", role.strip()
        row.full_clean()
        row.save()
    return row


def _new_person(group: Group, name: str, how: Reach | None) -> Person:
    reached = {"route": how.route, "phone": how.phone, "email": how.email} if how else {}
    person = Person(group=group, name=name.strip(), **reached)
    person.full_clean()
    person.save()
    return person


def places_left(day: Day) -> int:
    coming = SignUp.of(day.group_id).filter(day=day, state__in=["coming", "came"]).count()
    return max(0, day.helpers_wanted - coming)


def call_off(*, sign_up: SignUp) -> SignUp:
    """Take back a promise to come; the place is free again."""
    if sign_up.day.state not in OPEN:
        raise ValidationError(_("This day is over."))
    move(sign_up, ("coming", "missing"), state="off")
    return sign_up


def mark_came(
    *, day: Day, present: Iterable[int], others: int = 0, hours: Decimal | None = None, by: Member | None = None
) -> Day:
    """Who was there (person ids), how many more without a name, and for how long; recording again undoes."""
    hours = day.length_h if hours is None else hours
    hours = Decimal(hours).quantize(Decimal("0.01"), ROUND_HALF_UP)
    if not 0 <= others <= 500:
        raise ValidationError({"others": _("Write a number from 0 to 500.")})
    if not 0 <= hours <= 24:
        raise ValidationError({"hours": _("A day has 24 hours.")})
    with transaction.atomic():
        day = Day.of(day.group_id).select_for_update().get(pk=day.pk)
        if day.state not in OPEN:
            raise ValidationError(_("This day is over. What is written stays as it is."))
        if day.held_on > day.group.today():
            raise ValidationError(_("This day is still to come."))
        present = set(present)
        for row in SignUp.of(day.group_id).filter(day=day).exclude(state="off"):
            row.state = "came" if row.person_id in present else "missing"
            row.hours = hours if row.state == "came" else None
            row.full_clean()
            row.save(update_fields=["state", "hours"])
        day.facts = day.facts | {"others": others, "hours_each": str(hours), "came_noted": True}
        day.state = "under way"
        day.save(update_fields=["facts", "state"])
    return day


TOOLS = ("hose", "cardboard", "barrow", "rake", "fork", "cardboard", "barrow", "frame", "barrow", "rake")
TOOL_WORDS = {
    "hose": gettext_lazy("hose"),
    "cardboard": gettext_lazy("cardboard"),
    "barrow": gettext_lazy("barrow"),
    "rake": gettext_lazy("rake"),
    "fork": gettext_lazy("fork"),
    "frame": gettext_lazy("frame"),
    "aid": gettext_lazy("first aid"),
}


def chain(day: Day, rows: Iterable[SignUp]) -> list[dict[str, str]]:
    """The chain of hands: a tool for everybody who comes, and a tool without a name for each place still empty."""
    hands = []
    for row in rows:
        said = fold(row.role)
        tool = next((tool for tool in TOOLS if tool in said), TOOLS[len(hands) % len(TOOLS)])
        tool = "aid" if row.person.first_aid else tool
        hands.append({"name": row.person.name, "words": row.role or str(TOOL_WORDS[tool]), "tool": tool})
    for _number in range(min(24, day.helpers_wanted - len(hands))):
        tool = TOOLS[len(hands) % len(TOOLS)]
        hands.append({"name": "", "words": str(TOOL_WORDS[tool]), "tool": tool})
    return hands


def helpers_and_hours(day: Day) -> tuple[int, Decimal]:
    """Helpers who came, nameless ones with them, and their hours; needs `sign_ups`, which may be prefetched."""
    came = [row for row in day.sign_ups.all() if row.state == "came"]
    others = int(day.facts.get("others") or 0)
    each = Decimal(day.facts.get("hours_each") or 0)
    hours = sum((row.hours or Decimal(0) for row in came), Decimal("0.00")) + others * each
    return len(came) + others, hours
