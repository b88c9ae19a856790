"""What the engine says when something is wrong: problems with their place, and the error that carries them."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Where:
    """What a problem is about: the uid of a patch or bed, and the corner ('A'), side ('A to B') or field."""

    uid: str = ""
    part: str = ""

    def __str__(self) -> str:
        return ", ".join(word for word in (self.uid, self.part) if word)


@dataclass(frozen=True)
class Problem:
    """One thing wrong with a site; `message` is a constant with {names}, so that it can be translated."""

    code: str
    where: Where
    message: str
    values: dict[str, object] = field(default_factory=dict)

    @property
    def sentence(self) -> str:
        """The message with its values filled in, in English."""
        return self.message.format(**self.values)

    def __str__(self) -> str:
        return f"{self.where}: {self.sentence}" if str(self.where) else self.sentence


class SiteError(ValueError):
    """A site that cannot be sized; carries every problem found, not only the first."""

    def __init__(self, problems: "list[Problem] | tuple[Problem, ...]"):
        self.problems = tuple(problems)
        super().__init__("; ".join(str(problem) for problem in self.problems))
