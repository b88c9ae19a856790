"""The one table of a plan: what comes, how much, who brings it, and what the household pays."""

from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from .. import wording
from ..models import Quote
from ..pricing import ON_THE_SUM

WHO = {"group": "w", "household": "y", "free": "f"}
PAID_BY = {
    "group": gettext_lazy("our group pays"),
    "donor": gettext_lazy("a donor pays"),
    "grant": gettext_lazy("a grant pays"),
}
ALWAYS_SAID = ("frame",)  # what stands on paper too; the other small print stands on the page only


def rows(quote: Quote, shown: SimpleNamespace) -> list[dict[str, Any]]:
    """Each line that is in, then what the household has at home. Nothing is looked up: lines hold what was copied in."""
    table = [_row(line, quote.frozen, shown) for line in quote.lines.all() if line.values.is_in]
    return table + _yours()


def _row(line: Any, frozen: dict[str, Any], shown: SimpleNamespace) -> dict[str, Any]:
    values, detail = line.values, frozen["texts"]["details"].get(line.item, "")
    amount = values.amount(shown.minor_digits)
    how_much = wording.how_much(values, frozen["takeoff"], shown.units)
    on_paper = detail if line.item in ALWAYS_SAID or line.words else ""
    is_theirs = line.paid_by == "household"
    return {
        "word": line.get_item_display(),
        "detail": detail,
        "on_paper": ", ".join(part for part in (how_much, on_paper) if part),
        "how_much": how_much,
        "who": "" if line.item in ON_THE_SUM else WHO[line.brought_by],  # a tax or a grant is brought by nobody
        "who_word": line.get_brought_by_display(),
        "amount": amount if is_theirs else Decimal(0),
        "is_missing": values.needs_price(),
        "payer": "" if is_theirs or not amount else str(PAID_BY[line.paid_by]),
    }


def _yours() -> list[dict[str, Any]]:
    you = {"who": "y", "who_word": _("You bring"), "amount": Decimal(0), "is_missing": False, "payer": "", "detail": ""}
    water, hands = _("on the day"), _("only if you can")
    return [
        {**you, "word": _("Water from your tap"), "how_much": water, "on_paper": water},
        {**you, "word": _("Hands"), "how_much": hands, "on_paper": hands},
    ]
