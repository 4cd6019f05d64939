"""Words of the pages of the stores: parts as one says them."""

import re

from django import template

from restoration.engineering.figures import PERCENT, with_unit
from restoration.workshop.models import StoresLine
from restoration.workshop.parts import part_in_words, value_in_words

register = template.Library()
BEFORE_A_UNIT = re.compile(r"(?<=\d) (?=\S)|(?<=±) ")


@register.filter
def value_words(line: StoresLine) -> str:
    """Write the value of a part: 4.7 kΩ."""
    return _kept_together(value_in_words(line.kind, line.value))


@register.filter
def part_words(line: StoresLine) -> str:
    """Write what a line holds: 4.7 kΩ resistor, 5 %, 0.5 W."""
    return _kept_together(part_in_words(line))


@register.filter
def tolerance_words(line: StoresLine) -> str:
    """Write a tolerance: 5 %."""
    return _kept_together(f"± {with_unit(line.tolerance, PERCENT)}")


@register.filter
def rating_words(line: StoresLine) -> str:
    """Write the ratings of a part: 0.5 W, 350 V."""
    ratings = [(line.rating_w, "W"), (line.rating_v, "V")]
    return (
        _kept_together(", ".join(f"{value:g} {unit}" for value, unit in ratings if value is not None))
        or "no rating marked"
    )


def _kept_together(words: str) -> str:
    """A number and its unit stay on one line."""
    return BEFORE_A_UNIT.sub("\u00a0", words)
