"""The drawing board's list: the place of each thing in the document, its name, and what is typed of it.

A thing is known by its place in the document, as "patches.0.corners.2"; its fields by the same with their key behind
it. `spec` gives the browser the very same kinds, fields and words, so that both build one list.
"""

from collections.abc import Iterator

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.common import measures

from . import measure, walk
from .drawing.textures import SERVICE
from .forms.fields import in_small
from .kinds import BEDS, FEW, KINDS, SERVICES, WHERE, Cell, X, Y, few

# ---- places in a document


def at(document: dict, path: str) -> object:
    """What stands at a place; raises KeyError where there is nothing."""
    found: object = document
    for step in path.split("."):
        try:
            found = found[_whole(step)] if isinstance(found, list) else found[step]
        except (ValueError, IndexError, TypeError) as error:
            raise KeyError(path) from error
    return found


def _whole(step: str) -> int:
    """Digits alone: places are counted from the front."""
    if not (step.isascii() and step.isdecimal()):
        raise ValueError(step)
    return int(step)


def put(document: dict, path: str, value: object) -> None:
    """Write a value at a place that is there, in place."""
    parent, _dot, step = path.rpartition(".")
    rows = at(document, parent) if parent else document
    rows[int(step) if isinstance(rows, list) else step] = value


def things(document: dict, number: int) -> Iterator[tuple[str, str, dict]]:
    """(path, kind, thing) of everything on one patch, in the order of the list."""
    patch, here = document["patches"][number], f"patches.{number}"
    yield here, "patch", patch
    for i, corner in enumerate(patch.get("corners") or ()):
        yield f"{here}.corners.{i}", "corner", corner
    if patch.get("circle"):
        yield f"{here}.circle", "circle", patch["circle"]
    for i, row in enumerate((patch.get("typed") or {}).get("measured") or ()):
        yield f"{here}.typed.measured.{i}", "across", row
    for i, bed in enumerate(document.get("beds") or ()):
        if bed["patch"] == patch["uid"]:
            yield f"beds.{i}", "along" if bed.get("path") else bed["kind"], bed
    for rows in ("features", "marks"):
        for i, thing in enumerate(patch.get(rows) or ()):
            yield f"{here}.{rows}.{i}", thing["kind"], thing


def fewest(document: dict, rows: str) -> int:
    """How many corners or points of a list must stay."""
    parent, _dot, key = rows.rpartition(".")
    if key == "points" and at(document, parent)["kind"] == "hole":
        return FEW["hole"]
    return FEW.get(key, 0)


# ---- as shown


def written(value: object, how: str, units: str) -> str:
    """A value as it stands in its field: 3.5, 12 ft 6 in, 90 for 90 mm."""
    if value is None:
        return ""
    if how == "degrees":
        return f"{float(value):g}"
    if how == "small":
        return in_small(value, units)
    if how in ("place", "length"):
        if units == "metric":
            return f"{round(float(value), 3):g}"
        shown = measures.feet_inches(abs(float(value)))
        return f"-{shown}" if float(value) < 0 else shown
    return str(value)


def unit_of(how: str, units: str) -> str:
    if how == "small":
        return _("in") if units == "imperial" else _("mm")
    if how in ("place", "length"):
        return _("ft") if units == "imperial" else _("m")
    return ""


def cells_of(kind: str, path: str, thing: dict) -> Iterator[tuple[str, Cell, object]]:
    """(path, cell, value) of everything that can be typed of a thing, its points at the end."""
    for cell in KINDS[kind].cells:
        yield f"{path}.{cell.key}", cell, thing.get(cell.key)
    key = KINDS[kind].points
    for i, (x, y) in enumerate((thing.get(key) or ()) if key else ()):
        yield f"{path}.{key}.{i}.0", X, x
        yield f"{path}.{key}.{i}.1", Y, y


def name_of(kind: str, path: str, thing: dict) -> str:
    """ "Corner B", "Gas, oil, steam (yellow)", "Framed bed 2": the number is its place among the beds."""
    if kind == "corner":
        return _("Corner %(id)s") % {"id": thing["id"]}
    if kind == "line":
        service = thing.get("service")
        return str(SERVICES.get(service, service) if service else KINDS[kind].words)
    words = str(KINDS[kind].words)
    return f"{words} {int(path.rpartition('.')[2]) + 1}" if path.startswith("beds.") else words


def brief_of(kind: str, thing: dict, units: str) -> str:
    """What a folded row says of its thing: "→ 5 ↑ 4" for a place, "3 × 1.2" for a bed, "2.4 m" for a measure across."""
    found = {cell.key: written(thing.get(cell.key), cell.how, units) for cell in KINDS[kind].cells}
    if kind == "across":
        return f"{found['from']} – {found['to']}: {found['tape_m']}"
    if "length_m" in found:
        return f"{found['length_m']} × {found['width_m']}"
    return f"→ {found['x']} ↑ {found['y']}" if "x" in found else ""


def letters_of(patch: dict) -> dict[str, str]:
    return {corner["id"]: corner["id"] for corner in patch.get("corners") or ()}


