"""Figures as they are read out: 0.4 Ω, 22 MΩ, open."""

import math

from restoration.engineering.figures import PREFIXES, power_for


def ohms(value: float | None) -> str:
    """Write a resistance; a meter that shows no path is written as open.

    >>> ohms(0.4), ohms(22e6), ohms(math.inf), ohms(None)
    ('0.4 Ω', '22 MΩ', 'open', 'not measured')
    """
    if value is None:
        return "not measured"
    if math.isinf(value):
        return "open"
    return f"{value:.3g} Ω" if value < 1000 else scaled(value, "Ω")


def scaled(value: float, unit: str, digits: int = 3, doubt: float | None = None) -> str:
    """Write a figure with the prefix that suits its size, and its uncertainty in the same unit.

    >>> scaled(31.0, "V", doubt=0.93), scaled(930.0, "V", 2), scaled(-3.04e-7, "s")
    ('31 ± 0.93 V', '930 V', '−304 ns')
    """
    power = power_for(value, digits)
    number = significant(value / 10.0**power, digits)
    if doubt:
        number = f"{number} ± {significant(doubt / 10.0**power, 2)}"
    return f"{number} {PREFIXES[power]}{unit}"


def significant(value: float, digits: int) -> str:
    """Write a number with so many significant digits, never as a power of ten, with the minus sign of type."""
    return f"{float(f'{value:.{digits}g}'):.12g}".replace("-", "−")


def unbroken(text: str) -> str:
    """Keep a figure and its unit on one line: the last blank does not break.

    >>> unbroken("15 to 20 V")
    '15 to 20\\xa0V'
    """
    number, blank, unit = text.rpartition(" ")
    return f"{number}\u00a0{unit}" if blank else text


def load_in_words(resistance_ohm: float | None, capacitance_f: float | None) -> str:
    """Name the load that a figure is read with: its resistance and capacitance side by side.

    >>> load_in_words(10e3, 47e-12), load_in_words(None, None)
    ('10 kΩ ∥ 47 pF', 'no load')
    """
    parts = [ohms(resistance_ohm)] if resistance_ohm is not None else []
    parts += [scaled(capacitance_f, "F")] if capacitance_f is not None else []
    return " ∥ ".join(parts) or "no load"
