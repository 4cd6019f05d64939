"""How a part is said: 4.7 kΩ, 5 %, 0.5 W."""

from restoration.engineering.figures import OHMS, PERCENT, PICOFARADS, Unit, with_unit
from restoration.machine.figures import figure_in_words
from restoration.workshop.models import PartKind, StoresLine

VALUE_UNITS: dict[str, Unit] = {PartKind.RESISTOR: OHMS, PartKind.CAPACITOR: PICOFARADS}


def value_in_words(kind: str, value: float) -> str:
    """Write the value of a part as one would say it.

    >>> value_in_words("resistor", 4700.0), value_in_words("resistor", 0.47), value_in_words("capacitor", 1e-10)
    ('4.7 kΩ', '470 mΩ', '100 pF')
    """
    return figure_in_words(value, VALUE_UNITS[kind])


def part_in_words(line: StoresLine) -> str:
    """Write what a line of the stores holds: value, what it is, tolerance and ratings."""
    ratings = [f"{line.rating_w:g} W"] if line.rating_w else []
    ratings += [f"{line.rating_v:g} V"] if line.rating_v else []
    what = f"{value_in_words(line.kind, line.value)} {line.get_kind_display()}"
    return ", ".join([what, with_unit(line.tolerance, PERCENT), *ratings])
