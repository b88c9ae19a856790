"""Every constant of the engine, each with its unit, source and range; the group may change what is not geometry.

"common practice, no source" and "from memory" mean what they say: good until a group's own days say better. A source
stands whole on its line and is never put together, so that it can be said in another language.
"""

from dataclasses import dataclass

PRACTICE = "common practice, no source"
MEMORY = "from memory"


@dataclass(frozen=True)
class Constant:
    """One number of the book, with its unit, its source, and the range it came from where there is one."""

    name: str
    value: float
    unit: str
    source: str
    low: float | None = None
    high: float | None = None


# --- ground -----------------------------------------------------------------------------------------------------
HOUSE_STRIP = Constant(
    "strip left clear along a house wall", 0.3, "m", "NC State Extension, termites and landscaping", 0.15, 0.3
)
TREE_RING_FACTOR = Constant(
    "tree ring, radius over trunk diameter", 12, "", "Vancouver (WA) tree code, 1 ft per inch of trunk", 12, 18
)
TREE_RING_LEAST = Constant("least radius of a tree ring", 1.83, "m", "6 ft; common practice, no source")
TREE_COLLAR = Constant("bare collar off the bark", 0.15, "m", "6 in off trunks; read in an extension sheet", 0.05, 0.15)
LINE_BAND = Constant("hand-tools band each side of a marked line", 0.6, "m", "18 to 24 in by state lists", 0.46, 0.61)
PAINT_STRIP = Constant("distance kept from an untested old-painted wall", 3.0, "m", "10 ft; common practice, no source")
ABSURD_SIDE = Constant("a side longer than this is asked about", 60.0, "m", PRACTICE)

# --- trench -----------------------------------------------------------------------------------------------------
SWELL = {  # loose volume over volume in the bank, less one; by soil
    "light": Constant("swell of loosened sand", 0.12, "", "engineering reference, swell factors"),
    "medium": Constant("swell of loosened loam", 0.25, "", "engineering reference, swell factors"),
    "heavy": Constant("swell of loosened clay", 0.40, "", "engineering reference, swell factors"),
}
RATE_TRENCH_SECTION = Constant(
    "trench section the labour rates were set for", 0.0225, "m2", "0.15 x 0.15 m; our own arithmetic"
)

TRENCH_WIDTH = Constant("width of an edge trench", 0.15, "m", "6 in; common practice, no source", 0.10, 0.15)
TRENCH_DEPTH = Constant("depth of an edge trench", 0.10, "m", "3 to 4 in; common practice, no source", 0.075, 0.15)

# --- cardboard --------------------------------------------------------------------------------------------------
SHEET_LONG = Constant("long side of a usual flattened box", 1.2, "m", PRACTICE, 0.9, 2.2)
SHEET_SHORT = Constant("short side of a usual flattened box", 0.8, "m", PRACTICE, 0.6, 1.1)
LAP = Constant("lap of sheets over each other", 0.15, "m", "6 to 8 in; common practice, no source", 0.10, 0.20)
LAYERS = Constant("layers of single-wall card", 3, "", "three to four; common practice, no source", 2, 6)
TUCK = Constant("card turned down into a trench", 0.10, "m", PRACTICE, 0.075, 0.15)
CARD_MASS = Constant(
    "cardboard, single wall, per layer",
    0.65,
    "kg/m2",
    "200/250 liners + 140 medium x 1.43, take-up from memory",
    0.45,
    0.9,
)

# --- mulch and compost ------------------------------------------------------------------------------------------
CHIP_DEPTH = Constant("chips, settled", 0.09, "m", "75 to 100 mm; common practice, no source", 0.075, 0.10)
CHIP_LEAST_DEPTH = Constant("least chips over sound card, settled", 0.05, "m", MEMORY, 0.05, 0.10)
TREE_CHIP_DEPTH = Constant("chips inside a tree ring, settled", 0.06, "m", PRACTICE, 0.05, 0.075)
COMPOST_SETTLING = Constant("settling of compost in the first months", 0.20, "", MEMORY, 0.15, 0.30)
MOST_SETTLING = Constant("share of its loose depth that a material may be said to lose, at the most", 0.9, "", PRACTICE)
SELLING_STEP = Constant("step in which chips and compost are named", 0.1, "m3", PRACTICE)
FORGIVEN_SHARE = Constant("share of a step forgiven when rounding up", 0.05, "", PRACTICE)
LOAD_VOLUME = Constant("chips in one load of a small lorry", 6.0, "m3", PRACTICE, 4.0, 15.0)
LOAD_MASS = Constant("payload of a small lorry", 3000.0, "kg", PRACTICE, 2000.0, 8000.0)

