"""What the page of a visit shows: a card for each question, what it raised, the photos, and what is still open."""

import datetime
import uuid
from dataclasses import dataclass, replace
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from conversions.common.measures import ABSURD_M
from conversions.yards import walk
from conversions.yards.forms import PatchForm
from conversions.yards.forms.fields import TINY_M
from conversions.yards.hold_kinds import RULES, Call
from conversions.yards.models import GateCode, Photo

from .checklist import Answers, raised, raised_by_two, read_answers, wording
from .effects import waiting
from .forms import AnswersForm, digest, visiting_members
from .history import answers_given
from .models import Visit
from .no_pictures import wants_none
from .questions import CALLED, QUESTIONS, Ask, Question
from .texts import ADVICE, CAUTIONS, SEVERITIES, Caution


@dataclass(frozen=True)
class Pick:
    choice: Any
    id: str
    is_checked: bool
    is_usual: bool


@dataclass(frozen=True)
class Row:
    """One row of picks with the small fields some of them open."""

    ask: Ask
    field: Any
    picks: list[Pick]
    details: list[Any]


@dataclass(frozen=True)
class Card:
    question: Question
    rows: list[Row]
    uid: Any
    saw: Any
    target: Any  # which patch the answer is for; None where there is no choice
    said: list[dict]
    flags: list[Caution]
    is_answered: bool
    is_clash: bool
    has_errors: bool
    usual_words: str
    is_looked: bool
    is_called: bool = True  # always, for one of the fifteen
    follows: tuple["Card", ...] = ()  # those that its answer or a fact may call for, called or not

    @property
    def takes_usual(self) -> bool:
        return bool(self.question.usual) and not self.is_answered and not self.is_clash

    @property
    def is_quiet(self) -> bool:
        """Nothing to do and nothing to heed: it may be folded away."""
        fine = self.is_answered and not self.flags and not self.has_errors
        return fine and all(card.is_quiet for card in self.follows if card.is_called)

    @property
    def all(self) -> tuple["Card", ...]:
        return (self, *self.follows)


def visits_of(group: Any) -> Any:
    """The group's visits with what their page shows."""
    rows = Visit.of(group).select_related("conversion__place__gate_code", "conversion__household__contact")
    return rows.select_related("conversion__group", "group").prefetch_related("goers__member__user")


def blank(request: Any, visit: Visit) -> dict:
    """The page a phone may keep: every question empty. An answer given from it takes the place only of one's own."""
    known = read_answers(visit)
    form = AnswersForm(group=request.group, answers=Answers(visit.conversion, known.patches))
    for question in (*QUESTIONS, *CALLED):
        own = [
            str(entry.uid)
            for key, entries in known.by_key.items()
            for entry in entries
            if key[0] == question.code and entry.by_id == request.member.pk
        ]
        form.fields[f"{question.code}-saw"].initial = ",".join(own)
    called = form.answers.called  # by facts alone: what was answered is no matter of the phone's
    cards = [
        replace(with_follows(form, question, form.answers, False, called, {}), is_answered=known.is_answered(question))
        for question in QUESTIONS
    ]
    return {
        "group": request.group,
        "visit": visit,
        "open_cards": sorted(cards, key=lambda card: not card.question.is_safety),
        "people_choices": Photo.PEOPLE,
        "slots": [{**slot, "photos": []} for slot in slots(visit, {})],
        "wants_no_pictures": wants_none(visit.conversion, known),
        "walks": [
            PatchForm(group=request.group, shape=shape, document={"patches": []}, auto_id=f"id_{shape}_%s")
            for shape in walk.SHAPES
        ],
        "drawing": visit.conversion.drawing(),
        "is_kept": True,  # by the phone, where no other page opens without signal
        "longest": str(ABSURD_M),  # what the server asks about too
        "shortest": str(TINY_M),
    }


def context(request: Any, visit: Visit, form: AnswersForm | None = None, **more: Any) -> dict:
    answers = form.answers if form else read_answers(visit)
    form = form or AnswersForm(group=request.group, answers=answers)
    many = len(visiting_members(request.group)) > 1
    called, held = answers.called, waiting(answers)
    cards = sorted(
        (with_follows(form, question, answers, many, called, held) for question in QUESTIONS),
        key=lambda card: not card.question.is_safety,
    )
    count = len(QUESTIONS) - len(answers.unanswered)
    return {
        "place": "yards",
        "visit": visit,
        "yard": visit.conversion,
        "contact": visit.conversion.household.contact,
        "gate_code": gate_code(visit, request.group.today()),
        "goers": [goer.member for goer in visit.goers.all() if not goer.called_off_at] if many else [],
        "form": form,
        "open_cards": [card for card in cards if not card.is_quiet],
        "quiet_cards": sorted((card for card in cards if card.is_quiet), key=lambda card: card.question.number),
        "every_card": [one for card in cards for one in card.all],
        "raised": raised_list([one for card in cards for one in card.all if one.is_called]),
        "answered": count,
        "of": len(QUESTIONS),
        "share": f"{count / len(QUESTIONS):.0%}",
        "unanswered": answers.unanswered,
        "musts": [question for question in answers.unanswered if question.is_must],
        "others": [question for question in answers.unanswered if not question.is_must],
        "more": [question for question in called if not answers.is_answered(question)],
        "with_usual": request.GET.get("usual") == "1" or request.POST.get("usual_on") == "1",
        "history": answers_given(visit.conversion) if many else [],
        "is_open": visit.state in ("planned", "under way"),
        "people_choices": Photo.PEOPLE,
        "slots": slots(visit, more.get("photo_errors", {})),
        "wants_no_pictures": wants_none(visit.conversion, answers),
        "notes": visit.notes,
        "notes_was": digest(visit.notes),
        "needs_mending": bool(
            form.errors or more.get("photo_errors") or more.get("note_error") or more.get("theirs") is not None
        ),
        **more,
    }


