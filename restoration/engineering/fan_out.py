"""What all the loads on one source do to it together: level, edge, and the share of the drive they take."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from restoration.engineering.dividers.circuit import Divider, parallel, solve
from restoration.engineering.plots import format_part, format_si
from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)
from restoration.engineering.rise_time import combined_rise_s, rc_rise_s

WIRE_F_PER_M = 12e-12
"""A single wire over a chassis adds 10 to 15 pF a metre: common practice, no source."""

MOST_SHARE = 0.8
"""More than eight tenths of what the drive may give is warned of: common practice, no source."""


@dataclass(frozen=True)
class Drive:
    """The driving stage: its open volts, the resistance it has, how much it may give, and its own edge (10 to 90 %).

    Raises ValueError for volts that are zero or not finite, a resistance or an edge below zero, and a most current
    that is not above zero.

    >>> Drive(30.0, 1e3, most_a=0.0)
    Traceback (most recent call last):
    ValueError: most_a must be more than zero; 0.0 was given.
    """

    open_v: float
    resistance_ohm: float
    most_a: float | None = None
    edge_s: float = 0.0

    def __post_init__(self) -> None:
        refuse_not_finite(open_v=self.open_v)
        refuse_unless(self.open_v != 0.0, "open_v must not be zero: a source without volts drives nothing.")
        refuse_below_zero(resistance_ohm=self.resistance_ohm, edge_s=self.edge_s)
        refuse_out_of_reach(open_v=self.open_v, resistance_ohm=self.resistance_ohm, edge_s=self.edge_s)
        if self.most_a is not None:
            refuse_not_above_zero(most_a=self.most_a)
            refuse_not_finite(most_a=self.most_a)
            refuse_out_of_reach(most_a=self.most_a)


@dataclass(frozen=True)
class HungLoad:
    """One load on the source: its resistance beside its capacitance, and the wire that leads to it.

    >>> HungLoad("grid of V7", 220e3, 40e-12, wire_m=-1.0)
    Traceback (most recent call last):
    ValueError: wire_m must be zero or more and finite; -1.0 was given.
    """

    name: str
    resistance_ohm: float = math.inf
    capacitance_f: float = 0.0
    wire_m: float = 0.0

    def __post_init__(self) -> None:
        refuse_not_above_zero(resistance_ohm=self.resistance_ohm)
        refuse_below_zero(capacitance_f=self.capacitance_f, wire_m=self.wire_m)
        refuse_out_of_reach(resistance_ohm=self.resistance_ohm, capacitance_f=self.capacitance_f, wire_m=self.wire_m)


@dataclass(frozen=True)
class FanOut:
    """All loads together, the level and the edge they leave, and the current they ask for.

    `steady_a` is drawn while the pulse stands, `peak_a` is the most, while the edge fills the capacitances; `share` is
    that against what the drive may give, None where that is not known.
    """

    load_ohm: float
    load_f: float
    level_v: float
    rc_rise_s: float
    rise_s: float
    steady_a: float
    peak_a: float
    share: float | None
    warnings: tuple[str, ...]


def fan_out(drive: Drive, loads: Iterable[HungLoad], *, wire_f_per_m: float = WIRE_F_PER_M) -> FanOut:
    """Hang loads on a source and say what becomes of its pulse.

    Formula: R = ∥ of the loads, C = Σ (C + length × wire_f_per_m); level V' = V R / (Rs + R); rise ln 9 τ with
    τ = (Rs ∥ R) C (2.2 R C in practice), with the drive's own edge by the sum of squares; steady current V' / R; the
    most, at the end of a straight edge of T = edge / 0.8, V' ((1 − q) / R + q / (Rs ∥ R)) with
    q = τ / T × (1 − exp(−T / τ)), which is V / Rs for a step. Source: Thevenin's theorem and the RC's answer to a ramp.
    Valid for lumped loads, wires short against the edge, a pulse longer than its edge, and a drive that is the same
    resistance up and down: a cathode follower pulls up faster than it lets go. Units: V, Ω, F, s, A. Errors: ValueError
    for no loads, and figures below zero or not finite.

    >>> grids = [HungLoad("V7", 47e3, 40e-12, wire_m=3.0), HungLoad("V9", 47e3, 64e-12)]
    >>> found = fan_out(Drive(30.0, 1e3, most_a=0.05), grids)
    >>> round(found.level_v, 3), round(found.load_f * 1e12), round(found.rise_s * 1e9, 1), round(found.share, 3)
    (28.776, 140, 295.1, 0.6)
    """
    hung = tuple(loads)
    refuse_unless(bool(hung), "Nothing hangs on the source; give one load or more.")
    refuse_below_zero(wire_f_per_m=wire_f_per_m)
    refuse_out_of_reach(wire_f_per_m=wire_f_per_m)
    load_ohm = parallel(*(load.resistance_ohm for load in hung))
    load_f = math.fsum(load.capacitance_f + load.wire_m * wire_f_per_m for load in hung)
    at_rest = solve(Divider(drive.open_v, drive.resistance_ohm, 0.0, load_ohm))
    own_rise_s = rc_rise_s(at_rest.thevenin_ohm, load_f)
    peak_a = _peak_a(drive, load_ohm, load_f)
    steady_a = abs(at_rest.load_v) / load_ohm
    share = None if drive.most_a is None else peak_a / drive.most_a
    return FanOut(
        load_ohm=load_ohm,
        load_f=load_f,
        level_v=at_rest.load_v,
        rc_rise_s=own_rise_s,
        rise_s=combined_rise_s(own_rise_s, drive.edge_s),
        steady_a=steady_a,
        peak_a=peak_a,
        share=share,
        warnings=_warnings(share, steady_a, peak_a),
    )


def _peak_a(drive: Drive, load_ohm: float, load_f: float) -> float:
    """The most current from the source during its edge; infinite for a step into a capacitance without resistance."""
    at_rest = solve(Divider(abs(drive.open_v), drive.resistance_ohm, 0.0, load_ohm))
    if load_f == 0.0:
        return at_rest.load_v / load_ohm
    edge_s, thevenin_ohm = drive.edge_s / 0.8, at_rest.thevenin_ohm
    if thevenin_ohm == 0.0:
        return at_rest.load_v * (1.0 / load_ohm + load_f / edge_s) if edge_s else math.inf
    constants = edge_s / (thevenin_ohm * load_f)
    lag = -math.expm1(-constants) / constants if constants else 1.0
    return at_rest.load_v * ((1.0 - lag) / load_ohm + lag / thevenin_ohm)


def _warnings(share: float | None, steady_a: float, peak_a: float) -> tuple[str, ...]:
    if share is None or share <= MOST_SHARE:
        return ()
    if math.isinf(share):
        return ("A step from a source without resistance has no bound to its charging current; give an edge.",)
    asked = f"{format_si(peak_a, 'A')} on the edge and {format_si(steady_a, 'A')} after it"
    if share > 1.0:
        return (f"The loads ask for {format_part(share)} of what the drive may give ({asked}): it cannot.",)
    return (f"The loads take {format_part(share)} of what the drive may give ({asked}): little is left for ageing.",)
