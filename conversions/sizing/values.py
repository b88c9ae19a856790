"""The plain values that go into the engine and come out of it: Site, patches, beds, Takeoff, problems."""

from dataclasses import asdict, dataclass, field, fields

from . import catalogue as book

ENGINE_VERSION = "1.0"

Point = tuple[float, float]
Ring = tuple[Point, ...]
Polygon = tuple[Ring, ...]  # the outer ring first, then the holes, as in GeoJSON


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
        return self.message.format(**self.values)

    def __str__(self) -> str:
        return f"{self.where}: {self.sentence}" if str(self.where) else self.sentence


class SiteError(ValueError):
    """A site that cannot be sized; carries every problem found, not only the first."""

    def __init__(self, problems: "list[Problem] | tuple[Problem, ...]"):
        self.problems = tuple(problems)
        super().__init__("; ".join(str(problem) for problem in self.problems))


@dataclass(frozen=True)
class Corner:
    """A corner; it owns the side that starts here (`beyond` that side, and its length as typed)."""

    id: str
    x_m: float
    y_m: float
    beyond: str = "open"
    typed: str = ""
    burns: bool = True  # a fence that would burn; only the fire rule asks


@dataclass(frozen=True)
class Circle:
    x_m: float
    y_m: float
    diameter_m: float
    beyond: str = "open"
    typed: str = ""


@dataclass(frozen=True)
class Feature:
    """Something on the ground.

    tree: x, y, trunk. line: service, points, band each side as width. hole: points, beyond. painted wall, building:
    points or the corner that owns the side. right of way: a line of points, or a side, and its width.
    """

    kind: str
    x_m: float | None = None
    y_m: float | None = None
    trunk_m: float | None = None
    service: str = ""
    points: Ring = ()
    width_m: float | None = None
    label: str = ""
    edge: str = ""
    beyond: str = "open"


@dataclass(frozen=True)
class SitePatch:
    uid: str
    label: str
    zone: str = "front"
    ground_before: str = "lawn"
    shape: str = "outline"
    typed: dict[str, object] = field(default_factory=dict)
    corners: tuple[Corner, ...] = ()
    circle: Circle | None = None
    features: tuple[Feature, ...] = ()
    placed: dict[str, float] | None = None


@dataclass(frozen=True)
class SiteBed:
    """mounded: length x width (base), height, ends. framed: outside length x width, board. pocket: top, bottom.

    A mounded bed may follow a centre line, `path`, instead of a length. A seated bed is worked from a wheelchair.
    """

    uid: str
    patch: str
    kind: str
    x_m: float
    y_m: float
    length_m: float = 0.0
    width_m: float = 0.0
    height_m: float = 0.0
    turn_deg: float = 0.0
    ends: str = "round"
    board_m: float = 0.0
    top_m: float = 0.0
    bottom_m: float = 0.0
    path: Ring = ()
    seated: bool = False


@dataclass(frozen=True)
class Load:
    """The vehicle that brings chips."""

    volume_m3: float = book.LOAD_VOLUME.value
    payload_kg: float = book.LOAD_MASS.value


@dataclass(frozen=True)
class Cardboard:
    sheet_m: tuple[float, float] = (1.2, 0.8)
    lap_m: float = 0.15
    layers: int = 3
    tuck_m: float = 0.10


@dataclass(frozen=True)
class Mulch:
    material: str = "wood chips"
    depth_m: float = 0.09


@dataclass(frozen=True)
class Trench:
    width_m: float = 0.15
    depth_m: float = 0.10
    cut: str = "square"


@dataclass(frozen=True)
class Site:
    schema: int = 1
    north_deg: float | None = None
    soil: str = "medium"
    haul_m: float = 20.0
    cardboard: Cardboard = Cardboard()
    mulch: Mulch = Mulch()
    trench: Trench = Trench()
    house_strip_m: float = 0.3
    fire_strip_m: float = 0.0  # where a fire rule holds, from buildings and fences that burn
    load: Load = Load()
    gate_m: float | None = None  # the narrowest gap a barrow must pass; None: not measured
    slope: float = 0.0  # rise over run
    patches: tuple[SitePatch, ...] = ()
    beds: tuple[SiteBed, ...] = ()

    def patch(self, uid: str) -> SitePatch:
        return next(patch for patch in self.patches if patch.uid == uid)

    def beds_of(self, uid: str) -> tuple[SiteBed, ...]:
        return tuple(bed for bed in self.beds if bed.patch == uid)


@dataclass(frozen=True)
class Crew:
    """How a group works: share of a fit adult, share of an hour really worked, hours of work in a day."""

    crew_factor: float = 0.75
    working_share: float = 0.75
    day_h: float = 3.5
    least_people: int = 4


