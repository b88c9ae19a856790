"""The plan by itself on paper: true to scale, with two tape distances to every corner of a bed."""

from dataclasses import dataclass, field
from itertools import groupby
from typing import Any

from django.utils import timezone
from django.utils.text import slugify

from conversions.common import pdf as paper
from conversions.groups.models import Group

from . import measure
from .drawing import SetOut, band_words, fitted, plan_svg, scale_of, set_out
from .drawing.frame import is_drawable
from .drawing.legend import Key, legend
from .models import Conversion, Draft

ROOM_MM = {"A4": (180.0, 178.0), "Letter": (180.0, 158.0)}  # for the drawing, with its key and the rules round it
SCALES = (50, 100, 200, 500)
MOST_ROWS = 24  # of a block of the table
NO_SCALE = 10**6  # of ground too large for any scale


@dataclass(frozen=True)
class Table:
    """The pegs of one patch. `rim_m`: how far apart the two points of a circle are that the tapes start from."""

    label: str
    rows: list[SetOut]
    rim_m: float | None

    @property
    def corners(self) -> tuple[str, str]:
        return self.rows[0].corners

    @property
    def blocks(self) -> list[list[list[SetOut]]]:
        """Two halves side by side, few enough rows in each that a block need not be cut by the end of a page."""
        parts = [self.rows[i : i + MOST_ROWS] for i in range(0, len(self.rows), MOST_ROWS)]
        return [_halves(part) for part in parts]

    @property
    def has_strings(self) -> bool:
        return any(row.string_m for row in self.rows)


def _halves(rows: list[SetOut]) -> list[list[SetOut]]:
    half = (len(rows) + 1) // 2
    return [rows[:half], rows[half:]]


@dataclass(frozen=True)
class Leaf:
    """One drawing of the paper: one patch, or all where they fit together. scale 0: too large for a true one."""

    name: str
    label: str
    scale: int
    svg: str
    keys: list[Key] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)


def pdf(*, yard: Conversion, draft: Draft | None, document: dict, group: Group, bw: bool = False) -> bytes:
    """The paper as printed; made outside any transaction."""
    said = context(yard=yard, draft=draft, document=document, group=group, bw=bw)
    drawings = {leaf.name: leaf.svg for leaf in said["leaves"]}
    drawings |= {f"{leaf.name}key{i}": key.svg for leaf in said["leaves"] for i, key in enumerate(leaf.keys)}
    return paper.render("yards/plan_print.html", said, drawings=drawings, refit=Fitting(len(said["leaves"])))


class Fitting:
    """Where a table goes on to a page of its own, sets it closer; and back to the usual where that saves no page."""

    def __init__(self, leaves: int) -> None:
        self.leaves, self.pages = leaves, []

    def __call__(self, _spans: Any, pages: int) -> dict[str, bool] | None:
        self.pages.append(pages)
        if len(self.pages) == 1 and pages > self.leaves:
            return {"is_close": True}
        return {"is_close": False} if len(self.pages) == 2 and pages == self.pages[0] else None


def file_name(yard: Conversion, draft: Draft | None, bw: bool) -> str:
    words = ["plan", slugify(str(yard.place)), str(draft.number) if draft else "", "bw" if bw else ""]
    return "-".join(word for word in words if word) + ".pdf"


def context(*, yard: Conversion, draft: Draft | None, document: dict, group: Group, bw: bool) -> dict[str, Any]:
    """Everything the paper says: of people nothing, of the yard the address as the crew sheet has it."""
    look = measure.look(document, group)
    features = [row["kind"] for patch in look.drawable.get("patches") or () for row in patch.get("features") or ()]
    return {
        "group": group,
        "place": yard.place,
        "draft": draft,
        "bw": bw,
        "leaves": leaves(look.drawable, look.takeoff, group, bw),
        "problems": measure.told(look, document),
        "has_lines": "line" in features,
        "band": band_words(group.units, document),
        "has_trees": "tree" in features,
        "made_at": timezone.localtime(),
    }


def leaves(site: dict, takeoff: dict, group: Group, bw: bool) -> list[Leaf]:
    """All patches on one drawing where that is as large as each alone, else each on a page of its own."""
    uids = [patch["uid"] for patch in site.get("patches") or () if is_drawable(patch)]
    if not uids:
        return []
    whole = _leaf("plan", site, takeoff, uids, group, bw)
    if len(uids) == 1:
        return [whole]
    alone = [_leaf(f"plan{i}", site, takeoff, [uid], group, bw) for i, uid in enumerate(uids)]
    return [whole] if _shown(whole) <= max(_shown(leaf) for leaf in alone) and whole.scale else alone


def _shown(leaf: Leaf) -> int:
    return leaf.scale or NO_SCALE


def _leaf(name: str, site: dict, takeoff: dict, uids: list[str], group: Group, bw: bool) -> Leaf:
    part = site | {
        "patches": [patch for patch in site["patches"] if patch["uid"] in uids],
        "beds": [bed for bed in site.get("beds") or () if bed.get("patch") in uids],
    }
    scale, svg = _to_scale(name, site, part, takeoff, uids, group, bw)
    label = ", ".join(str(patch.get("label") or "") for patch in part["patches"])
    keys = legend(part, takeoff, prefix=f"{name}k", bw=bw)
    return Leaf(name, label, scale, svg, keys, _tables(site, part, takeoff))


def _to_scale(name: str, site: dict, part: dict, takeoff: dict, uids: list[str], group: Group, bw: bool):
    """The drawing at the largest scale at which all of it has room on the page, its own legend too."""
    width, height = ROOM_MM.get(group.paper, ROOM_MM["A4"])
    look = {"setout": True, "bw": bw, "units": group.units, "patch": uids[0] if len(uids) == 1 else None}
    least = scale_of(part, width, height)
    scales = SCALES[SCALES.index(least) :]
    scale, svg = fitted(site, takeoff, prefix=name, scales=scales, width_mm=width, height_mm=height, **look)
    return scale, svg or plan_svg(site, takeoff, prefix=name, **look)


def _tables(site: dict, part: dict, takeoff: dict) -> list[Table]:
    """Letters run through the whole yard, so the rows are those of the whole, patch by patch."""
    round_ones = {patch["uid"] for patch in part["patches"] if patch.get("circle")}
    ours = {patch["uid"] for patch in part["patches"]}
    out = []
    for uid, found in groupby(set_out(site, takeoff), key=lambda row: row.patch):
        rows = list(found)
        if uid in ours:
            out.append(Table(rows[0].patch_label, rows, rows[0].base_m if uid in round_ones else None))
    return out
