"""Series, shunt and coupled termination of a wire: the resistor, its cost in current and watts, and who can pay it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.plots import format_si
from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)

TIMES_OF_ROUND_TRIP = 3.0
"""How many times the longer of edge and round trip a coupled termination's R*C is; common practice, no source."""


@dataclass(frozen=True)
class TerminationCost:
    """What a termination asks of the driving stage, and what its resistor turns into heat.

    `peak_a` is the most current, `mean_w` and `peak_w` are those of the resistor. `is_afforded` is None where nobody
    knows what the stage can give.
    """

    peak_a: float
    peak_w: float
    mean_w: float
    is_afforded: bool | None
    words: str


def shunt_cost(
    level_v: float, shunt_ohm: float, *, duty: float = 1.0, drive_most_a: float | None = None
) -> TerminationCost:
    """The cost of a resistor across the end of a wire that stands at this level for this part of the time.

    Formula: I = V/R, P = V^2/R, mean duty*P. Source: Ohm's law. Valid for rest at no volts and pulses long beside
    their edges. Units: volts, ohm, ampere, watt. Errors: ValueError for a resistor not above zero, a duty outside 0 to
    1, a drive not above zero, NaN.

    >>> shunt_cost(30.0, 270.0, drive_most_a=0.02).words
    'The termination draws 111\\xa0mA; the stage gives 20.0\\xa0mA at most and cannot drive it.'
    """
    refuse_not_finite(level_v=level_v, duty=duty, shunt_ohm=shunt_ohm)
    refuse_not_above_zero(shunt_ohm=shunt_ohm)
    refuse_unless(0.0 <= duty <= 1.0, f"The duty must be from 0 to 1; {duty} was given.")
    peak_w = level_v**2 / shunt_ohm
    return _cost(abs(level_v) / shunt_ohm, peak_w, duty * peak_w, drive_most_a)


def series_to_match(source_ohm: float, impedance_ohm: float) -> float:
    """The series resistor that, with the source, matches a wire at its beginning; none where the source is enough.

    Formula: Z0 - Rs, or 0. Source: reflection (Z0 - Z0)/(Z0 + Z0) = 0. Valid for a source that is a resistance on both
    edges; a valve's often differs between turning on and off. Units: ohm.
    Errors: ValueError for a source below zero, an impedance not above zero.

    >>> series_to_match(90.0, 276.0), series_to_match(1000.0, 276.0)
    (186.0, 0.0)
    """
    refuse_below_zero(source_ohm=source_ohm)
    refuse_not_above_zero(impedance_ohm=impedance_ohm)
    refuse_not_finite(impedance_ohm=impedance_ohm)
    return max(0.0, impedance_ohm - source_ohm)


def series_cost(
    emf_v: float,
    source_ohm: float,
    series_ohm: float,
    impedance_ohm: float,
    delay_s: float,
    *,
    pulses_per_s: float = 0.0,
    drive_most_a: float | None = None,
) -> TerminationCost:
    """The cost of a series resistor into an open wire: current flows for one round trip after each edge only.

    Formula: I = E/(Rs + R + Z0) for 2*Td at each of two edges; P = I^2*R. Source: wave algebra. Valid for edges quick
    beside the delay (slower ones take less), matched or nearly so, a load that takes no current.
    Units: volts, ohm, seconds, 1/second. Errors: ValueError for figures below zero, an impedance not above zero, NaN.

    >>> round(series_cost(30.0, 90.0, 186.0, 276.0, 20e-9).peak_a * 1e3, 1)
    54.3
    """
    refuse_not_finite(emf_v=emf_v, impedance_ohm=impedance_ohm)
    refuse_below_zero(source_ohm=source_ohm, series_ohm=series_ohm, delay_s=delay_s, pulses_per_s=pulses_per_s)
    refuse_not_above_zero(impedance_ohm=impedance_ohm)
    peak_a = abs(emf_v) / (source_ohm + series_ohm + impedance_ohm)
    peak_w = peak_a**2 * series_ohm
    return _cost(peak_a, peak_w, peak_w * min(1.0, 4.0 * delay_s * pulses_per_s), drive_most_a)


