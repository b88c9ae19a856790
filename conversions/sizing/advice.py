"""What is allowed but worth a second look: absurd lengths, thin mulch, steep ground, reach, heights, narrow paths."""

from shapely.geometry import LineString

from . import catalogue as book
from .beds import footprint
from .materials import material
from .problems import Problem, Where
from .shapes import edges
from .values import Site, SiteBed
from .zones import NO_MOUNDS, Zone

CHIPS = ("wood chips", "wood chips dry")
CLOSED_SIDES = ("house", "fence", "garden wall")  # nobody reaches over from there


def _advise(code: str, uid: str, part: str, message: str, **values: object) -> Problem:
    return Problem(code, Where(uid, part), message, values)


def absurd_sides(site: Site) -> tuple[Problem, ...]:
    """Sides so long that somebody should look again; kept, not refused."""
    out = []
    for patch in site.patches:
        for edge in edges(patch):
            length_m = patch.circle.diameter_m if patch.circle else edge.length_m
            if length_m > site.own["absurd_side"]:
                message = "{side} is {length_m} m long. Is that right?"
                values = {"side": edge.name, "length_m": round(length_m, 2)}
                out.append(_advise("absurd-side", patch.uid, edge.name, message, **values))
    return tuple(out)


def advice(site: Site, found: dict[str, tuple[Zone, ...]]) -> tuple[Problem, ...]:
    """Everything to say about a site that can be sized, ground first, then bed by bed."""
    out = _mulch(site) + _slope(site)
    shapes = {bed.uid: footprint(bed) for bed in site.beds}
    for bed in site.beds:
        out += _liner(bed, shapes[bed.uid], found[bed.patch])
        if bed.kind != "pocket":
            out += _reach(site, bed, shapes[bed.uid]) + _seated(bed)
    return tuple(out + _paths(site, shapes))


def _mulch(site: Site) -> list[Problem]:
    kind = material(site.mulch.material)
    least_m = site.own["chip_least_depth"] if kind.name in CHIPS else kind.least_depth_m
    if least_m is None or site.mulch.depth_m >= least_m:
        return []
    message = "{depth_mm} mm of {material} is too thin: the card will show. Use {least_mm} to {usual_mm} mm."
    values = {key: round(depth * 1000) for key, depth in
              (("depth_mm", site.mulch.depth_m), ("least_mm", least_m), ("usual_mm", max(least_m, kind.usual_depth_m)))}  # fmt: skip
    return [_advise("mulch-too-thin", "", "depth_m", message, material=kind.name, **values)]


def _slope(site: Site) -> list[Problem]:
    never, pin = site.own["chips_never_slope"], site.own["chips_pin_slope"]
    if site.slope > never:
        message = "This ground is steeper than 1 in {run}. Chips will not stay; ask before you plan beds here."
        return [_advise("too-steep", "", "slope", message, run=_run(never))]
    if site.slope > pin:
        message = (
            "This ground is steeper than 1 in {run}. Pin or net the chips, and set frames across the slope, like steps."
        )
        return [_advise("steep", "", "slope", message, run=_run(pin))]
    return []


def _run(slope: float) -> str:
    """
    >>> _run(0.2), _run(0.33), _run(0.28)
    ('5', '3', '3.6')
    """
    return f"{round(1 / slope, 1):g}"


def _liner(bed: SiteBed, shape, found: tuple[Zone, ...]) -> list[Problem]:
    """Frames near untested old paint: lined, and filled with bought compost."""
    if bed.kind != "framed" or not any(zone.has(NO_MOUNDS) and zone.shape.intersects(shape) for zone in found):
        return []
    message = "This frame stands near untested old paint. Line it and fill it with bought compost; do not dig here."
    return [_advise("line-the-frame", bed.uid, "", message)]


def _reach(site: Site, bed: SiteBed, shape) -> list[Problem]:
    """Beds wider than an arm reaches, from both sides or, beside a wall or fence, from one."""
    both, one = (book.SEATED_REACH_BOTH, book.SEATED_REACH_ONE) if bed.seated else (book.REACH_BOTH, book.REACH_ONE)
    narrow = bed.width_m if bed.path else min(bed.width_m, bed.length_m)
    closed = [
        side for side in edges(site.patch(bed.patch))
        if side.beyond in CLOSED_SIDES and LineString(side.points).distance(shape) < book.CLOSE_BY.value
    ]  # fmt: skip
    if closed and narrow > one.value + 1e-9:
        message = "This bed is {width_m} m wide and {side} closes one side; from one side people reach {reach_m} m."
        values = {"width_m": narrow, "side": closed[0].name, "reach_m": one.value}
        return [_advise("reach-one-side", bed.uid, "width_m", message, **values)]
    if narrow > both.value + 1e-9:
        message = "This bed is {width_m} m wide; most people reach {reach_m} m from both sides without stepping on it."
        return [_advise("reach", bed.uid, "width_m", message, width_m=narrow, reach_m=both.value)]
    return []


def _seated(bed: SiteBed) -> list[Problem]:
    low, high = book.SEATED_HEIGHT.low, book.SEATED_HEIGHT.high
    if not bed.seated or low - 0.005 <= bed.height_m <= high + 0.005:
        return []
    message = "This bed is {height_m} m high; seated, {low_m} to {high_m} m is easiest."
    return [_advise("seated-height", bed.uid, "height_m", message, height_m=bed.height_m, low_m=low, high_m=high)]


def _paths(site: Site, shapes: dict) -> list[Problem]:
    """Gaps between beds that a barrow, or a wheelchair, cannot pass."""
    out = []
    big = [bed for bed in site.beds if bed.kind != "pocket"]
    for n, one in enumerate(big):
        for two in big[n + 1 :]:
            least = book.ACCESSIBLE_PATH.value if one.seated or two.seated else book.PATH_WIDTH.value
            gap = shapes[one.uid].distance(shapes[two.uid])
            if one.patch == two.patch and 0.01 < gap < least - 0.005:
                message = "The path between these beds is {gap_m} m wide; leave at least {least_m} m."
                out.append(_advise("narrow-path", two.uid, one.uid, message, gap_m=round(gap, 2), least_m=least))
    return out
