"""Characteristic impedance, delay, capacitance and inductance of a wire from its shape and what surrounds it."""

from __future__ import annotations

import math

from scipy.constants import c as LIGHT_M_PER_S  # noqa: N812
from scipy.constants import physical_constants

from restoration.engineering.refusals import refuse_not_above_zero, refuse_not_finite, refuse_unless

FREE_SPACE_OHM: float = physical_constants["characteristic impedance of vacuum"][0]
OHM_PER_DECADE = 138.0
"""The usual round figure of coax and of a wire over a plane; 276 for two wires."""


def impedance_twin(
    spacing_m: float, diameter_m: float, relative_permittivity: float = 1.0, *, by_logarithm: bool = False
) -> float:
    """Ohms of two parallel round wires, centre to centre.

    Formula: eta0/(pi*sqrt(er))*acosh(D/d); by logarithm 276*log10(2D/d)/sqrt(er). Source: the exact one from
    conformal mapping (textbooks, from memory); the logarithm as published by RF Cafe (transmission-line page).
    Valid for D > d, wires without loss, one medium all round; an insulated wire in air lies between the two media. The
    logarithm is 5.2 % high at D = 2d, 0.4 % at 5d and within 0.05 % from 10d on. Units: metres, ohms.
    Errors: ValueError for lengths not above zero, wires that touch, a permittivity below one.

    >>> round(impedance_twin(0.005, 0.001), 3), round(impedance_twin(0.005, 0.001, by_logarithm=True), 3)
    (274.901, 276.0)
    """
    _refuse_lengths(relative_permittivity, spacing_m=spacing_m, diameter_m=diameter_m)
    refuse_unless(
        spacing_m > diameter_m,
        f"Two wires of {diameter_m} m whose centres are {spacing_m} m apart touch or overlap; "
        "the spacing must be more than the diameter.",
    )
    if by_logarithm:
        return 2 * OHM_PER_DECADE * math.log10(2 * spacing_m / diameter_m) / math.sqrt(relative_permittivity)
    return FREE_SPACE_OHM / math.pi * math.acosh(spacing_m / diameter_m) / math.sqrt(relative_permittivity)


def impedance_over_chassis(
    height_m: float, diameter_m: float, relative_permittivity: float = 1.0, *, by_logarithm: bool = False
) -> float:
    """Ohms of a round wire over a wide conducting plane, the height taken to the wire's centre.

    Formula: eta0/(2*pi*sqrt(er))*acosh(2h/d); by logarithm 138*log10(4h/d)/sqrt(er). Source: image of the wire in the
    plane (textbooks, from memory); the logarithm as published by RF Cafe for d far below h.
    Valid for 2h > d and a plane much wider than h; a chassis with holes or a loom beside it shifts it. The logarithm is
    5.2 % high at h = d, within 0.05 % from 5d on. Units: metres, ohms. Errors: ValueError for lengths not above
    zero, a wire that touches the chassis, a permittivity below one.

    >>> [round(impedance_over_chassis(height, 0.001)) for height in (0.010, 0.025, 0.050)]
    [221, 276, 318]
    """
    _refuse_lengths(relative_permittivity, height_m=height_m, diameter_m=diameter_m)
    refuse_unless(
        2 * height_m > diameter_m,
        f"A wire of {diameter_m} m whose centre is {height_m} m over the chassis touches it; "
        "the height must be more than half the diameter.",
    )
    if by_logarithm:
        return OHM_PER_DECADE * math.log10(4 * height_m / diameter_m) / math.sqrt(relative_permittivity)
    return FREE_SPACE_OHM / (2 * math.pi) * math.acosh(2 * height_m / diameter_m) / math.sqrt(relative_permittivity)


