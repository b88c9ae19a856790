"""The one file format of a plan (schema 1), read; `writer.py` writes it; a draft in the database is this document.

Metres rounded to 1 mm, x to the right, y up, corners clockwise. Coordinates look like GeoJSON's arrays but are
local metres, so this is not GeoJSON. Reading checks words and numbers; whether the ground makes sense is `check`.
"""

from . import catalogue as book
from .materials import MATERIALS
from .own import Own, read_own
from .problems import SiteError, Where
from .reader import MOST, Reader
from .shapes import circle as typed_circle
from .shapes import hole_id, holes
from .values import (
    Cardboard,
    Circle,
    Corner,
    Feature,
    Load,
    Mark,
    Mulch,
    Site,
    SiteBed,
    SitePatch,
    Trench,
)

SCHEMA = 1
SHAPES = ("rectangle", "L", "triangle", "trapezium", "circle", "outline")
ZONES = ("front", "back", "side", "other")
GROUND = ("lawn", "other")
FEATURE_KINDS = ("tree", "line", "hole", "painted wall", "building", "right of way")
MARK_KINDS = ("tap", "heap", "downspout")
SOILS = ("light", "medium", "heavy")

BED_FIELDS = {
    "mounded": ("length_m", "width_m", "height_m", "turn_deg", "ends"),
    "framed": ("length_m", "width_m", "height_m", "board_m", "turn_deg"),
    "pocket": ("top_m", "bottom_m", "height_m"),
}


def read_site(document: dict) -> Site:
    """A site out of its document; raises SiteError with every problem found in the words and numbers."""
    r = Reader()
    if not isinstance(document, dict):
        r.fail("not-an-object", "", "site", "The site must be a group of named values.")
        raise SiteError(r.problems)
    if document.get("schema") != SCHEMA or isinstance(document["schema"], bool):
        r.fail("unknown-schema", "", "schema", "{field} must be 1; newer or older files cannot be read.")
        raise SiteError(r.problems)
    site = Site(
        schema=SCHEMA,
        north_deg=None if document.get("north_deg") is None else r.number(document, "north_deg", ""),
        soil=r.word(document, "soil", "", SOILS, "medium"),
        haul_m=r.number(document, "haul_m", "", book.HAUL.value, least=0),
        cardboard=_cardboard(r, r.dict(document, "cardboard")),
        mulch=_mulch(r, r.dict(document, "mulch")),
        trench=_trench(r, r.dict(document, "trench")),
        house_strip_m=r.number(document, "house_strip_m", "", book.HOUSE_STRIP.value, least=0),
        fire_strip_m=r.number(document, "fire_strip_m", "", 0.0, least=0),
        load=_load(r, r.dict(document, "load")),
        gate_m=None if document.get("gate_m") is None else r.size(document, "gate_m", ""),
        slope=r.number(document, "slope", "", 0.0, least=0),
        compost_settling=_compost_settling(r, document),
        own=_own(r, document.get("own")),
        patches=r.each(document, "patches", _patch),
        beds=r.each(document, "beds", _bed),
    )
    _check_uids(r, site)
    if r.problems:
        raise SiteError(r.problems)
    return site


def _check_uids(r: Reader, site: Site) -> None:
    """Every patch, bed and corner has a name of its own, and a bed lies in a patch that is there."""
    patches = [patch.uid for patch in site.patches]
    for kind, uids in (("patch", patches), ("bed", [bed.uid for bed in site.beds])):
        _check_names(r, kind, uids)
    for bed in site.beds:
        if bed.uid and bed.uid in patches:
            message = "A patch and a bed are both called {name!r}. Give each its own name."
            r.fail("uid-twice", bed.uid, "uid", message, name=bed.uid)
        if bed.patch not in patches:
            message = "This bed lies in a patch that is not here: {patch!r}."
            r.fail("no-such-patch", bed.uid, "patch", message, patch=bed.patch)
    for patch in site.patches:
        _check_corners(r, patch)


def _check_names(r: Reader, kind: str, uids: list[str]) -> None:
    twice = {
        "patch": "Two patches are called {name!r}. Give each its own name.",
        "bed": "Two beds are called {name!r}. Give each its own name.",
    }
    none = {
        "patch": "A patch has no name. Give each its own name.",
        "bed": "A bed has no name. Give each its own name.",
    }
    if "" in uids:
        r.fail("no-uid", "", "uid", none[kind])
    for uid in dict.fromkeys(uid for uid in uids if uid and uids.count(uid) > 1):
        r.fail("uid-twice", uid, "uid", twice[kind], name=uid)


