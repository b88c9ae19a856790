"""Which cautions apply to a yard: those of every build day, and those its answers bring up."""

import dataclasses

from conversions.yards.models import Conversion, Patch

from .checklist import Answers, Raised, raised, raised_by_two, read_answers
from .questions import BY_CODE
from .texts import ALWAYS, CAUTIONS, COLD, SEVERITIES, SUSPECT, Caution

__all__ = ["CAUTIONS", "Caution", "cautions_for", "cautions_of", "has_suspect_soil"]


def cautions_for(conversion: Conversion, season: str | None = None) -> list[Caution]:
    """Stops first, then advice, then notes. `season` "cold" puts cold in the place of heat."""
    return cautions_of(read_answers(conversion), season)


def cautions_of(answers: Answers, season: str | None = None) -> list[Caution]:
    always = [caution for caution in ALWAYS if season != "cold" or caution.key != "heat"]
    rows = (*always, *(COLD if season == "cold" else ()), *raised_cautions(answers))
    return sorted(rows, key=lambda caution: SEVERITIES.index(caution.severity))


def raised_cautions(answers: Answers) -> list[Caution]:
    """Those of the answers alone, each once, with the patches it is about."""
    where: dict[str, list[Patch | None]] = {}
    for found, patch in _raised_everywhere(answers):
        where.setdefault(found.key, []).append(patch)
    return [
        dataclasses.replace(CAUTIONS[key], where=() if None in patches else tuple(patch.label for patch in patches))
        for key, patches in where.items()
    ]


def _raised_everywhere(answers: Answers) -> list[tuple[Raised, Patch | None]]:
    today, place = answers.conversion.group.today(), answers.conversion.place
    rows = [
        (found, scope.patch)
        for scope in answers.all_scopes()
        for value in scope.values
        for found in raised(scope.question, value, place, today)
    ]
    if not any(scope.entries for scope in answers.scopes(BY_CODE["past"])):
        rows.append((Raised("soil_untested"), None))  # not asked yet is not tested
    return list(dict.fromkeys([*rows, *raised_by_two(answers)]))


def has_suspect_soil(conversion: Conversion) -> bool:
    """Not tested, or tested and high: then food grows in lined frames only, and no roots in the ground."""
    return any(caution.key in SUSPECT for caution in raised_cautions(read_answers(conversion)))
