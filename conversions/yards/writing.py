"""The small steps that every change of a yard is written with."""

from django.db.models import Max


def kept(row):
    row.full_clean()
    row.save()
    return row


def next_number(rows, field: str = "number") -> int:
    return (rows.aggregate(last=Max(field))["last"] or 0) + 1
