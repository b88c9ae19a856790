"""The ground and who lives there."""

from .draft import Draft, DraftSave, Planned
from .ground import Patch, Place
from .living import Conversion, Household
from .photo import Photo

__all__ = ["Conversion", "Draft", "DraftSave", "Household", "Patch", "Photo", "Place", "Planned"]
