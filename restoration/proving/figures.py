"""Figures as people write them at the rack: 0.4, 1k5, 22M, 17,2, 350 ns, 6 %, OL."""

import math
import re

from django.core.exceptions import ValidationError

PREFIXES = {"p": 1e-12, "n": 1e-9, "u": 1e-6, "µ": 1e-6, "μ": 1e-6, "m": 1e-3, "": 1.0, "k": 1e3, "K": 1e3, "M": 1e6}
PREFIXES["G"] = 1e9
UNITS = {"ohm": ("Ω", "Ω", "ohm", "ohms", "R"), "V": ("V", "v"), "s": ("s",), "fraction": ()}
EXAMPLES = {
    "ohm": "a resistance: 0.4, 1k5 or 22M, say, or OL where the meter shows no path",
    "V": "a voltage: 17.2, or 350 mV",
    "s": "a time: 2.4 µs, or 350 ns",
    "fraction": "a percentage: 6, or 6 %",
}
OPEN = {"ol", "o.l", "o.l.", "0l", "open", "inf", "infinite", "∞"}
RKM = re.compile(r"(\d+)([RkKMG])(\d+)")
NUMBER = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?)\s*(\D*)")
LARGEST = {"ohm": 1e13, "V": 100e3, "s": 1e5, "fraction": 10.0}


def read_figure(text: str, unit: str, bare: str = "") -> float:
    """Read a figure in the SI unit; `bare` is the prefix meant where none is written (µ for "2.4" in µs).

    >>> read_figure("1k5", "ohm"), read_figure("22 MΩ", "ohm"), read_figure("2,4", "s", "µ")
    (1500.0, 22000000.0, 2.4e-06)
    >>> read_figure("350 ns", "s", "µ"), read_figure("6 %", "fraction"), read_figure("OL", "ohm")
    (3.5e-07, 0.06, inf)
    """
    plain = text.strip().replace("−", "-").replace(",", ".")
    if unit == "ohm" and plain.lower() in OPEN:
        return math.inf
    value = _coded(plain) if unit == "ohm" else None
    if value is None:
        value = _plain(plain, unit, bare)
    if value is None:
        raise ValidationError(f"“{text.strip()[:40]}” was given, and this is {EXAMPLES[unit]}.")
    if abs(value) > LARGEST[unit]:
        raise ValidationError(f"“{text.strip()[:40]}” is far beyond anything measured here; check its unit.")
    return value


def _coded(text: str) -> float | None:
    """Read a value with its prefix for a point, as on a resistor: 4R7, 1k5."""
    match = RKM.fullmatch(text)
    if not match:
        return None
    whole, mark, part = match.groups()
    return _scaled(float(f"{whole}.{part}"), PREFIXES.get(mark, 1.0))


def _plain(text: str, unit: str, bare: str) -> float | None:
    match = NUMBER.fullmatch(text)
    if not match:
        return None
    number, tail = float(match[1]), match[2].strip()
    if unit == "fraction":
        return _scaled(number, 0.01) if tail in ("", "%") else None
    scale = _scale_of(tail, unit, bare)
    return None if scale is None else _scaled(number, scale)


def _scale_of(tail: str, unit: str, bare: str) -> float | None:
    if not tail:
        return PREFIXES[bare]
    for name in UNITS[unit]:
        if tail.endswith(name):
            return PREFIXES.get(tail.removesuffix(name).strip())
    return PREFIXES.get(tail)


def _scaled(number: float, scale: float) -> float:
    """Multiply without the crumbs of binary fractions: 2.4 × 1e-6 is 2.4e-06."""
    return float(f"{number * scale:.12g}")
