"""Words for what is missing."""

from collections.abc import Mapping
from typing import Any

from django import template

from restoration.commissioning import readiness, unlocking

register = template.Library()
register.filter("acts_in_words", readiness.acts_in_words)
register.filter("frees_in_words", unlocking.frees_in_words)
register.filter("named_thing", unlocking.named)


@register.filter
def of(named: Mapping[Any, Any], name: Any) -> Any:
    """Look up what a mapping has under a name; nothing where it has none."""
    return named.get(name, "")
