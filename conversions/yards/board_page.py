"""The drawing board's context: the list of everything on each patch, with what is wrong beside it."""

from collections.abc import Mapping

from django.utils.translation import gettext_lazy

from conversions import sizing
from conversions.groups.models import Group
from conversions.sizing.zones import is_kept_off

from . import acrosses, board, differences, measure, retyping
from .drawing import plan_svg
from .kinds import FEW, KINDS, PICKS, PUT, SERVICES, Cell, few

ADDS = (*PUT[1:-1], "across")  # by numbers: neither a corner, which has a place in a row, nor north, which has a field
NEW = "PATH"  # what stands for the place of a thing that the page's script adds
NORTH = Cell("north_deg", gettext_lazy("North, degrees to the right of up"), "degrees")


def board_context(
    desk, group: Group, document: dict | None = None, errors: Mapping[str, str] = {}, typed: Mapping[str, str] = {}
) -> dict:
    """What the page shows. `document` is what was typed so far where something in it still needs mending; `errors`
    names the field, or nothing where it is about the whole drawing."""
    document = desk.document if document is None else document
    look = measure.look(document, group)
    wrong = board.problem_rows(document, look, group.units)
    rows = _Rows(document, group, wrong, errors, typed)
    return {
        "place": "yards",
        "desk": desk,
        "yard": desk.yard,
        "data": {
            "site": document,
            "spec": board.spec(group.units) | _own_numbers(document),
            "told": {"says": board.problem_said(document, wrong), "problems": wrong},
        },
        "plan": plan_svg(look.drawable, look.takeoff, prefix="board", compact=True, units=group.units)
        if document["patches"]
        else "",
        "patches": [rows.patch(number) for number in range(len(document["patches"]))],
        "blank": rows.blank_patch(),
        "blanks": [(code, rows.blank(code)) for code in KINDS if code != "north"],
        "new_patch": [rows.cell(cell.key, cell, None, {}) for cell in retyping.NEW_PATCH],
        "north": rows.cell("north_deg", NORTH, document.get("north_deg"), {}),
        "figures": differences.rows(look.takeoff, look.takeoff, group),
        "picks": [{"code": code, "words": KINDS[code].words, "texture": KINDS[code].texture} for code in PUT],
        "services": SERVICES.items(),
        "refused": errors.get("", ""),
        "to_mend": [{"id": path.replace(".", "-"), "words": words} for path, words in errors.items() if path],
        "open_numbers": " ".join(
            str(n) for n in desk.yard.drafts.filter(state="open").values_list("number", flat=True)
        ),
        "can_take_back": bool(desk.number and desk.revision > 1),
    }


def _own_numbers(document: dict) -> dict:
    """How wide the ring of a tree and the band of a marked line are drawn, by the numbers of this document."""
    own = sizing.read_own(document.get("own") or {})
    return {
        "treeFactor": own["tree_ring_factor"], "treeLeast": own["tree_ring_least"], "band": own["line_band"],
        "noBand": [code for code in SERVICES if not is_kept_off(code)],
    }  # fmt: skip


class _Rows:
    """Rows of the list for the template, each with what was typed and what is wrong."""

    def __init__(self, document: dict, group: Group, wrong: Mapping, errors: Mapping, typed: Mapping):
        self.document, self.units = document, group.units
        self.wrong, self.errors, self.typed = wrong, errors, typed

    def patch(self, number: int) -> dict:
        patch = self.document["patches"][number]
        return {
            "number": number,
            "patch": patch,
            "across": acrosses.said(patch, self.units),
            "adds": [(code, KINDS[code].words) for code in ADDS if code != "across" or patch["corners"]],
            "things": [self.thing(*found, patch) for found in board.things(self.document, number)],
        }

    def blank_patch(self) -> dict:
        """A patch as the script copies it, with every kind that can be added to one."""
        adds = [(code, KINDS[code].words) for code in ADDS]
        return {"number": NEW, "patch": {"label": ""}, "across": [], "things": [], "adds": adds}

    def thing(self, path: str, kind: str, thing: dict, patch: dict) -> dict:
        points = KINDS[kind].points
        cells = [self.cell(place, cell, value, patch, kind) for place, cell, value in board.cells_of(kind, path, thing)]
        own, count = len(KINDS[kind].cells), len(thing.get(points) or ()) if points else 0
        return {
            "path": path,
            "kind": kind,
            "name": board.name_of(kind, path, thing),
            "brief": board.brief_of(kind, thing, self.units),
            "wrong": self.wrong.get(path, []),
            "is_open": bool(self.wrong.get(path)) or any(cell["error"] for cell in cells),
            "cells": cells[:own],
            "points": [
                {"path": f"{path}.{points}.{i}", "number": i + 1, "cells": cells[own + 2 * i : own + 2 * i + 2]}
                for i in range(count)
            ],
            "list": f"{path}.{points}" if points else "",
            "may_lose_a_point": count > few(kind),
            "may_go": kind not in ("circle", "patch") and (kind != "corner" or len(patch["corners"]) > FEW["corners"]),
        }

    def blank(self, kind: str) -> dict:
        """A row as the script copies it for a thing that was just drawn."""
        thing = {"kind": kind, "id": "", "label": "", **KINDS[kind].usual}
        if KINDS[kind].points:
            thing[KINDS[kind].points] = [[0, 0]]
        return self.thing(NEW, kind, thing, {"corners": []}) | {
            "may_go": kind not in ("circle", "patch"),
            "is_open": False,
        }

    def cell(self, path: str, cell: Cell, value, patch: dict, kind: str = "") -> dict:
        picks = PICKS.get(cell.how) or (board.letters_of(patch) if cell.how == "letter" else None)
        is_length = cell.how in ("place", "length", "small")
        small = "in" if self.units == "imperial" else "mm"
        return {
            "path": path,
            "id": path.replace(".", "-"),
            "words": cell.words,
            "how": cell.how,
            "unit": board.unit_of(cell.how, self.units),
            "length": "" if not is_length else small if cell.how == "small" else self.units,
            "value": self.typed.get(path, board.written(value, cell.how, self.units)),
            "picks": list(picks.items()) if picks is not None else None,
            "error": self.errors.get(path, ""),
        }