def _check_corners(r: Reader, patch: SitePatch) -> None:
    """A side is known by its corner, and a rim by its hole: no two may share a name."""
    ids = [corner.id for corner in patch.corners]
    if "" in ids and not any(problem.where == Where(patch.uid, "id") for problem in r.problems):
        r.fail("no-id", patch.uid, "id", "A corner has no name. Give each its own letter or name.")
    for name in dict.fromkeys(name for name in ids if name and ids.count(name) > 1):
        message = "Two corners are called {name}. Give each its own letter or name."
        r.fail("id-twice", patch.uid, name, message, name=name)
    for n, _ in enumerate(holes(patch), 1):
        if hole_id(n) in ids:
            message = "A corner and a hole are both called {name!r}. Give the corner another name."
            r.fail("id-twice", patch.uid, hole_id(n), message, name=hole_id(n))


def _cardboard(r: Reader, row: dict) -> Cardboard:
    usual = Cardboard()
    sides = row.get("sheet_m", usual.sheet_m)
    if not isinstance(sides, (list, tuple)) or len(sides) != 2:
        r.fail("not-a-sheet", "", "sheet_m", "{field} must be the two sides of a sheet.")
        sides = usual.sheet_m
    sheet = tuple(r.size({"sheet_m": side}, "sheet_m", "") for side in sides)
    lap_m = r.number(row, "lap_m", "", usual.lap_m, least=0)
    if lap_m >= min(sheet) and not r.problems:
        r.fail("lap-too-wide", "", "lap_m", "A lap of {lap_m} m leaves nothing of a sheet {sheet_m} m wide.",
               lap_m=lap_m, sheet_m=min(sheet))  # fmt: skip
    layers = row.get("layers", usual.layers)
    if isinstance(layers, bool) or not isinstance(layers, int) or not 1 <= layers <= 20:
        r.fail("layers", "", "layers", "{field} must be a whole number from 1 to 20.")
        layers = usual.layers
    return Cardboard(sheet, lap_m, layers, r.number(row, "tuck_m", "", usual.tuck_m, least=0))


def _mulch(r: Reader, row: dict) -> Mulch:
    usual = Mulch()
    names = tuple(name for name, material in MATERIALS.items() if material.role in ("mulch", "compost"))
    return Mulch(
        r.word(row, "material", "", names, usual.material),
        r.size(row, "depth_m", "", usual.depth_m),
        r.share(row, "settling", "", None, book.MOST_SETTLING.value),
        None if row.get("density_kgm3") is None else r.size(row, "density_kgm3", ""),
    )


def _compost_settling(r: Reader, document: dict) -> float:
    usual = book.COMPOST_SETTLING.value
    found = r.share(document, "compost_settling", "", usual, book.MOST_SETTLING.value)
    return usual if found is None else found


def _own(r: Reader, document: object) -> Own:
    if document is None:
        return Own()
    try:
        return read_own(document)
    except SiteError as error:
        r.problems += error.problems
        return Own()


def _load(r: Reader, row: dict) -> Load:
    usual = Load()
    return Load(r.size(row, "volume_m3", "", usual.volume_m3), r.size(row, "payload_kg", "", usual.payload_kg))


def _trench(r: Reader, row: dict) -> Trench:
    usual = Trench()
    width, depth = r.size(row, "width_m", "", usual.width_m), r.size(row, "depth_m", "", usual.depth_m)
    return Trench(width, depth, r.word(row, "cut", "", ("square", "V"), usual.cut))


def _patch(r: Reader, row: dict) -> SitePatch:
    uid = r.text(row, "uid")
    around = row.get("circle")
    return SitePatch(
        uid=uid,
        label=r.text(row, "label", uid),
        zone=r.word(row, "zone", uid, ZONES, "front"),
        ground_before=r.word(row, "ground_before", uid, GROUND, "lawn"),
        shape=r.word(row, "shape", uid, SHAPES, "outline"),
        typed=r.dict(row, "typed", uid),
        corners=r.each(row, "corners", lambda r, item: _corner(r, item, uid), uid),
        circle=_circle(r, around, uid) if isinstance(around, dict) else None,
        features=r.each(row, "features", lambda r, item: _feature(r, item, uid), uid),
        marks=r.each(row, "marks", lambda r, item: _mark(r, item, uid), uid),
        placed=_placed(r, r.dict(row, "placed", uid), uid) or None,
    )


