"""The plain values that go into the engine: Site, patches, beds, crew."""

from dataclasses import dataclass, field

from . import catalogue as book
from .own import Own

Point = tuple[float, float]
Ring = tuple[Point, ...]
Polygon = tuple[Ring, ...]  # the outer ring first, then the holes, as in GeoJSON


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
    """A round patch, by its middle and how far it is across."""

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
class Mark:
    """Where a thing stands that people look for: tap, heap or downspout. It changes no figure."""

    kind: str
    x_m: float
    y_m: float
    label: str = ""


@dataclass(frozen=True)
class SitePatch:
    """One piece of ground with its outline and what stands on it."""

    uid: str
    label: str
    zone: str = "front"
    ground_before: str = "lawn"
    shape: str = "outline"
    typed: dict[str, object] = field(default_factory=dict)
    corners: tuple[Corner, ...] = ()
    circle: Circle | None = None
    features: tuple[Feature, ...] = ()
    marks: tuple[Mark, ...] = ()
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
    """How the card is laid: sheet, lap, layers, and how far it is turned down into a trench."""

    sheet_m: tuple[float, float] = (book.SHEET_LONG.value, book.SHEET_SHORT.value)
    lap_m: float = book.LAP.value
    layers: int = int(book.LAYERS.value)
    tuck_m: float = book.TUCK.value


@dataclass(frozen=True)
class Mulch:
    """What covers the card and how deep, settled."""

    material: str = "wood chips"
    depth_m: float = book.CHIP_DEPTH.value
    settling: float | None = None  # the group's own; None: the table's
    density_kgm3: float | None = None


@dataclass(frozen=True)
class Trench:
    """The cut of an edge trench."""

    width_m: float = book.TRENCH_WIDTH.value
    depth_m: float = book.TRENCH_DEPTH.value
    cut: str = "square"


@dataclass(frozen=True)
class Site:
    """One yard, its choices and what the group changed of the book."""

    schema: int = 1
    north_deg: float | None = None
    soil: str = "medium"
    haul_m: float = book.HAUL.value
    cardboard: Cardboard = Cardboard()
    mulch: Mulch = Mulch()
    trench: Trench = Trench()
    house_strip_m: float = book.HOUSE_STRIP.value
    fire_strip_m: float = 0.0  # where a fire rule holds, from buildings and fences that burn
    load: Load = Load()
    gate_m: float | None = None  # the narrowest gap a barrow must pass; None: not measured
    slope: float = 0.0  # rise over run
    compost_settling: float = book.COMPOST_SETTLING.value
    own: Own = Own()  # what the group changed of the book
    patches: tuple[SitePatch, ...] = ()
    beds: tuple[SiteBed, ...] = ()

    def patch(self, uid: str) -> SitePatch:
        """The patch of that uid, which must be there."""
        return next(patch for patch in self.patches if patch.uid == uid)

    def beds_of(self, uid: str) -> tuple[SiteBed, ...]:
        """The beds that lie in a patch."""
        return tuple(bed for bed in self.beds if bed.patch == uid)


@dataclass(frozen=True)
class Crew:
    """How a group works: share of a fit adult, share of an hour really worked, hours of work in a day."""

    crew_factor: float = book.CREW_FACTOR.value
    working_share: float = book.WORKING_SHARE.value
    day_h: float = book.DAY_HOURS.value
    least_people: int = int(book.LEAST_CREW.value)

    @classmethod
    def of(cls, own: Own) -> "Crew":
        """The crew of the book, with what a group set itself."""
        return cls(own["crew_factor"], own["working_share"], own["day_hours"], int(own["least_crew"]))
