"""What a change makes of the figures: "+0.4 m³", "6 sheets fewer", against the drawing as it is saved."""

import json

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from conversions.groups.models import Group

from . import measure


def rows(takeoff: dict, saved: dict, group: Group) -> list[dict]:
    """The figures that are shown, each with its value, what it differs by, and its bare number:
    {"key", "label", "value", "by", "is"}."""
    before = saved.get("figures", {})
    out = []
    for row in measure.figure_rows(takeoff, group, measure.SHOWN):
        figure = takeoff["figures"][row["key"]]
        old = before.get(row["key"], {}).get("value")
        by = "" if old is None else difference(figure["value"] - old, figure["unit"], group.units)
        shown = {"key": row["key"], "label": str(row["label"]), "value": row["value_shown"], "by": by}
        out.append({**shown, "is": figure["value"]})
    return out


def shown_before(text: str) -> dict:
    """What a page showed a step before, {key: number}, in the place of figures that were saved; nothing where it is not
    that."""
    try:
        sent = json.loads(text)
        return {"figures": {str(key): {"value": float(value)} for key, value in sent.items()}} if sent else {}
    except (ValueError, TypeError, AttributeError, OverflowError, RecursionError):
        return {}


def difference(change: float, unit: str, units: str) -> str:
    """A change in words, or nothing where it is too small to be shown.

    >>> difference(0.4, "m3", "metric")
    '+0.4 m³'
    """
    if unit == "sheets":
        count = round(abs(change))
        if not count:
            return ""
        if change > 0:
            return ngettext("%(n)d sheet more", "%(n)d sheets more", count) % {"n": count}
        return ngettext("%(n)d sheet fewer", "%(n)d sheets fewer", count) % {"n": count}
    system, digits = units if unit in ("m", "m2", "m3") else "metric", {"h": 1}.get(unit)
    shown, nothing = (measure.quantity(value, unit, system, digits) for value in (abs(change), 0.0))
    if shown == nothing or float(abs(change)) < 1e-9:
        return ""
    return f"{'+' if change > 0 else '−'}{shown}"


def said(figures: list[dict], wrong: str = "", is_first: bool = False) -> str:
    """One line for the page to say: what does not fit, then what changed first, or that nothing did; the rest stands in
    the figures."""
    changed = [f"{row['label']} {row['value']} ({row['by']})." for row in figures if row["by"]]
    if changed:
        return f"{wrong} {changed[0]}".strip()
    if figures and is_first:
        return f"{wrong} {figures[0]['label']} {figures[0]['value']}.".strip()
    if figures and not wrong:
        return _("%(label)s %(value)s. Nothing else changes.") % figures[0]
    return wrong or _("Nothing to size yet.")
