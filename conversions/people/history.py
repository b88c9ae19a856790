"""The history: one row for each thing done, written by whoever does it, in the same stroke."""

from collections.abc import Mapping
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from conversions.groups.models import Group, Member
from conversions.groups.tenancy import Grouped

from .models import Event, Person


def note_event(
    *,
    group: Group,
    verb: str,
    by: Member | None = None,
    words: str = "",
    person: Person | None = None,
    conversion: Grouped | None = None,
    day: Grouped | None = None,
    changed: Mapping[str, list] | None = None,
) -> Event:
    """Add one row. `by` is None where somebody without an account did it, behind a link.

    `conversion` and `day` are rows of parts to the right; only their numbers are kept.
    """
    for row in (person, conversion, day):
        assert row is None or row.group_id == group.pk, "the history of one group tells nothing of another"
    event = Event(
        group=group,
        verb=verb,
        by=by,
        words=words[:300],
        person=person,
        conversion_id=conversion.pk if conversion else None,
        day_id=day.pk if day else None,
        changed=dict(changed or {}),
        at=timezone.now(),
    )
    event.full_clean()
    event.save()
    return event


def differences(row: Grouped, values: Mapping[str, Any]) -> dict[str, list]:
    """What `values` would change in `row`: old and new of plain fields, of personal ones the name alone.

    A personal value written here would outlive the erasing of the person.
    """
    changed: dict[str, list] = {}
    for name, new in values.items():
        old = getattr(row, name)
        if old != new:
            changed[name] = [] if name in row.personal else [old, new]
    return changed


def of_conversion(group: Group, pk: int) -> QuerySet[Event]:
    return Event.of(group).filter(conversion_id=pk).select_related("by__user")
