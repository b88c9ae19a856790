"""Links inside the current group: {% go "visit" pk=3 %}."""

from django import template
from django.urls import reverse

register = template.Library()


@register.simple_tag(takes_context=True)
def go(context: dict, name: str, **kwargs: object) -> str:
    return reverse(name, kwargs={"group": context["request"].group.slug, **kwargs})
