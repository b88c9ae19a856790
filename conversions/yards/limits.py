"""How much a drawing may hold: beyond this it is a slip of the units or of the hand, and its pages take longer than a web
server waits. The numbers are our own guess of what a neighbourhood yard can be; no source."""

from django.utils.translation import gettext as _

from conversions.common import measures

LARGEST_M2 = 5_000  # of all patches together: far beyond any lawn laid by hand
MOST_PATCHES = 20
MOST_CORNERS = 40  # of one patch
MOST_CORNERS_IN_ALL = 120
MOST_BEDS = 80  # planting pockets among them
MOST_THINGS = 60  # trees, lines, heaps and the like
MOST_POINTS = 40  # of one line
MOST_POINTS_IN_ALL = 300
LONGEST_LABEL = 60  # letters of a patch's name, and of the words beside a tree


def refused(document: dict, units: str, before: dict | None = None) -> str:
    """Why a drawing is too much to size, in words; nothing where it is not. What an older drawing, `before`, held already
    may stay."""
    area = sum(map(_box_m2, document["patches"]))
    if area > max(LARGEST_M2, sum(map(_box_m2, (before or {}).get("patches") or ()))):
        return _too_large(area, units)
    held = _held(before) if before else {}
    for key, (count, most, said) in _held(document).items():
        if count > max(most, held.get(key, (0,))[0]):
            return said % {"count": count, "most": most}
    return ""


def _held(document: dict) -> dict[str, tuple[int, int, str]]:
    """What a drawing holds of each kind, how many it may, and what is said of more."""
    patches, beds = document.get("patches") or (), document.get("beds") or ()
    corners = [len(patch.get("corners") or ()) for patch in patches]
    things = [row for patch in patches for key in ("features", "marks") for row in patch.get(key) or ()]
    points = [len(row.get(key) or ()) for row in (*beds, *things) for key in ("path", "points")]
    tapes = sum(len((patch.get("typed") or {}).get("measured") or ()) for patch in patches)
    a_patch = _("A patch can have at most %(most)d corners; this one has %(count)d. Take some out.")
    corners_in_all = _("A drawing can have at most %(most)d corners; this one has %(count)d. Take some out.")
    a_line = _("A line can have at most %(most)d points; this one has %(count)d. Take some out.")
    points_in_all = _("All lines together can have at most %(most)d points; these have %(count)d. Take some out.")
    a_drawing = _("A drawing can hold at most %(most)d patches; this one has %(count)d. Take some off.")
    bedded = _("A drawing can hold at most %(most)d beds; this one has %(count)d. Take some off.")
    strewn = _("A drawing can hold at most %(most)d trees, lines and marks; this one has %(count)d. Take some off.")
    across = _("A drawing can hold at most %(most)d lengths across; this one has %(count)d. Take some off.")
    return {
        "patches": (len(patches), MOST_PATCHES, a_drawing),
        "corners": (max(corners, default=0), MOST_CORNERS, a_patch),
        "corners in all": (sum(corners), MOST_CORNERS_IN_ALL, corners_in_all),
        "beds": (len(beds), MOST_BEDS, bedded),
        "things": (len(things), MOST_THINGS, strewn),
        "across": (tapes, MOST_THINGS, across),
        "points": (max(points, default=0), MOST_POINTS, a_line),
        "points in all": (sum(points), MOST_POINTS_IN_ALL, points_in_all),
    }


def too_large(patch: dict, units: str) -> str:
    """What is said of one patch that is larger than a whole drawing may be."""
    area = _box_m2(patch)
    return _too_large(area, units) if area > LARGEST_M2 else ""


def _box_m2(patch: dict) -> float:
    """The box round a patch, since its sides may still cross."""
    if patch.get("circle"):
        return float(patch["circle"]["diameter"]) ** 2
    xs, ys = ([float(corner[key]) for corner in patch["corners"]] for key in "xy")
    return (max(xs, default=0) - min(xs, default=0)) * (max(ys, default=0) - min(ys, default=0))


def _too_large(area: float, units: str) -> str:
    asked = _("This comes to %(area)s. No lawn laid by hand is that large: check the units, or split it.")
    return asked % {"area": measures.area(area, units)}
