"""The table of materials: density, settling, least and usual depth, life. Read by name through `material`."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Material:
    """One row of the table; depths settled and in metres, lives in years."""

    name: str
    role: str  # weed barrier, mulch, compost, frame
    density_low_kgm3: float
    density_kgm3: float
    density_high_kgm3: float
    settling: float  # share of the loose depth lost in the first months, once
    least_depth_m: float | None  # settled, in place
    usual_depth_m: float | None
    life_cold_yr: float | None
    life_temperate_yr: float | None
    life_tropical_yr: float | None
    density_source: str
    settling_source: str
    note: str


SOURCES = {
    "EPA93": "US EPA 530-K-92-004 App. D",
    "EPA02": "US EPA factors in a waste-minimization table",
    "MST": "Missouri University of Science & Technology, compost mixture table",
    "BC": "British Columbia Agricultural Composting Handbook table 3",
    "DEQ": "Oregon DEQ density factors",
    "STRAW": "Bulk density of wet and dry wheat straw and switchgrass particles (2008)",
    "MASS": "Massachusetts municipal recycling factors",
    "CORN": "Cornell Composting",
    "RICE": "Am. J. Applied Sciences 9(11) 2012, ground husk only",
    "EFB": "J. Oil Palm Research 12(2) 2000",
    "LUM": "softwood lumber dimensions reference",
    "M": "from memory",
    "P": "common practice, no source",
    "C": "our own arithmetic",
}

# name | role | density low, typical, high kg/m3 | settling | least, usual mm | life cold, temperate, tropical yr |
# density from | settling and life from | note
_TABLE = """
single wall cardboard | weed barrier | 30 60 154 | 0 | 9 12 | 1.25 0.75 0.35 | EPA93 MST BC | P M | 3 to 4 layers
double wall cardboard | weed barrier | 30 60 154 | 0 | 6 13 | 1.5 1.0 0.5 | EPA93 MST | M | 2 layers do for 3 to 4 single
kraft paper | weed barrier | 60 130 300 | 0 | 1 2 | 0.5 0.3 0.15 | BC | M | 6 to 10 sheets; rots fast in rain
newspaper | weed barrier | 214 250 300 | 0 | 1 2 | 0.5 0.3 0.15 | EPA93 MST | M | sources disagree: 3-4, 4-6, 18 sheets
wood chips | mulch | 240 280 370 | 0.20 | 50 90 | 6 3.5 2 | DEQ BC EPA02 | P C | leafy spring chips settle 0.25 to 0.35
wood chips dry | mulch | 140 145 265 | 0.15 | 50 90 | 6 3.5 2 | DEQ BC | P |
bark mulch | mulch | 180 250 350 | 0.15 | 50 75 | 7 4.5 2.5 | M | M | nuggets over 38 mm leave gaps (UC IPM)
sawdust | mulch | 207 240 267 | 0.25 | 30 50 | 4 2.5 1.5 | BC MST | P | sheds water when dry; at most 50 mm
straw loose | mulch | 24 60 111 | 0.50 | 100 150 | 1.5 1.0 0.5 | STRAW BC | M |
straw baled | mulch | 58 120 192 | 0 | 100 150 | 1.5 1.0 0.5 | BC MST | M | loose depth is 3 to 4 times the slabs
leaves dry loose | mulch | 60 75 120 | 0.60 | 100 150 | 1.0 0.75 0.4 | BC MST | P | blow away; cover with chips or net
leaves shredded | mulch | 120 150 240 | 0.45 | 75 100 | 1.0 0.75 0.4 | MST | P | shredding cuts volume to about a sixth
leaves thick mat | mulch | 120 180 297 | 0.60 | 150 250 | 1.75 1.5 1.2 | DEQ | P | over 200 mm
grass clippings | mulch | 204 300 396 | 0.60 | 25 50 | 1.0 0.5 0.2 | MST MASS CORN | P | thin layers; never from a treated lawn
finished compost | compost | 594 700 890 | 0.20 | 75 200 | - - - | MASS P | M | avoid EC over 8 mmho/cm
unfinished compost | compost | 700 890 950 | 0.35 | 75 200 | - - - | MASS | M | do not plant into
horse manure with bedding | compost | 725 815 960 | 0.35 | - - | - - - | BC MST | M | 90 and 120 day rule; bean test first
topsoil screened | compost | 1000 1300 1600 | 0.15 | 75 200 | - - - | M | M |
sugarcane bagasse fresh | mulch | 100 160 200 | 0.35 | 75 100 | 1.5 1.0 0.5 | P | M |
oil-palm fruit bunch | mulch | 120 200 350 | 0.40 | 75 100 | 4.3 2.2 0.75 | M | EFB C | one layer is 37.5 t/ha
rice hulls | mulch | 90 120 150 | 0.15 | 50 75 | 4 2.5 1.2 | M RICE | M | blow away dry
coir chips or fibre | mulch | 60 90 150 | 0.25 | 40 60 | 5 3.5 2 | M | M | rinse salt
softwood board untreated | frame | 400 480 560 | 0 | 140 235 | 9 5 2.5 | LUM | M |
softwood board ground-contact treated | frame | 500 600 700 | 0 | 140 235 | 20 15 10 | M | M | only what food gardens may have
log or branch edging | frame | 500 700 900 | 0 | 100 150 | 12 8 3 | M | M |
stone, brick or block | frame | 1600 2000 2400 | 0 | 100 200 | 50 50 50 | M | M |
"""


def _numbers(text: str) -> list[float | None]:
    return [None if word == "-" else float(word) for word in text.split()]


def _sources(text: str) -> str:
    return "; ".join(SOURCES[word] for word in text.split())


def _row(line: str) -> Material:
    name, role, density, settling, depth, life, density_from, settling_from, note = (c.strip() for c in line.split("|"))
    depths = [None if mm is None else mm / 1000 for mm in _numbers(depth)]
    return Material(
        name, role, *_numbers(density), float(settling), *depths, *_numbers(life),
        _sources(density_from), _sources(settling_from), note,
    )  # fmt: skip


MATERIALS = {row.name: row for row in (_row(line) for line in _TABLE.strip().splitlines())}


def material(name: str) -> Material:
    """
    >>> material("wood chips").settling
    0.2
    """
    return MATERIALS[name]