def gate_code(visit: Visit, today: datetime.date) -> GateCode | None:
    """How to get in, until its date."""
    code = getattr(visit.conversion.place, "gate_code", None)
    return code if code and code.is_good(today) else None


def raised_list(cards: list[Card]) -> list[dict]:
    """Each caution once, stops first, with the question that brought it up."""
    rows = [{"caution": caution, "code": card.question.code} for card in cards for caution in card.flags]
    return sorted(rows, key=lambda row: SEVERITIES.index(row["caution"].severity))


def card(form: AnswersForm, question: Question, answers: Answers, many: bool, held: dict[str, list[Call]]) -> Card:
    scopes = answers.scopes(question)
    code = question.code
    names = [name for name in form.fields if name.startswith(f"{code}-")]
    clash = any(scope.is_clash for scope in scopes)
    usual = question.usual or {}
    looked = form.is_bound and code in form.data.getlist("looked")
    return Card(
        question=question,
        rows=[row(form, question, ask) for ask in question.asks],
        uid=form[f"{code}-uid"],
        saw=form[f"{code}-saw"],
        target=form[f"{code}-for"] if f"{code}-for" in form.fields else None,
        said=said(scopes, many, clash, answers.conversion.group.units),
        flags=flags(question, scopes, answers, held.get(code, [])),
        is_answered=answers.is_answered(question),
        is_clash=clash,
        has_errors=any(form.errors.get(name) for name in names),
        usual_words=", ".join(str(ask.choice(usual[ask.code]).words) for ask in question.asks) if usual else "",
        is_looked=looked,
    )


def with_follows(
    form: AnswersForm,
    question: Question,
    answers: Answers,
    many: bool,
    called: list[Question],
    held: dict[str, list[Call]],
) -> Card:
    """A question of the fifteen with those below it; the page hides what is not called for, until a pick calls for it."""
    below = [more for more in CALLED if more.number == question.number]
    follows = tuple(replace(card(form, more, answers, many, held), is_called=more in called) for more in below)
    return replace(card(form, question, answers, many, held), follows=follows)


def row(form: AnswersForm, question: Question, ask: Ask) -> Row:
    field = form[f"{question.code}-{ask.code}"]
    value = field.value()
    usual = None if question.is_safety else ask.usual
    picks = [
        Pick(choice, f"{field.auto_id}_{number}", choice.code == value, choice.code == usual)
        for number, choice in enumerate(ask.choices)
    ]
    return Row(ask, field, picks, [form[f"{question.code}-{ask.code}-{detail.code}"] for detail in ask.details])


def said(scopes: list, many: bool, clash: bool, units: str) -> list[dict]:
    """Who said what, where that is not plain from the picks: two people, two patches or two answers."""
    if not (many or clash or len(scopes) > 1):
        return []
    return [
        {
            "patch": scope.patch,
            "words": wording(scope.question, entry.value, units),
            "by": entry.by if many or clash else None,
            "at": timezone.localtime(entry.received_at),
        }
        for scope in scopes
        for entry in scope.entries
    ]


def flags(question: Question, scopes: list, answers: Answers, held: list[Call]) -> list[Caution]:
    """What the answer brought up; what it holds up too, where nothing else says so or where nobody was sure."""
    today, place = answers.conversion.group.today(), answers.conversion.place
    keys = [found.key for scope in scopes for value in scope.values for found in raised(question, value, place, today)]
    if question.code == "grass":
        keys += [found.key for found, _patch in raised_by_two(answers)]
    found = [CAUTIONS[key] for key in dict.fromkeys(keys)]
    waits = {call.kind: _wait(question, call) for call in held if call.is_unsure or not found}
    return [*found, *waits.values()]


def _wait(question: Question, call: Call) -> Caution:
    rule = RULES[call.kind]
    title = _("Not sure yet: %(question)s") % {"question": question.short} if call.kind == "ask" else rule.waits
    return Caution(f"waits {call.kind}", ADVICE, title, rule.to_do)


def slots(visit: Visit, errors: dict) -> list[dict]:
    """Every place for a picture, with the pictures of this visit that are there."""
    rows = list(Photo.of(visit.group_id).filter(taken_for="visit", taken_for_id=visit.pk))
    return [
        {
            "code": code,
            "words": words,
            "photos": [photo for photo in rows if photo.slot == code],
            "error": errors.get(code, ""),
            "uid": uuid.uuid4(),
        }
        for code, words in Photo.SLOTS
    ]