def coupling_for(shunt_ohm: float, delay_s: float, rise_s: float, *, times: float = TIMES_OF_ROUND_TRIP) -> float:
    """The capacitor of a coupled termination: it must hardly charge while edge and first reflection pass.

    Formula: R*C = times * max(tr, 2*Td). Source: common practice, no source, and the factor a choice: with 3 the
    capacitor takes up 28 % of the step in a round trip, with more the current lasts longer. Valid while R*C stays well
    below the pulse duration, else nothing is saved. Units: ohm, seconds, farad. Errors: ValueError for figures not
    above zero, an edge below zero.

    >>> round(coupling_for(276.0, 20e-9, 100e-9) * 1e12)
    1087
    """
    given = {"shunt_ohm": shunt_ohm, "delay_s": delay_s, "times": times}
    refuse_not_above_zero(**given)
    refuse_not_finite(**given)
    refuse_below_zero(rise_s=rise_s)
    return times * max(rise_s, 2.0 * delay_s) / shunt_ohm


def coupled_cost(
    level_v: float,
    shunt_ohm: float,
    coupling_f: float,
    *,
    duration_s: float,
    period_s: float,
    source_ohm: float = 0.0,
    drive_most_a: float | None = None,
) -> TerminationCost:
    """The cost of a resistor and capacitor in series across the end of a wire, for a train of pulses.

    Formula: with t = (Rs + R)*C, x = exp(-D/t), y = exp(-(T - D)/t), both resistances together stand at
    u1 = V(1 - y)/(1 - xy) after the leading edge and at u2 = -V(1 - x)/(1 - xy) after the trailing one; energy a period
    (C/2)[u1^2(1 - x^2) + u2^2(1 - y^2)], of which R/(Rs + R) goes into the resistor; the most current, of the first
    pulse after rest, V/(Rs + R). Source: first-order circuit theory. Valid for edges quick beside the time constant;
    `level_v` is the level with nothing on it, behind `source_ohm`. Units: volts, ohm, farad, seconds.
    Errors: ValueError for figures not above zero, a source below zero, a period no longer than the pulse, NaN.

    >>> cost = coupled_cost(30.0, 270.0, 1e-9, duration_s=2e-6, period_s=20e-6)
    >>> round(cost.peak_a * 1e3), round(cost.mean_w * 1e3, 1), round(shunt_cost(30.0, 270.0, duty=0.1).mean_w * 1e3)
    (111, 45.0, 333)
    """
    given = {"shunt_ohm": shunt_ohm, "coupling_f": coupling_f, "duration_s": duration_s, "period_s": period_s}
    refuse_not_above_zero(**given)
    refuse_not_finite(level_v=level_v, **given)
    refuse_unless(
        period_s > duration_s, f"A period of {period_s} s does not hold a pulse of {duration_s} s and a rest after it."
    )
    refuse_below_zero(source_ohm=source_ohm)
    whole_ohm = source_ohm + shunt_ohm
    share = shunt_ohm / whole_ohm
    constant_s = whole_ohm * coupling_f
    up, down = duration_s / constant_s, (period_s - duration_s) / constant_s
    whole = -math.expm1(-(up + down))
    after_leading_v = level_v * -math.expm1(-down) / whole
    after_trailing_v = level_v * -math.expm1(-up) / whole
    energy_j = (
        coupling_f / 2 * (after_leading_v**2 * -math.expm1(-2 * up) + after_trailing_v**2 * -math.expm1(-2 * down))
    )
    peak_a = abs(level_v) / whole_ohm
    return _cost(peak_a, peak_a**2 * shunt_ohm, share * energy_j / period_s, drive_most_a)


def _cost(peak_a: float, peak_w: float, mean_w: float, drive_most_a: float | None) -> TerminationCost:
    draws = f"The termination draws {format_si(peak_a, 'A')}; "
    if drive_most_a is None:
        return TerminationCost(peak_a, peak_w, mean_w, None, draws + "what the stage can give is not known.")
    refuse_not_above_zero(drive_most_a=drive_most_a)
    is_afforded = peak_a <= drive_most_a
    most = f"the stage gives {format_si(drive_most_a, 'A')} at most and "
    ends = f"{peak_a / drive_most_a:.0%} of it goes here." if is_afforded else "cannot drive it."
    return TerminationCost(peak_a, peak_w, mean_w, is_afforded, draws + most + ends)
