"""The plain values that come out of the engine: Figure, what each patch and bed takes, tasks, Takeoff."""

from dataclasses import asdict, dataclass, fields

from .problems import Problem, Where
from .values import Polygon, Ring

ENGINE_VERSION = "1.6"


@dataclass(frozen=True)
class Figure:
    """One published number and how it came about. `origin` is 'book' or 'yours': learned, or with numbers of its own."""

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
    own: tuple[str, ...] = ()  # numbers the group set itself that the value, or an input, stands on
    is_learned: bool = False  # out of logged days


@dataclass(frozen=True)
class TrenchSegment:
    """One stretch of trench along a side, outside every keep-out."""

    edge: str  # the corner that owns the side, or 'round' for a circle
    points: Ring
    length_m: float


@dataclass(frozen=True)
class KeptStrip:
    """Ground left as it is for one reason."""

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
    """The cardboard of one patch: counts, and the first layer as laid."""

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
    """What one patch measures and takes."""

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
    """What one bed measures and takes."""

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
    """Everything about a site: figures, patches, beds, work, advice and warnings."""

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
