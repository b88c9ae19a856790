"""The ground and who lives there."""

from .draft import Draft, DraftSave, Planned
from .ground import GateCode, Patch, Place
from .living import Conversion, Household
from .photo import Photo

__all__ = ["Conversion", "Draft", "DraftSave", "GateCode", "Household", "Patch", "Photo", "Place", "Planned"]