def impedance_coaxial(
    outer_m: float, inner_m: float, relative_permittivity: float = 1.0, *, by_logarithm: bool = False
) -> float:
    """Ohms of a coaxial wire: inner diameter of the screen, outer diameter of the core.

    Formula: eta0/(2*pi*sqrt(er))*ln(D/d); by logarithm 138*log10(D/d)/sqrt(er), which is 0.04 % low. Source: textbooks
    (from memory); 138 as commonly published. Valid for round, concentric conductors without loss; a stranded core or a
    braid takes off some per cent. Units: metres, ohms. Errors: ValueError for lengths not above zero, a core as wide
    as the screen, a permittivity below one.

    >>> round(impedance_coaxial(2.95e-3, 0.90e-3, 2.25), 4)
    47.4538
    """
    _refuse_lengths(relative_permittivity, outer_m=outer_m, inner_m=inner_m)
    refuse_unless(
        outer_m > inner_m,
        f"A core of {inner_m} m does not fit into a screen of {outer_m} m; the screen must be wider than the core.",
    )
    if by_logarithm:
        return OHM_PER_DECADE * math.log10(outer_m / inner_m) / math.sqrt(relative_permittivity)
    return FREE_SPACE_OHM / (2 * math.pi) * math.log(outer_m / inner_m) / math.sqrt(relative_permittivity)


def delay_per_metre(relative_permittivity: float = 1.0) -> float:
    """Seconds a wave takes for a metre.

    Formula: sqrt(er)/c. Source: c by definition of the metre. Valid for one medium all round; insulated wire in air
    lies between 3.3 ns/m and that of its insulation, commonly near 4 ns/m (common practice, no source).
    Units: seconds per metre. Errors: ValueError for a permittivity below one.

    >>> round(delay_per_metre() * 1e9, 4), round(delay_per_metre(2.25) * 1e9, 4)
    (3.3356, 5.0035)
    """
    _refuse_lengths(relative_permittivity)
    return float(math.sqrt(relative_permittivity) / LIGHT_M_PER_S)


def capacitance_per_metre(impedance_ohm: float, delay_s_per_m: float) -> float:
    """Farads per metre of a wire of this impedance and delay.

    Formula: delay/Z0. Source: Z0 = sqrt(L/C), delay = sqrt(L*C). Valid for a wire without loss. Units: ohm, s/m, F/m.
    Errors: ValueError for figures not above zero or not finite.

    >>> round(capacitance_per_metre(276.0, 3.33564e-9) * 1e12, 1)
    12.1
    """
    _refuse_constants(impedance_ohm, delay_s_per_m)
    return delay_s_per_m / impedance_ohm


def inductance_per_metre(impedance_ohm: float, delay_s_per_m: float) -> float:
    """Henries per metre of a wire of this impedance and delay.

    Formula: Z0*delay. Source: Z0 = sqrt(L/C), delay = sqrt(L*C). Valid for a wire without loss. Units: ohm, s/m, H/m.
    Errors: ValueError for figures not above zero or not finite.

    >>> round(inductance_per_metre(276.0, 3.33564e-9) * 1e6, 2)
    0.92
    """
    _refuse_constants(impedance_ohm, delay_s_per_m)
    return impedance_ohm * delay_s_per_m


def impedance_and_delay(capacitance_f_per_m: float, inductance_h_per_m: float) -> tuple[float, float]:
    """Ohms and seconds per metre of a wire of this capacitance and inductance.

    Formula: sqrt(L/C), sqrt(L*C). Source: textbooks (from memory). Valid for a wire without loss.
    Units: F/m, H/m, ohm, s/m. Errors: ValueError for figures not above zero or not finite.

    >>> ohm, delay = impedance_and_delay(50e-12, 0.125e-6)
    >>> round(ohm, 6), round(delay * 1e9, 6)
    (50.0, 2.5)
    """
    given = {"capacitance_f_per_m": capacitance_f_per_m, "inductance_h_per_m": inductance_h_per_m}
    refuse_not_above_zero(**given)
    refuse_not_finite(**given)
    return math.sqrt(inductance_h_per_m / capacitance_f_per_m), math.sqrt(inductance_h_per_m * capacitance_f_per_m)


def _refuse_lengths(relative_permittivity: float, **lengths: float) -> None:
    refuse_not_above_zero(**lengths)
    refuse_not_finite(**lengths, relative_permittivity=relative_permittivity)
    refuse_unless(
        relative_permittivity >= 1.0,
        f"The relative permittivity must be one or more; {relative_permittivity} was given.",
    )


def _refuse_constants(impedance_ohm: float, delay_s_per_m: float) -> None:
    refuse_not_above_zero(impedance_ohm=impedance_ohm, delay_s_per_m=delay_s_per_m)
    refuse_not_finite(impedance_ohm=impedance_ohm, delay_s_per_m=delay_s_per_m)
