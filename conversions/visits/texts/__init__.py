"""The one text of each caution. Every page and paper takes it from here."""

from .asking import ASKING, Asking
from .called import CALLED
from .day import ALWAYS, COLD
from .kind import ADVICE, NOTE, SEVERITIES, STOP, Caution
from .soil import SOIL, SUSPECT
from .yard import RAISED

CAUTIONS = {caution.key: caution for caution in (*ALWAYS, *COLD, *RAISED, *SOIL, *CALLED)}

__all__ = [
    "ADVICE",
    "ALWAYS",
    "ASKING",
    "CAUTIONS",
    "COLD",
    "NOTE",
    "SEVERITIES",
    "STOP",
    "SUSPECT",
    "Asking",
    "Caution",
]
