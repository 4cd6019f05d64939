"""Figures of a coil in words, for its card."""

from django import template

from restoration.engineering.figures import PERCENT, with_unit
from restoration.engineering.plots import format_part
from restoration.workshop.coils.reckoning import capacitance_words, length_words

register = template.Library()

register.filter("as_length", length_words)
register.filter("as_part", format_part)
register.filter("as_capacitance", capacitance_words)


@register.filter
def as_percent(part: float) -> str:
    """A tolerance as it is written down: 5 %."""
    return with_unit(part, PERCENT)
