"""How a hold stands, in words made when they are read: who reads may speak another language than whoever wrote it down."""

import datetime
import re

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from conversions.common.dates import date_format

from .forms.hold import CHOICES, CLEARED
from .models import Hold

PATCH = re.compile(r" \(.*\)$")


def put_right(kind: str, until: datetime.date | None = None) -> str:
    """What a yes of this kind says: marks are good until a day, and never more than that."""
    if kind == "marks" and until:
        return _("Marked until %s") % date_format(until, "j M Y")
    return str(CLEARED.get(kind, dict(CHOICES)["cleared"]))


def stands(hold: Hold) -> str:
    if hold.state != "cleared":
        return capfirst(hold.get_state_display())
    words = put_right(hold.kind, hold.valid_until)
    if hold.kind == "marks" or not hold.valid_until:
        return words
    return f"{words}, " + _("until %(until)s") % {"until": date_format(hold.valid_until, "j M Y")}


def named(kind: str, kept: str) -> str:
    """What an event says it was about: its kind as read here, with the patch it kept. A question stays as it was asked."""
    if kind == "ask" or kind not in dict(Hold.KINDS):
        return kept
    patch = PATCH.search(kept)
    return str(dict(Hold.KINDS)[kind]) + (patch[0] if patch else "")