def _placed(r: Reader, row: dict, uid: str) -> dict[str, float]:
    return {key: r.number(row, key, uid) for key in ("x", "y", "turn") if key in row}


def _mark(r: Reader, row: dict, uid: str) -> Mark:
    kind = r.word(row, "kind", uid, MARK_KINDS)
    return Mark(kind, r.number(row, "x", uid), r.number(row, "y", uid), r.text(row, "label", uid))


def _corner(r: Reader, row: dict, uid: str) -> Corner:
    beyond = r.word(row, "beyond", uid, book.BEYOND, "open")
    typed = r.text({"typed": row.get("typed") or ""}, "typed", uid)
    burns = row.get("burns", True) is not False
    return Corner(r.text(row, "id", uid), r.number(row, "x", uid), r.number(row, "y", uid), beyond, typed, burns)


def _circle(r: Reader, row: dict, uid: str) -> Circle:
    across = r.size(row, "diameter", uid)
    usual = typed_circle(across) if across > 0 else Circle(0, 0, 0)
    beyond = r.word(row, "beyond", uid, book.BEYOND, "open")
    x, y = r.number(row, "x", uid, usual.x_m), r.number(row, "y", uid, usual.y_m)
    return Circle(x, y, across, beyond, r.text({"typed": row.get("typed") or ""}, "typed", uid))


def _points(r: Reader, row: dict, uid: str, key: str = "points") -> tuple:
    found, out = row.get(key) or [], []
    if isinstance(found, (list, tuple)) and len(found) > MOST:
        r.fail(
            "too-many",
            uid,
            key,
            "{field} has {count} entries; at most {most} can be read.",
            count=len(found),
            most=MOST,
        )
        return ()
    for point in found if isinstance(found, (list, tuple)) else [found]:
        if not isinstance(point, (list, tuple)) or len(point) != 2:
            r.fail("not-a-point", uid, key, "{field} must be pairs of numbers.")
            return ()
        out.append((r.number({key: point[0]}, key, uid), r.number({key: point[1]}, key, uid)))
    return tuple(out)


def _feature(r: Reader, row: dict, uid: str) -> Feature:
    kind = r.word(row, "kind", uid, FEATURE_KINDS)
    label = r.text(row, "label", uid)
    if kind == "tree":
        return Feature(
            "tree", r.number(row, "x", uid), r.number(row, "y", uid), r.size(row, "trunk_m", uid), label=label
        )
    points, edge = _points(r, row, uid), r.text(row, "edge", uid)
    least = {"line": 2, "hole": 3}.get(kind, 0 if edge else 2)
    if len(points) < least:
        r.fail("too-few-points", uid, "points", "A {kind} needs at least {least} points.", kind=kind, least=least)
    width = r.size(row, "width_m", uid) if row.get("width_m") is not None or kind == "right of way" else None
    beyond = r.word(row, "beyond", uid, book.BEYOND, "open")
    service = r.text(row, "service", uid)
    return Feature(kind, service=service, points=points, width_m=width, label=label, edge=edge, beyond=beyond)


def _bed(r: Reader, row: dict) -> SiteBed:
    uid = r.text(row, "uid")
    kind = r.word(row, "kind", uid, book.BED_KINDS)
    known: dict[str, object] = {"seated": row.get("seated") is True}
    path = _points(r, row, uid, "path") if kind == "mounded" else ()
    if len(path) == 1:
        r.fail(
            "too-few-points", uid, "path", "A {kind} needs at least {least} points.", kind="bed along a line", least=2
        )
    if path:
        known["path"] = path
        usual_x, usual_y = (round(sum(values) / len(path), 3) for values in zip(*path, strict=True))
    for key in BED_FIELDS[kind]:
        usual = book.USUAL_BEDS[kind].get(key)
        if key == "ends":
            known[key] = r.word(row, key, uid, ("round", "square"), usual)
        elif key == "turn_deg":
            known[key] = r.number(row, key, uid, usual)
        elif key == "length_m" and path:
            known[key] = 0.0  # it follows from the centre line
        else:
            known[key] = r.size(row, key, uid, usual)
    x = r.number(row, "x", uid, usual_x if path else None)
    y = r.number(row, "y", uid, usual_y if path else None)
    return SiteBed(uid, r.text(row, "patch", uid), kind, x, y, **known)


def new_site(**defaults: object) -> Site:
    """An empty site with the usual depths and layers; any of Site's fields may be given."""
    return Site(**defaults)
