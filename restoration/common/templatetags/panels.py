"""Puts the panels that higher apps registered for a place into a lower app's page."""

from typing import Any

from django import template
from django.template.context import RequestContext
from django.utils.safestring import SafeString, mark_safe

from restoration.common.panels import render_panels

register = template.Library()


@register.simple_tag(takes_context=True)
def panels(context: RequestContext, place: str, subject: Any) -> SafeString:
    """Draw the panels of a place, each with its own escaping done: {% panels "interconnect" interconnect %}."""
    drawn = render_panels(place, context["request"], subject)
    return mark_safe("\n".join(drawn))  # noqa: S308  (each panel is a SafeString already)
