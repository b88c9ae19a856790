"""What is typed in the drawing board's list, put into the document; adding and taking away without a script."""

import copy
import math
import uuid
from collections.abc import Mapping
from itertools import count

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from . import acrosses, board, sketch
from .drawing.setout import letter
from .drawn import kept_words
from .forms.fields import LengthField
from .kinds import BEDS, FEW, KINDS, LONG, PICKS, WHERE, WIDE, Cell, few
from .limits import LONGEST_LABEL


def read_list(document: dict, posted: Mapping, units: str) -> tuple[dict, dict[str, str]]:
    """The document with every field that was changed, and what is wrong, by the field's path. A field left as it was
    shown keeps the exact value it stood for."""
    out, errors = copy.deepcopy(document), {}
    cells = [("north_deg", Cell("north_deg", "", "degrees"), document.get("north_deg"))]
    for number, patch in enumerate(document["patches"]):
        for path, kind, thing in board.things(document, number):
            cells += [(place, cell, value, patch) for place, cell, value in board.cells_of(kind, path, thing)]
    for path, cell, value, *patch in cells:
        text = posted.get(path)
        if text is None or text == board.written(value, cell.how, units):
            continue
        try:
            board.put(out, path, _read(cell, text.strip(), units, patch[0] if patch else {}))
        except ValidationError as error:
            errors[path] = error.messages[0]
    return out, errors


def _read(cell: Cell, text: str, units: str, patch: dict) -> object:
    if cell.how in PICKS or cell.how == "letter":
        known = PICKS.get(cell.how) or board.letters_of(patch)
        if text not in known:
            raise ValidationError(_("Pick one of the list."))
        return text
    if cell.how == "words":
        return kept_words(text)[:LONGEST_LABEL]
    if cell.how == "degrees":
        return _degrees(text, may_be_blank=cell.key == "north_deg")
    field = LengthField(units=units, signed=cell.how == "place", small=cell.how == "small",
                        error_messages={"required": _("Write a length.")})  # fmt: skip
    return float(field.clean(text).metres)


def _degrees(text: str, may_be_blank: bool) -> float | None:
    if not text and may_be_blank:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError as error:
        raise ValidationError(_("Write a number of degrees, as 90.")) from error
    if not math.isfinite(value) or abs(value) > 360:
        raise ValidationError(_("Write degrees from 0 to 360."))
    return value


# ---- adding and taking away, for who has no script


LISTS = ("corners", "beds", "measured", "features", "marks", "path", "points")  # what something can be taken off


NEW_PATCH = (Cell("new.long", LONG.words, "length"), Cell("new.wide", WIDE.words, "length"))


def pressed(posted: Mapping) -> str:
    """What was asked for by a button, or by a size written for a new patch and Save."""
    return posted.get("do") or ("add patch" if any(posted.get(cell.key) for cell in NEW_PATCH) else "")


def size_of(posted: Mapping, units: str) -> tuple[list[float], dict[str, str]]:
    """How long and wide a new patch is, and what is wrong with what was written, by field."""
    size, errors = [], {}
    for cell in NEW_PATCH:
        try:
            size.append(_read(cell, posted.get(cell.key, "").strip(), units, {}))
        except ValidationError as error:
            errors[cell.key] = error.messages[0]
    return size, errors


def done(document: dict, asked: str, uid: uuid.UUID, size: list[float]) -> dict:
    """The document after "add patch", "add <kind> <patch number>", "after <corner>", "point <list of points>" or
    "remove <path>". A patch is of this size. What is added is known by `uid`, so that a press sent twice adds it once.

    Raises KeyError where what is asked for is not there.
    """
    what, _space, rest = asked.partition(" ")
    out = copy.deepcopy(document)
    if asked == "add patch":
        out["patches"].append(_rectangle(document, uid, *size))
    elif what == "add":
        kind, _space, number = rest.partition(" ")
        if not number.isdecimal():
            raise KeyError(asked)
        _add(out, kind, board.at(out, f"patches.{number}"), uid)
    elif what == "after":
        _corner_after(out, rest)
    elif what == "point":
        _one_more_point(out, rest)
    elif what == "remove":
        _remove(out, rest)
    else:
        raise KeyError(asked)
    return out


