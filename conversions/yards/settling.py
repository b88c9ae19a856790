"""What holds of a drawing once its corners were moved by hand: which way they run, where they begin, what is still typed."""

import copy

from . import sketch, walk


def settled(document: dict, before: dict) -> dict:
    """The document with the outlines that changed told from those typed in the walk, their corners clockwise, the box
    of each patch from 0, 0 as everywhere else, and every patch with a name of its own."""
    out = copy.deepcopy(document)
    for number, patch in enumerate(out["patches"]):
        old = sketch.patch_in(before, patch["uid"])
        if old is None or _spots(old) != _spots(patch):
            out["patches"][number] = _redrawn(patch, old)
            _to_the_corner(out, out["patches"][number])
        _name(out, number)
    for bed in out.get("beds") or ():
        if bed.get("path"):  # where its middle lies follows from its line
            xs, ys = zip(*bed["path"], strict=True)
            bed["x"], bed["y"] = round(sum(xs) / len(xs), 3), round(sum(ys) / len(ys), 3)
    return out


def _to_the_corner(document: dict, patch: dict) -> None:
    """Move a patch and all that stands on it, in place, so that its box starts at 0, 0."""
    around = patch.get("circle")
    rows = [around] if around else patch["corners"]
    reach = around["diameter"] / 2 if around else 0.0
    left, low = (min(row[key] for row in rows) - reach for key in "xy")
    if abs(left) < 1e-9 and abs(low) < 1e-9:
        return
    for row in (*rows, *sketch.standing_on(document, patch)):
        sketch.shift(row, -left, -low)


def _name(document: dict, number: int) -> None:
    """A patch without a name, or with that of an earlier one, is called after where it lies."""
    patch, others = document["patches"][number], {row["label"] for row in document["patches"][:number]}
    patch["label"] = walk.unlike(patch["label"].strip() or str(walk.ZONES[patch["zone"]]), others)


def _spots(patch: dict) -> list:
    around = patch.get("circle") or {}
    return [*map(_spot, patch.get("corners") or ()), *(around.get(key) for key in ("x", "y", "diameter"))]


def _redrawn(patch: dict, old: dict | None) -> dict:
    """An outline drawn by hand: what was typed of its lengths no longer holds; what was measured across still does."""
    typed = {key: value for key, value in (patch.get("typed") or {}).items() if key in ("measured", "why_long")}
    if patch.get("circle"):
        across = f"{patch['circle']['diameter']:g} m"
        lengths = {"lengths": {"across": across}, "units": "metric"}
        return {**patch, "shape": "circle", "circle": {**patch["circle"], "typed": across}, "typed": typed | lengths}
    corners = [{**corner, "typed": _still(patch, old, i)} for i, corner in enumerate(patch["corners"])]
    twice = sum(a["x"] * b["y"] - b["x"] * a["y"] for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    if twice > 0:  # drawn the other way round: each side keeps what lies beyond it
        corners = [
            {**c, "beyond": corners[i - 1]["beyond"], "typed": corners[i - 1]["typed"]} for i, c in enumerate(corners)
        ]
        corners = corners[::-1]
    return {**patch, "shape": "outline", "typed": typed, "corners": corners}


def _still(patch: dict, old: dict | None, i: int) -> str:
    """The length typed for a side, where it was one before and neither of its ends moved."""
    here, there = patch["corners"][i], patch["corners"][(i + 1) % len(patch["corners"])]
    before = (old or {}).get("corners") or ()
    sides = [(_spot(a), _spot(b)) for a, b in zip(before, [*before[1:], *before[:1]], strict=True)]
    return here.get("typed", "") if (_spot(here), _spot(there)) in sides else ""


def _spot(corner: dict) -> tuple:
    return corner["id"], corner["x"], corner["y"]
