"""Noise that pulses make on their own supply: L·di/dt of the wire, the charge of a capacitor, what the two do together.

The chassis is fed over a wire with inductance and resistance; a decoupling capacitor stands across the supply at the
chassis; the stage draws pulses of current from it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import expm

from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)
from restoration.engineering.second_order import resonance_hz

Matrix = NDArray[np.float64]

POINTS = 2000  # looked at in each of the two parts of a period: fifty to a turn at the least
MOST_TURNS = 40  # of the ring in one part of a period that so many points still show


def wire_dip_v(inductance_h: float, current_a: float, edge_s: float) -> float:
    """Voltage along a supply wire while the current through it changes.

    Formula: V = L ΔI / Δt. Source: induction; the use is common practice. Valid where nothing else gives the current:
    with a decoupling capacitor at the chassis the wire's current changes far more slowly, see `dip_of_step`. An edge
    that is no straight line has a steeper part; a raised-cosine one reaches π/2 of this. Units: H, A, s; V.
    Errors: ValueError for an inductance or current below zero, an edge not above zero, and what is not finite.

    >>> round(wire_dip_v(5e-6, 20e-3, 100e-9), 9)
    1.0
    """
    refuse_below_zero(inductance_h=inductance_h, current_a=current_a)
    refuse_not_above_zero(edge_s=edge_s)
    refuse_not_finite(edge_s=edge_s)
    return inductance_h * current_a / edge_s


def pulse_charge_c(current_a: float, duration_s: float) -> float:
    """Charge that one pulse draws.

    Formula: Q = I t. Source: definition of current. Valid for a flat pulse. Units: A, s; C.
    Errors: ValueError for what is below zero or not finite.

    >>> pulse_charge_c(20e-3, 1e-6)
    2e-08
    """
    refuse_below_zero(current_a=current_a, duration_s=duration_s)
    return current_a * duration_s


def decoupling_f(current_a: float, duration_s: float, dip_v: float) -> float:
    """Capacitance that gives one pulse its charge and falls by no more than the dip allowed.

    Formula: C = I Δt / ΔV. Source: definition of capacitance. Valid where the supply gives nothing meanwhile, so the
    capacitance is on the large side; the capacitor's own resistance and inductance come on top, see
    `capacitor_dip_v`. Units: A, s, V; F. Errors: ValueError for a current or duration below zero, a dip not above
    zero, and what is not finite.

    >>> round(decoupling_f(20e-3, 1e-6, 0.1), 12)
    2e-07
    """
    refuse_not_above_zero(dip_v=dip_v)
    refuse_not_finite(dip_v=dip_v)
    return pulse_charge_c(current_a, duration_s) / dip_v


def capacitor_dip_v(
    current_a: float, duration_s: float, edge_s: float, capacitance_f: float, own_ohm: float = 0.0, own_h: float = 0.0
) -> float:
    """Upper bound of the dip over a decoupling capacitor with its own resistance and the inductance of its leads.

    Formula: I t / C + I R + L I / t_edge. Source: sum of the three voltages; they do not peak together, so it is a
    bound. Valid for a pulse whose edges are no quicker than `edge_s` all along. Units: A, s, F, Ω, H; V.
    Errors: ValueError for a capacitance or edge not above zero, what is below zero, and what is not finite.

    >>> round(capacitor_dip_v(20e-3, 1e-6, 100e-9, 0.2e-6, own_ohm=0.5, own_h=20e-9), 6)
    0.114
    """
    refuse_not_above_zero(capacitance_f=capacitance_f)
    refuse_below_zero(own_ohm=own_ohm)
    charge_c = pulse_charge_c(current_a, duration_s)
    return charge_c / capacitance_f + current_a * own_ohm + wire_dip_v(own_h, current_a, edge_s)


def self_resonance_hz(capacitance_f: float, own_h: float) -> float:
    """Frequency above which a capacitor with its leads acts as an inductance; infinite without inductance.

    Formula: 1 / (2 π √(L C)). Source: circuit theory. Valid for one lumped inductance in series. Units: F, H; Hz.
    Errors: ValueError for a capacitance not above zero, an inductance below zero, and what is not finite.

    >>> round(self_resonance_hz(0.1e-6, 20e-9) / 1e6, 3)
    3.559
    """
    refuse_not_above_zero(capacitance_f=capacitance_f)
    refuse_not_finite(capacitance_f=capacitance_f)
    refuse_below_zero(own_h=own_h)
    return resonance_hz(own_h, capacitance_f) if own_h else math.inf


@dataclass(frozen=True)
class Sag:
    """Steady dips of a supply behind a resistor under a train of equal pulses, in volts below the supply.

    `before_v` stands just before a pulse, `lowest_v` at its end, `mean_v` is the average.
    """

    before_v: float
    lowest_v: float
    mean_v: float

    @property
    def ripple_v(self) -> float:
        """Peak to peak."""
        return self.lowest_v - self.before_v


def sag_at_repetition(
    current_a: float, duration_s: float, period_s: float, feed_ohm: float, capacitance_f: float
) -> Sag:
    """How far a supply behind a feed resistor and a capacitor sags once pulses have come for long.

    Formula: with τ = R C, a = exp(−t/τ), b = exp(−(T−t)/τ): lowest = I R (1 − a)/(1 − a b), before = b · lowest,
    mean = I R t/T. Source: steady state of a first-order circuit, by equating the start and the end of a period.
    Valid for flat pulses with edges far shorter than τ, and without inductance. Units: A, s, Ω, F; V.
    Errors: ValueError for a pulse longer than its period, and values not above zero or not finite.

    >>> sag = sag_at_repetition(20e-3, 1e-6, 10e-6, feed_ohm=1000.0, capacitance_f=1e-6)
    >>> round(sag.ripple_v, 4), round(sag.mean_v, 6)
    (0.018, 2.0)
    """
    _refuse_train(current_a, duration_s, period_s)
    refuse_not_above_zero(feed_ohm=feed_ohm, capacitance_f=capacitance_f)
    refuse_not_finite(feed_ohm=feed_ohm, capacitance_f=capacitance_f)
    tau_s = feed_ohm * capacitance_f
    rest_s = period_s - duration_s
    lowest_v = current_a * feed_ohm * math.expm1(-duration_s / tau_s) / math.expm1(-period_s / tau_s)
    return Sag(lowest_v * math.exp(-rest_s / tau_s), lowest_v, current_a * feed_ohm * duration_s / period_s)


def _refuse_train(current_a: float, duration_s: float, period_s: float) -> None:
    refuse_below_zero(current_a=current_a)
    refuse_not_above_zero(duration_s=duration_s, period_s=period_s)
    refuse_not_finite(duration_s=duration_s, period_s=period_s)
    refuse_unless(
        duration_s < period_s,
        f"A pulse of {duration_s} s does not end within its period of {period_s} s; give a shorter pulse.",
    )


@dataclass(frozen=True)
class SupplyWire:
    """A supply wire and the decoupling capacitor at its end: a resonant circuit.

    `resistance_ohm` is all that stands in series with the inductance: wire, feed resistor, supply.

    >>> wire = SupplyWire(inductance_h=5e-6, resistance_ohm=0.2, capacitance_f=0.2e-6)
    >>> round(wire.impedance_ohm, 6), round(wire.damping_ratio, 6), round(wire.resonance_hz)
    (5.0, 0.02, 159155)
    """

    inductance_h: float
    resistance_ohm: float
    capacitance_f: float

    def __post_init__(self) -> None:
        refuse_not_above_zero(inductance_h=self.inductance_h, capacitance_f=self.capacitance_f)
        refuse_not_finite(inductance_h=self.inductance_h, capacitance_f=self.capacitance_f)
        refuse_below_zero(resistance_ohm=self.resistance_ohm)

    @property
    def resonance_hz(self) -> float:
        """1 / (2 π √(L C))."""
        return resonance_hz(self.inductance_h, self.capacitance_f)

    @property
    def impedance_ohm(self) -> float:
        """√(L / C)."""
        return math.sqrt(self.inductance_h / self.capacitance_f)

    @property
    def damping_ratio(self) -> float:
        """(R / 2) √(C / L); 1 is critical."""
        return self.resistance_ohm / (2 * self.impedance_ohm)

    def resistance_for(self, damping_ratio: float) -> float:
        """Resistance in series that damps it so far: 2 ζ √(L / C).

        >>> SupplyWire(5e-6, 0.0, 0.2e-6).resistance_for(0.7)
        7.0
        """
        refuse_below_zero(damping_ratio=damping_ratio)
        return 2 * damping_ratio * self.impedance_ohm


def dip_of_step(wire: SupplyWire, current_a: float) -> float:
    """Deepest dip at the chassis when the current it draws steps up and stays.

    Formula: with Z = √(L/C), ζ = (R/2)√(C/L): I Z (2 ζ + exp(−ζ (π − arccos ζ)/√(1 − ζ²))) for ζ < 1, else I R. The
    first is what is left of the ring at its first peak, where the slope of the step response vanishes; the second
    is the drop it comes to rest at, without overshoot. Source: second-order circuit theory, worked out for this
    circuit. Valid for a sudden step, a supply stiff at the far end of the wire, and a capacitor without resistance or
    inductance of its own. Units: as the wire, A; V. Errors: ValueError for a current below zero or not finite.

    >>> round(dip_of_step(SupplyWire(5e-6, 0.0, 0.2e-6), 20e-3), 9)
    0.1
    """
    refuse_below_zero(current_a=current_a)
    zeta = wire.damping_ratio
    if zeta >= 1.0:
        return current_a * wire.resistance_ohm
    left = math.exp(-zeta * (math.pi - math.acos(zeta)) / math.sqrt(1 - zeta * zeta))
    return current_a * wire.impedance_ohm * (2 * zeta + left)


@dataclass(frozen=True)
class Ripple:
    """Ripple at the chassis in the long run: how far below and above the supply it goes, and its mean below it."""

    lowest_v: float
    highest_v: float
    mean_v: float

    @property
    def peak_to_peak_v(self) -> float:
        """Highest less lowest level."""
        return self.highest_v + self.lowest_v


def ripple_at_repetition(wire: SupplyWire, current_a: float, duration_s: float, period_s: float) -> Ripple:
    """Ripple that a train of equal pulses keeps up once it has run for long, ringing of the wire included.

    Formula: x' = A x + b with x = (level, current in the wire), constant b in each of the two parts of a period; the
    periodic state solves x₀ = e^(A T) x₀ + what the pulse adds, and the level is followed from there in 2000 steps a
    part. Source: linear state equations. Valid as `dip_of_step`; a repetition rate near the resonance, or a whole
    part of it, builds the ring up, and with little resistance beyond what valve stages would stand for.
    Units: as the wire, A, s; V. Errors: ValueError for a pulse longer than its period, values not above zero or not
    finite, a wire without resistance (its ring would never settle), and more than 40 turns of the ring in one part
    of a period, which the steps would not show.

    >>> wire = SupplyWire(5e-6, 0.2, 0.2e-6)
    >>> round(ripple_at_repetition(wire, 20e-3, 1e-6, 20e-6).peak_to_peak_v, 3)
    0.187
    """
    _refuse_train(current_a, duration_s, period_s)
    refuse_not_above_zero(resistance_ohm=wire.resistance_ohm)
    turns = max(duration_s, period_s - duration_s) * wire.resonance_hz
    refuse_unless(
        turns <= MOST_TURNS,
        f"The supply rings {turns:.0f} times between two edges of the current; up to {MOST_TURNS} are followed. "
        "Give a shorter period.",
    )
    state = _periodic_start(wire, current_a, duration_s, period_s)
    drawn = _followed(wire, state, current_a, duration_s)
    rest = _followed(wire, drawn[-1], 0.0, period_s - duration_s)
    levels_v = np.concatenate((drawn[:, 0], rest[:, 0]))
    return Ripple(
        -float(levels_v.min()), float(levels_v.max()), current_a * wire.resistance_ohm * duration_s / period_s
    )


def _matrix(wire: SupplyWire) -> Matrix:
    """State equations of (level against the supply, current in the wire)."""
    return np.array(
        [[0.0, 1.0 / wire.capacitance_f], [-1.0 / wire.inductance_h, -wire.resistance_ohm / wire.inductance_h]]
    )


def _settled(wire: SupplyWire, current_a: float) -> Matrix:
    return np.array([-current_a * wire.resistance_ohm, current_a])


def _periodic_start(wire: SupplyWire, current_a: float, duration_s: float, period_s: float) -> Matrix:
    """The state just before a pulse, which a whole period brings back."""
    during, after = expm(_matrix(wire) * duration_s), expm(_matrix(wire) * (period_s - duration_s))
    settled = _settled(wire, current_a)
    added = after @ (settled - during @ settled)
    start: Matrix = np.linalg.solve(np.eye(2) - after @ during, added)
    return start


def _followed(wire: SupplyWire, state: Matrix, current_a: float, span_s: float) -> Matrix:
    """States at equal steps over a span of constant current, shape (2001, 2)."""
    settled = _settled(wire, current_a)
    step = expm(_matrix(wire) * span_s / POINTS)
    states = [state - settled]
    for _ in range(POINTS):
        states.append(step @ states[-1])
    return np.array(states) + settled
