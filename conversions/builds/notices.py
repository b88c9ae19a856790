"""Telling helpers and households that a day moves, is off, or is on after all: one message each, by their own route."""

import datetime

from conversions.groups.models import Member
from conversions.people import outbox
from conversions.people.models import Message, Person

from . import where
from .models import Day, DayPatch, SignUp

KINDS = ("day-moved", "day-off", "day-on")


def people_of(day: Day) -> dict[Person, str]:
    """Everybody to be told, each once, with their part in it."""
    patches = DayPatch.of(day.group_id).filter(day=day).select_related("conversion__household__contact__group")
    coming = SignUp.of(day.group_id).filter(day=day, state="coming").select_related("person__group")
    found = {row.person: "helper" for row in coming}
    return found | {row.conversion.household.contact: "household" for row in patches}


def moved(*, day: Day, was_on: datetime.date, by: Member) -> list[Message]:
    """The day has another date or other hours; whoever was not told of an earlier change hears of both in one."""
    known = _take_back(day)
    return [
        _queue(day, "day-moved", person, role, by, was_on=known.get(person.pk, was_on.isoformat()))
        for person, role in people_of(day).items()
        if person.member_id != by.pk
    ]


def off(*, day: Day, by: Member | None, but: Person | None = None) -> list[Message]:
    """`but` hears of it in another message; `by` is None where somebody pressed it behind a link."""
    known = _take_back(day)
    return [
        _queue(day, "day-off", person, role, by, on=known.get(person.pk, day.on.isoformat()))
        for person, role in people_of(day).items()
        if person != but and not (by and person.member_id == by.pk)
    ]


def smaller(*, day: Day, by: Member | None) -> list[Message]:
    """One yard fewer: helpers hear where the day is now; the other households lose nothing and are left in peace."""
    return [
        _queue(day, "day-smaller", person, role, by)
        for person, role in people_of(day).items()
        if role == "helper" and not (by and person.member_id == by.pk)
    ]


def on_after_all(*, day: Day, by: Member) -> list[Message]:
    """Calling off was taken back: only those who were told so hear of it."""
    _take_back(day)
    last: dict[int, str] = {}
    told = Message.of(day.group_id).filter(day_id=day.pk, kind__in=KINDS).exclude(state="dropped").order_by("pk")
    for message in told:
        last[message.person_id] = message.kind
    return [
        _queue(day, "day-on", person, role, by)
        for person, role in people_of(day).items()
        if last.get(person.pk) == "day-off"
    ]


def _take_back(day: Day) -> dict[int, str]:
    """Drop what nobody was told yet; by person, the date they still believe in."""
    waiting = Message.of(day.group_id).filter(day_id=day.pk, kind__in=KINDS, state__in=outbox.OPEN).order_by("pk")
    known: dict[int, str] = {}
    for message in waiting:
        date = message.values.get("was_on") or (message.values["on"] if message.kind == "day-off" else "")
        if date:
            known.setdefault(message.person_id, date)
    outbox.drop(day.group, day=day, kinds=KINDS)
    return known


def _queue(day: Day, kind: str, person: Person, role: str, by: Member | None, **values: str) -> Message:
    places = [yard.place.address for yard in _yards(day)]
    if role == "helper" and not where.is_told(day, day.group.today()):
        places = [where.street(place) for place in places]
    values = {
        "role": role,
        "place": ", ".join(dict.fromkeys(places)),
        "on": day.on.isoformat(),
        "starts": f"{day.starts:%H:%M}",
        "ends": f"{day.ends:%H:%M}",
        **values,
    }
    key = f"{kind}:{day.pk}:{day.revision}:{person.pk}"
    return outbox.queue(key=key, kind=kind, person=person, by=by, day=day, values=values)


def _yards(day: Day) -> list:
    rows = DayPatch.of(day.group_id).filter(day=day).select_related("conversion__place").order_by("order")
    return [row.conversion for row in rows]
