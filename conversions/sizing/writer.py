"""Writes a site as its document (schema 1), the reverse of `read_site`; what is at its usual value is left out."""

from .sitefile import BED_FIELDS
from .values import Circle, Corner, Feature, Load, Mark, Site, SiteBed, SitePatch


def write_site(site: Site) -> dict:
    """The document of a site; read_site(write_site(site)) is the same site."""
    card, mulch, trench = site.cardboard, site.mulch, site.trench
    rules: dict[str, object] = {"house_strip_m": site.house_strip_m}
    settles = Site().compost_settling
    own = {key: getattr(mulch, key) for key in ("settling", "density_kgm3") if getattr(mulch, key) is not None}
    for key, usual in (("fire_strip_m", 0.0), ("gate_m", None), ("slope", 0.0), ("compost_settling", settles)):
        if getattr(site, key) != usual:
            rules[key] = getattr(site, key)
    if site.load != Load():
        rules["load"] = {"volume_m3": site.load.volume_m3, "payload_kg": site.load.payload_kg}
    if site.own.changed:
        rules["own"] = site.own.as_dict()
    return {
        "schema": site.schema,
        "north_deg": site.north_deg,
        "soil": site.soil,
        "haul_m": site.haul_m,
        "cardboard": {
            "sheet_m": list(card.sheet_m), "lap_m": card.lap_m, "layers": card.layers, "tuck_m": card.tuck_m,
        },
        "mulch": {"material": mulch.material, "depth_m": mulch.depth_m, **own},
        "trench": {"width_m": trench.width_m, "depth_m": trench.depth_m, "cut": trench.cut},
        **rules,
        "patches": [_write_patch(patch) for patch in site.patches],
        "beds": [_write_bed(bed) for bed in site.beds],
    }  # fmt: skip


def _write_patch(patch: SitePatch) -> dict:
    out = {
        "uid": patch.uid, "label": patch.label, "zone": patch.zone, "ground_before": patch.ground_before,
        "shape": patch.shape, "typed": dict(patch.typed),
        "corners": [_write_corner(corner) for corner in patch.corners],
        "circle": patch.circle and _write_circle(patch.circle),
        "features": [_write_feature(feature) for feature in patch.features],
    }  # fmt: skip
    if patch.marks:
        out["marks"] = [_write_mark(mark) for mark in patch.marks]
    return {**out, "placed": patch.placed} if patch.placed else out


def _write_mark(mark: Mark) -> dict:
    out = {"kind": mark.kind, "x": _mm(mark.x_m), "y": _mm(mark.y_m)}
    return {**out, "label": mark.label} if mark.label else out


def _write_corner(corner: Corner) -> dict:
    x, y = _mm(corner.x_m), _mm(corner.y_m)
    out = {"id": corner.id, "x": x, "y": y, "beyond": corner.beyond, "typed": corner.typed}
    return out if corner.burns else {**out, "burns": False}


def _write_circle(around: Circle) -> dict:
    x, y, across = _mm(around.x_m), _mm(around.y_m), _mm(around.diameter_m)
    return {"x": x, "y": y, "diameter": across, "beyond": around.beyond, "typed": around.typed}


def _write_feature(feature: Feature) -> dict:
    """Only what the feature says; a value left at its usual is left out."""
    if feature.kind == "tree":
        out = {"kind": "tree", "x": _mm(feature.x_m), "y": _mm(feature.y_m), "trunk_m": feature.trunk_m}
    elif feature.kind == "line":
        out = {"kind": "line", "service": feature.service}
    else:
        out = {"kind": feature.kind}
    if feature.points:
        out["points"] = [[_mm(x), _mm(y)] for x, y in feature.points]
    for key, usual in (("width_m", None), ("edge", ""), ("beyond", "open"), ("label", "")):
        if getattr(feature, key) != usual:
            out[key] = getattr(feature, key)
    return out


def _write_bed(bed: SiteBed) -> dict:
    out: dict[str, object] = {
        "uid": bed.uid,
        "patch": bed.patch,
        "kind": bed.kind,
        "x": _mm(bed.x_m),
        "y": _mm(bed.y_m),
    }
    if bed.path:
        out["path"] = [[_mm(x), _mm(y)] for x, y in bed.path]
    if bed.seated:
        out["seated"] = True
    keys = [key for key in BED_FIELDS[bed.kind] if not (bed.path and key in ("length_m", "turn_deg", "ends"))]
    return {**out, **{key: getattr(bed, key) for key in keys}}


def _mm(value: float) -> float:
    return round(value, 3) + 0.0
