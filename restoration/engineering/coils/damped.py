"""An inductor damped by the resistor that it is wound on: how it rings, and what the resistor's drift does."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from restoration.engineering.refusals import refuse_below_zero, refuse_unless
from restoration.engineering.second_order import overshoot_of, resonance_hz

Floats = NDArray[np.float64]

MATTERS_FROM = 0.05
"""An overshoot that moves by less than this part of the step is taken not to matter: common practice, no source."""

_FADED = 700.0  # a decrement beyond which no number holds the ratio
_EVEN = 1e-7  # damping so near to critical is reckoned as critical


@dataclass(frozen=True)
class DampedInductor:
    """Inductance, the resistance and capacitance across it, and the resistance of its own winding.

    Raises ValueError for an inductance, a capacitance or a resistance across that is not above zero, and a winding
    below zero. A resistance across of infinity is no damping.

    >>> DampedInductor(100e-6, 0.0, 10e3)
    Traceback (most recent call last):
    ValueError: A damped inductor has a capacitance above zero and finite; 0.0 was given.
    """

    inductance_h: float
    capacitance_f: float
    body_ohm: float
    winding_ohm: float = 0.0

    def __post_init__(self) -> None:
        for value, words in ((self.inductance_h, "an inductance"), (self.capacitance_f, "a capacitance")):
            refuse_unless(
                0.0 < value < math.inf, f"A damped inductor has {words} above zero and finite; {value} was given."
            )
        refuse_unless(self.body_ohm > 0.0, f"The resistance across is above zero; {self.body_ohm} was given.")
        refuse_below_zero(winding_ohm=self.winding_ohm)

    @property
    def natural_rad_per_s(self) -> float:
        """How fast it would ring undamped: sqrt((1 + r/R) / (L C))."""
        return math.sqrt((1.0 + self.winding_ohm / self.body_ohm) / (self.inductance_h * self.capacitance_f))

    @property
    def decay_per_s(self) -> float:
        """How fast what rings dies away: (r/L + 1/(R C)) / 2."""
        across = 1.0 / (self.body_ohm * self.capacitance_f)
        return 0.5 * (self.winding_ohm / self.inductance_h + across)

    @property
    def damping(self) -> float:
        """Damping ratio; 1 is critical."""
        return self.decay_per_s / self.natural_rad_per_s


@dataclass(frozen=True)
class DampedFigures:
    """How a damped inductor answers a step of current.

    `overshoot` is how far the current in the coil goes beyond its end, as part of it, and just as well by how much
    each swing of the voltage is smaller than the one before. `damped_hz`, `period_ratio` (one peak over the next of
    the same sign) are None where nothing rings; `peak_s` is infinite where the voltage only rises.
    """

    resonance_hz: float
    characteristic_ohm: float
    q: float
    damping: float
    critical_ohm: float
    damped_hz: float | None
    overshoot: float
    period_ratio: float | None
    peak_s: float
    peak_ohm: float
    settling_s: float


def damping_of(peak_ratio: float) -> float:
    """Damping ratio by a measured ring: one peak over the next of the same sign.

    Formula: zeta = delta / sqrt(4 pi² + delta²), delta = ln(ratio). Source: textbook. Valid where two peaks can be
    read. Units: none. Errors: ValueError for a ratio below 1 or not finite.

    >>> round(damping_of(1.36964653), 4)
    0.05
    """
    refuse_unless(1.0 <= peak_ratio < math.inf, f"One peak over the next is 1 or more; {peak_ratio} was given.")
    decrement = math.log(peak_ratio)
    return decrement / math.hypot(2.0 * math.pi, decrement)


def critical_ohm(inductance_h: float, capacitance_f: float, winding_ohm: float = 0.0) -> float:
    """Resistance across a coil at which it just does not ring; more than this rings.

    Formula: 1/R = r C / L + 2 sqrt(C / L), and R = sqrt(L / C) / 2 for a winding without resistance. Source: textbook.
    Valid for parallel R and C across L and r in series. Units: henries, farads, ohms. Errors: as `DampedInductor`.

    >>> critical_ohm(100e-6, 100e-12)
    500.0
    """
    DampedInductor(inductance_h, capacitance_f, math.inf, winding_ohm)
    own = winding_ohm * capacitance_f / inductance_h
    return 1.0 / (own + 2.0 * math.sqrt(capacitance_f / inductance_h))


def volts_per_ampere(inductor: DampedInductor, times_s: Floats) -> Floats:
    """Voltage across the inductor after a step of current of one ampere at time zero.

    Formula: v = r R/(R+r) + e^(-a t) {(1/C - a v1) sin(wt)/w + v0 cos(wt)} with v0 = -v_end, v1 chosen so that dv/dt
    starts at 1/C; as exponentials beyond critical. Source: textbook, the second-order equation. Valid for parallel R
    and C across L in series with r. Shapes: times in, as many volts out. Units: seconds in, volts per ampere out.
    Errors: none of its own.

    >>> one = DampedInductor(100e-6, 100e-12, 10e3)
    >>> round(float(volts_per_ampere(one, np.array([150e-9]))[0]))
    926
    """
    end = _end_ohm(inductor)
    return end + _free(inductor, times_s, -end, 1.0 / inductor.capacitance_f)


def current_part(inductor: DampedInductor, times_s: Floats) -> Floats:
    """Current in the inductor after a step, as part of what it ends at.

    Formula: 1 - e^(-a t) (cos wt + a sin(wt) / w). Source: textbook, the second-order step. Valid as
    `volts_per_ampere`. Shapes: times in, as many parts out. Units: seconds in, no unit out. Errors: none of its own.

    >>> one = DampedInductor(100e-6, 100e-12, 1000.0)
    >>> peak_s = math.pi / (1e7 * math.sqrt(0.75))
    >>> round(float(current_part(one, np.array([peak_s]))[0]), 4)
    1.163
    """
    return 1.0 + _free(inductor, times_s, -1.0, 0.0)


def _free(inductor: DampedInductor, times_s: Floats, start: float, slope: float) -> Floats:
    """What runs out freely from a start and a slope."""
    times = np.asarray(times_s, dtype=float)
    if inductor.damping > 1.0 + _EVEN:
        slow, fast = _poles(inductor)
        lasting = (slope + fast * start) / (fast - slow)
        passing = (slope + slow * start) / (fast - slow)
        return np.asarray(lasting * np.exp(-slow * times) - passing * np.exp(-fast * times))
    decay, swing = inductor.decay_per_s, _swing(inductor)
    push = slope + decay * start
    turned = times * np.sinc(swing * times / math.pi)  # sin(w t) / w, and t where w is nothing
    return np.asarray(np.exp(-decay * times) * (start * np.cos(swing * times) + push * turned))


def _poles(inductor: DampedInductor) -> tuple[float, float]:
    """The slow and the fast decay of what does not ring."""
    fast = inductor.decay_per_s + inductor.natural_rad_per_s * math.sqrt(inductor.damping**2 - 1.0)
    return inductor.natural_rad_per_s / fast * inductor.natural_rad_per_s, fast


def _swing(inductor: DampedInductor) -> float:
    """How fast it swings while it rings; nothing at critical damping."""
    return inductor.natural_rad_per_s * math.sqrt(max(0.0, 1.0 - inductor.damping**2))


def damped_figures(inductor: DampedInductor, band: float = 0.02) -> DampedFigures:
    """How an inductor with a resistance and a capacitance across it answers a step of current.

    Formula: f0 = 1/(2 pi sqrt(LC)), Z = sqrt(L/C), zeta = (r/L + 1/(RC)) / (2 w), Q = 1/(2 zeta), with r = 0 Q = R/Z;
    fd = f0 sqrt(1 - zeta²); overshoot as `overshoot_of`; the first peak of the voltage where its slope is zero, never
    where it only rises; settling: the last time at which the current is off its end by `band`. Source: textbook;
    checked against ngspice.
    Valid while one capacitance stands for winding, wires and load. Units: SI; `band` a part of the step. Errors:
    ValueError for a band outside 0 to 1.

    >>> found = damped_figures(DampedInductor(100e-6, 100e-12, 10e3))
    >>> round(found.q, 6), round(found.critical_ohm), round(found.damped_hz), round(found.period_ratio, 6)
    (10.0, 500, 1589559, 1.369647)
    """
    refuse_unless(0.0 < band < 1.0, f"The band of settling is a part between 0 and 1; {band} was given.")
    l_h, c_f = inductor.inductance_h, inductor.capacitance_f
    damping, swing = inductor.damping, _swing(inductor)
    rings = damping < 1.0
    peak_s = _first_peak_s(inductor)
    return DampedFigures(
        resonance_hz=resonance_hz(l_h, c_f),
        characteristic_ohm=math.sqrt(l_h / c_f),
        q=0.5 / damping if damping else math.inf,
        damping=damping,
        critical_ohm=critical_ohm(l_h, c_f, inductor.winding_ohm),
        damped_hz=swing / (2.0 * math.pi) if rings else None,
        overshoot=overshoot_of(damping),
        period_ratio=_period_ratio(damping) if rings else None,
        peak_s=peak_s,
        peak_ohm=_peak_ohm(inductor, peak_s),
        settling_s=settling_s(inductor, band),
    )


def _period_ratio(damping: float) -> float | None:
    """One peak over the next of the same sign; None where no second one could be told."""
    decrement = 2.0 * math.pi * damping / math.sqrt(1.0 - damping**2)
    return math.exp(decrement) if decrement < _FADED else None


def _first_peak_s(inductor: DampedInductor) -> float:
    """When the voltage is highest: where its slope, which begins at 1/C and runs out freely, is first nothing.

    Infinite where a winding of much resistance lets it only rise.
    """
    end, slope = _end_ohm(inductor), 1.0 / inductor.capacitance_f
    decay, natural = inductor.decay_per_s, inductor.natural_rad_per_s
    if inductor.damping > 1.0 + _EVEN:
        slow, fast = _poles(inductor)
        left = slope - fast * end
        return math.log(fast * (slope - slow * end) / (slow * left)) / (fast - slow) if left > 0.0 else math.inf
    against, swing = decay * slope - natural**2 * end, _swing(inductor)
    if swing > _EVEN * natural:
        return math.atan2(slope * swing, against) / swing
    return slope / against if against > 0.0 else math.inf


def _peak_ohm(inductor: DampedInductor, peak_s: float) -> float:
    if math.isinf(peak_s):
        return _end_ohm(inductor)
    return float(volts_per_ampere(inductor, np.array([peak_s]))[0])


def _end_ohm(inductor: DampedInductor) -> float:
    """The winding beside the body: what is left of a step of one ampere."""
    return inductor.winding_ohm / (1.0 + inductor.winding_ohm / inductor.body_ohm)


def settling_s(inductor: DampedInductor, band: float = 0.02) -> float:
    """Time after which the current in the inductor stays within a band of its end.

    Formula: the last crossing of 1 ± band by `current_part`, found between the swings whose height exp(-a t) is above
    and below the band. Source: definition. Valid as `volts_per_ampere`; infinite where nothing damps. Units: seconds.
    Errors: ValueError for a band outside 0 to 1.

    >>> one = DampedInductor(100e-6, 100e-12, 500.0)
    >>> round(settling_s(one) * 1e9)
    583
    """
    refuse_unless(0.0 < band < 1.0, f"The band of settling is a part between 0 and 1; {band} was given.")
    if inductor.decay_per_s == 0.0:
        return math.inf

    return _still_s(inductor, band) if inductor.damping >= 1.0 else _rung_out_s(inductor, band)


def _still_s(inductor: DampedInductor, band: float) -> float:
    """When what does not ring has come within the band."""

    def outside(time_s: float) -> float:
        return -float(_free(inductor, np.array([time_s]), -1.0, 0.0)[0]) - band

    until = 1.0 / inductor.natural_rad_per_s
    while outside(until) > 0.0:
        until *= 2.0
    return float(brentq(outside, 0.0, until, xtol=until * 1e-12))


def _rung_out_s(inductor: DampedInductor, band: float) -> float:
    """When what rings leaves the band no more: after its last peak above it, before it crosses its end again."""
    swing = _swing(inductor)
    half_s = math.pi / swing if swing else math.pi / inductor.natural_rad_per_s
    last = math.floor(-math.log(band) / (inductor.decay_per_s * half_s))
    height = math.exp(-inductor.decay_per_s * last * half_s)

    def outside(since_s: float) -> float:
        return -height * float(_free(inductor, np.array([since_s]), -1.0, 0.0)[0]) - band

    if outside(0.0) <= 0.0:
        return last * half_s
    # The current passes its end once between two peaks, at the same part of each half swing.
    cross_s = half_s * (1.0 - math.acos(inductor.damping) / math.pi)
    return last * half_s + float(brentq(outside, 0.0, cross_s, xtol=half_s * 1e-12))


@dataclass(frozen=True)
class Drift:
    """What a drift of the resistor across does: damping and overshoot as made, and at both ends of the drift."""

    drift: float
    nominal: DampedFigures
    low: DampedFigures
    high: DampedFigures
    damping_per_ohm_part: float
    matters: bool
    verdict: str

    @property
    def worst_move(self) -> float:
        """By how much the overshoot moves at most, as part of the step."""
        middle = self.nominal.overshoot
        return max(abs(self.low.overshoot - middle), abs(self.high.overshoot - middle))


def drift_of(inductor: DampedInductor, drift: float, matters_from: float = MATTERS_FROM) -> Drift:
    """What it does to the ringing that the resistor across is off by a part of itself either way.

    Formula: `damped_figures` at R (1 - drift), R and R (1 + drift); the sensitivity (R/zeta) d zeta/dR, which is -1
    for a winding without resistance. Source: definition; that old resistors drift by 10 to 20 %, and some to several
    times their value, is common practice, no source. Valid for a drift from 0 to below 1. Units: parts. Errors:
    ValueError for a drift outside, or a threshold not above zero.

    >>> print(drift_of(DampedInductor(100e-6, 100e-12, 1000.0), 0.2).verdict)
    The drift matters: ±20 % of the resistor moves the overshoot from 16.3 % to between 8.1 % and 23.7 %.
    >>> print(drift_of(DampedInductor(100e-6, 100e-12, 300.0), 0.2).verdict)
    The drift does not matter: ±20 % of the resistor leaves the overshoot at 0.0 %.
    """
    refuse_unless(0.0 <= drift < 1.0, f"A drift is a part from 0 to below 1; {drift} was given.")
    refuse_unless(matters_from > 0.0, f"What matters is above zero; {matters_from} was given.")
    middle, low, high = (
        damped_figures(replace(inductor, body_ohm=inductor.body_ohm * factor))
        for factor in (1.0, 1.0 - drift, 1.0 + drift)
    )
    move = max(abs(low.overshoot - middle.overshoot), abs(high.overshoot - middle.overshoot))
    matters = move >= matters_from
    return Drift(drift, middle, low, high, _sensitivity(inductor), matters, _verdict(drift, middle, low, high, matters))


def _sensitivity(inductor: DampedInductor) -> float:
    """(R / zeta) d zeta / dR, closed form."""
    across = 1.0 / (inductor.body_ohm * inductor.capacitance_f)
    winding = inductor.winding_ohm / inductor.inductance_h
    ratio = inductor.winding_ohm / inductor.body_ohm
    return -across / (across + winding) + 0.5 * ratio / (1.0 + ratio)


def _verdict(drift: float, middle: DampedFigures, low: DampedFigures, high: DampedFigures, matters: bool) -> str:
    ends = [f"{100.0 * value:.1f} %" for value in sorted((low.overshoot, high.overshoot))]
    span = f"at {ends[0]}" if ends[0] == ends[1] else f"between {ends[0]} and {ends[1]}"
    moved = f"±{100.0 * drift:g} % of the resistor"
    if matters:
        return f"The drift matters: {moved} moves the overshoot from {100.0 * middle.overshoot:.1f} % to {span}."
    return f"The drift does not matter: {moved} leaves the overshoot {span}."
