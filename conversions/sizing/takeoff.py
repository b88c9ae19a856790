"""The take-off: a site in, every figure of materials and labour out, worked in the order of the job."""

from dataclasses import dataclass, replace

from shapely.ops import unary_union

from . import beds as bedwork
from . import catalogue as book
from . import labour, mulch
from .advice import absurd_sides, advice
from .cardboard import overlap_estimate
from .check import check
from .dayplan import enough_people, jobs_of, plan_for
from .edges import bank_m3, loose_m3, section_m2, trench_segments, tucked
from .figures import figure
from .layers import lay_layers
from .learning import Learned
from .materials import Material, material
from .pile import usable_m2
from .problems import SiteError
from .results import (
    ENGINE_VERSION,
    BedTakeoff,
    Figure,
    PatchCardboard,
    PatchTakeoff,
    Takeoff,
    Task,
)
from .shapes import drawn, outline
from .values import Crew, Site, SiteBed, SitePatch
from .zones import KEPT, THIN_CHIPS, kept_and_cover, strips_drawn, union_of, zones, zones_drawn


@dataclass(frozen=True)
class Own:
    """What a group has learned from its own days."""

    pace: float
    days: int
    learned: dict[str, Learned]

    def origin(self, tasks: list[Task]) -> str:
        return "yours" if any(task.origin == "yours" for task in tasks) else "book"

    def inputs(self) -> tuple[tuple[str, float, str], ...]:
        days = max([self.days, *(rate.days for rate in self.learned.values())])
        pace = (("pace", round(self.pace, 3), ""),) if self.pace != 1.0 else ()
        return (*pace, *((("logged days", days, "days"),) if days else ()))


def takeoff(
    site: Site,
    *,
    pace: float = 1.0,
    crew: Crew | None = None,
    pace_days: int = 0,
    learned: dict[str, Learned] | None = None,
) -> Takeoff:
    """Size a site. `pace` is the group's own factor on the hours (1.0: as in the book), from `pace_days` logged days;
    `learned` holds rates of single tasks, learned where hours were logged by task."""
    problems = check(site)
    if problems:
        raise SiteError(problems)
    crew = crew or Crew()
    patches = {patch.uid: measure_patch(site, patch) for patch in site.patches}
    beds = {bed.uid: bedwork.measure_bed(bed) for bed in site.beds}
    figures = _materials(site, patches, beds)
    own = Own(pace, pace_days, learned or {})
    tasks = _tasks(site, figures, own)
    figures |= _work(tasks, crew, own)
    people = figures["people"].value
    around = tuple(labour.row(task, people, when="around") for task in ("brief_and_setup", "tidy_and_pack"))
    found = {patch.uid: zones(site, patch) for patch in site.patches}
    return Takeoff(ENGINE_VERSION, figures, patches, beds, tasks + around, advice(site, found), absurd_sides(site))


def measure_patch(site: Site, patch: SitePatch) -> PatchTakeoff:
    """Everything about one patch: ground, trench, cardboard and chips."""
    ground, found, beds = outline(patch), zones(site, patch), site.beds_of(patch.uid)
    kept, cover = kept_and_cover(ground, found)
    measured_m2 = round(ground.area, 2)
    kept_m2 = {reason: round(shape.area, 2) for reason, shape in kept.items()}
    segments = trench_segments(patch, found)
    trench_m = round(sum(segment.length_m for segment in segments), 2)
    return PatchTakeoff(
        uid=patch.uid,
        label=patch.label,
        measured_m2=measured_m2,
        kept_m2=kept_m2,
        cover_m2=round(measured_m2 - sum(kept_m2.values()), 2),
        trench_m=trench_m,
        trench_segments=segments,
        trench_soil_m3=round(loose_m3(bank_m3(trench_m, site.trench), site.soil), 4),
        cardboard=_cardboard(site, tucked(cover, union_of(found, KEPT), segments, site.cardboard.tuck_m)),
        chips_in_place_m3=round(_chips_m3(site, beds, cover, found, trench_m), 4),
        beds=tuple(bed.uid for bed in beds),
        outline=drawn(ground)[0],
        cover=drawn(cover),
        kept=strips_drawn(kept, kept_m2, drawn),
        zones=zones_drawn(ground, found, drawn),
    )


