"""Figures as they are read out: 0.4 Ω, 22 MΩ, open."""

import math

PREFIXES = ((1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n"), (1e-12, "p"))


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


def scaled(value: float, unit: str, digits: int = 3) -> str:
    """Write a figure with the prefix that suits its size."""
    size, prefix = next(((size, prefix) for size, prefix in PREFIXES if abs(value) >= size * 0.9995), (1.0, ""))
    return f"{value / size:.{digits}g} {prefix}{unit}".replace("-", "−")
