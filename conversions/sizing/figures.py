"""How each published figure came about: its formula in words, its rounding and its source, as constant sentences."""

from . import catalogue as book
from .own import OWN, RATED
from .results import Figure
from .zones import KEPT_ORDER

TO_HUNDREDTH_M2 = "Rounded to 0.01 m²."
TO_HUNDREDTH_M = "Rounded to 0.01 m."
TO_THOUSANDTH_M3 = "Rounded to 0.001 m³."
WHOLE = "Counted in whole sheets."
UP_TO_STEP = "Rounded up to 0.1 m³; up to a twentieth of that is let go."
UP_TO_WHOLE = "Rounded up to whole numbers."
TO_TENTH_H = "Rounded to 0.1 hour."
TO_TENTH_KG = "Rounded to 0.1 kg."

GEOMETRY = "Geometry of the outline as measured."
PRACTICE = "Common practice, no source."
YOURS = "Yours: the rates of the book, blended with the days you logged."
YOURS_SET = "Yours: numbers your group set stand among those listed here. The rest is as in the book."
YOURS_BOTH = "Yours: numbers your group set, and the rates of the book blended with the days you logged."

# key: (unit, formula, rounding, source)
TEXTS: dict[str, tuple[str, str, str, str]] = {
    "measured": ("m2", "Area inside the outline of every patch, added up.", TO_HUNDREDTH_M2, GEOMETRY),
    "kept": ("m2", "Ground left as it is: strips along house walls and round tree trunks.", TO_HUNDREDTH_M2,
             "300 mm off a house wall: NC State Extension. 150 mm off bark: read in an extension sheet."),
    "cover": ("m2", "Measured ground less the ground kept.", TO_HUNDREDTH_M2, GEOMETRY),
    "trench": ("m", "Length of the sides on path, drive, pavement, kerb and garden wall, less what lies in a strip "
               "left clear, a tree ring or the band of a marked line.", TO_HUNDREDTH_M, GEOMETRY),
    "trench_soil": ("m3", "Trench length × width × depth (half of it for a V cut) × (1 + swell of the soil).",
                    TO_THOUSANDTH_M3, "Swell: engineering reference, swell factors."),
    "cardboard": ("sheets", "Sheets laid course by course over the ground to cover and into the trenches, every joint "
                  "lapped, in the direction that needs fewest; times the layers. The second layer is begun from the other "
                  "end, or turned, so that fewer of its joints lie over joints; some still do.", WHOLE,
                  "Laps of 150 mm and three to four layers: common practice, no source."),
    "cardboard_area": ("m2", "Sheets × length × width of a sheet.", TO_HUNDREDTH_M2, GEOMETRY),
    "cardboard_mass": ("kg", "Area of the sheets × mass of a square metre.", TO_TENTH_KG,
                       "0.65 kg/m² for single wall: board grades; take-up from memory."),
    "chips_in_place": ("m3", "(Ground to cover − frames − thin ground) × depth + thin ground × thin depth + trench fill "
                       "− chips that pockets save.", TO_THOUSANDTH_M3, "Depths: common practice, no source."),
    "chips": ("m3", "Chips in place ÷ (1 − settling).", UP_TO_STEP, "Settling of chips: common practice, no source; or the group's own."),
    "chips_loads": ("loads", "The larger of chips ÷ volume of a load and chips × density ÷ payload.", UP_TO_WHOLE,
                    "Density: Oregon DEQ and others, or the group's own. Size of a load: common practice, no source."),
    "compost_in_place": ("m3", "Mounds by their sloped section, frames by their inside filled to 25 mm under the rim, "
                         "pockets as frusta; settled.", TO_THOUSANDTH_M3, "Slope of 35° and fill: from memory."),
    "compost": ("m3", "Compost in place ÷ (1 − settling).", UP_TO_STEP, "Settling of compost: from memory; or the group's own."),
    "beds": ("m2", "Footprint of mounds, inside of frames and tops of pockets.", TO_HUNDREDTH_M2, GEOMETRY),
    "hours": ("h", "Sum over the tasks of (low + 4 × likely + high) ÷ 6. The range is 80 %, half way between tasks that "
              "vary on their own and tasks that are all slow together. Sign-in and tidying are apart.", TO_TENTH_H,
              "Rates: published hand-work figures and common practice, named beside each rate."),
    "people": ("people", "Hours of work ÷ (hours in a day × crew factor × share of an hour really worked), at least "
               "the smallest crew; then as many more as the day plan needs to end on time, as some jobs wait for others.",
               UP_TO_WHOLE, PRACTICE),
    "clock_hours": ("h", "From the first job to the last in the day plan, in steps of five minutes, + sign-in + tidying; "
                    "for every morning it takes.", TO_TENTH_H, PRACTICE),
}  # fmt: skip


# Every label and unit that an input of a figure may carry, beside the name of a patch, and "patch: reason" for what is
# kept of it; pages say each in the reader's language.
LABELS = frozenset((
    *TEXTS, *book.BED_KINDS, *RATED, *KEPT_ORDER, *(row.label for row in OWN.values()),
    "section", "swell", "layers", "more, so that joints are shifted", "lap", "sheets", "one sheet", "once lapped",
    "second-layer joints that still lie over joints", "mass", "depth", "trench fill", "chips in place", "settling",
    "compost in place", "barrows", "before rounding", "one load", "density", "payload", "sd, independent", "sd, tied",
    "pace", "logged days", "hours of work", "hours in a day", "crew factor", "share of an hour worked",
    "smallest crew", "by plain division", "hours by the day plan", "mornings",
))  # fmt: skip
UNITS = frozenset((
    "", "m", "m2", "m3", "kg", "kg/m2", "kg/m3", "h", "%", "sheets", "sheets a layer", "people", "days", "loads",
    *(row.unit for row in OWN.values()),
))  # fmt: skip


def figure(
    key: str,
    value: float,
    *inputs: tuple[str, float, str],
    low: float | None = None,
    high: float | None = None,
    origin: str = "book",
) -> Figure:
    """A figure with the words that belong to its key; `inputs` are (label, value, unit)."""
    unit, formula, rounding, source = TEXTS[key]
    if origin == "yours":
        source = YOURS
    return Figure(key, value, unit, low, high, inputs, formula, rounding, source, origin, (), origin == "yours")
