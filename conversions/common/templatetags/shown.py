"""Measures and money as people read them; every filter takes the group for its units and currency.

{{ takeoff.cover|area:request.group }}, {{ line.amount|money:group }}, {{ value|other_area:group }}
{{ value|big_area:request.group }} is the same for a figure that stands large, its unit small beside it.
"""

from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from conversions.common import measures, money

register = template.Library()


def _pair(name: str, write: Any) -> None:
    register.filter(name, lambda value, group: "" if value is None else write(value, group.units))
    register.filter(
        f"other_{name}", lambda value, group: "" if value is None else write(value, measures.other(group.units))
    )


def _big(words: str) -> SafeString:
    """The number large, the unit small: the unit is what comes after the last figure."""
    number, _space, unit = words.partition(" ")
    return format_html('<b>{}</b> <span class="u">{}</span>', number, unit)


_pair("long", measures.length)  # not "length": Django counts with that name
_pair("area", measures.area)
_pair("volume", measures.volume)
register.filter("big_area", lambda m2, group: "" if m2 is None else _big(measures.area(m2, group.units)))
register.filter("big_volume", lambda m3, group: "" if m3 is None else _big(measures.volume(m3, group.units)))


@register.filter("money")
def money_filter(amount: Any, group: Any) -> str:
    return "" if amount is None else money.shown(amount, group)
