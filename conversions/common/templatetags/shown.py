"""Measures and money as people read them; every filter takes the group for its units and currency.

{{ takeoff.cover|area:request.group }}, {{ line.amount|money:group }}, {{ value|other_area:group }}
"""

from typing import Any

from django import template

from conversions.common import measures, money

register = template.Library()


def _pair(name: str, write: Any) -> None:
    register.filter(name, lambda value, group: "" if value is None else write(value, group.units))
    register.filter(
        f"other_{name}", lambda value, group: "" if value is None else write(value, measures.other(group.units))
    )


_pair("long", measures.length)  # not "length": Django counts with that name
_pair("area", measures.area)
_pair("volume", measures.volume)


@register.filter("money")
def money_filter(amount: Any, group: Any) -> str:
    return "" if amount is None else money.shown(amount, group)
