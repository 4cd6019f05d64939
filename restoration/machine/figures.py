"""In which unit each quantity of a signal is written, and its limits as one says them."""

from dataclasses import replace

from restoration.engineering.figures import (
    MICROSECONDS,
    NANOSECONDS,
    PERCENT,
    PREFIXES,
    VOLTS,
    Unit,
    plain_number,
    power_for,
    with_unit,
)
from restoration.machine.models.limits import LimitRow, Quantity

_DIGITS = 6  # of a figure in words; the nought at its end is left out

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


def figure_in_words(value: float, unit: Unit) -> str:
    """Write a figure with the prefix that suits it.

    >>> from restoration.engineering.figures import OHMS, PICOFARADS
    >>> figure_in_words(4700.0, OHMS), figure_in_words(1e-10, PICOFARADS)
    ('4.7 kΩ', '100 pF')
    """
    return with_unit(value, replace(unit, bare=PREFIXES[power_for(value, _DIGITS)]))
