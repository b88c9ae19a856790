"""Short of something: which whole patches can be finished with the cardboard, chips, compost and people there are."""

from dataclasses import dataclass, replace

from .takeoff import takeoff
from .values import Crew, Site

EXACT_UP_TO = 12
SLACK = 1e-9


@dataclass(frozen=True)
class Stock:
    """What there is; None: enough of it. Chips and compost loose, as they lie in the heap."""

    cardboard: float | None = None  # sheets
    chips_m3: float | None = None
    compost_m3: float | None = None
    people: int | None = None

    def limits(self, crew: Crew) -> dict[str, float]:
        """Most of each good; people as the hours of work they do in a day."""
        hours = None if self.people is None else self.people * crew.crew_factor * crew.working_share * crew.day_h
        given = {"cardboard": self.cardboard, "chips": self.chips_m3, "compost": self.compost_m3, "hours": hours}
        return {key: value for key, value in given.items() if value is not None}


@dataclass(frozen=True)
class Need:
    """What one whole patch with its beds takes."""

    uid: str
    cover_m2: float
    cardboard: float
    chips: float
    compost: float
    hours: float


@dataclass(frozen=True)
class Finishable:
    """The patches that can be finished, and what is left over."""

    patches: tuple[str, ...]
    cover_m2: float
    hours: float
    left: dict[str, float]  # of each good that is limited
    is_exact: bool


def needs(site: Site) -> tuple[Need, ...]:
    """Each patch sized on its own; loose volumes before rounding to a selling step. Setting out is paid by each patch."""
    out = []
    for patch in site.patches:
        figures = takeoff(replace(site, patches=(patch,), beds=site.beds_of(patch.uid))).figures
        chips, compost = (
            next(value for label, value, _ in figures[key].inputs if label == "before rounding")
            for key in ("chips", "compost")
        )
        hours = next(value for label, value, _ in figures["people"].inputs if label == "hours of work")
        out.append(Need(patch.uid, figures["cover"].value, figures["cardboard"].value, chips, compost, hours))
    return tuple(out)


def can_finish(site: Site, stock: Stock, crew: Crew | None = None) -> Finishable:
    """Whole patches that can be finished: most square metres first, then fewest hours, then those listed first."""
    return choose(needs(site), stock.limits(crew or Crew.of(site.own)))


def choose(all_needs: tuple[Need, ...], limits: dict[str, float]) -> Finishable:
    """Exact for up to twelve patches (every set is looked at, sets that cannot fit are cut off); a good guess above."""
    possible = [need for need in all_needs if all(getattr(need, key) <= most + SLACK for key, most in limits.items())]
    is_exact = len(possible) <= EXACT_UP_TO
    chosen = _best(possible, limits) if is_exact else _greedy(possible, limits)
    left = {key: round(most - sum(getattr(need, key) for need in chosen), 4) + 0.0 for key, most in limits.items()}
    area, hours = (round(sum(getattr(need, key) for need in chosen), 2) for key in ("cover_m2", "hours"))
    return Finishable(tuple(need.uid for need in chosen), area, hours, left, is_exact)


def _rank(chosen: list[Need]) -> tuple[float, float]:
    return -round(sum(need.cover_m2 for need in chosen), 6), round(sum(need.hours for need in chosen), 6)


def _fits(chosen: list[Need], limits: dict[str, float]) -> bool:
    return all(sum(getattr(need, key) for need in chosen) <= most + SLACK for key, most in limits.items())


def _best(possible: list[Need], limits: dict[str, float]) -> list[Need]:
    best: list[Need] = []
    sets: list[list[Need]] = [[]]
    for need in possible:
        grown = [[*chosen, need] for chosen in sets]
        grown = [chosen for chosen in grown if _fits(chosen, limits)]
        sets += grown
        best = min([best, *grown], key=_rank)
    return best


def _greedy(possible: list[Need], limits: dict[str, float]) -> list[Need]:
    """Most square metres for the scarcest good first."""

    def worth(need: Need) -> tuple[float, str]:
        share = max((getattr(need, key) / most for key, most in limits.items() if most), default=0.0)
        return -need.cover_m2 / (share or 1e-9), need.uid

    chosen: list[Need] = []
    for need in sorted(possible, key=worth):
        if _fits([*chosen, need], limits):
            chosen.append(need)
    return [need for need in possible if need in chosen]
