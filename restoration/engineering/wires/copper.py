"""Copper wire: its resistance, how it changes with temperature, and what the skin effect adds."""

from __future__ import annotations

import math

from scipy.special import ive

from restoration.engineering.refusals import refuse_not_finite, refuse_unless

COPPER_OHM_M = 1e-6 / 58.0
"""Resistivity of annealed copper at 20 °C, 1/58 ohm mm²/m (100 % IACS; IEC 60028)."""

COPPER_PER_KELVIN = 0.00393
"""Rise of resistance for each kelvin, as part of that at 20 °C (IEC 60028)."""

LEAST_C, MOST_C = -50.0, 200.0
"""Where the straight line of resistance over temperature is taken for good: common practice, no source."""

_MU0 = 4e-7 * math.pi


def copper_factor(temperature_c: float) -> float:
    """How many times its resistance at 20 °C copper has at another temperature.

    Formula: 1 + 0.00393 (t - 20 °C). Source: IEC 60028. Valid from -50 to 200 °C, where the line holds to about 1 %.
    Units: degrees Celsius in, no unit out. Errors: ValueError outside.

    >>> round(copper_factor(50.0), 4), round(copper_factor(75.0), 5)
    (1.1179, 1.21615)
    """
    asked = f"Copper is reckoned from {LEAST_C:g} to {MOST_C:g} °C; {temperature_c} °C was given."
    refuse_unless(LEAST_C <= temperature_c <= MOST_C, asked)
    return 1.0 + COPPER_PER_KELVIN * (temperature_c - 20.0)


def ohm_per_metre(bare_m: float, temperature_c: float = 20.0) -> float:
    """Resistance of a metre of round copper wire for a steady current.

    Formula: rho / (pi d² / 4) × copper_factor. Source: IEC 60028, 1/58 ohm mm²/m. Valid for solid annealed copper;
    drawn hard it has 2 to 3 % more, and a wire to a gauge differs by its tolerance (from memory). Units: metres and
    degrees Celsius in, ohms per metre out. Errors: ValueError for a diameter not above zero, and as `copper_factor`.

    >>> round(ohm_per_metre(0.0004572), 4)
    0.105
    """
    _refuse_no_wire(bare_m)
    return COPPER_OHM_M / (math.pi / 4.0 * bare_m**2) * copper_factor(temperature_c)


def skin_depth_m(frequency_hz: float, temperature_c: float = 20.0) -> float:
    """Depth in copper at which the current has fallen to 1/e.

    Formula: sqrt(rho / (pi f mu0)). Source: textbook, from memory. Valid for a flat surface much thicker than the
    depth. Units: hertz and degrees Celsius in, metres out. Errors: ValueError for a frequency not above zero.

    >>> round(skin_depth_m(1e6) * 1e6, 1)
    66.1
    """
    asked = f"A frequency is above zero and finite; {frequency_hz} Hz was given."
    refuse_unless(0.0 < frequency_hz < math.inf, asked)
    return math.sqrt(COPPER_OHM_M * copper_factor(temperature_c) / (math.pi * frequency_hz * _MU0))


def skin_factor(bare_m: float, frequency_hz: float, temperature_c: float = 20.0) -> float:
    """How many times its steady resistance a straight round wire has at a frequency.

    Formula: Re[x I0(x) / (2 I1(x))], x = (1 + j) a / delta, with the radius a. Source: textbook solution for the
    round wire, from memory; checked against its two limits and against mpmath. Valid for one straight wire alone. In
    a coil the neighbouring turns raise it further, in a close winding to several times this (Medhurst 1947), so it is
    a least value there. Units: metres, hertz, degrees Celsius in; no unit out. Errors: ValueError as `skin_depth_m`.

    >>> round(skin_factor(0.0004572, 1e6), 3), skin_factor(0.0004572, 0.0)
    (2.004, 1.0)
    """
    _refuse_no_wire(bare_m)
    if frequency_hz == 0.0:
        return 1.0
    x = (1.0 + 1.0j) * bare_m / 2.0 / skin_depth_m(frequency_hz, temperature_c)
    return float((x * ive(0, x) / (2.0 * ive(1, x))).real)


def _refuse_no_wire(bare_m: float) -> None:
    refuse_not_finite(bare_m=bare_m)
    refuse_unless(bare_m > 0.0, f"A wire has a diameter above zero; {bare_m} m was given.")