def _cardboard(site: Site, ground) -> PatchCardboard:
    card = site.cardboard
    stack = lay_layers(ground, card.sheet_m, card.lap_m, card.layers)
    first, second = stack.first, stack.second
    bound = overlap_estimate(ground.area, card.sheet_m, card.lap_m)
    return PatchCardboard(
        layers=card.layers,
        sheets_per_layer=stack.estimated or first.sheets,
        sheets=stack.sheets,
        direction_deg=first.direction_deg,
        rectangles=first.rectangles,
        ratio=round((stack.estimated or first.sheets) / bound, 3),
        second_sheets=stack.estimated or second.sheets,
        second_direction_deg=second.direction_deg,
        shift_extra=stack.shift_extra,
        joints_over_joints=stack.joints_over_joints,
        stagger_extra=stack.stagger_extra,
        is_estimated=bool(stack.estimated),
    )


def _chips_m3(site: Site, beds: tuple[SiteBed, ...], cover, found, trench_m: float) -> float:
    """Chips in place: full and thin ground without frames, plus trench fill, less what pockets save.

    Frames stand on bare cardboard; mounds lie on the chips.
    """
    frames = unary_union([bedwork.footprint(bed) for bed in beds if bed.kind == "framed"])
    open_ground = cover.difference(frames)
    thin = open_ground.intersection(union_of(found, THIN_CHIPS))
    depth, thin_depth = site.mulch.depth_m, min(site.mulch.depth_m, book.TREE_CHIP_DEPTH.value)
    spread = mulch.volume_m3(open_ground.area - thin.area, depth) + mulch.volume_m3(thin.area, thin_depth)
    saved = sum(bedwork.chips_saved_m3(bed, depth) for bed in beds)
    return max(0.0, spread + bank_m3(trench_m, site.trench) - saved)


def _materials(site: Site, patches: dict[str, PatchTakeoff], beds: dict[str, BedTakeoff]) -> dict[str, Figure]:
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
    swell, cut = book.SWELL[site.soil].value, section_m2(site.trench)
    soil = round(loose_m3(trench_m * cut, site.soil), 3)
    add("trench_soil", soil, ("trench", trench_m, "m"), ("section", cut, "m2"), ("swell", swell, ""))
    _add_card(site, rows, add)
    _add_chips(site, rows, beds, trench_m, add)
    compost = round(sum(bed.compost_in_place_m3 for bed in beds.values()), 3)
    add("compost_in_place", compost, *((bed.kind, bed.compost_in_place_m3, "m3") for bed in beds.values()))
    settling = site.compost_settling
    loose = mulch.to_order_m3(compost, settling)
    step = book.SELLING_STEP.value
    unrounded = ("before rounding", round(loose, 4), "m3")
    order = mulch.round_up_to_step(loose, step)
    mass = ("mass", round(loose * material("finished compost").density_kgm3), "kg")
    trips = ("barrows", mulch.barrows(loose), "")
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
    area, mass = round(sheets * sheet_m2, 2), book.CARD_MASS.value
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
    order = mulch.round_up_to_step(loose, book.SELLING_STEP.value)
    unrounded = ("before rounding", round(loose, 4), "m3")
    mass = ("mass", round(loose * kind.density_kgm3), "kg")
    trips = ("barrows", mulch.barrows(loose), "")
    add("chips", order, ("chips in place", in_place, "m3"), ("settling", kind.settling, ""), mass, trips, unrounded)
    volume, payload = site.load.volume_m3, site.load.payload_kg
    count = mulch.loads(order, kind.density_kgm3, volume, payload)
    sizes = (("one load", volume, "m3"), ("density", kind.density_kgm3, "kg/m3"), ("payload", payload, "kg"))
    add("chips_loads", count, ("chips", order, "m3"), *sizes)


