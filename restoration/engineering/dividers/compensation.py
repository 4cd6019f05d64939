"""The capacitances of a divider: what keeps a pulse flat, and what happens to its edge where they do not match."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)

_FLAT = 1e-9  # an overshoot or a rounding below this part of the final volts is none


def compensation(series_ohm: float, shunt_ohm: float, shunt_f: float) -> float:
    """The capacitance beside the series resistor that keeps a pulse flat.

    Formula: C1 = R2 C2 / R1, so that R1 C1 = R2 C2. Source: the divider's transfer ratio, common practice. Valid for a
    stiff source; behind a resistance the shape still has no slow tail, and its edge is slowed. R2 and C2 include the
    load, the wire after the divider and the probe. Units: Ω, F. Errors: ValueError for resistances not above zero or
    not finite, and a capacitance below zero.

    >>> f"{compensation(10e3, 2.5e3, 100e-12):.3g}"
    '2.5e-11'
    """
    refuse_not_finite(series_ohm=series_ohm, shunt_ohm=shunt_ohm)
    refuse_not_above_zero(series_ohm=series_ohm, shunt_ohm=shunt_ohm)
    refuse_below_zero(shunt_f=shunt_f)
    refuse_out_of_reach(series_ohm=series_ohm, shunt_ohm=shunt_ohm, shunt_f=shunt_f)
    return shunt_ohm * shunt_f / series_ohm


@dataclass(frozen=True)
class StepResponse:
    """What a divider makes of a step of one volt: final ratio plus two exponentials that die away.

    `initial_ratio` is at once after the step, `final_ratio` when all is settled. `time_constant_s` is that of the slow
    tail, `edge_time_constant_s` of the quick part behind a source resistance, zero where the source is stiff.
    `slow_part` and `quick_part` are what the exponentials start from, in parts of a volt: a slow part above zero is a
    peak that sinks, below zero a rounded edge. `overshoot` and `rounding` are parts of the final ratio: how far the
    peak stands above it, and how much of the rise is left to the slow tail.
    """

    initial_ratio: float
    final_ratio: float
    time_constant_s: float
    edge_time_constant_s: float
    slow_part: float
    quick_part: float
    overshoot: float
    rounding: float

    @property
    def words(self) -> str:
        """What will be seen, in a sentence."""
        if self.overshoot > _FLAT:
            return f"The edge overshoots by {100 * self.overshoot:.3g} % and sinks to the top: C1 is too large for R1."
        if self.rounding > _FLAT:
            return f"The last {100 * self.rounding:.3g} % of the edge come slowly: C1 is too small for R1."
        return "The top is flat: R1·C1 and R2·C2 are alike."

    def at(self, times_s: NDArray[np.float64]) -> NDArray[np.float64]:
        """The ratio at so many seconds after the step; zero before it. Shape: that of the times."""
        since = np.maximum(times_s, 0.0)
        ratio = np.full_like(since, self.final_ratio)
        for part, constant in ((self.slow_part, self.time_constant_s), (self.quick_part, self.edge_time_constant_s)):
            if constant > 0.0:
                ratio += part * np.exp(-since / constant)
        return np.where(times_s < 0.0, 0.0, ratio)


def uncompensated(
    series_ohm: float, series_f: float, shunt_ohm: float, shunt_f: float, *, source_ohm: float = 0.0
) -> StepResponse:
    """What a divider with these capacitances makes of a step.

    Formula, stiff source: initial ratio C1 / (C1 + C2), final R2 / (R1 + R2), time constant (R1 ∥ R2)(C1 + C2),
    overshoot initial / final − 1, a rounding where that is below zero. Behind Rs, with τ = R C of each half:
    R2 (1 + s τ1) / [Rs (1 + s τ1)(1 + s τ2) + R1 (1 + s τ2) + R2 (1 + s τ1)], taken apart into its two real poles,
    whose discriminant is a sum of two squares (apart² + 4 R1 R2 τ1 τ2): as a difference it would lose every figure
    where the poles lie close.
    Source: Kirchhoff's laws; checked against ngspice. Valid for lumped parts and a straight step; an edge slower than
    the time constant shows less. R2 and C2 include load, wire and probe. Units: Ω, F, s, parts of one. Errors:
    ValueError for resistances not above zero or not finite, capacitances below zero, or both capacitances zero.

    >>> under, over = (uncompensated(10e3, farads, 6.8e3, 100e-12) for farads in (0.0, 136e-12))
    >>> round(over.initial_ratio, 4), round(over.final_ratio, 4), round(over.time_constant_s * 1e9, 1)
    (0.5763, 0.4048, 955.2)
    >>> over.words
    'The edge overshoots by 42.4 % and sinks to the top: C1 is too large for R1.'
    >>> round(under.rounding, 9)
    1.0
    """
    refuse_not_finite(series_ohm=series_ohm, shunt_ohm=shunt_ohm)
    refuse_not_above_zero(series_ohm=series_ohm, shunt_ohm=shunt_ohm)
    refuse_below_zero(series_f=series_f, shunt_f=shunt_f, source_ohm=source_ohm)
    refuse_out_of_reach(series_ohm=series_ohm, series_f=series_f, shunt_ohm=shunt_ohm, shunt_f=shunt_f)
    refuse_out_of_reach(source_ohm=source_ohm)
    refuse_unless(series_f + shunt_f > 0.0, "Both capacitances are zero; give at least one of them.")
    upper_s, lower_s = series_ohm * series_f, shunt_ohm * shunt_f
    whole = source_ohm + series_ohm + shunt_ohm
    first = source_ohm * (upper_s + lower_s) + series_ohm * lower_s + shunt_ohm * upper_s
    apart = source_ohm * (upper_s - lower_s) + shunt_ohm * upper_s - series_ohm * lower_s
    root = math.hypot(apart, 2.0 * math.sqrt(series_ohm * shunt_ohm) * math.sqrt(upper_s) * math.sqrt(lower_s))
    lean = (apart + 2.0 * series_ohm * upper_s) / root
    slow_s = (first + root) / (2.0 * whole)
    quick_s = source_ohm * (upper_s / slow_s) * lower_s / whole
    final = shunt_ohm / whole
    slow = final * (lean - 1.0) / 2.0
    quick = -final * (lean + 1.0) / 2.0 if quick_s else 0.0
    return StepResponse(
        initial_ratio=0.0 if quick_s else final + slow,
        final_ratio=final,
        time_constant_s=slow_s,
        edge_time_constant_s=quick_s,
        slow_part=slow,
        quick_part=quick,
        overshoot=max(0.0, _peak(slow, quick, slow_s, quick_s, root / whole) / final),
        rounding=max(0.0, -slow / final),
    )


def _peak(slow: float, quick: float, slow_s: float, quick_s: float, between_s: float) -> float:
    """How far above the final ratio the response ever stands; between_s is the slow constant less the quick."""
    if slow <= 0.0 or not quick_s:
        return slow
    at_s = math.log(-quick * slow_s / (slow * quick_s)) * slow_s * (quick_s / between_s)
    return slow * math.exp(-at_s / slow_s) + quick * math.exp(-at_s / quick_s)
