"""What stands in our rows as keys and codes, in the words of a person who reads all we hold on them."""

import datetime
from collections.abc import Callable
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from conversions.builds.models import SignUp
from conversions.care.forms import ANSWERS
from conversions.care.models import FollowUp
from conversions.common.dates import date_format
from conversions.groups.tenancy import Grouped
from conversions.people.group_history import told
from conversions.people.models import Event, Message
from conversions.yards import hold_words
from conversions.yards.forms.hold import HoldForm
from conversions.yards.models import Hold
from conversions.yards.story import PUT_RIGHT

# Of a message: what was filled in. The number of a version and who somebody is on a day are no words to anybody.
FILLED_IN = {
    "address": _("address"), "place": _("place"), "on": _("on"), "was_on": _("before"), "starts": _("From"), "ends": _("Until"),
    "offered_on": _("Build day"), "rain_on": _("Rain date"), "until": _("until"), "total": _("in all"),
    "sentence": _("A sentence of your own"),
}  # fmt: skip


def _listed(rows: Any) -> str:
    """ "Ticket number: T-881; Seen by: Vera"; what is empty is left out."""
    return "; ".join(f"{capfirst(str(label))}: {words}" for label, words in rows if words)


def _date(text: str) -> str:
    try:
        return date_format(datetime.date.fromisoformat(text), "j F Y")
    except ValueError:
        return text


def hold_facts(row: Hold) -> str:
    """What was found out; the codes by which an answer is known again are about no person."""
    labels = {name: field.label for name, field in HoldForm.base_fields.items()} | {"seen_by": _("seen by")}
    labels["question"] = _("question")
    return _listed((labels[key], str(value)) for key, value in row.facts.items() if key in labels)


def findings(row: FollowUp) -> str:
    return _listed(
        (question, dict(choices).get(row.findings.get(key), "")) for key, (question, choices) in ANSWERS.items()
    )


def filled_in(row: Message) -> str:
    return _listed((words, _date(str(row.values.get(key) or ""))) for key, words in FILLED_IN.items())


def happened(row: Event) -> str:
    """What was done, in the words of the page that tells it."""
    if row.verb in Event.OF_THE_GROUP:
        history = told(row, row.group)
        return "; ".join([capfirst(str(Event.VERBS[row.verb])), *history.notes])
    if row.person_id:
        return capfirst(row.told)
    return capfirst(str(Event.VERBS.get(row.verb) or PUT_RIGHT.get(row.verb) or row.verb))


def about(row: Event) -> str:
    kind = (row.changed.get("kind") or ["", ""])[-1] if row.verb.startswith("hold-") else ""
    return hold_words.named(kind, row.words)


# Rows and fields that are not read as they stand.
READ: dict[tuple[type[Grouped], str], Callable[[Any], str]] = {
    (Hold, "facts"): hold_facts,
    (Hold, "state"): hold_words.stands,
    (FollowUp, "findings"): findings,
    (Message, "kind"): lambda row: capfirst(row.what),
    (Message, "values"): filled_in,
    (Event, "verb"): happened,
    (Event, "words"): about,
    (Event, "changed"): lambda row: "",  # told with what was done
    (SignUp, "day"): lambda row: date_format(row.day.on, "j F Y"),
}