def _tasks(site: Site, figures: dict[str, Figure], own: Own) -> tuple[Task, ...]:
    """The work in the order of the job; loose volumes before rounding are what people move."""
    value = {key: figures[key].value for key in figures}
    moving, far = labour.moving_factor(site.gate_m, site.slope), labour.far_haul_h_per_m3(site.haul_m)
    count = {kind: sum(bed.kind == kind for bed in site.beds) for kind in ("framed", "pocket")}
    loose = {
        kind: mulch.to_order_m3(
            sum(bedwork.compost_m3(bed) for bed in site.beds if bed.kind == kind), site.compost_settling
        )
        for kind in ("framed", "mounded")
    }

    def row(task: str, quantity: float, scale: float = 1.0, extra_h: float = 0.0, when: str = "day") -> Task:
        return labour.row(task, quantity, own.pace, extra_h, when, scale, own.learned.get(task))

    rows = (
        row("mow_short", value["cover"] / 100, when="before"),
        row("cardboard_strip_tape_staples", value["cover"], when="before"),
        row("mark_out", 1 if site.patches else 0),
        row(f"edge_trench_{site.soil}", value["trench"], section_m2(site.trench) / book.RATE_TRENCH_SECTION.value),
        row("cardboard_wet", value["cover"]),
        row("cardboard_lay", value["cover"], labour.layer_factor(site.cardboard.layers)),
        row("frame_bed_precut", count["framed"]),
        row("chips_move_and_spread", _unrounded(figures["chips"]), moving, far * moving),
        row("fill_bed_compost", loose["framed"], moving, far * moving),
        row("mound_bed_compost", loose["mounded"], moving, far * moving),
        row("planting_pocket", count["pocket"]),
        row("seed_rows", value["beds"]),
        row("water_in", value["beds"]),
    )
    return tuple(task for task in rows if task.quantity)


def mulch_of(site: Site) -> Material:
    """The mulch as in the table, with the settling and density that the group set itself."""
    own = {key: getattr(site.mulch, key) for key in ("settling", "density_kgm3")}
    return replace(material(site.mulch.material), **{key: value for key, value in own.items() if value is not None})


def _unrounded(of: Figure) -> float:
    return next(value for label, value, _ in of.inputs if label == "before rounding")


def _work(tasks: tuple[Task, ...], crew: Crew, own: Own) -> dict[str, Figure]:
    """Hours, the people with whom the day plan ends on time, and what the clock shows by that plan."""
    total, jobs = labour.sum_up(tasks, crew), jobs_of(tasks)
    plan = plan_for(jobs, enough_people(jobs, total.people, crew), crew)
    day = [task for task in tasks if task.when == "day"]
    work = [(task.task, round(labour.pert_mean(task.low_h, task.likely_h, task.high_h), 3), "h") for task in day]
    sds = (("sd, independent", round(total.sd_independent_h, 3), "h"), ("sd, tied", round(total.sd_tied_h, 3), "h"))
    factors = (("crew factor", crew.crew_factor, ""), ("share of an hour worked", crew.working_share, ""))
    hours, people, mornings = ("hours of work", round(total.mean_h, 3), "h"), ("people", plan.people, ""), plan.mornings
    around = [(task, book.RATES[task].likely_h, "h") for task in ("brief_and_setup", "tidy_and_pack")]
    low, high, origin = round(total.low_h, 1), round(total.high_h, 1), own.origin(day)
    needed = (hours, ("hours in a day", crew.day_h, "h"), *factors, ("smallest crew", crew.least_people, ""))
    planned = ("hours by the day plan", round((mornings - 1) * crew.day_h + plan.ends_h, 3), "h")
    clock = planned[1] + mornings * sum(row[1] for row in around)
    return {
        "hours": figure("hours", round(total.mean_h, 1), *work, *sds, *own.inputs(), low=low, high=high, origin=origin),
        "people": figure("people", plan.people, *needed, ("by plain division", total.people, "people")),
        "clock_hours": figure(
            "clock_hours", round(clock, 1), hours, people, planned, *around, ("mornings", mornings, "")
        ),
    }