# --- beds -------------------------------------------------------------------------------------------------------
REPOSE = Constant(
    "slope at which compost stands", 35.0, "degrees", "from memory; earth 30 to 45 in encyclopedia lists", 30, 45
)
FREEBOARD = Constant("soil below the rim of a frame", 0.025, "m", MEMORY, 0.025, 0.05)
REACH_BOTH = Constant("widest bed reached from both sides", 1.2, "m", "South Dakota State and Georgia, 4 ft", 0.9, 1.22)
REACH_ONE = Constant(
    "widest bed reached from one side", 0.6, "m", "South Dakota State and Georgia, 2 to 2.5 ft", 0.6, 0.76
)
PATH_WIDTH = Constant("least path between beds", 0.6, "m", "24 to 36 in for a barrow, extension sheets", 0.45, 0.92)
PAVED_EDGE = Constant("ground left between a first bed and paving it is reached from", 0.3, "m", PRACTICE, 0.2, 0.6)
FIRST_BEDS_AREA = Constant("largest first bed area to offer", 12.0, "m2", PRACTICE, 10.0, 12.0)

BED_KINDS = ("mounded", "framed", "pocket")
USUAL_BEDS = {  # a size left out: widths as far as people reach, heights and pockets common practice, no source
    "mounded": {"width_m": 1.2, "height_m": 0.15, "turn_deg": 0.0, "ends": "round"},
    "framed": {"length_m": 2.4, "width_m": 1.2, "height_m": 0.2, "board_m": 0.038, "turn_deg": 0.0},
    "pocket": {"top_m": 0.4, "bottom_m": 0.2, "height_m": 0.2},
}
# lengths tried for a first layout, the longest first; common practice, no source
MOUND_LENGTHS_M = (6.0, 5.4, 4.8, 4.2, 3.6, 3.0, 2.4, 1.8)
FRAME_LENGTHS_M = (2.4, 1.8, 1.2)
POCKET_APART = Constant("least ground between planting pockets", 0.5, "m", PRACTICE)
POCKET_EDGE = Constant("least ground between a pocket and an edge", 0.1, "m", PRACTICE)
FIRST_POCKETS = Constant("pockets to offer where no bed fits", 4, "", PRACTICE)

SEATED_HEIGHT = Constant("rim of a bed worked seated", 0.65, "m", "South Dakota State, 24 to 27 in", 0.61, 0.69)
SEATED_REACH_BOTH = Constant("widest seated bed, both sides", 1.52, "m", "South Dakota State, 5 ft", 1.2, 1.52)
SEATED_REACH_ONE = Constant("widest seated bed, one side", 0.76, "m", "South Dakota State, 2.5 ft", 0.6, 0.76)
ACCESSIBLE_PATH = Constant("least clear width of an accessible path", 0.915, "m", "ADA/ABA text, 36 in, printed 915 mm")
ACCESSIBLE_SLOPE = Constant("running slope before a path is a ramp", 0.05, "", "ADA/ABA text read in a copy, 1:20")
CHIPS_PIN_SLOPE = Constant("slope above which chips are pinned or netted", 0.20, "", MEMORY)
CHIPS_NEVER_SLOPE = Constant("slope above which chips do not stay", 0.33, "", MEMORY)
CLOSE_BY = Constant(
    "a wall or fence nearer than this closes a side of a bed", 0.45, "m", "18 in for a path, extension sheets"
)
BOARDS = {  # nominal size: (thickness, width) as sold
    "2x4": (0.038, 0.089),
    "2x6": (0.038, 0.140),
    "2x8": (0.038, 0.184),
    "2x10": (0.038, 0.235),
    "2x12": (0.038, 0.286),
}  # American Softwood Lumber Standard sizes, 1-1/2 in and 3-1/2 to 11-1/4 in

