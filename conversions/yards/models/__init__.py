"""The ground and who lives there."""

from .draft import Draft, DraftSave, Planned
from .ground import GateCode, Patch, Place
from .hold import Hold
from .living import Conversion, Household
from .photo import Photo

__all__ = ["Conversion", "Draft", "DraftSave", "GateCode", "Hold", "Household", "Patch", "Photo", "Place", "Planned"]
