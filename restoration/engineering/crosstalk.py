"""How much of one wire's pulse can appear on its neighbour in a loom: an upper bound."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)

EdgeShape = Literal["straight", "gaussian", "exponential"]

STEEPEST = {"straight": 0.8, "gaussian": 2.5631031311 / math.sqrt(2.0 * math.pi), "exponential": math.log(9.0)}
"""Steepest slope of an edge, times its 10 to 90 % rise time, as a part of the step: closed forms."""

MUTUAL_F_PER_M = 5e-12
"""Two wires laid together couple about 5 pF a metre: a guess from practice, no source; measure a loom to know."""


@dataclass(frozen=True)
class Crosstalk:
    """The bound, the two it is the least of, and its share of a third of the receiver's threshold where known."""

    bound_v: float
    slope_bound_v: float
    divider_bound_v: float
    share: float | None


def steepest_slope(step_v: float, rise_s: float, shape: EdgeShape = "exponential") -> float:
    """The steepest slope of an edge of so many volts with a 10 to 90 % rise time; infinite for a step.

    Formula: straight 0.8 V / t, Gaussian 1.0225 V / t, exponential ln 9 V / t. Source: closed forms. Valid for edges of
    these shapes; where the shape is not known the exponential is the careful choice. Units: V, s, V/s. Errors:
    ValueError for volts not finite, a rise time below zero or not finite, and a shape there is not.

    >>> round(steepest_slope(30.0, 80e-9, "straight") / 1e6, 6)
    300.0
    """
    refuse_not_finite(step_v=step_v)
    refuse_below_zero(rise_s=rise_s)
    refuse_out_of_reach(step_v=step_v, rise_s=rise_s)
    refuse_unless(shape in STEEPEST, f"The shape of an edge is {', '.join(STEEPEST)}; “{shape}” was given.")
    if step_v == 0.0:
        return 0.0
    return STEEPEST[shape] * abs(step_v) / rise_s if rise_s else math.inf


def crosstalk_bound(
    step_v: float,
    rise_s: float,
    mutual_f: float,
    victim_ohm: float,
    victim_f: float,
    *,
    shape: EdgeShape = "exponential",
    threshold_v: float | None = None,
) -> Crosstalk:
    """The most that the pulse on one wire can put on the wire beside it.

    Formula: V ≤ min(R Cm dV/dt, ΔV Cm / (Cm + Cv)), dV/dt the steepest slope. R is the resistance of the disturbed wire
    to earth, all its ends side by side, and Cv its capacitance to earth. Source: both follow from
    (Cm + Cv) v' + v / R = Cm V'; checked against ngspice, which is never above. Valid for coupling by capacitance
    between wires short against the edge, a resistive end, and a disturbing pulse that goes one way from rest; ΔV is its
    whole swing with any overshoot, as it stands on the wire. Coupling by inductance comes on top where the currents are
    large. The bound is compared with a third of the threshold (common practice, no source). Units: V, s, F, Ω. Errors:
    ValueError for figures below zero or not finite; the resistance may be infinite and must be above zero.

    >>> found = crosstalk_bound(30.0, 80e-9, 15e-12, 1e3, 36e-12, shape="straight", threshold_v=9.0)
    >>> round(found.bound_v, 6), round(found.divider_bound_v, 3), round(found.share, 6)
    (4.5, 8.824, 1.5)
    """
    slope = steepest_slope(step_v, rise_s, shape)
    refuse_below_zero(mutual_f=mutual_f, victim_f=victim_f)
    refuse_not_above_zero(victim_ohm=victim_ohm)
    refuse_out_of_reach(mutual_f=mutual_f, victim_ohm=victim_ohm, victim_f=victim_f)
    divider_v = abs(step_v) * mutual_f / (mutual_f + victim_f) if mutual_f else 0.0
    slope_v = victim_ohm * mutual_f * slope if mutual_f and slope else 0.0
    bound_v = min(slope_v, divider_v)
    share = None
    if threshold_v is not None:
        refuse_not_finite(threshold_v=threshold_v)
        refuse_out_of_reach(threshold_v=threshold_v)
        refuse_not_above_zero(threshold_v=abs(threshold_v))
        share = 3.0 * bound_v / abs(threshold_v)
    return Crosstalk(bound_v, slope_v, divider_v, share)
