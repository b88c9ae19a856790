"""Which figures stand on numbers that the group set itself; those say so, in their inputs and in their source."""

from collections.abc import Iterator
from dataclasses import replace

from . import catalogue as book
from .figures import YOURS_BOTH, YOURS_SET
from .labour import far_haul_h_per_m3
from .materials import material
from .own import OWN, RATE
from .results import Figure
from .values import Site
from .work import AROUND
from .zones import is_kept_off

# what is worked out from what; a number under one figure reaches those above it
_FROM = {
    "cover": ("kept",),
    "trench_soil": ("trench",),
    "cardboard": ("cover", "trench"),
    "cardboard_area": ("cardboard",),
    "cardboard_mass": ("cardboard_area",),
    "chips_in_place": ("cover", "trench"),
    "chips": ("chips_in_place",),
    "chips_loads": ("chips",),
    "compost": ("compost_in_place",),
    "hours": ("cover", "trench", "chips_in_place", "compost_in_place", "beds"),
    "people": ("hours",),
    "clock_hours": ("people",),
}
# told beside the figure, and not part of what is worked out from it
_ASIDE = ("barrow_load_m3", "compost_density", "tied_share")
# inputs that already stand in a figure under a shorter name
_SHOWN_AS = {
    "crew_factor": "crew factor",
    "working_share": "share of an hour worked",
    "day_hours": "hours in a day",
    "least_crew": "smallest crew",
    "swell_light": "swell",
    "swell_medium": "swell",
    "swell_heavy": "swell",
    "card_mass": "mass",
}
_CREW = ("crew_factor", "working_share", "day_hours", "least_crew")
_PLAN = ("few_more", "tools_for", "card_first_share", "chips_first_share")
_BARROW = (
    "barrow_loaded_m_s", "barrow_empty_m_s", "barrow_efficiency", "barrow_load_m3",
)  # fmt: skip
_WORK = ("hours", "people", "clock_hours")


def marked(figures: dict[str, Figure], site: Site, rated: set[str]) -> dict[str, Figure]:
    """The figures, those with numbers of the group's own marked. `rated`: the tasks whose hours come from a rate."""
    direct: dict[str, set[str]] = {key: set() for key in figures}
    for keys, name in _chosen(site):
        for key in keys:
            direct[key].add(name)
    for keys, names in _uses(site, rated):
        for key in keys:
            direct[key] |= {name for name in names if site.own.has(name)}
    return {key: _marked(figure, _reached(key, direct), site) for key, figure in figures.items()}


def _chosen(site: Site) -> Iterator[tuple[tuple[str, ...], str]]:
    """What stands in the site itself and is not as in the table: figures say so, the input shows the number."""
    usual = material(site.mulch.material)
    if site.mulch.settling not in (None, usual.settling):
        yield ("chips", "hours"), "settling"
    if site.mulch.density_kgm3 not in (None, usual.density_kgm3):
        yield ("chips", "chips_loads"), "density"
    if site.compost_settling != book.COMPOST_SETTLING.value and site.beds:
        yield ("compost", "hours"), "settling"


def _uses(site: Site, rated: set[str]) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Figures, and the numbers each stands on in this very site."""
    features = [feature for patch in site.patches for feature in patch.features]
    kinds = {bed.kind for bed in site.beds}
    if any(feature.kind == "tree" for feature in features):
        yield ("kept",), ("tree_collar",)
        yield ("trench", "chips_in_place"), ("tree_ring_factor", "tree_ring_least")
        yield ("chips_in_place",), ("tree_chip_depth",)
    if any(feature.kind == "line" and not feature.width_m and is_kept_off(feature.service) for feature in features):
        yield ("trench",), ("line_band",)
    if any(feature.kind == "painted wall" and not feature.width_m for feature in features):
        yield ("trench",), ("paint_strip",)
    yield ("trench_soil",), (f"swell_{site.soil}",)
    yield ("cardboard_mass",), ("card_mass",)
    yield ("chips",), ("selling_step", "barrow_load_m3")
    if kinds:
        yield ("compost",), ("selling_step", "barrow_load_m3", "compost_density")
    if "mounded" in kinds:
        yield ("compost_in_place",), ("repose",)
    if "framed" in kinds:
        yield ("compost_in_place",), ("freeboard",)
    yield from _uses_of_work(site, rated)


def _uses_of_work(site: Site, rated: set[str]) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    yield ("hours",), ("tied_share", *(RATE + task for task in rated))
    yield ("people",), (*_CREW, *_PLAN)
    yield ("clock_hours",), tuple(RATE + task for task in AROUND)
    if site.gate_m is not None:
        yield ("hours",), ("narrow_gate", "bucket_factor")
    if site.slope:
        yield ("hours",), ("slope_easy", "slope_factor")
    if site.haul_m > min(site.own["haul_included"], OWN["haul_included"].default):
        yield ("hours",), ("haul_included",)
    if far_haul_h_per_m3(site.haul_m, site.own):
        yield _WORK, _BARROW


def _reached(key: str, direct: dict[str, set[str]]) -> set[str]:
    """The numbers of a figure and of all it is worked out from."""
    below = (name for lower in _FROM.get(key, ()) for name in _reached(lower, direct) if name not in _ASIDE)
    return direct[key] | set(below)


def _marked(figure: Figure, names: set[str], site: Site) -> Figure:
    if not names:
        return figure
    listed = tuple(name for name in OWN if name in names)
    known = {label for label, _, _ in figure.inputs}
    rows = tuple(
        (OWN[name].label, site.own[name], OWN[name].unit) for name in listed if _SHOWN_AS.get(name, "") not in known
    )
    source = YOURS_BOTH if figure.is_learned else YOURS_SET
    return replace(figure, inputs=(*rows, *figure.inputs), source=source, origin="yours", own=listed)