def spec(units: str) -> dict:
    """Kinds, fields and words for the page's script."""
    kinds = {
        code: {
            "words": str(kind.words),
            "cells": [[cell.key, cell.how] for cell in kind.cells],
            "usual": kind.usual,
            "points": kind.points,
            "few": few(code),
            "rows": WHERE.get(code, "beds" if code in BEDS else ""),
        }
        for code, kind in KINDS.items()
    }
    services = {code: str(words) for code, words in SERVICES.items() if code}
    return {
        "units": units, "kinds": kinds, "services": services, "colours": SERVICE, "few": FEW["corners"],
        "textures": walk.BEYOND_TEXTURE, "lawn": _("Lawn"), "words": _words(),
    }  # fmt: skip


def _words() -> dict[str, str]:
    """What the script says; {x} is filled there."""
    return {
        "corner": _("Corner {x}"),
        "point": _("Point {x}"),
        "end": _("End of it"),
        "rim": _("Its rim"),
        "unread": _("We cannot read this. Write it as you say it: 3.81, 3,81 m, 12'6\"."),
        "degrees": _("Write a number of degrees, as 90."),
        "none": _("Write a length above nothing."),
        "at": _("{name}, {x} to the right, {y} up"),
        "chosen": _("{name} chosen. Drag it, or use the arrows; its numbers stand in the list."),
        "cross": _("Cross at {x} to the right, {y} up. Enter puts it there."),
        "first": _("Tap each corner of the lawn in turn, then press Done."),
        "point1": _("1 point. Tap the next one."),
        "points": _("{n} points. Tap on, then press Done."),
        "put": _("Tap where it goes."),
        "north": _("Tap where north lies, seen from the middle of the drawing."),
        "round": _("A circle has no corners: drag its rim, or type how far across it is."),
        "gone": _("{name} is off the drawing. Undo brings it back."),
        "offline": _(
            "No signal: {area} and {length} round the edge, worked out on this phone. Your drawing waits here."
        ),
        "waits": _(
            "No signal. Your drawing waits on this phone. It is saved when the signal is back and this page is open."
        ),
        "full": _("This phone has no room to keep your drawing. Leave this page open until it is saved."),
        "found": _("Your drawing was still on this phone, not saved. It is back: save it, or undo it."),
        "signed": _("Sign in again in another tab, then press Save. Your drawing waits here."),
        "refused": _("This could not be saved. Your drawing waits here. Look at what is marked, then press Save."),
        "mend": _("Mend the marked field first."),
        "kept": _("Not saved yet. It waits on this phone."),
        "saved": _("All of it is saved."),
    }


def _path_of(document: dict, uid: str, part: str) -> str:
    """The place of the thing a problem is about, or of its patch."""
    corner = part.partition(" to ")[0]
    for i, bed in enumerate(document.get("beds") or ()):
        if bed.get("uid") == uid:
            return f"beds.{i}"
    for i, patch in enumerate(document.get("patches") or ()):
        if patch.get("uid") == uid:
            rows = enumerate(patch.get("corners") or ())
            return next((f"patches.{i}.corners.{j}" for j, c in rows if c["id"] == corner), f"patches.{i}")
    return ""


def problem_rows(document: dict, look: measure.Look, units: str) -> dict[str, list[str]]:
    """Path -> what is wrong there, in words; and a side so long that the unit may be wrong."""
    out: dict[str, list[str]] = {}
    for problem in look.problems:
        _say(out, _path_of(document, problem.where.uid, problem.where.part), measure.words(problem))
    for row in look.takeoff.get("warnings", ()):
        if row["code"] == "absurd-side":
            where = row["where"]
            ends = where["part"].split(" to ")
            said = _("%(side)s is %(length)s long. Is that right?") % {
                "side": walk.between(*ends) if len(ends) == 2 else where["part"],
                "length": measures.length(row["values"]["length_m"], units),
            }
            _say(out, _path_of(document, where["uid"], where["part"]), said)
    return out


def problem_said(document: dict, problems: dict[str, list[str]]) -> str:
    """The first thing that does not fit, with the name of what it is about, and how many more there are."""
    rows = [(path, words) for path, found in problems.items() for words in found]
    if not rows:
        return ""
    path, words = rows[0]
    name = _name_at(document, path)
    said = f"{name}: {words}" if name else words
    if more := len(rows) - 1:
        said += " " + ngettext("%(n)d more is marked.", "%(n)d more are marked.", more) % {"n": more}
    return said


def _name_at(document: dict, path: str) -> str:
    """The name of a bed; of anything else the name of its patch, since its own stands in what is said of it."""
    rows, number = [*path.split("."), "", ""][:2]
    if rows == "patches":
        return document["patches"][int(number)]["label"]
    if rows == "beds":
        bed = document["beds"][int(number)]
        return name_of("along" if bed.get("path") else bed["kind"], path, bed)
    return ""


def _say(out: dict[str, list[str]], path: str, words: str) -> None:
    rows = out.setdefault(path, [])
    if words not in rows:
        rows.append(words)
