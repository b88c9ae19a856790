"""How large a drawing may be: beyond this it is a slip of the units, and the sheets of cardboard take too long to lay."""

from django.utils.translation import gettext as _

from conversions.common import measures

LARGEST_M2 = 10_000  # a hectare: far beyond any lawn laid by hand
MOST_THINGS = 200  # corners, beds, or features of a drawing
MOST_POINTS = 200  # of one line
LONGEST_LABEL = 60  # letters of a patch's name, and of the words beside a tree


def refused(document: dict, units: str) -> str:
    """Why a drawing is too much to size, in words; nothing where it is not."""
    for patch in document["patches"]:
        if said := too_large(patch, units):
            return said
    rows = [document.get("beds") or (), document["patches"]]
    for patch in document["patches"]:
        rows += [patch.get(key) or () for key in ("corners", "features", "marks")]
    lines = [row.get(key) or () for found in rows for row in found for key in ("path", "points")]
    if any(len(found) > MOST_THINGS for found in rows) or any(len(line) > MOST_POINTS for line in lines):
        return _("That is more than one drawing can hold. Split it into patches, or draw fewer corners.")
    return ""


def too_large(patch: dict, units: str) -> str:
    """What is said of a patch of more than a hectare, by the box round it."""
    if patch.get("circle"):
        wide = high = float(patch["circle"]["diameter"])
    else:
        xs, ys = ([float(corner[key]) for corner in patch["corners"]] for key in "xy")
        wide, high = max(xs, default=0) - min(xs, default=0), max(ys, default=0) - min(ys, default=0)
    if wide * high <= LARGEST_M2:
        return ""
    asked = _("This comes to %(area)s. No lawn laid by hand is that large: check the units, or split it.")
    return asked % {"area": measures.area(wide * high, units)}
