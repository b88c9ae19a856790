"""The figures of a take-off for ground and materials: sums over patches and beds, orders, loads."""

from dataclasses import replace

from . import mulch
from .edges import bank_m3, loose_m3, section_m2
from .figures import figure
from .materials import Material, material
from .pile import usable_m2
from .results import BedTakeoff, Figure, PatchTakeoff
from .values import Site


def materials(site: Site, patches: dict[str, PatchTakeoff], beds: dict[str, BedTakeoff]) -> dict[str, Figure]:
    """Every figure of ground and materials, by key, in the order of the job."""
    rows, out = list(patches.values()), {}

    def add(key: str, value: float, *inputs: tuple[str, float, str]) -> None:
        out[key] = figure(key, value, *inputs)

    measured, kept = round(sum(p.measured_m2 for p in rows), 2), round(sum(sum(p.kept_m2.values()) for p in rows), 2)
    add("measured", measured, *((p.label, p.measured_m2, "m2") for p in rows))
    add("kept", kept, *((f"{p.label}: {reason}", area, "m2") for p in rows for reason, area in p.kept_m2.items()))
    cover = round(measured - kept, 2)
    add("cover", cover, ("measured", measured, "m2"), ("kept", kept, "m2"))
    trench_m = round(sum(p.trench_m for p in rows), 2)
    add("trench", trench_m, *((p.label, p.trench_m, "m") for p in rows))
    swell, cut = site.own[f"swell_{site.soil}"], section_m2(site.trench)
    soil = round(loose_m3(trench_m * cut, site.soil, site.own), 3)
    add("trench_soil", soil, ("trench", trench_m, "m"), ("section", cut, "m2"), ("swell", swell, ""))
    _add_card(site, rows, add)
    _add_chips(site, rows, beds, trench_m, add)
    compost = round(sum(bed.compost_in_place_m3 for bed in beds.values()), 3)
    add("compost_in_place", compost, *((bed.kind, bed.compost_in_place_m3, "m3") for bed in beds.values()))
    settling = site.compost_settling
    loose = mulch.to_order_m3(compost, settling)
    step = site.own["selling_step"]
    unrounded = ("before rounding", round(loose, 4), "m3")
    order = mulch.round_up_to_step(loose, step)
    mass = ("mass", round(loose * site.own["compost_density"]), "kg")
    trips = ("barrows", mulch.barrows(loose, site.own), "")
    add("compost", order, ("compost in place", compost, "m3"), ("settling", settling, ""), mass, trips, unrounded)
    add(
        "beds", round(sum(bed.area_m2 for bed in beds.values()), 2), *((b.kind, b.area_m2, "m2") for b in beds.values())
    )
    return out


def _add_card(site: Site, rows: list[PatchTakeoff], add) -> None:
    card = site.cardboard
    sheets, sheet_m2 = sum(p.cardboard.sheets for p in rows), card.sheet_m[0] * card.sheet_m[1]
    per_patch = [(p.label, p.cardboard.sheets_per_layer, "sheets a layer") for p in rows]
    extra = sum(p.cardboard.shift_extra for p in rows)
    more = (("more, so that joints are shifted", extra, "sheets"),) if extra else ()
    add("cardboard", sheets, *per_patch, ("layers", card.layers, ""), *more, *_joints(rows), ("lap", card.lap_m, "m"))
    area, mass = round(sheets * sheet_m2, 2), site.own["card_mass"]
    lapped = ("once lapped", round(sheets * usable_m2(card.sheet_m, card.lap_m), 2), "m2")
    add("cardboard_area", area, ("sheets", sheets, ""), ("one sheet", round(sheet_m2, 4), "m2"), lapped)
    add("cardboard_mass", round(area * mass, 1), ("sheets", area, "m2"), ("mass", mass, "kg/m2"))


def _joints(rows: list[PatchTakeoff]) -> tuple[tuple[str, float, str], ...]:
    """How many joints still lie over joints, over all patches; nothing to say of one layer or an estimate."""
    laid = [p.cardboard for p in rows if p.cardboard.layers > 1 and not p.cardboard.is_estimated]
    sheets = sum(card.second_sheets for card in laid)
    if not sheets:
        return ()
    share = sum(card.joints_over_joints * card.second_sheets for card in laid) / sheets
    return (("second-layer joints that still lie over joints", round(100 * share), "%"),)


def _add_chips(site: Site, rows: list[PatchTakeoff], beds: dict[str, BedTakeoff], trench_m: float, add) -> None:
    in_place, kind = round(sum(p.chips_in_place_m3 for p in rows), 3), mulch_of(site)
    trench_fill = ("trench fill", round(bank_m3(trench_m, site.trench), 4), "m3")
    depth = ("depth", site.mulch.depth_m, "m")
    add("chips_in_place", in_place, *((p.label, p.chips_in_place_m3, "m3") for p in rows), depth, trench_fill)
    loose = mulch.to_order_m3(in_place, kind.settling)
    order = mulch.round_up_to_step(loose, site.own["selling_step"])
    unrounded = ("before rounding", round(loose, 4), "m3")
    mass = ("mass", round(loose * kind.density_kgm3), "kg")
    trips = ("barrows", mulch.barrows(loose, site.own), "")
    add("chips", order, ("chips in place", in_place, "m3"), ("settling", kind.settling, ""), mass, trips, unrounded)
    volume, payload = site.load.volume_m3, site.load.payload_kg
    count = mulch.loads(order, kind.density_kgm3, volume, payload)
    sizes = (("one load", volume, "m3"), ("density", kind.density_kgm3, "kg/m3"), ("payload", payload, "kg"))
    add("chips_loads", count, ("chips", order, "m3"), *sizes)


def mulch_of(site: Site) -> Material:
    """The mulch as in the table, with the settling and density that the group set itself."""
    own = {key: getattr(site.mulch, key) for key in ("settling", "density_kgm3")}
    return replace(material(site.mulch.material), **{key: value for key, value in own.items() if value is not None})
