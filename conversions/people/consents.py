"""What people allow: asked one by one, kept as said, and no unless somebody said yes."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from conversions.groups.models import Group, Member

from .history import note_event
from .models import Consent, Person

NOTICE_VERSION = "1"
NOTICES = {  # what is read out before asking; a changed text is a new version, and old answers keep theirs
    "1": [
        _("We write down your name, your number and what we build, so that we can do the work and look after it."),
        _("Only members of this group who need it see it. We sell nothing and give it to nobody."),
        _("You may say no to any of this, change your mind at any time, see all we hold, or have it taken out."),
    ],
}
QUESTIONS = {
    "contact": _("May we keep your name and how to reach you?"),
    "photo record": _("May we take pictures of the ground, for our own record?"),
    "photo public": _("May we show pictures of the ground to others? Never the house number."),
    "people in photo": _("May pictures show you, or your children?"),
    "share name": _("May we tell other helpers your name?"),
    "future": _("May we ask you again in later years?"),
}


@dataclass(frozen=True)
class Standing:
    """One question, the answer that holds (None: not asked, which is no), and those before it."""

    kind: str
    words: str
    question: str
    now: Consent | None
    before: list[Consent]


def standing(person: Person) -> list[Standing]:
    """What they said for themselves, question by question."""
    rows: dict[str, list[Consent]] = {kind: [] for kind, _words in Consent.KINDS}
    for row in Consent.of(person.group_id).filter(person=person, child=None).select_related("by__user"):
        rows[row.kind].append(row)
    words = dict(Consent.KINDS)
    return [
        Standing(kind, words[kind], QUESTIONS[kind], said[0] if said else None, said[1:]) for kind, said in rows.items()
    ]


def of_children(person: Person) -> list[Consent]:
    """What they said for each child in their care: the newest answer to each question, who gave it is `person`."""
    rows = Consent.of(person.group_id).filter(person=person).exclude(child=None).select_related("by__user", "child")
    newest: dict[tuple[int, str], Consent] = {}
    for row in rows.order_by("on", "pk"):
        newest[row.child_id, row.kind] = row
    return sorted(newest.values(), key=lambda row: (row.child.search, row.kind))


def a_child(*, group: Group, name: str) -> Person:
    """A child we know by name alone, so that a parent's answer has somebody it is about."""
    child = Person(group=group, name=name, route="door", under_18=True)
    child.full_clean()
    child.save()
    return child


def answers(group: Group | int, people: Iterable[int], kinds: Iterable[str]) -> dict[tuple[int, str, int | None], bool]:
    """(person, kind, child or None) -> the newest answer: yes is true. What was not asked is not there, which is no."""
    rows = Consent.of(group).filter(person__in=people, kind__in=kinds).order_by("on", "pk")
    return {(row.person_id, row.kind, row.child_id): row.answer == "yes" for row in rows}


def allows(person: Person, kind: str) -> bool:
    """Whether they said yes for themselves, and did not say no after that. Not asked is no."""
    return answers(person.group_id, [person.pk], [kind]).get((person.pk, kind, None), False)


def write_consent(
    *,
    person: Person,
    by: Member | None,
    kind: str,
    answer: str,
    how: str,
    on: datetime.date,
    child: Person | None = None,
    child_name: str = "",
) -> Consent:
    """Add what they said; nothing said before is changed. `by` None: they pressed it themselves, behind their link.

    `child`: it is about that child, and `person` answered for them; `child_name` where nobody wrote the child down yet.
    """
    with transaction.atomic():
        if child_name and child is None:
            child = a_child(group=person.group, name=child_name)
        return _write(person, by, child, kind=kind, answer=answer, how=how, on=on)


def _write(person: Person, by: Member | None, child: Person | None, **said: object) -> Consent:
    row = Consent(
        group=person.group, person=person, by=by, child=child, notice_version=NOTICE_VERSION, **said
    )  # fmt: skip
    row.full_clean()
    row.save()
    note_event(group=person.group, verb=f"consent-{row.answer}", by=by, person=person, changed={"kind": ["", row.kind]})
    return row
