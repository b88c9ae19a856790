"""All we hold on one person, found by walking the models: each names its own personal fields."""

import datetime
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from django.apps import apps
from django.core.exceptions import ObjectDoesNotExist
from django.db import models
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from conversions.builds.models import Day, DayPatch, SignUp
from conversions.care.models import CareSheet, FollowUp
from conversions.common.dates import date_format
from conversions.groups.tenancy import Grouped
from conversions.people.models import Consent, Document, Event, Link, Message, Person
from conversions.quotes.models import Payment, Quote, Reply
from conversions.visits.checklist import wording
from conversions.visits.models import Entry, Visit
from conversions.visits.questions import BY_CODE
from conversions.yards.models import Conversion, GateCode, Hold, Household, Photo, Place

from .held_words import READ

# From a row of these to the person; every other model is followed key by key until one of them is reached.
ANCHORS: dict[type[Grouped], str] = {
    Person: "pk",
    Household: "contact",
    Conversion: "household__contact",
    Place: "households__contact",
}
# Personal, and about somebody else than the household it hangs by.
NOT_THEIRS = {
    "AsBuilt": "checked_by names a helper; their own sign-ups are listed",
    "Invite": "a name written on an invitation before there is a person",
}
TITLES = {
    Person: _("Who they are"),
    Household: _("Where they live"),
    Place: _("The address"),
    GateCode: _("The code of their gate"),
    Conversion: _("What they asked for"),
    Hold: _("What had to be waited for"),
    Visit: _("Visits"),
    Entry: _("What was answered on visits"),
    Photo: _("Pictures of the ground"),
    Quote: _("Quotes"),
    Reply: _("What they answered"),
    Payment: _("Money they gave"),
    Day: _("Notes for build days at their yard only"),
    SignUp: _("Build days they helped on"),
    FollowUp: _("Follow-ups"),
    Document: _("Papers we keep"),
    Consent: _("What they allowed"),
    Message: _("What we told them"),
    Link: _("Links made for them"),
    Event: _("History"),
}
# What stands beside the personal fields, so that a reader knows what a line is about.
BESIDE: dict[type[Grouped], tuple[str, ...]] = {
    Person: ("large_print", "first_aid", "seats", "under_18"),
    Household: ("tenure", "place", "from_on", "until_on"),
    Conversion: ("opened_on", "closed_on", "outcome"),
    GateCode: ("until_on",),
    Hold: ("kind", "state", "valid_from", "valid_until"),
    Visit: ("due_at", "state"),
    Entry: ("question", "received_at"),
    Photo: ("received_at", "slot"),
    Quote: ("version", "state", "sent_at", "offered_on"),
    Reply: ("answer", "route", "said_at"),
    Payment: ("on", "amount", "how"),
    Day: ("on",),
    SignUp: ("day", "state", "hours"),
    FollowUp: ("kind", "due_on", "state", "done_on"),
    Document: ("kind", "made_at"),
    Consent: ("kind", "on"),
    Message: ("kind", "made_at", "state"),
    Link: ("purpose", "expires_at", "revoked_at"),
    Event: ("at", "verb"),
}
WORDS = {
    "answer": _("answer"), "checked_by": _("checked by"), "as_typed": _("as typed"), "at": _("when"), "changed": _("what changed"), "closed_on": _("ended"),
    "content": _("the paper itself"), "day": _("day"), "done_on": _("done"), "due_on": _("due"), "expires_at": _("good until"),
    "findings": _("what was seen"), "from_on": _("since"), "hours": _("hours"), "kind": _("what"), "made_at": _("made"),
    "opened_on": _("asked"), "outcome": _("how it ended"), "place": _("place"), "purpose": _("for"), "question": _("question"),
    "reason": _("reason"), "received_at": _("when"), "relation": _("relation"), "revoked_at": _("ended"), "route": _("how"),
    "said_at": _("when"), "sent_at": _("sent"), "slot": _("from where"), "state": _("state"), "title": _("title"),
    "units": _("units"), "until_on": _("until"), "value": _("answer"), "values": _("what was in it"), "verb": _("what"),
    "address": _("address"), "total": _("in all"), "until": _("until"), "version": _("number"), "number": _("number"), "view_key": _("picture"), "words": _("words"), "days": _("days"), "note": _("note"),
}  # fmt: skip
UNREAD = ("thumb_key", "original_key")  # the picture itself is shown instead


@dataclass(frozen=True)
class Kept:
    """One row: its lines as (what, value); a picture also by its key."""

    lines: list[tuple[str, str]]
    photo: int = 0


@dataclass(frozen=True)
class Section:
    title: str
    rows: list[Kept] = field(default_factory=list)


def models_told() -> list[type[Grouped]]:
    """Every model with something to tell about a person, in the order of the parts."""
    ours = [m for m in apps.get_models() if issubclass(m, Grouped) and (m.personal or m in BESIDE)]
    return sorted(
        (m for m in ours if m.__name__ not in NOT_THEIRS), key=lambda m: list(TITLES).index(m) if m in TITLES else 99
    )


def all_on(person: Person) -> list[Section]:
    """Everything we hold, one section for each kind of row; kinds without a row are left out."""
    found = []
    for model in models_told():
        rows = [row for row in (_kept(one) for one in rows_of(model, person)) if row.lines]
        if rows:
            found.append(Section(str(TITLES.get(model, capfirst(model._meta.verbose_name_plural))), rows))
    return found


