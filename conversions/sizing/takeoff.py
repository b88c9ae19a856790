"""The take-off: a site in, every figure of materials and labour out, worked in the order of the job."""

from shapely.ops import unary_union

from . import beds as bedwork
from . import mulch
from .advice import absurd_sides, advice
from .cardboard import overlap_estimate
from .check import check
from .edges import bank_m3, loose_m3, trench_segments, tucked
from .layers import lay_layers
from .learning import Learned
from .problems import SiteError
from .quantities import materials
from .results import ENGINE_VERSION, PatchCardboard, PatchTakeoff, Takeoff
from .shapes import drawn, outline
from .values import Crew, Site, SiteBed, SitePatch
from .work import Logged, around_of, tasks_of, work_figures
from .yours import marked
from .zones import KEPT, THIN_CHIPS, kept_and_cover, strips_drawn, union_of, zones, zones_drawn


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
    patches = {patch.uid: measure_patch(site, patch) for patch in site.patches}
    beds = {bed.uid: bedwork.measure_bed(bed, site.own) for bed in site.beds}
    figures = materials(site, patches, beds)
    logged = Logged(pace, pace_days, learned or {})
    tasks = tasks_of(site, figures, logged)
    figures |= work_figures(site, tasks, crew or Crew.of(site.own), logged)
    rated = {task.task for task in tasks if task.when == "day"} - set(logged.learned)
    tasks += around_of(figures["people"].value, site.own)
    figures = marked(figures, site, rated)
    found = {patch.uid: zones(site, patch) for patch in site.patches}
    return Takeoff(ENGINE_VERSION, figures, patches, beds, tasks, advice(site, found), absurd_sides(site))


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
        trench_soil_m3=round(loose_m3(bank_m3(trench_m, site.trench), site.soil, site.own), 4),
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
    depth, thin_depth = site.mulch.depth_m, min(site.mulch.depth_m, site.own["tree_chip_depth"])
    spread = mulch.volume_m3(open_ground.area - thin.area, depth) + mulch.volume_m3(thin.area, thin_depth)
    saved = sum(bedwork.chips_saved_m3(bed, depth) for bed in beds)
    return max(0.0, spread + bank_m3(trench_m, site.trench) - saved)
