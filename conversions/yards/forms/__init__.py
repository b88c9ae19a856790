"""What people type about a yard: the enquiry, and the walk round the edge."""

from .across import AcrossForm
from .bed import BedForm
from .enquiry import EnquiryForm, YardForm, yard_values
from .ground import SameGroundForm
from .patch import PatchForm, side_data
from .person import ReachForm
from .settings import SettingsForm

__all__ = [
    "AcrossForm", "BedForm", "EnquiryForm", "PatchForm", "ReachForm", "SameGroundForm", "SettingsForm", "YardForm", "side_data",
    "yard_values",
]  # fmt: skip
