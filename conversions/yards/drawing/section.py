"""The cut through the layers of this yard, with its own depths."""

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from .sheet import Sheet


def section_svg(
    site, takeoff, *, prefix: str, paper=False, bw=False, compact=False, units="metric", title=""
) -> SafeString:
    sheet = Sheet(prefix, 13.0, bw)
    return sheet.svg("section", title or _("The layers, cut through"), 760, 330, paper)
