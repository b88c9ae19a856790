"""The small steps that every change of a yard is written with."""

from django.db.models import Max


def kept(row, *fields: str):
    """Checked and saved; with fields, only these, so that what somebody else changed meanwhile stands."""
    row.full_clean()
    row.save(update_fields=fields or None)
    return row


def next_number(rows, field: str = "number") -> int:
    return (rows.aggregate(last=Max(field))["last"] or 0) + 1
