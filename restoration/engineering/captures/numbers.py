"""Numbers as oscilloscopes print them: signs, exponents, decimal commas, unit letters."""

from __future__ import annotations

import re

NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,4})?\Z", re.ASCII)
NUMBER_LIKE = re.compile(r"[+-]?(?:nan|inf(?:inity)?|1\.#\w+|#n/a|-{2,})\Z", re.IGNORECASE)
_QUANTITY = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-zµμ%/Ω]*)\Z", re.IGNORECASE)
_PREFIXES = {"p": 1e-12, "n": 1e-9, "u": 1e-6, "µ": 1e-6, "μ": 1e-6, "m": 1e-3, "k": 1e3, "K": 1e3, "M": 1e6, "G": 1e9}
_BARE_UNITS = {"", "s", "v", "hz", "sa/s", "sa", "pts", "x", "sec", "second", "volt", "div", "s/div", "v/div", "sps"}


def is_number(field: str) -> bool:
    """Whether a field is a number, or a mark that stands where one should be (NaN, inf, ``--``).

    >>> [is_number(field) for field in ("-19.146E-03", "+1.", "NaN", "Volt", "")]
    [True, True, True, False, False]
    """
    field = field.strip().strip('"').strip()
    return bool(NUMBER.match(field) or NUMBER_LIKE.match(field))


def quantity(field: str) -> float | None:
    """Value of a header field in plain SI, a channel mark before it and a unit after it allowed; else None.

    >>> quantity("CH1:0.0000020"), quantity("100MSa/s"), quantity("-12.0mV"), quantity("10X"), quantity("Edge")
    (2e-06, 100000000.0, -0.012, 10.0, None)
    """
    found = _QUANTITY.match(field.strip().strip('"').rpartition(":")[2].strip())
    if not found:
        return None
    unit = found[2]
    value = float(found[1])
    if unit.lower() in _BARE_UNITS:
        return value
    if unit[0] in _PREFIXES and unit[1:].lower() in _BARE_UNITS:
        return float(f"{value * _PREFIXES[unit[0]]:.12g}")
    return None


def last_place(field: str) -> float:
    """Weight of the last printed digit: half of it is the rounding error of the number.

    >>> last_place("-2.0000e-04"), last_place("0.015"), last_place("22")
    (1e-08, 0.001, 1.0)
    """
    mantissa, _, exponent = field.strip().strip('"').lower().partition("e")
    decimals = len(mantissa.partition(".")[2])
    return float(f"1e{int(exponent or 0) - decimals}")


def printed_step(fields: list[str]) -> float:
    """Rounding step of numbers printed alike, zeros at the end possibly left out: the step at the largest of them.

    Numbers with an exponent keep a count of digits, so their step grows with them; plain ones keep a count of
    decimals.

    >>> printed_step(["-5.24e-08", "-5.2375e-08", "5e-08"]), printed_step(["0", "0.125", "0.25"])
    (1e-12, 0.001)
    """
    with_power = [field for field in fields if "e" in field.lower()]
    plain = [field for field in fields if "e" not in field.lower()]
    steps = [min(map(last_place, plain))] if plain else []
    if with_power:
        digits = max(sum(mark.isdigit() for mark in field.lower().partition("e")[0]) for field in with_power)
        largest = max(with_power, key=lambda field: abs(float(field)))
        power = int(f"{float(largest):e}".partition("e")[2])
        steps.append(10.0 ** (power + 1 - digits))
    return float(f"{max(steps, default=0.0):.1g}")