# --- labour -----------------------------------------------------------------------------------------------------
CREW_FACTOR = Constant("average helper against a fit adult", 0.75, "", PRACTICE, 0.5, 1.0)
WORKING_SHARE = Constant(
    "share of an hour really worked", 0.75, "", "common practice, no source; 45 minutes in the hour", 0.5, 0.85
)
DAY_HOURS = Constant("hours of work in a build day", 3.5, "h", PRACTICE, 2.0, 6.0)
LEAST_CREW = Constant(
    "smallest crew", 4, "people", "community sheet-mulch group's notes: hose, barrow, filler, spreader"
)
Z_80 = Constant("standard deviations of an 80 % range", 1.2816, "", "normal distribution, 0.9 quantile")
FEW_MORE = Constant("people added before the work is spread over two mornings", 4, "people", PRACTICE)
TOOLS_FOR = Constant(
    "people for whom there are tools", 8, "people", "common practice, no source; a larger crew brings more"
)
CARD_FIRST_SHARE = Constant("share of the card laid before the chips begin", 0.6, "", PRACTICE)
CHIPS_FIRST_SHARE = Constant("share of the chips spread before the mounds begin", 0.5, "", PRACTICE)
RATE_LAYERS = Constant("layers the laying rate was set for", 3.5, "", "common practice, no source; three to four", 3, 4)
TIED_SHARE = Constant(
    "how far tasks run slow together",
    0.5,
    "",
    "half way from independent to fully tied; common practice, no source",
    0,
    1,
)
HAUL = Constant("way from the heap where none was measured", 20.0, "m", PRACTICE)
HAUL_INCLUDED = Constant("distance inside the moving rates", 30.0, "m", PRACTICE)
NARROW_GATE = Constant("a gap narrower than this stops a barrow", 0.75, "m", PRACTICE, 0.7, 0.9)
BUCKET_FACTOR = Constant("moving by bucket and sack instead of barrow", 1.5, "", PRACTICE, 1.3, 2.0)
SLOPE_EASY = Constant("slope up to which a barrow runs as on the flat", 0.08, "", PRACTICE)
SLOPE_FACTOR = Constant("moving on ground steeper than that", 1.25, "", PRACTICE, 1.1, 1.5)
BOOK_HOURS = Constant("hours of logged work that the book is worth", 40.0, "h", PRACTICE, 20, 80)
BOOK_UNITS = Constant("logged units that the book is worth", 10.0, "units", PRACTICE)
PACE_SD = Constant("how unsure the book's pace is", 0.3, "", PRACTICE)
PACE_LEAST = Constant("lowest pace believed", 0.5, "", PRACTICE)
PACE_MOST = Constant("highest pace believed", 2.5, "", PRACTICE)
DAY_SHARE = Constant("largest share one day may have in what is learned", 0.5, "", PRACTICE)
BARROW = {
    "load_s": Constant("filling a barrow", 90, "s", PRACTICE),
    "dump_s": Constant("tipping a barrow", 20, "s", PRACTICE),
    "loaded_m_s": Constant("walking with a full barrow", 0.9, "m/s", PRACTICE),
    "empty_m_s": Constant("walking back", 1.2, "m/s", PRACTICE),
    "efficiency": Constant("share of the cycle that runs", 0.83, "", PRACTICE),
    "load_m3": Constant("a barrow as planned, half of 170 L", 0.085, "m3", PRACTICE, 0.057, 0.17),
}


@dataclass(frozen=True)
class DayJob:
    """One job of a build day: the task it is, what must be done before it, most people at once with tools for eight."""

    name: str
    task: str
    after: tuple[str, ...]
    most: int


DAY_SLOT = Constant("step of a day plan", 1 / 12, "h", "five minutes; common practice, no source")
# Order and places: common practice, no source. Card begins at the house while the trench is cut, chips follow the card.
DAY_JOBS = (
    DayJob("mark out", "mark_out", (), 2),
    DayJob("trench", "edge_trench", (), 4),
    DayJob("frames", "frame_bed_precut", (), 2),
    DayJob("wet", "cardboard_wet", (), 1),
    DayJob("card, first part", "cardboard_lay", (), 4),
    DayJob("card, rest", "cardboard_lay", ("card, first part", "trench"), 4),
    DayJob("chips, first part", "chips_move_and_spread", ("card, first part",), 7),
    DayJob("chips, rest", "chips_move_and_spread", ("chips, first part", "card, rest", "wet"), 7),
    DayJob("fill frames", "fill_bed_compost", ("frames", "mark out", "card, first part"), 3),  # at each frame
    DayJob("mounds", "mound_bed_compost", ("mark out", "chips, first part"), 4),
    DayJob("pockets", "planting_pocket", ("mark out", "chips, first part"), 3),
    DayJob("sow", "seed_rows", ("fill frames", "mounds", "pockets"), 4),
    DayJob("water", "water_in", ("sow",), 2),
)

# --- what lies beyond a side ------------------------------------------------------------------------------------
BEYOND = ("house", "path", "drive", "pavement", "kerb", "garden wall", "fence", "lawn", "bed", "open")
PAVED = frozenset(("path", "drive", "pavement"))
TRENCHED = frozenset(("path", "drive", "pavement", "kerb", "garden wall"))
