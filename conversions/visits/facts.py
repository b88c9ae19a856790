"""Facts of a yard that call for a question by themselves, read from what is known before anybody visits."""

from conversions.yards.models import Conversion
from conversions.yards.walk import HARD

FACTS = ("rented", "shared", "locked", "fire rule", "kerb", "drive", "paved", "lawn next door")


def facts_of(conversion: Conversion) -> frozenset[str]:
    """Those of FACTS that hold: how they live there, the gate, the group's fire rule, and what lies beyond a side."""
    beyond = _beyond(conversion)
    holds = {
        "rented": conversion.household.tenure == "rent",
        "shared": conversion.household.tenure == "shared",
        "locked": bool(getattr(getattr(conversion.place, "gate_code", None), "code", "")),
        "fire rule": bool(conversion.group.fire_strip_m),
        "kerb": "kerb" in beyond,
        "drive": "drive" in beyond,
        "paved": bool(beyond & set(HARD)),
        "lawn next door": "lawn" in beyond,
    }
    return frozenset(fact for fact in FACTS if holds[fact])


def _beyond(conversion: Conversion) -> set[str]:
    drawing = conversion.drawing()
    patches = drawing.site.get("patches", []) if drawing else []
    sides = [corner.get("beyond", "") for patch in patches for corner in patch.get("corners") or ()]
    return {*sides, *(patch["circle"].get("beyond", "") for patch in patches if patch.get("circle"))}
