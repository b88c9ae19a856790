"""What a question is made of: its rows of picks, the small fields some picks open, what calls for it, what it is for."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

NOT_SURE = "not sure"
# What an answer may change: it stops a patch, opens a hold, changes amounts, the drawing, the care, the day, or proves.
EFFECTS = ("stop", "hold", "quantity", "design", "care", "safety", "evidence")

Words = str | Promise


@dataclass(frozen=True)
class Choice:
    code: str
    words: Words
    raises: tuple[str, ...] = ()  # keys of texts.CAUTIONS
    stops: bool = False  # no digging while this is the answer
    more: bool = False  # only this answer shows the details of its row


@dataclass(frozen=True)
class Detail:
    code: str
    words: Words
    kind: str = "text"  # text, length, small length (mm or inches), date, far date (with its year), whole
    unit: Words = ""
    most_m: float = 200  # of a length: nobody means more; here and in the rows our own guess

    @property
    def is_length(self) -> bool:
        return self.kind in ("length", "small length")


@dataclass(frozen=True)
class Ask:
    """One row of picks; `words` is empty where the question itself says it all."""

    code: str
    choices: tuple[Choice, ...]
    words: Words = ""
    usual: str = ""
    details: tuple[Detail, ...] = ()

    def choice(self, code: object) -> Choice | None:
        return next((choice for choice in self.choices if choice.code == code), None)


@dataclass(frozen=True)
class Calls:
    """What calls for a question: one of some picks in a row of another question, or a fact of the yard."""

    by: str = ""  # code of the question
    ask: str = ""
    picks: tuple[str, ...] = ()
    fact: str = ""  # one of facts.FACTS


@dataclass(frozen=True)
class Question:
    number: int
    code: str
    short: Words
    words: Words
    asks: tuple[Ask, ...]
    hint: Words = ""
    is_safety: bool = False
    per_patch: bool = False
    effects: tuple[str, ...] = ()
    is_must: bool = False  # only somebody who stands there can tell, or it is about safety
    letter: str = ""  # of those that are asked only when called for
    called_by: tuple[Calls, ...] = ()

    @property
    def choices(self) -> tuple[Choice, ...]:
        return self.asks[0].choices

    @property
    def usual(self) -> dict[str, str] | None:
        """The grey answer, one pick per row; none where it is about safety, or where no answer is the usual one."""
        has_usual = all(ask.usual for ask in self.asks)
        return {ask.code: ask.usual for ask in self.asks} if has_usual and not self.is_safety else None

    @property
    def details(self) -> tuple[Detail, ...]:
        return tuple(detail for ask in self.asks for detail in ask.details)

    @property
    def mark(self) -> str:
        """What stands before it: 10, or 10a."""
        return f"{self.number}{self.letter}"

    @property
    def called_by_picks(self) -> str:
        """Names and values of the fields that bring it onto the page, for the script: say-right=shared|..."""
        pairs = [f"{call.by}-{call.ask}={pick}" for call in self.called_by for pick in call.picks]
        return "|".join(pairs)


def picks(*choices: Choice) -> tuple[Choice, ...]:
    return (*choices, Choice(NOT_SURE, _("Not sure")))
