"""Figures as people write them, "2.4 µs" or "18 %", and as they are stored, in SI units."""

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from restoration.machine.models.limits import LimitRow, Quantity


@dataclass(frozen=True)
class Unit:
    """How a quantity is written: the unit when none is given, and the power of ten of each that is taken."""

    usual: str
    powers: dict[str, int]


VOLTS = Unit("V", {"V": 0, "mV": -3, "kV": 3})
MICROSECONDS = Unit("µs", {"s": 0, "ms": -3, "µs": -6, "us": -6, "ns": -9})
NANOSECONDS = Unit("ns", MICROSECONDS.powers)
PERCENT = Unit("%", {"%": -2})
OHMS = Unit("Ω", {"Ω": 0, "ohm": 0, "kΩ": 3, "k": 3, "MΩ": 6, "M": 6})
PICOFARADS = Unit("pF", {"pF": -12, "nF": -9, "µF": -6, "uF": -6, "F": 0})

UNITS: dict[str, Unit] = {
    Quantity.DC_LEVEL: VOLTS,
    Quantity.AMPLITUDE: VOLTS,
    Quantity.LOW_LEVEL: VOLTS,
    Quantity.HIGH_LEVEL: VOLTS,
    Quantity.PULSE_DURATION: MICROSECONDS,
    Quantity.RISE_TIME: NANOSECONDS,
    Quantity.FALL_TIME: NANOSECONDS,
    Quantity.OVERSHOOT: PERCENT,
    Quantity.UNDERSHOOT: PERCENT,
    Quantity.PRESHOOT: PERCENT,
    Quantity.DELAY: NANOSECONDS,
}

_FIGURE = re.compile(r"([+\-−]?[0-9]+(?:[.,][0-9]*)?|[+\-−]?[.,][0-9]+)\s*([^\s0-9.,]*)")


def read_figure(text: str, unit: Unit) -> float:
    """Read a figure with or without its unit and return it in SI units; ValueError says what is taken.

    >>> read_figure("2,4 µs", MICROSECONDS), read_figure("350", NANOSECONDS), read_figure("18 %", PERCENT)
    (2.4e-06, 3.5e-07, 0.18)
    """
    found = _FIGURE.fullmatch(text.strip().replace("μ", "µ"))
    if not found or (found[2] or unit.usual) not in unit.powers:
        taken = ", ".join(unit.powers)
        raise ValueError(
            f"“{text}” is not a figure that can be stored here: write a number, as in 2.4, with one of {taken} "
            f"after it; without one it is taken as {unit.usual}."
        )
    try:
        number = Decimal(found[1].replace(",", ".").replace("−", "-"))
    except InvalidOperation as wrong:  # pragma: no cover  (the pattern lets only numbers through)
        raise ValueError(f"“{text}” is not a number.") from wrong
    return float(number.scaleb(unit.powers[found[2] or unit.usual]))


def plain_number(value: float, unit: Unit) -> str:
    """Write an SI figure as a number of the usual unit.

    >>> plain_number(2.4e-06, MICROSECONDS), plain_number(0.18, PERCENT), plain_number(3.5e-07, NANOSECONDS)
    ('2.4', '18', '350')
    """
    scaled = Decimal(repr(value)).scaleb(-unit.powers[unit.usual])
    rounded = Decimal(f"{scaled:.6g}").normalize()
    return f"{rounded:f}".replace("-0", "0") if rounded == 0 else f"{rounded:f}"


def with_unit(value: float, unit: Unit) -> str:
    """Write an SI figure with its usual unit.

    >>> with_unit(15.0, VOLTS)
    '15 V'
    """
    return f"{plain_number(value, unit)} {unit.usual}"


def limit_in_words(limit: LimitRow) -> str:
    """Write a limit as one would say it: "15 to 20 V, nominally 17 V", "350 ns at most"."""
    unit = UNITS[limit.quantity]
    nominal = f"nominally {with_unit(limit.nominal, unit)}" if limit.nominal is not None else ""
    return ", ".join(part for part in (_range_in_words(limit, unit), nominal) if part)


def _range_in_words(limit: LimitRow, unit: Unit) -> str:
    if limit.least is not None and limit.most is not None:
        return f"{plain_number(limit.least, unit)} to {with_unit(limit.most, unit)}"
    if limit.least is not None:
        return f"{with_unit(limit.least, unit)} at least"
    return f"{with_unit(limit.most, unit)} at most" if limit.most is not None else ""
