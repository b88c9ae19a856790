"""What the answers of a visit say: which hold, what is open, and what keeps the spade out of the ground."""

import datetime
from collections import defaultdict
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _

from conversions.common.dates import date_format
from conversions.yards.models import Conversion, Patch

from . import lengths
from .facts import facts_of
from .kinds import Calls
from .models import Entry, Visit
from .questions import BY_CODE, CALLED, NOT_SURE, QUESTIONS, SAFETY, Ask, Choice, Question
from .texts import CAUTIONS, STOP

__all__ = ["QUESTIONS", "SAFETY", "Answers", "current_answers", "stops", "wording"]

# Lead in soil, ppm. Source: US EPA directive of October 2025 (200 screening, 600 removal); the lowest and the stopping
# band follow health departments and universities, which differ.
LEAD_BANDS = ((400, "lead_stop"), (200, "lead_high"), (100, "lead_some"), (0, "lead_low"))
OLD_PAINT_BEFORE = 1978  # year US lead house paint ended; source: US EPA


@dataclass(frozen=True)
class Raised:
    """A caution an answer brought up, and whether it keeps the spade out."""

    key: str
    stops: bool = False


@dataclass(frozen=True)
class Scope:
    """One question for one stretch of ground: a patch, or the whole yard (None)."""

    question: Question
    patch: Patch | None
    entries: tuple[Entry, ...] = ()

    @property
    def values(self) -> list[dict]:
        """The different answers that stand, oldest first; two of them are for a person to choose between."""
        out: list[dict] = []
        for entry in self.entries:
            if entry.value not in out:
                out.append(entry.value)
        return out

    @property
    def is_clash(self) -> bool:
        return len(self.values) > 1

    @property
    def open_asks(self) -> list[Ask]:
        """The rows of picks without an answer."""
        values = self.values
        return [ask for ask in self.question.asks if not values or any(ask.code not in value for value in values)]

    @property
    def unsure_asks(self) -> list[Ask]:
        return [ask for ask in self.question.asks if any(value.get(ask.code) == NOT_SURE for value in self.values)]

    @property
    def is_answered(self) -> bool:
        return not self.is_clash and not self.open_asks


@dataclass
class Answers:
    """The standing answers of one conversion, by question and patch."""

    conversion: Conversion
    patches: list[Patch]
    by_key: dict[tuple[str, int | None], list[Entry]] = field(default_factory=dict)

    def scopes(self, question: Question) -> list[Scope]:
        """A patch with an answer of its own stands alone; what is said of every patch holds for the others."""
        general = tuple(self.by_key.get((question.code, None), ()))
        own = [patch for patch in self.patches if (question.code, patch.pk) in self.by_key]
        if not question.per_patch or not own:
            return [Scope(question, None, general)]
        alone = [Scope(question, patch, tuple(self.by_key[question.code, patch.pk])) for patch in own]
        return alone + [Scope(question, patch, general) for patch in self.patches if patch not in own]

    def all_scopes(self) -> list[Scope]:
        return [scope for question in (*QUESTIONS, *self.answered_called) for scope in self.scopes(question)]

    @property
    def answered_called(self) -> list[Question]:
        """Those beyond the fifteen with an answer that counts: what called for them still stands, or was a fact."""
        given = {code for code, _patch in self.by_key}
        return [row for row in CALLED if row.code in given and (self._is_called(row) or _has_fact(row))]

    @property
    def called(self) -> list[Question]:
        """Those beyond the fifteen that the answers and the facts call for now. Costs two queries for the facts."""
        return [row for row in CALLED if self._is_called(row) or any(call.fact in self.facts for call in row.called_by)]

    @cached_property
    def facts(self) -> frozenset[str]:
        return facts_of(self.conversion)

    def _is_called(self, question: Question) -> bool:
        return any(self._calls(call) for call in question.called_by if call.by)

    def _calls(self, call: Calls) -> bool:
        parent = BY_CODE[call.by]
        if parent.called_by and not self._is_called(parent):
            return False
        values = [value for scope in self.scopes(parent) for value in scope.values]
        return any(value.get(call.ask) in call.picks for value in values)

    def is_answered(self, question: Question) -> bool:
        return all(scope.is_answered for scope in self.scopes(question))

    @property
    def unanswered(self) -> list[Question]:
        return [question for question in QUESTIONS if not self.is_answered(question)]

    def pick(self, question: str, ask: str) -> str:
        """The one pick that stands for the whole yard, or nothing."""
        values = Scope(BY_CODE[question], None, tuple(self.by_key.get((question, None), ()))).values
        return values[0].get(ask, "") if len(values) == 1 else ""


def _has_fact(question: Question) -> bool:
    return any(call.fact for call in question.called_by)


def read_answers(subject: Visit | Conversion) -> Answers:
    """All that is answered on this conversion, on whichever visit."""
    conversion = subject.conversion if isinstance(subject, Visit) else subject
    rows = Entry.of(conversion.group_id).filter(visit__conversion=conversion, replaced_by=None)
    by_key: dict[tuple[str, int | None], list[Entry]] = defaultdict(list)
    for entry in rows.select_related("by__user", "patch").order_by("pk"):
        if entry.question in BY_CODE:
            by_key[entry.question, entry.patch_id].append(entry)
    patches = list(Patch.of(conversion.group_id).filter(place=conversion.place_id))
    return Answers(conversion, patches, dict(by_key))


