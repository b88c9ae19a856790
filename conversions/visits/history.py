"""Every answer of a yard as it was given, the replaced ones too: what, who and when."""

from django.utils import timezone

from conversions.yards.models import Conversion

from .checklist import wording
from .models import Entry
from .questions import BY_CODE

MOST = 200  # rows; nobody reads more


def answers_given(conversion: Conversion) -> list[dict]:
    """Newest first, one query."""
    rows = Entry.of(conversion.group_id).filter(visit__conversion=conversion, question__in=list(BY_CODE))
    return [
        {
            "question": BY_CODE[row.question],
            "patch": row.patch,
            "words": wording(BY_CODE[row.question], row.value, conversion.group.units),
            "by": row.by,
            "at": timezone.localtime(row.received_at),
        }
        for row in rows.select_related("by__user", "patch").order_by("-pk")[:MOST]
    ]