@dataclass(frozen=True)
class Figure:
    """One published number and how it came about. `origin` is 'book' or 'yours' (learned from logged days)."""

    key: str
    value: float
    unit: str
    low: float | None
    high: float | None
    inputs: tuple[tuple[str, float, str], ...]
    formula: str
    rounding: str
    source: str
    origin: str = "book"


@dataclass(frozen=True)
class TrenchSegment:
    edge: str  # the corner that owns the side, or 'round' for a circle
    points: Ring
    length_m: float


@dataclass(frozen=True)
class KeptStrip:
    reason: str
    area_m2: float
    polygons: tuple[Polygon, ...]


@dataclass(frozen=True)
class ZoneDrawn:
    """A keep-out as drawn: its reason, what it forbids, where it lies inside the patch."""

    reason: str
    effects: tuple[str, ...]
    polygons: tuple[Polygon, ...]
    label: str = ""


@dataclass(frozen=True)
class PatchCardboard:
    layers: int
    sheets_per_layer: int
    sheets: int
    direction_deg: float
    rectangles: tuple[Ring, ...]  # the first layer as laid, four corners each
    ratio: float  # sheets per layer over the overlap bound A / ((a - o)(b - o))
    second_sheets: int = 0  # sheets in every even layer
    second_direction_deg: float = 0.0
    shift_extra: int = 0  # sheets, over all layers, that keep joints from lying over joints
    joints_over_joints: float = 0.0  # share of the second layer's joints that still do
    stagger_extra: int = 0  # sheets more a layer for a full half-sheet stagger; not counted in
    is_estimated: bool = False  # so many sheets that they were not laid one by one; then there are no rectangles


@dataclass(frozen=True)
class PatchTakeoff:
    uid: str
    label: str
    measured_m2: float
    kept_m2: dict[str, float]
    cover_m2: float
    trench_m: float
    trench_segments: tuple[TrenchSegment, ...]
    trench_soil_m3: float
    cardboard: PatchCardboard
    chips_in_place_m3: float
    beds: tuple[str, ...]
    outline: Polygon
    cover: tuple[Polygon, ...]
    kept: tuple[KeptStrip, ...]
    zones: tuple[ZoneDrawn, ...]


@dataclass(frozen=True)
class BedTakeoff:
    uid: str
    patch: str
    kind: str
    area_m2: float
    compost_in_place_m3: float
    outline: Ring
    inside_m: tuple[float, float] | None  # length and width of the soil inside a frame


@dataclass(frozen=True)
class Task:
    """One row of work. `when` is 'day' (counted in hours), 'before', or 'around' (each person, on the clock)."""

    task: str
    quantity: float
    unit: str
    low_h: float
    likely_h: float
    high_h: float
    when: str = "day"
    origin: str = "book"


@dataclass(frozen=True)
class Takeoff:
    engine_version: str
    figures: dict[str, Figure]
    patches: dict[str, PatchTakeoff]
    beds: dict[str, BedTakeoff]
    tasks: tuple[Task, ...]
    advice: tuple[Problem, ...]
    warnings: tuple[Problem, ...]

    def as_dict(self) -> dict:
        """Plain dicts, lists, words and numbers, ready for JSON."""
        return _plain(asdict(self))

    @classmethod
    def from_dict(cls, document: dict) -> "Takeoff":
        """The reverse of as_dict, also after a trip through JSON."""
        return cls(
            engine_version=document["engine_version"],
            figures={key: _build(Figure, row) for key, row in document["figures"].items()},
            patches={key: _patch_takeoff(row) for key, row in document["patches"].items()},
            beds={key: _build(BedTakeoff, row) for key, row in document["beds"].items()},
            tasks=tuple(_build(Task, row) for row in document["tasks"]),
            advice=tuple(_problem(row) for row in document["advice"]),
            warnings=tuple(_problem(row) for row in document["warnings"]),
        )


def _plain(value):
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    return value


def _frozen(value):
    return tuple(_frozen(item) for item in value) if isinstance(value, (list, tuple)) else value


def _build(cls, row: dict, **ready):
    known = {item.name for item in fields(cls)}
    return cls(**{key: _frozen(value) for key, value in row.items() if key in known and key not in ready}, **ready)


def _problem(row: dict) -> Problem:
    return Problem(row["code"], Where(**row["where"]), row["message"], row["values"])


def _patch_takeoff(row: dict) -> PatchTakeoff:
    return _build(
        PatchTakeoff,
        row,
        trench_segments=tuple(_build(TrenchSegment, item) for item in row["trench_segments"]),
        cardboard=_build(PatchCardboard, row["cardboard"]),
        kept=tuple(_build(KeptStrip, item) for item in row["kept"]),
        zones=tuple(_build(ZoneDrawn, item) for item in row["zones"]),
    )
