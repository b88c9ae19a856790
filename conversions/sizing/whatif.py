"""What-if: the same site with another depth, number of layers, bed height or material, and the differences."""

from dataclasses import dataclass, replace
from decimal import Decimal

from .results import Takeoff
from .takeoff import takeoff
from .values import Site

KEYS = ("cardboard", "chips", "compost", "hours", "people", "clock_hours")


@dataclass(frozen=True)
class Change:
    """One figure before and after, and the difference."""

    key: str
    unit: str
    before: float
    after: float

    @property
    def difference(self) -> float:
        return round(self.after - self.before, 3)


@dataclass(frozen=True)
class WhatIf:
    """The changed site, its take-off, and the differences."""

    site: Site
    result: Takeoff
    changes: tuple[Change, ...]
    money: Decimal | None  # None where a price that matters is not set

    def change(self, key: str) -> Change:
        """The change of one figure."""
        return next(change for change in self.changes if change.key == key)


def changed(
    site: Site,
    *,
    depth_m: float | None = None,
    layers: int | None = None,
    bed_height_m: float | None = None,
    material: str | None = None,
) -> Site:
    """The site with some of its choices changed. A bed height sets mounds and frames, not pockets."""
    mulch = replace(
        site.mulch,
        depth_m=site.mulch.depth_m if depth_m is None else depth_m,
        material=site.mulch.material if material is None else material,
    )
    if material not in (None, site.mulch.material):  # what the group set speaks of the old material
        mulch = replace(mulch, settling=None, density_kgm3=None)
    card = site.cardboard if layers is None else replace(site.cardboard, layers=layers)
    beds = site.beds
    if bed_height_m is not None:
        beds = tuple(bed if bed.kind == "pocket" else replace(bed, height_m=bed_height_m) for bed in beds)
    return replace(site, mulch=mulch, cardboard=card, beds=beds)


def what_if(
    site: Site, *, prices: dict[str, Decimal | None] | None = None, before: Takeoff | None = None, **change
) -> WhatIf:
    """The differences a change makes. `prices` holds a price per unit of 'cardboard', 'chips', 'compost', 'hours'.

    `change` is any of depth_m, layers, bed_height_m, material. Raises SiteError where the changed site cannot be sized.
    """
    before = before or takeoff(site)
    other = changed(site, **change)
    after = takeoff(other)
    changes = tuple(
        Change(key, before.figures[key].unit, before.figures[key].value, after.figures[key].value) for key in KEYS
    )
    return WhatIf(other, after, changes, _money(changes, prices or {}))


def _money(changes: tuple[Change, ...], prices: dict[str, Decimal | None]) -> Decimal | None:
    """The sum of differences times prices; unrounded, the money edge rounds. A missing price of what changes: not known."""
    total = Decimal(0)
    for change in changes:
        if change.key in ("cardboard", "chips", "compost", "hours") and change.difference:
            price = prices.get(change.key)
            if price is None:
                return None
            total += Decimal(str(change.difference)) * price
    return total
