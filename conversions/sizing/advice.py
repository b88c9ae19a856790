"""What is allowed but worth a second look: absurd lengths, reach, thin chips, frames that need a liner."""

from . import catalogue as book
from .beds import footprint
from .shapes import edges
from .values import Problem, Site, Where
from .zones import NO_MOUNDS, Zone


def _advise(code: str, uid: str, part: str, message: str, **values: object) -> Problem:
    return Problem(code, Where(uid, part), message, values)


def absurd_sides(site: Site) -> tuple[Problem, ...]:
    """Sides so long that somebody should look again; kept, not refused."""
    out = []
    for patch in site.patches:
        for edge in edges(patch):
            length_m = patch.circle.diameter_m if patch.circle else edge.length_m
            if length_m > book.ABSURD_SIDE.value:
                message = "{side} is {length_m} m long. Is that right?"
                values = {"side": edge.name, "length_m": round(length_m, 2)}
                out.append(_advise("absurd-side", patch.uid, edge.name, message, **values))
    return tuple(out)


def reach_advice(site: Site) -> tuple[Problem, ...]:
    """Beds wider than an arm reaches from both sides."""
    message = "This bed is {width_m} m wide; most people reach {reach_m} m from both sides without stepping on it."
    reach = book.REACH_BOTH.value
    return tuple(
        _advise("reach", bed.uid, "width_m", message, width_m=bed.width_m, reach_m=reach)
        for bed in site.beds
        if bed.kind != "pocket" and min(bed.width_m, bed.length_m) > reach + 1e-9
    )


def liner_advice(site: Site, found: dict[str, tuple[Zone, ...]]) -> tuple[Problem, ...]:
    """Frames near untested old paint: lined, and filled with bought compost."""
    message = "This frame stands near untested old paint. Line it and fill it with bought compost; do not dig here."
    return tuple(
        _advise("line-the-frame", bed.uid, "", message)
        for bed in site.beds
        if bed.kind == "framed"
        and any(zone.has(NO_MOUNDS) and zone.shape.intersects(footprint(bed)) for zone in found[bed.patch])
    )
