"""The numbers of the book that a group may set itself: each with its bounds, unit and source; and what a group set.

What is chosen yard by yard (depths, laps, layers, settling, strips) stands in the site itself and not here.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from . import catalogue as book
from .catalogue import Constant
from .materials import material
from .problems import Problem, SiteError, Where
from .rates import RATES


@dataclass(frozen=True)
class OwnValue:
    """One number a group may set. `default`, `unit` and `source` are the catalogue's; `part` is where it belongs."""

    name: str  # stable: stands in site files and in what a group keeps
    part: str  # ground, trench, cardboard, mulch, beds, work, barrow, learning, rates
    label: str  # as in the catalogue; the label of a figure's input
    default: float
    least: float
    most: float
    unit: str
    source: str
    is_whole: bool = False


def _row(name: str, part: str, constant: Constant, least: float, most: float, is_whole: bool = False) -> OwnValue:
    return OwnValue(
        name, part, constant.name, float(constant.value), least, most, constant.unit, constant.source, is_whole
    )


# Bounds: what was published where there is a range; else about what anybody could mean. Distances that keep people
# or trees safe may be made larger, not smaller than the least that was published.
_ROWS = (
    _row("tree_ring_factor", "ground", book.TREE_RING_FACTOR, 12, 18),
    _row("tree_ring_least", "ground", book.TREE_RING_LEAST, 1.83, 6),
    _row("tree_collar", "ground", book.TREE_COLLAR, 0.05, 0.5),
    _row("line_band", "ground", book.LINE_BAND, 0.46, 1.5),
    _row("paint_strip", "ground", book.PAINT_STRIP, 1, 10),
    _row("absurd_side", "ground", book.ABSURD_SIDE, 20, 500),
    _row("swell_light", "trench", book.SWELL["light"], 0, 0.6),
    _row("swell_medium", "trench", book.SWELL["medium"], 0, 0.6),
    _row("swell_heavy", "trench", book.SWELL["heavy"], 0, 0.6),
    _row("card_mass", "cardboard", book.CARD_MASS, 0.3, 1.5),
    _row("chip_least_depth", "mulch", book.CHIP_LEAST_DEPTH, 0.03, 0.1),
    _row("tree_chip_depth", "mulch", book.TREE_CHIP_DEPTH, 0.05, 0.1),
    _row("selling_step", "mulch", book.SELLING_STEP, 0.05, 1),
    _row("repose", "beds", book.REPOSE, 30, 45),
    _row("freeboard", "beds", book.FREEBOARD, 0, 0.1),
    _row("paved_edge", "beds", book.PAVED_EDGE, 0.15, 0.6),
    _row("first_beds_area", "beds", book.FIRST_BEDS_AREA, 2, 40),
    _row("chips_pin_slope", "beds", book.CHIPS_PIN_SLOPE, 0.05, 0.3),
    _row("chips_never_slope", "beds", book.CHIPS_NEVER_SLOPE, 0.3, 0.5),
    _row("crew_factor", "work", book.CREW_FACTOR, 0.3, 1),
    _row("working_share", "work", book.WORKING_SHARE, 0.3, 1),
    _row("day_hours", "work", book.DAY_HOURS, 1, 8),
    _row("least_crew", "work", book.LEAST_CREW, 2, 12, is_whole=True),
    _row("few_more", "work", book.FEW_MORE, 0, 12, is_whole=True),
    _row("tools_for", "work", book.TOOLS_FOR, 4, 20, is_whole=True),
    _row("card_first_share", "work", book.CARD_FIRST_SHARE, 0.3, 0.9),
    _row("chips_first_share", "work", book.CHIPS_FIRST_SHARE, 0.3, 0.9),
    _row("tied_share", "work", book.TIED_SHARE, 0, 1),
    _row("haul_included", "work", book.HAUL_INCLUDED, 10, 60),
    _row("narrow_gate", "work", book.NARROW_GATE, 0.5, 1.2),
    _row("bucket_factor", "work", book.BUCKET_FACTOR, 1, 3),
    _row("slope_easy", "work", book.SLOPE_EASY, 0, 0.2),
    _row("slope_factor", "work", book.SLOPE_FACTOR, 1, 3),
    _row("barrow_loaded_m_s", "barrow", book.BARROW["loaded_m_s"], 0.3, 2),
    _row("barrow_empty_m_s", "barrow", book.BARROW["empty_m_s"], 0.3, 2.5),
    _row("barrow_efficiency", "barrow", book.BARROW["efficiency"], 0.4, 1),
    _row("barrow_load_m3", "barrow", book.BARROW["load_m3"], 0.03, 0.25),
    _row("book_hours", "learning", book.BOOK_HOURS, 5, 200),
    _row("book_units", "learning", book.BOOK_UNITS, 1, 100),
    _row("pace_sd", "learning", book.PACE_SD, 0.05, 1),
    _row("pace_least", "learning", book.PACE_LEAST, 0.2, 1),
    _row("pace_most", "learning", book.PACE_MOST, 1, 5),
    _row("day_share", "learning", book.DAY_SHARE, 0.2, 0.9),
)

