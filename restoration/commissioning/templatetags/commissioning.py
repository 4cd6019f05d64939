"""Words for what is missing."""

from django import template

from restoration.commissioning.gates import ACTS
from restoration.engineering.readiness import Missing

register = template.Library()


@register.filter
def acts_in_words(item: Missing) -> str:
    """Say in order what must be done: "ring it out, then check its signal"."""
    return ", then ".join(ACTS.get(act, act) for act in item.acts)
