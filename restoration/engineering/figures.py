"""Figures as people write them, 2,4 µs, 4k7 or 18 %, read into SI units and written in the unit they are used in."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from decimal import Decimal

POWERS = {
    "f": -15, "p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "": 0, "k": 3, "K": 3, "M": 6, "G": 9, "T": 12,
}  # fmt: skip
"""Power of ten of each prefix (SI brochure, 9th edition, table 7; u for µ and K for k as keyboards have them)."""

SPELT = {"meg": 6, "µµ": -12, "uu": -12, "μμ": -12}
"""Prefixes as circuit simulators (1meg) and old capacitors (100 µµF) have them; each can mean one thing only."""

PREFIXES = {-15: "f", -12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M", 9: "G", 12: "T"}
"""The prefix that is written for each power of a thousand."""

_NUMBER = re.compile(r"([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?)\s*([^0-9.]*)")
_CODED = re.compile(r"([0-9]*)([A-Za-zµμ])([0-9]+)\s*([^0-9.]*)")
_OPEN = frozenset(("ol", "o.l", "o.l.", "0l", "open", "inf", "infinite", "∞"))
_TOLD = 40  # characters of a refused text that are said again
_DIGITS = 6  # significant digits of a figure written back


@dataclass(frozen=True)
class Unit:
    """How a kind of figure is written.

    `symbol` is its unit, `spellings` what else people write for it, `bare` the prefix meant where no unit is
    written, `point_marks` the signs that may stand for the decimal point as on a resistor (IEC 60062: 4k7, 4R7,
    0n1), and `largest` the magnitude in the SI unit beyond which a slip is taken for granted. A percentage is kept as
    a part of one, and a plain number takes no prefix. `may_be_open`: a meter that shows no path (OL) reads as
    infinite. `others` are further names with the power of ten each stands for, as cm.
    """

    symbol: str
    name: str
    examples: str
    largest: float
    spellings: tuple[str, ...] = ()
    bare: str = ""
    point_marks: str = ""
    may_be_open: bool = False
    others: tuple[tuple[str, int], ...] = ()

    @property
    def usual(self) -> str:
        """The unit as it stands beside the name of a field: µs."""
        return f"{self.bare}{self.symbol}"

    @property
    def power(self) -> int:
        """The power of ten of the usual unit in SI."""
        return -2 if self.symbol == "%" else POWERS[self.bare]


VOLTS = Unit("V", "a voltage", "17.2, or 350 mV", 100e3, ("v",))
MICROSECONDS = Unit("s", "a time", "2.4 µs, or 350 ns", 1e5, bare="µ")
NANOSECONDS = replace(MICROSECONDS, bare="n")
PERCENT = Unit("%", "a percentage", "6, or 6 %", 10.0)
OHMS = Unit("Ω", "a resistance", "0.4, 1k5 or 22M, say", 1e13, ("\u2126", "ohms", "ohm", "R"), point_marks="RkKMG")
OHMS_READ = replace(OHMS, examples=f"{OHMS.examples}, or OL where the meter shows no path", may_be_open=True)
PICOFARADS = Unit("F", "a capacitance", "47 pF, 4n7 or 0.1 µF", 1e3, bare="p", point_marks="pnuµμmF")
HENRIES = Unit("H", "an inductance", "4.7 µH, 2m2 or 0.5 H", 1e4, ("h",), point_marks="nuµμmH")
MICROHENRIES = replace(HENRIES, bare="µ")
WATTS = Unit("W", "a power", "0.5, or 250 mW", 1e6, ("w", "watts", "watt"))
AMPERES = Unit("A", "a current", "0.02, or 20 mA", 1e4, ("a", "amps", "amp"))
MILLIAMPERES = replace(AMPERES, examples="20, or 0.02 A", bare="m")
METRES = Unit("m", "a length", "4.6, or 25 mm", 1e5, others=(("cm", -2),))
MILLIMETRES = replace(METRES, examples="25, or 0.12 m", bare="m")
HERTZ = Unit("Hz", "a frequency", "50, or 1.6 MHz", 1e12, ("hz", "HZ"))
SECONDS = Unit("s", "a time", "2.4e-6, or 350 ns", 1e5)
FARADS_PER_METRE = Unit("F/m", "a capacitance of each metre", "12, or 100 pF/m", 1.0, bare="p")
HENRIES_PER_METRE = Unit("H/m", "an inductance of each metre", "0.9, or 900 nH/m", 1e3, bare="µ")
SECONDS_PER_METRE = Unit("s/m", "a delay of each metre", "4, or 3.34 ns/m", 1.0, bare="n")
NUMBER = Unit("", "a plain number", "3, or 0.25", 1e12)


def read_figure(text: str, unit: Unit) -> float:
    """Read a figure, with or without its unit, and return it in the SI unit.

    Formula: number × 10 ** prefix, worked in decimals, so that 2.4 µs is the double nearest to 2.4e-6.
    Source: IEC 60062:2016 for a letter in place of the point; the rest is common practice, no source.
    Valid for one number in the digits 0 to 9, its point a full stop or a comma (so 1,000 is one, and a thousand is
    written 1000), its exponent up to three digits. Units: those of `unit`; a prefix may stand without its unit, no
    unit at all means `unit.usual`. Errors: ValueError, one sentence that says what was given and what is taken.

    >>> read_figure("2,4", MICROSECONDS), read_figure("350 ns", MICROSECONDS), read_figure("−250mV", VOLTS)
    (2.4e-06, 3.5e-07, -0.25)
    >>> read_figure("4k7", OHMS), read_figure("22 MΩ", OHMS), read_figure("OL", OHMS_READ)
    (4700.0, 22000000.0, inf)
    >>> read_figure("0.1 µF", PICOFARADS), read_figure("100 µµF", PICOFARADS), read_figure("18", PERCENT)
    (1e-07, 1e-10, 0.18)
    >>> read_figure("4.6", METRES), read_figure("12 cm", MILLIMETRES), read_figure("1meg", OHMS)
    (4.6, 0.12, 1000000.0)
    >>> read_figure("fast", NANOSECONDS)
    Traceback (most recent call last):
    ValueError: “fast” was given, and this is a time: 2.4 µs, or 350 ns; without a unit it is taken as ns.
    """
    plain = text.strip().replace("−", "-").replace(",", ".")
    if unit.may_be_open and plain.lower() in _OPEN:
        return math.inf
    value = _coded(plain, unit)
    value = _plain(plain, unit) if value is None else value
    told = text.strip()[:_TOLD]
    if value is None:
        bare = f"; without a unit it is taken as {unit.usual}" if unit.bare else ""
        raise ValueError(f"“{told}” was given, and this is {unit.name}: {unit.examples}{bare}.")
    if abs(value) > unit.largest:
        raise ValueError(f"“{told}” is far beyond anything measured here; check its unit.")
    return value


def _coded(text: str, unit: Unit) -> float | None:
    """Read a value with a letter for its point: 4R7, 1k5, 4n7."""
    match = _CODED.fullmatch(text)
    names = (unit.symbol, *unit.spellings)
    if not match or match[2] not in unit.point_marks or match[4].strip() not in ("", *names):
        return None
    power = 0 if match[2] in names else POWERS[match[2]]
    return _in_si(f"{match[1] or '0'}.{match[3]}", power)


def _plain(text: str, unit: Unit) -> float | None:
    match = _NUMBER.fullmatch(text)
    power = _power(match[2].strip(), unit) if match else None
    return None if match is None or power is None else _in_si(match[1], power)


def _power(tail: str, unit: Unit) -> int | None:
    """The power of ten that what stands behind a number means; None where it means none."""
    if not tail:
        return unit.power
    if unit.symbol in ("", "%"):
        return unit.power if tail == unit.symbol else None
    for other, power in unit.others:
        if tail == other:
            return power
    named = next((name for name in (unit.symbol, *unit.spellings) if tail.endswith(name)), "")
    prefix = tail.removesuffix(named).strip()
    return POWERS.get(prefix, SPELT.get(prefix.lower()))


def _in_si(number: str, power: int) -> float:
    return float(Decimal(number).scaleb(power)) + 0.0


def plain_number(value: float, unit: Unit) -> str:
    """Write an SI figure as a number of the usual unit, as one would type it: up to six digits, no exponent.

    Formula: value / 10 ** power. Source: common practice, no source. Valid for finite values. Units: SI in, the
    usual unit out. Errors: ValueError for a value that is infinite or no number.

    >>> plain_number(2.4e-06, MICROSECONDS), plain_number(0.18, PERCENT), plain_number(3.5e-07, NANOSECONDS)
    ('2.4', '18', '350')
    """
    if not math.isfinite(value):
        raise ValueError(f"A figure that is written out has to be finite; {value} was given.")
    scaled = Decimal(repr(value)).scaleb(-unit.power)
    rounded = Decimal(f"{scaled:.{_DIGITS}g}").normalize()
    return "0" if rounded == 0 else f"{rounded:f}"


def with_unit(value: float, unit: Unit) -> str:
    """Write an SI figure with its usual unit; it reads back as it is written.

    Formula, source, validity, units and errors: as `plain_number`.

    >>> with_unit(15.0, VOLTS), with_unit(0.0, PERCENT)
    ('15 V', '0 %')
    """
    return f"{plain_number(value, unit)} {unit.usual}".rstrip()


def power_for(value: float, digits: int = 3) -> int:
    """The power of a thousand that suits a figure once it is rounded to so many digits; zero suits the unit itself.

    Formula: 3 floor(log10 |value| / 3), within the prefixes from f to T. Source: SI brochure, 9th edition, table 7.
    Valid for finite values; any unit. Errors: ValueError for a value that is infinite or no number.

    >>> power_for(2.4e-6), power_for(999.96), power_for(0.0), power_for(-0.4)
    (-6, 3, 0, -3)
    """
    if not math.isfinite(value):
        raise ValueError(f"A figure that is written out has to be finite; {value} was given.")
    if value == 0:
        return 0
    rounded = abs(float(f"{value:.{digits - 1}e}"))
    power = 3 * math.floor(math.log10(rounded) / 3 + 1e-12)
    return min(max(power, min(PREFIXES)), max(PREFIXES))
