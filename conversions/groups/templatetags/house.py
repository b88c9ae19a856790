"""Links inside the current group, {% go "visit" pk=3 %}, and the places of the menu that a member may open."""

from django import template
from django.conf import settings
from django.urls import resolve, reverse
from django.utils.translation import gettext_lazy as _

from conversions.groups.models import Member

register = template.Library()

PLACES = [  # address name, word, texture, icon
    ("week", _("This week"), "plant", "week"),
    ("yards", _("Yards"), "compost", "yards"),
    ("days", _("Build days"), "chip", "build"),
    ("aftercare", _("Aftercare"), "card", "care"),
    ("tally", _("Tally"), "lawn", "tally"),
]


@register.filter
def places(member: Member) -> list[tuple]:
    """The menu for this member: what the door would refuse is not offered."""
    return [place for place in PLACES if may(member, place[0])]


@register.filter
def may(member: Member, name: str) -> bool:
    """Whether the door lets this member in there: {% if request.member|may:"search" %}."""
    return bool(member.roles & _roles(name))


def _roles(name: str) -> frozenset[str]:
    """Of an address without a row in it."""
    view = resolve(reverse(name, kwargs={"group": "any"})).func
    return getattr(view, "roles", frozenset({"organiser"}))


@register.simple_tag
def tongues() -> list[tuple[str, str]]:
    """The languages we have, each by its own name, whatever is spoken here."""
    return settings.LANGUAGES


@register.filter
def other_groups(member: Member) -> list[Member]:
    """This person's places in other groups; asks the database only where the door saw that there are some."""
    if not member.has_other_groups:
        return []
    rows = member.user.memberships.filter(ended_on=None).exclude(pk=member.pk)
    return list(rows.select_related("group").order_by("group__name"))


@register.simple_tag(takes_context=True)
def go(context: dict, name: str, **kwargs: object) -> str:
    return reverse(name, kwargs={"group": context["request"].group.slug, **kwargs})
