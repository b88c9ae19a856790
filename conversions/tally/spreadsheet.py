"""The ledger as a spreadsheet: one row for each entry, no names and no addresses."""

import csv
import io
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

BOM = "\ufeff"  # so that spreadsheet programs read the accents right
RISKY = ("=", "+", "-", "@", "\t", "\r")


def safe(cell: Any) -> Any:
    """A typed text that a spreadsheet would take for a formula gets an apostrophe: `safe("=1+1") == "'=1+1"`.

    Figures of ours are numbers, not texts, so a correction of -3.50 stays a number.
    """
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(RISKY) else cell


def head() -> list[str]:
    return [
        _("counts on"), _("year"), _("month"), _("kind"), _("m2"), _("growing m2"), _("finished on"), _("patch"),
        _("part of town"), _("how measured"), _("reason"), _("entry"), _("corrects entry"),
    ]  # fmt: skip


def cells(row: Any) -> list[Any]:
    return [
        row.count_on.isoformat(), row.year, row.month, str(row.get_kind_display()), plain(row.m2),
        plain(row.growing_m2), row.complete_on.isoformat(), row.label, row.ward, row.how or "", row.reason, row.pk,
        row.corrects_id or "",
    ]  # fmt: skip


def plain(value: Decimal) -> Decimal:
    return value.quantize(Decimal("0.01"))


def write(rows: Iterable[Any]) -> bytes:
    """UTF-8 with a mark at its start; lines end as the format wants."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(head())
    writer.writerows([safe(cell) for cell in cells(row)] for row in rows)
    return (BOM + out.getvalue()).encode()