def _rectangle(document: dict, uid: uuid.UUID, long: float, wide: float) -> dict:
    """A patch to begin with, as long and wide as was written."""
    taken = {patch["zone"] for patch in document["patches"]}
    zone = next((zone for zone in ("front", "back", "side") if zone not in taken), "other")
    spots = zip("ABCD", ((0, wide), (long, wide), (long, 0), (0, 0)), strict=True)
    corners = [{"id": name, "x": float(x), "y": float(y), "beyond": "open", "typed": ""} for name, (x, y) in spots]
    return {
        "uid": str(uid), "label": "", "zone": zone, "ground_before": "lawn", "shape": "outline",
        "typed": {}, "corners": corners, "circle": None, "features": [],
    }  # fmt: skip


def _add(document: dict, kind: str, patch: dict, uid: uuid.UUID) -> None:
    if kind not in KINDS:
        raise KeyError(kind)
    x, y = round(sketch.right_of(patch) / 2, 2), round(sketch.top_of(patch) / 2, 2)
    usual = dict(KINDS[kind].usual)
    if KINDS[kind].points:
        usual[KINDS[kind].points] = [[x - 1, y], [x + 1, y], [x + 1, y - 1]][: few(kind)]
    if kind in BEDS:
        name = "mounded" if kind == "along" else kind
        bed = {"uid": str(uid), "patch": patch["uid"], "kind": name, "x": x, "y": y, **usual}
        document["beds"] = [*(document.get("beds") or ()), bed]
    elif kind == "across":
        letters = list(board.letters_of(patch))
        if len(letters) < FEW["corners"]:
            raise KeyError(kind)
        patch.setdefault("typed", {}).setdefault("measured", []).append({"from": letters[0], "to": letters[2], **usual})
    elif kind in WHERE:
        spot = {} if KINDS[kind].points else {"x": x, "y": y}
        patch.setdefault(WHERE[kind], []).append({"kind": kind, **spot, **usual})
    else:
        raise KeyError(kind)


def _one_more_point(document: dict, path: str) -> None:
    """One more point behind the last one of a line."""
    points = board.at(document, path)
    if path.rpartition(".")[2] not in ("path", "points") or not points:
        raise KeyError(path)
    points.append([round(points[-1][0] + 0.5, 3), points[-1][1]])


def _corner_after(document: dict, path: str) -> None:
    """One more corner in the middle of the side that begins at this one."""
    rows, _dot, step = path.rpartition(".")
    if not rows.endswith(".corners"):
        raise KeyError(path)
    corners = board.at(document, rows)
    here = board.at(document, path)
    after = corners[(int(step) + 1) % len(corners)]
    taken = {corner["id"] for corner in corners}
    name = next(name for i in count() if (name := letter(i).upper()) not in taken)
    middle = {"x": round((here["x"] + after["x"]) / 2, 3), "y": round((here["y"] + after["y"]) / 2, 3)}
    corners.insert(int(step) + 1, {"id": name, **middle, "beyond": here["beyond"], "typed": ""})


def _remove(document: dict, path: str) -> None:
    """Raises KeyError where fewer would be no outline and no line."""
    rows, _dot, step = path.rpartition(".")
    parent, _dot, key = rows.rpartition(".")
    if key not in LISTS or len(found := board.at(document, rows)) <= board.fewest(document, rows):
        raise KeyError(path)
    gone = board.at(document, path)
    del found[int(step)]
    if key == "corners":
        _without_tapes(board.at(document, parent), gone["id"])


def _without_tapes(patch: dict, letter: str) -> None:
    """What was measured across from a corner goes with it: the next new corner takes its letter."""
    if rows := acrosses.measured(patch):
        patch["typed"]["measured"] = [row for row in rows if letter not in (row.get("from"), row.get("to"))]
