"""The key of a plan: a small sample and its words for each thing that is on it, and for nothing else."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from shapely.geometry import box

from . import marks
from .frame import is_drawable, marks_of
from .marked import CASING, CORE, RULE, UNKNOWN, has_band, name_of
from .sheet import MM, Sheet, closed_path
from .textures import CREST, INK, KEPT, LEAF, SERVICE, WHITE

WIDE, HIGH = 36.0, 18.0  # units of a sample; four of them are a millimetre
ALL = box(0.7, 0.7, WIDE - 0.7, HIGH - 0.7)


@dataclass(frozen=True)
class Key:
    words: str
    svg: SafeString


def legend(site: dict, takeoff: dict | None, *, prefix: str, bw: bool = False) -> list[Key]:
    """What stands on the plan of these patches, the ground first, then beds, then what must not be hit, then the pegs."""
    patches = [patch for patch in site.get("patches") or () if is_drawable(patch)]
    sized = [row for patch in patches if (row := ((takeoff or {}).get("patches") or {}).get(patch["uid"]))]
    uids = {patch["uid"] for patch in patches}
    kinds = [bed["kind"] for bed in site.get("beds") or () if bed.get("patch") in uids]
    features = [row for patch in patches for row in patch.get("features") or ()]
    found = [
        *_of_ground(patches, sized),
        *_of_beds(kinds),
        *_of_features(features, bw),
        *_of_marks(patches),
        *_of_pegs(kinds),
    ]
    return [Key(words, _sample(f"{prefix}{i}", bw, words, draw)) for i, (words, draw) in enumerate(found)]


Sample = tuple[str, Callable[[Sheet], None]]  # words, and what draws them on a sheet


def _of_ground(patches: list[dict], sized: list[dict]) -> Iterator[Sample]:
    if any(row.get("cover") for row in sized):
        yield _("chips on cardboard"), partial(_filled, name="chip")
    elif patches and not sized:
        yield _("lawn, nothing worked out yet"), partial(_filled, name="lawn")
    if any(kept["reason"] != "tree trunk" for row in sized for kept in row.get("kept") or ()):
        yield _("left as it is"), _kept
    if any(row.get("trench_segments") for row in sized):
        yield _("edge trench, its ticks into the lawn"), _trench


def _of_beds(kinds: list[str]) -> Iterator[Sample]:
    if "mounded" in kinds:
        yield _("mounded bed; dashed: where its flat top begins"), _mound
    if "framed" in kinds:
        yield _("framed bed"), _framed
    if "pocket" in kinds:
        yield _("planting pocket"), _pocket


def _of_features(features: list[dict], bw: bool) -> Iterator[Sample]:
    if any(row.get("kind") == "tree" for row in features):
        yield _("ring of a tree: no digging"), _tree
    lines = [row for row in features if row.get("kind") == "line" and len(row.get("points") or ()) >= 2]
    if any(has_band(row) for row in lines):
        yield str(RULE), _band
    if lines and bw:
        yield _("marked line: the word on it says what runs there"), partial(_line, colour=WHITE)
        return
    for name, service in {name_of(row): str(row.get("service") or "").lower() for row in lines}.items():
        yield name.capitalize(), partial(_line, colour=SERVICE.get(service, UNKNOWN))


def _of_marks(patches: list[dict]) -> Iterator[Sample]:
    there = {row["kind"] for patch in patches for row in marks_of(patch)}
    for kind, words in marks.WORDS.items():
        if kind in there:
            yield str(words), partial(_mark, kind=kind)


def _of_pegs(kinds: list[str]) -> Iterator[Sample]:
    if {"mounded", "framed"} & set(kinds):
        yield _("peg"), _peg
    if kinds:
        yield _("the two tapes, to the first peg of each bed"), _tape


def _sample(prefix: str, bw: bool, words: str, draw: Callable[[Sheet], None]) -> SafeString:
    sheet = Sheet(prefix, 12.8, bw)
    draw(sheet)
    return sheet.svg("sample", words, WIDE, HIGH, WIDE * MM)


def _all() -> str:
    return closed_path(ALL)


def _filled(sheet: Sheet, name: str) -> None:
    sheet.textured(_all(), name, stroke=INK, width=1)


def _kept(sheet: Sheet) -> None:
    sheet.path(_all(), fill=KEPT, stroke=INK, width=1)
    sheet.hatched(_all(), "clear")


def _band(sheet: Sheet) -> None:
    sheet.hatched(_all(), "band")
    sheet.path(_all(), stroke=INK, width=0.9, dash="2 3")


def _trench(sheet: Sheet) -> None:
    sheet.line([(0, HIGH - 4), (WIDE, HIGH - 4)], INK, 4.4)
    for x in (6, 18, 30):
        sheet.line([(x, HIGH - 4), (x, 3)], INK, 2)


def _mound(sheet: Sheet) -> None:
    sheet.textured(_all(), "compost", stroke=INK, width=1.4)
    sheet.path(closed_path(ALL.buffer(-4)), stroke=CREST, width=1.1, dash="5 3")


def _framed(sheet: Sheet) -> None:
    sheet.textured(_all(), "timber", stroke=INK, width=1.4)
    sheet.textured(closed_path(ALL.buffer(-3.5, join_style="mitre")), "compost", stroke=INK, width=1)


def _pocket(sheet: Sheet) -> None:
    sheet.circle(WIDE / 2, HIGH / 2, 7, fill="#333333" if sheet.bw else "#3a2a1c", width=1.2)
    sheet.text(WIDE / 2, HIGH / 2, "1", 0.8, weight=700, halo=False, fill=WHITE)


def _tree(sheet: Sheet) -> None:
    sheet.circle(WIDE / 2, HIGH / 2, 3, fill=LEAF)
    for y in (2.5, HIGH - 2.5):
        sheet.line([(0, y), (WIDE, y)], LEAF, 2.2, "9 3 2 3")


def _line(sheet: Sheet, colour: str) -> None:
    for shade, width in ((INK, CASING), (colour, CORE)):
        sheet.line([(0, HIGH / 2), (WIDE, HIGH / 2)], shade, width)


def _mark(sheet: Sheet, kind: str) -> None:
    shape = marks.triangle(WIDE / 2, HIGH - 1, 14.5)
    sheet.textured(closed_path(shape), marks.TEXTURES[kind], stroke=INK, width=1.4)


def _peg(sheet: Sheet) -> None:
    sheet.circle(WIDE / 2, HIGH / 2, 7.4, fill=WHITE, width=1.4)
    sheet.text(WIDE / 2, HIGH / 2, "a", 0.86, weight=700, halo=False)


def _tape(sheet: Sheet) -> None:
    sheet.line([(0, HIGH / 2), (WIDE, HIGH / 2)], INK, 1.3, "8 2")
