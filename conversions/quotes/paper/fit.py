"""Makes a plan's paper fit: looks at how the pages fell, and says what to leave out or set smaller next."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

MOST_WORDS, MOST_LAST = 3, 4
VERY_FEW_LETTERS, FEW_LETTERS = 350, 900  # of cautions: as many still go on one page with the slip and more, or with it


@dataclass(frozen=True)
class Fit:
    """How tight a paper is set.

    words: 0 the first page at 14 pt; 1 what we cannot promise goes to a later page; 2 so does the area; 3 at 12 pt.
    last: 0 everything; 1 not what it will look like; 2 cautions as a table; 3 with fewer pictures; 4 with none.
    is_together: cautions and slip share a page.
    is_overleaf: the cut stands on the page after the drawing. is_owner_tight: the owner's page in smaller type.
    """

    pictures: int
    is_renter: bool
    is_together: bool
    is_overleaf: bool
    words: int = 0
    last: int = 0
    is_owner_tight: bool = False

    @property
    def shown(self) -> int:
        """How many pictures there is room for."""
        most = 3 if self.is_together else 6
        return min(self.pictures, {3: 3, 4: 0}.get(self.last, most))

    @property
    def has_later(self) -> bool:
        return self.last == 0

    @property
    def is_table(self) -> bool:
        return self.last >= 2


def first_fit(*, pictures: int, is_renter: bool, is_overleaf: bool, letters: int) -> Fit:
    """A tenant's fourth page is the owner's, so that cautions and slip share the third."""
    is_little = not pictures and not is_overleaf and letters <= FEW_LETTERS
    is_together = is_renter or is_little
    is_full = is_together and (pictures or letters > VERY_FEW_LETTERS)
    return Fit(pictures, is_renter, is_together, is_overleaf, last=1 if is_full else 0)


def tighter(fit: Fit, spans: Mapping[str, int]) -> Fit | None:
    """The next try, or nothing where every part keeps to its page (or no more can be done)."""
    if spans.get("words", 1) > 1 and fit.words < MOST_WORDS:
        fit = replace(fit, words=fit.words + 1)
    elif spans.get("plan", 1) > 1 and not fit.is_overleaf:
        fit = replace(fit, is_overleaf=True)
    elif spans.get("last", 1) > 1 and fit.last == 0:
        fit = replace(fit, last=1)
    elif spans.get("last", 1) > 1 and fit.is_together and not fit.is_renter:
        fit = replace(fit, is_together=False, last=0)
    elif max(spans.get("last", 1), spans.get("know", 1)) > 1 and fit.last < MOST_LAST:
        fit = replace(fit, last=fit.last + 1)
    elif spans.get("owner", 1) > 1 and not fit.is_owner_tight:
        fit = replace(fit, is_owner_tight=True)
    else:
        return None
    return fit


class Fitting:
    """Remembers the last try; handed to the printer as its `refit`."""

    def __init__(self, fit: Fit):
        self.fit = fit

    def __call__(self, spans: Mapping[str, int], pages: int) -> dict[str, Any] | None:
        found = tighter(self.fit, spans)
        if found is None:
            return None
        self.fit = found
        return {"fit": found}