def current_answers(subject: Visit | Conversion) -> dict[str, Entry]:
    """Question -> the answer that stands for the whole yard; where only patches have one, the last of those."""
    by_key = read_answers(subject).by_key
    ranked = sorted(by_key.items(), key=lambda item: item[0][1] is None)
    return {question: entries[-1] for (question, _patch), entries in ranked}


# ---- what an answer raises


def raised(question: Question, value: dict, place: Any = None, on: datetime.date | None = None) -> list[Raised]:
    out = []
    for ask in question.asks:
        choice = ask.choice(value.get(ask.code))
        out += _raised_by(choice) if choice else []
    if question.code == "past":
        out += _soil(value, place)
    if question.code == "pipes" and value.get("until") and on and on.isoformat() > value["until"]:
        out.append(Raised("marks_ran_out", True))
    if question.code == "owner" and on and _ends_within_a_year(value.get("lease"), on):
        out.append(Raised("lease_short"))
    return out


def _ends_within_a_year(lease: str | None, on: datetime.date) -> bool:
    return bool(lease) and datetime.date.fromisoformat(lease) < on + datetime.timedelta(days=365)


def _raised_by(choice: Choice) -> list[Raised]:
    """Where one of the cautions is a stop, that one keeps the spade out; else all of them do."""
    grave = [key for key in choice.raises if CAUTIONS[key].severity == STOP]
    stopping = (grave or choice.raises) if choice.stops else ()
    return [Raised(key, key in stopping) for key in choice.raises]


def _soil(value: dict, place: Any) -> list[Raised]:
    past, lead = value.get("past"), value.get("lead")
    year = getattr(place, "built_year", None)
    has_paint = past in ("paint", "both") or bool(year and year < OLD_PAINT_BEFORE)
    out = []
    if past in ("other", "both") and value.get("soil") != "cleared":
        out.append(Raised("past_use", True))
    if has_paint:
        out.append(Raised("old_paint"))
    if lead is not None:
        key = next(key for least, key in LEAD_BANDS if lead >= least)
        out.append(Raised(key, key == "lead_stop"))
    elif past != "none" or has_paint:
        out.append(Raised("soil_untested"))
    return out


def raised_by_two(answers: Answers) -> list[tuple[Raised, Patch | None]]:
    """Cautions that only two answers together bring up: runners, where nobody can bend to pull them."""
    if answers.pick("waters", "bend") != "yes":
        return []
    return [
        (Raised("runners_bend", True), scope.patch)
        for scope in answers.scopes(BY_CODE["grass"])
        if any(value.get("grass") in ("runners", "bindweed") for value in scope.values)
    ]


# ---- what keeps the spade out


def stops(conversion: Conversion, on: datetime.date | None = None) -> list[dict]:
    """What blocks digging, on the day `on` (today if not said). Nothing here blocks a quote.

    Each row: question, words, why, patch (None: the whole yard), kind "stop" or "unanswered", is_safety.
    """
    return stops_of(read_answers(conversion), on)


def stops_of(answers: Answers, on: datetime.date | None = None) -> list[dict]:
    on = on or answers.conversion.group.today()
    place = answers.conversion.place
    hard, soft = [], []
    for scope in answers.all_scopes():
        keys = [row.key for value in scope.values for row in raised(scope.question, value, place, on) if row.stops]
        hard += [_stop(scope.question, scope.patch, CAUTIONS[key]) for key in dict.fromkeys(keys)]
        why = why_open(scope)
        if why:
            soft.append(_row(scope.question, scope.patch, scope.question.short, why, "unanswered"))
    hard += [_stop(BY_CODE["grass"], patch, CAUTIONS[row.key]) for row, patch in raised_by_two(answers)]
    return hard + soft


def _stop(question: Question, patch: Patch | None, caution: Any) -> dict:
    return _row(question, patch, caution.title, caution.crew_text, "stop")


def _row(question: Question, patch: Patch | None, words: Any, why: Any, kind: str) -> dict:
    return {
        "question": question.code,
        "number": question.mark,
        "words": words,
        "why": why,
        "patch": patch,
        "kind": kind,
        "is_safety": question.is_safety,
    }


def why_open(scope: Scope) -> str:
    if not scope.entries:
        return _("Not answered yet.")
    if scope.is_clash:
        return _("Two answers stand. Choose one.")
    if scope.open_asks:
        return _("Half answered.")
    return _("Nobody is sure yet: ask.") if scope.unsure_asks else ""


# ---- an answer in words


def wording(question: Question, value: dict, units: str) -> str:
    """An answer as a person would say it: "Yes. From the trunk to the nearest edge: 3.10 m"; `units`: the group's."""
    words = []
    for ask in question.asks:
        choice = ask.choice(value.get(ask.code))
        if choice:
            words.append(str(choice.words))
        words += [
            f"{part.words}: {_shown(part, value[part.code], units)}" for part in ask.details if part.code in value
        ]
    return ". ".join(words)


def _shown(detail: Any, kept: Any, units: str) -> str:
    if detail.is_length:
        return lengths.said(detail, kept, units)
    if detail.kind in ("date", "far date"):
        return date_format(datetime.date.fromisoformat(kept), "j F Y" if detail.kind == "far date" else "j F")
    return f"{kept} {detail.unit}".strip()
