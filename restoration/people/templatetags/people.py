"""Asks in a template what the person reading may do."""

from django import template
from django.template.context import RequestContext

from restoration.people.roles import Permission, may_some

register = template.Library()


@register.simple_tag(takes_context=True)
def may(context: RequestContext, permission: str) -> bool:
    """Say whether the reader may do a thing, if only on their own: {% may "FIT_CHASSIS" as may_fit %}."""
    return may_some(context["request"].user, Permission[permission])
