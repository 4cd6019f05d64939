"""Preferred values of resistors and capacitors, E3 to E192, and the one nearest to a wanted value."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

from restoration.engineering.refusals import refuse_unless

_STEPS_IN_A_DECADE = {"E3": 3, "E6": 6, "E12": 12, "E24": 24, "E48": 48, "E96": 96, "E192": 192}
_TOLERANCES = {"E3": 0.40, "E6": 0.20, "E12": 0.10, "E24": 0.05, "E48": 0.02, "E96": 0.01, "E192": 0.005}
_NOT_BY_ROUNDING = {26: 27, 29: 30, 32: 33, 35: 36, 38: 39, 42: 43, 46: 47, 83: 82, 919: 920}
_LEAST, _MOST = 1e-30, 1e30
_SAME = 1e-9  # a value this close to a member, as a part of it, is that member


def _members(steps: int) -> tuple[int, ...]:
    digits = 10 if steps <= 24 else 100
    rounded = (math.floor(digits * 10.0 ** (step / steps) + 0.5) for step in range(steps))
    return tuple(_NOT_BY_ROUNDING.get(number, number) for number in rounded)


SERIES: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {name: _members(steps) for name, steps in _STEPS_IN_A_DECADE.items()}
)
"""Members of one decade: two digits from E3 to E24, three from E48 to E192.

Formula: 10 ** (i / n) rounded, but for nine numbers that the standard has otherwise: 27 30 33 36 39 43 47 and 82, and
920 of E192. Source: IEC 60063 (from memory), members compared with en.wikipedia's page on E series of preferred
numbers and qsl.net/g4usp, and with the package eseries.
"""


def _known(name: str) -> str:
    names = ", ".join(SERIES)
    refuse_unless(name in SERIES, f"There is no series “{name}”; the preferred values are {names}.")
    return name


def _refuse_out_of_reach(value: float, what: str) -> None:
    refuse_unless(
        _LEAST <= value <= _MOST,
        f"{what} is {value}; preferred values are looked up between {_LEAST:g} and {_MOST:g}.",
    )


def tolerance_of(name: str) -> float:
    """The tolerance that goes with a series, as a part of the value.

    Formula: none, a table. Source: IEC 60063 (from memory); en.wikipedia's page on E series gives the same figures.
    Valid as a habit only: a part may be closer or wider than its series suggests. Units: a part of one. Errors:
    ValueError for a series there is not.

    >>> tolerance_of("E24")
    0.05
    >>> tolerance_of("E25")
    Traceback (most recent call last):
    ValueError: There is no series “E25”; the preferred values are E3, E6, E12, E24, E48, E96, E192.
    """
    return _TOLERANCES[_known(name)]


def _decade(name: str, exponent: int) -> list[float]:
    """The members of a series from 10 ** exponent on, each the double nearest to its decimal."""
    digits = 1 if _STEPS_IN_A_DECADE[name] <= 24 else 2
    return [float(f"{member}e{exponent - digits}") for member in SERIES[name]]


def _around(name: str, least: float, most: float) -> list[float]:
    first, last = math.floor(math.log10(least)) - 1, math.floor(math.log10(most)) + 1
    return [value for exponent in range(first, last + 1) for value in _decade(name, exponent)]


def values_between(name: str, least: float, most: float) -> tuple[float, ...]:
    """Members of a series from the least to the most, both included, in rising order.

    Formula: member × 10 ** decade. Source: IEC 60063. Valid from 1e-30 to 1e30; a limit within a part in 10 ** 9 of
    a member includes it. Units: those of the limits. Shape: a tuple, empty where no member lies between. Errors:
    ValueError for a series there is not, limits that are not positive numbers, and a least above the most.

    >>> values_between("E12", 1000, 2200)
    (1000.0, 1200.0, 1500.0, 1800.0, 2200.0)
    """
    _known(name)
    _refuse_out_of_reach(least, "The least value")
    _refuse_out_of_reach(most, "The most value")
    refuse_unless(least <= most, f"The least value, {least:g}, is above the most, {most:g}.")
    members = _around(name, least, most)
    return tuple(members[bisect_left(members, least * (1 - _SAME)) : bisect_right(members, most * (1 + _SAME))])


def neighbours(name: str, value: float) -> tuple[float, float]:
    """The member at or below a value and the one at or above it; a member is both.

    Formula: none. Source: IEC 60063. Valid from 1e-30 to 1e30; within a part in 10 ** 9 of a member the value is that
    member. Units: those of the value. Errors: ValueError for a series there is not and a value that is not positive.

    >>> neighbours("E24", 5000.0), neighbours("E24", 4700.0)
    ((4700.0, 5100.0), (4700.0, 4700.0))
    """
    _known(name)
    _refuse_out_of_reach(value, "The value")
    members = _around(name, value, value)
    below = members[bisect_right(members, value * (1 + _SAME)) - 1]
    return below, members[bisect_left(members, value * (1 - _SAME))]


def nearest(name: str, value: float, *, by: Literal["ratio", "difference"] = "ratio") -> float:
    """The member of a series nearest to a value.

    Formula: by ratio, least of value / below and above / value, so that the change-over is the geometric mean of two
    members; by difference, least of value − below and above − value, the arithmetic mean. The two differ: 4.498 is
    nearer to 4.7 by ratio (4.4956 divides them) and to 4.3 by difference. A tie goes to the lower, worked in decimals
    as the value is written. Source: common practice, no source: a tolerance is a part of a value, so ratio is meant
    where nothing is said. Valid from 1e-30 to 1e30. Units: those of the value. Errors: ValueError for a series or a
    measure there is not, and a value that is not positive.

    >>> nearest("E24", 4.498), nearest("E24", 4.498, by="difference"), nearest("E96", 5000.0)
    (4.7, 4.3, 4990.0)
    """
    refuse_unless(by in ("ratio", "difference"), f"Nearest is by ratio or by difference; “{by}” was given.")
    below, above = neighbours(name, value)
    exact, low, high = (Decimal(repr(float(number))) for number in (value, below, above))
    is_low = exact * exact <= low * high if by == "ratio" else exact - low <= high - exact
    return below if is_low else above