def rows_of(model: type[Grouped], person: Person) -> QuerySet:
    """The rows of one model that tell about this person."""
    rows = model.of(person.group_id)
    if model is Document:
        return rows.filter(pk__in=_papers(person)).order_by("pk")
    if model is Day:
        theirs = DayPatch.of(person.group_id).filter(conversion__household__contact=person).values("day")
        others = DayPatch.of(person.group_id).exclude(conversion__household__contact=person).values("day")
        return rows.filter(pk__in=theirs).exclude(pk__in=others)
    if model is Photo:
        return rows.filter(pk__in=_pictures(person)).order_by("pk")
    ways = ways_to_person(model)
    if not ways:
        raise LookupError(f"{model.__name__} holds personal fields, and no way leads from it to a person")
    wanted = Q()
    for way in ways:
        wanted |= Q(**{way: person.pk})
    if _has_number(model, "conversion_id"):
        wanted |= Q(conversion_id__in=Conversion.of(person.group_id).filter(household__contact=person).values("pk"))
    return rows.filter(pk__in=rows.filter(wanted).values("pk")).order_by("pk")


def ways_to_person(model: type[Grouped]) -> list[str]:
    """Look-ups from a model to the person: its own keys to a person, else the shortest way to an anchor."""
    if model in ANCHORS:
        return [ANCHORS[model]]
    own = [key.name for key in _keys(model) if key.related_model is Person]
    if own:
        return own
    seen, line = {model}, deque([(model, "")])
    while line:
        here, path = line.popleft()
        for key in _keys(here):
            to = key.related_model
            if to in ANCHORS:
                return [f"{path}{key.name}__{ANCHORS[to]}"]
            if to not in seen:
                seen.add(to)
                line.append((to, f"{path}{key.name}__"))
    return []


def _keys(model: type[models.Model]) -> Iterator[models.ForeignKey]:
    """Keys to rows of our own, without the group; a member is who wrote it down, not whom it is about."""
    for key in model._meta.concrete_fields:
        if key.is_relation and issubclass(key.related_model, Grouped) and key.related_model.__name__ != "Member":
            yield key


def _has_number(model: type[Grouped], name: str) -> bool:
    return any(f.name == name and not f.is_relation for f in model._meta.concrete_fields)


def _papers(person: Person) -> set[int]:
    """The documents that hang by a row of theirs."""
    found: set[int] = set()
    for model in (Quote, CareSheet, Message):
        found |= set(rows_of(model, person).exclude(document=None).values_list("document", flat=True))
    return found


def _pictures(person: Person) -> set[int]:
    """Pictures of their ground from the time they lived there; those of the people before or after are not theirs."""
    found: set[int] = set()
    for home in Household.of(person.group_id).filter(contact=person):
        before = Household.of(person.group_id).filter(place=home.place_id, until_on=home.from_on).exclude(pk=home.pk)
        since = "received_at__date__gt" if before.exists() else "received_at__date__gte"
        rows = Photo.of(person.group_id).filter(place=home.place_id, **{since: home.from_on})
        if home.until_on:
            rows = rows.filter(received_at__date__lte=home.until_on)
        found |= set(rows.values_list("pk", flat=True))
    return found


def _kept(row: Grouped) -> Kept:
    names = [*BESIDE.get(type(row), ()), *(name for name in row.personal if _is_read(row, name))]
    lines = [(label(row, name), shown(row, name)) for name in dict.fromkeys(names)]
    return Kept([line for line in lines if line[1]], row.pk if isinstance(row, Photo) else 0)


def _is_read(row: Grouped, name: str) -> bool:
    """Copies made for searching are left out; they hold nothing else."""
    return name not in UNREAD and row._meta.get_field(name).editable is not False or name == "content"


def label(row: Grouped, name: str) -> str:
    return capfirst(str(WORDS.get(name) or row._meta.get_field(name).verbose_name))


def shown(row: Grouped, name: str) -> str:
    """A value as a person reads it; empty where there is none."""
    if read := READ.get((type(row), name)):
        return read(row)
    value, kind = getattr(row, name, None), row._meta.get_field(name)
    if isinstance(row, Entry) and name in ("question", "value"):
        question = BY_CODE.get(row.question)
        return (
            (str(question.short) if name == "question" else wording(question, row.value, row.group.units))
            if question
            else str(value)
        )
    if isinstance(kind, models.BinaryField):
        return f"PDF, {len(value or b'') // 1024 + 1} kB" if value else ""
    if isinstance(row, Photo) and name == "view_key":
        return f"{row.width} × {row.height}"
    if kind.choices and value not in (None, ""):
        return str(getattr(row, f"get_{name}_display")())
    return plain(value)


def plain(value: Any) -> str:
    if value in (None, "", False, [], {}):
        return ""
    if value is True:
        return str(_("yes"))
    if isinstance(value, datetime.datetime):
        return date_format(timezone.localtime(value), "j F Y, H:i")
    if isinstance(value, datetime.date):
        return date_format(value, "j F Y")
    if isinstance(value, dict):
        return ", ".join(f"{WORDS.get(key, key)}: {plain(one)}" for key, one in value.items() if plain(one))
    if isinstance(value, list):
        return ", ".join(plain(one) for one in value)
    return str(value)


def account_of(person: Person) -> Any:
    """The account they sign in with, where they are a member."""
    try:
        return person.member and person.member.user
    except ObjectDoesNotExist:
        return None
