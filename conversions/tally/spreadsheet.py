"""The ledger as a spreadsheet: one row for each entry, no names and no addresses."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from conversions.common import cells as cell


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
    return cell.write([head(), *(cells(row) for row in rows)])