RATE = "hours_"  # hours_cardboard_lay: the likely hours per unit of that task; low and high keep their share of it
RATED = (  # the tasks of a take-off
    "mow_short", "cardboard_strip_tape_staples", "mark_out", "edge_trench_light", "edge_trench_medium",
    "edge_trench_heavy", "cardboard_wet", "cardboard_lay", "frame_bed_precut", "chips_move_and_spread",
    "fill_bed_compost", "mound_bed_compost", "planting_pocket", "seed_rows", "water_in", "brief_and_setup",
    "tidy_and_pack",
)  # fmt: skip
RATE_BOUND = 4  # a likely rate is at least a quarter of the book's and at most four times it


def _rate(task: str) -> OwnValue:
    rate = RATES[task]
    least, most = round(rate.likely_h / RATE_BOUND, 6), rate.likely_h * RATE_BOUND
    return OwnValue(RATE + task, "rates", task, rate.likely_h, least, most, f"h/{rate.unit}", rate.source)


def _compost_density() -> OwnValue:
    """Only the mass of what is ordered asks for it; a mulch's density stands in the site."""
    row = material("finished compost")
    label, low, high = "density of finished compost", row.density_low_kgm3, row.density_high_kgm3
    source = "Massachusetts municipal recycling factors; common practice, no source"
    return OwnValue("compost_density", "mulch", label, row.density_kgm3, low, high, "kg/m3", source)


OWN = {row.name: row for row in (*_ROWS, _compost_density(), *(_rate(task) for task in RATED))}


@dataclass(frozen=True)
class Own:
    """What a group set: (name, number), only where it differs from the book. own["repose"] is the number that holds.

    >>> Own()["repose"], Own((("repose", 40.0),))["repose"]
    (35.0, 40.0)
    """

    changed: tuple[tuple[str, float], ...] = ()

    def __getitem__(self, name: str) -> float:
        return dict(self.changed).get(name, OWN[name].default)

    def has(self, name: str) -> bool:
        """Whether the group set this number itself."""
        return any(name == known for known, _ in self.changed)

    def as_dict(self) -> dict[str, float]:
        """As it stands in a site file; read_own reads it back."""
        return dict(self.changed)


BOOK = Own()  # nothing changed


def triple_of(task: str, own: Own = BOOK) -> tuple[float, float, float]:
    """Low, likely and high hours per unit of a task; where the group set the likely ones, all three move with them.

    >>> triple_of("cardboard_lay"), triple_of("cardboard_lay", Own((("hours_cardboard_lay", 0.08),)))
    ((0.025, 0.04, 0.08), (0.05, 0.08, 0.16))
    """
    rate = RATES[task]
    if not own.has(RATE + task):
        return rate.low_h, rate.likely_h, rate.high_h
    likely = own[RATE + task]
    return rate.low_h * likely / rate.likely_h, likely, rate.high_h * likely / rate.likely_h


def read_own(document: Mapping[str, object]) -> Own:
    """What a group set, out of names and numbers; a number as in the book is not a change.

    Raises SiteError with a sentence for every name that is not known, every word that is no number, and every number
    out of bounds; `where.part` of each problem is the name.
    """
    problems: list[Problem] = []
    if not isinstance(document, Mapping):
        problems.append(_problem("not-an-object", "own", "{field} must be a group of named values."))
        raise SiteError(problems)
    found: list[tuple[str, float]] = []
    for name, value in document.items():
        known = OWN.get(name) if isinstance(name, str) else None
        problem = _fault(str(name), known, value)
        if problem:
            problems.append(problem)
        elif round(float(value), 6) != known.default:
            found.append((name, round(float(value), 6)))
    if problems:
        raise SiteError(problems)
    return Own(tuple(sorted(found)))


def _fault(name: str, known: OwnValue | None, value: object) -> Problem | None:
    if known is None:
        return _problem("own-unknown", name, "{field} is not one of the numbers a group can set.")
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not _is_finite(value):
        return _problem("not-a-number", name, "{field} must be a number.")
    if not known.least <= value <= known.most:
        message = "{field} is {value}; it must be from {least} to {most} {unit}."
        values = {"value": value, "least": known.least, "most": known.most, "unit": known.unit}
        return _problem("own-range", name, message, **values)
    if known.is_whole and value != int(value):
        return _problem("own-not-whole", name, "{field} is {value}; it must be a whole number.", value=value)
    return None


def _is_finite(value: int | float) -> bool:
    return isinstance(value, int) or math.isfinite(value)


def _problem(code: str, name: str, message: str, **values: object) -> Problem:
    return Problem(code, Where("", name), message, {"field": name, **values})
