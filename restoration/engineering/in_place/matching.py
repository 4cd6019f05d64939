"""A case fitted to what was seen on its own link: the source as it is today, not as drawing and bench have it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.figures import Predicted, predict
from restoration.engineering.limits import Quantity
from restoration.engineering.refusals import refuse_not_above_zero, refuse_not_finite, refuse_unless

SPREADS: Mapping[str, float] = MappingProxyType(
    {
        "height": 0.6,
        "drive": 0.8,
        "leading edge": 0.8,
        "trailing edge": 0.8,
        "duration": 0.4,
        "wire capacitance": 0.15,
        "wire inductance": 0.15,
    }
)
"""How far each factor may be from one before anything was seen: standard deviation of its logarithm.

Common practice, no source: a stage may be half or twice as strong as reckoned; a wire is known to about 15 %.
"""
TELLING = frozenset(
    (
        Quantity.AMPLITUDE,
        Quantity.PULSE_DURATION,
        Quantity.RISE_TIME,
        Quantity.FALL_TIME,
        Quantity.OVERSHOOT,
        Quantity.UNDERSHOOT,
    )
)
"""The quantities a case is fitted to; others tell nothing about a source or a wire."""
_FARTHEST = 2.3  # of a logarithm: no factor beyond ten either way
_LEAST_SHARE, _LEAST_PART = 0.02, 0.01
_POINTS = 500
_STEPS = 25


@dataclass(frozen=True)
class Seen:
    """A figure read on the link, at the end `load` or `source`, with its standard uncertainty in the same unit.

    >>> Seen("load", "amplitude", 31.0, 0.4).value
    31.0
    """

    end: str
    quantity: str
    value: float
    standard_uncertainty: float

    def __post_init__(self) -> None:
        refuse_unless(
            self.end in ("load", "source"), f"A figure is read at the load or the source end; {self.end!r} was given."
        )
        refuse_not_finite(value=self.value)
        refuse_not_above_zero(standard_uncertainty=self.standard_uncertainty)
        refuse_not_finite(standard_uncertainty=self.standard_uncertainty)


@dataclass(frozen=True)
class Match:
    """The case as fitted, the factor on each thing that was allowed to move, and what it leaves unexplained.

    `left_over` has, for each figure used, how many of its standard uncertainties the fitted case is away from it.
    """

    case: LinkCase
    factors: Mapping[str, float]
    left_over: tuple[tuple[Seen, float], ...]

    @property
    def unexplained(self) -> tuple[Seen, ...]:
        """The figures that no source and wire within reason explain: more than three standard uncertainties away."""
        return tuple(seen for seen, away in self.left_over if abs(away) > 3.0)


def match(case: LinkCase, seen: Sequence[Seen], spreads: Mapping[str, float] = SPREADS) -> Match:
    """Fit height, drive resistance, edges and wire of a case to what was seen on the link.

    Formula: least squares on the logarithms of the factors, minimising the sum of ((predicted - seen)/u)^2 and of
    (ln factor / spread)^2, so that what was not seen stays as it was given. Source: Bayesian estimation with normal
    priors on the logarithms (Gelman et al., Bayesian Data Analysis, from memory); the spreads are common practice.
    Valid where `predict` is, for figures read with the parts that the case has, its probe on it. It explains; it does
    not prove: a light load alone cannot tell a weak source from a slow one, and a shunt would part them.
    Units: SI. Shapes: none.
    Errors: ValueError where none of the figures tells anything of source or wire.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(100e3, 20e-12))
    >>> found = match(case, [Seen("load", "amplitude", 31.0, 0.1)])
    >>> round(predict(found.case).load.amplitude_v, 1), round(found.factors["leading edge"], 2)
    (31.0, 1.0)
    """
    used = tuple(one for one in seen if one.quantity in TELLING)
    refuse_unless(
        bool(used),
        "Nothing that was seen tells of source or wire: give an amplitude, a duration, an edge or an overshoot.",
    )
    names = tuple(spreads)
    sigma = np.array([spreads[name] for name in names])

    def away(logs: NDArray[np.float64]) -> NDArray[np.float64]:
        moved = _moved(case, dict(zip(names, np.exp(logs).tolist(), strict=True)))
        return np.concatenate([_misses(moved, used), logs / sigma])

    found = least_squares(
        away,
        np.zeros(len(names)),
        bounds=(-_FARTHEST, _FARTHEST),
        diff_step=1e-3,
        x_scale=sigma,
        max_nfev=_STEPS,
        xtol=1e-4,
        ftol=1e-5,
    )
    factors = dict(zip(names, np.exp(found.x).tolist(), strict=True))
    best = _moved(case, factors)
    return Match(best, MappingProxyType(factors), tuple(zip(used, _misses(best, used).tolist(), strict=True)))


def _misses(case: LinkCase, used: Sequence[Seen]) -> NDArray[np.float64]:
    """How many standard uncertainties the prediction is from each figure."""
    predicted = predict(case, points=_POINTS)
    return np.array([(_told(predicted, one) - one.value) / one.standard_uncertainty for one in used])


def _told(predicted: Predicted, one: Seen) -> float:
    told = predicted.end(one.end).get(one.quantity)
    return one.value if told is None else told


def _moved(case: LinkCase, factors: Mapping[str, float]) -> LinkCase:
    """The case with each factor on it; edges stay short enough for the pulse to hold them."""
    wires = case.with_wire_factors(factors.get("wire capacitance", 1.0), factors.get("wire inductance", 1.0))
    driven = wires.with_drive_factor(factors.get("drive", 1.0))
    source = driven.source
    height = factors.get("height", 1.0)
    rise_s = source.rise_s * factors.get("leading edge", 1.0)
    fall_s = source.fall_s * factors.get("trailing edge", 1.0)
    duration_s = source.duration_s * factors.get("duration", 1.0)
    shrink = min(1.0, 1.9 * duration_s / (rise_s + fall_s)) if rise_s + fall_s else 1.0
    level_v = source.rest_v + height * source.step_v
    moved = replace(source, active_v=level_v, duration_s=duration_s, rise_s=rise_s * shrink, fall_s=fall_s * shrink)
    return replace(driven, source=moved)


def uncertainty_of(quantity: str, value: float, expanded: float | None) -> float:
    """Standard uncertainty of a figure as recorded: half of its expanded one, and never less than reading leaves.

    Formula: max(U/2, 0.02*|value|), for an overshoot or undershoot at least 0.01 of the amplitude. Source: JCGM 100
    with k = 2; the least ones are common practice for an oscilloscope, no source. Valid for finite figures.
    Units: of the figure. Errors: ValueError for a figure that is not finite.

    >>> uncertainty_of("amplitude", 20.0, 1.2), uncertainty_of("overshoot", 0.0, None)
    (0.6, 0.01)
    """
    refuse_not_finite(value=value)
    half = 0.0 if expanded is None or not math.isfinite(expanded) else expanded / 2
    part = _LEAST_PART if quantity in (Quantity.OVERSHOOT, Quantity.UNDERSHOOT) else 0.0
    return max(half, _LEAST_SHARE * abs(value), part, 1e-15)
