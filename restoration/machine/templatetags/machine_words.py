"""Words of the machine's pages: limits as one says them."""

from django import template

from restoration.engineering.figures import OHMS, PICOFARADS, with_unit
from restoration.engineering.wire_list.links import LinkChange
from restoration.machine.figures import limit_in_words
from restoration.machine.lines import wire_in_words
from restoration.machine.models import BenchPoint, WireKind
from restoration.machine.models.limits import LimitRow

register = template.Library()

WORDS_OF = {
    "from_slot": "source slot",
    "from_terminal": "source terminal",
    "to_slot": "load slot",
    "to_terminal": "load terminal",
    "length_m": "length in metres",
}


@register.filter
def limit_words(limit: LimitRow) -> str:
    """Write a limit in the units that people use."""
    return limit_in_words(limit)


@register.filter
def said_as(value: object) -> str:
    """Write an older value of an interconnect as one says it."""
    if value is None or value == "":
        return "blank"
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value)


@register.filter
def load_words(point: BenchPoint) -> str:
    """Write the load that a bench figure is read with."""
    parts = ((point.load_resistance_ohm, OHMS), (point.load_capacitance_f, PICOFARADS))
    return " ∥ ".join(with_unit(value, unit) for value, unit in parts if value is not None) or "not said"


@register.filter
def wire_words(kind: WireKind) -> str:
    """Write how a kind of wire lies."""
    return wire_in_words(kind)


@register.filter
def differences(change: LinkChange) -> list[tuple[str, object, object]]:
    """List what differs about a link: the column in words, what stands, and what the list says."""
    return [(WORDS_OF.get(name, name), getattr(change.old, name), getattr(change.new, name)) for name in change.fields]
