"""Ratios of polynomials in s as chains of first-order filters in time steps, by the trapezoidal rule.

One filter of high order loses its slow time constants to rounding where the step is short beside them: its poles
crowd at z = 1. A chain of first-order sections does not. What resistors and capacitors make has real roots.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray
from scipy.signal import sosfilt

from restoration.engineering.lines.polynomials import Polynomial, real_roots, shortened
from restoration.engineering.lines.records import Samples


@dataclass(frozen=True)
class Chain:
    """A gain and first-order sections, each a row b0, b1, 0, 1, a1, 0 as ``scipy.signal.sosfilt`` takes them."""

    gain: float
    rows: NDArray[np.float64]

    def of(self, wave: Samples) -> Samples:
        """The wave after the chain, from rest."""
        if not len(self.rows):
            return self.gain * wave
        return cast(Samples, sosfilt(self.rows, self.gain * wave))

    def then(self, other: Chain) -> Chain:
        """Both chains in a row."""
        return Chain(self.gain * other.gain, np.concatenate((self.rows, other.rows)))

    def numerator(self) -> NDArray[np.float64]:
        """All sections multiplied out above the line, lowest power of z^-1 first."""
        return self.gain * _product(self.rows[:, :2])

    def divisor(self) -> NDArray[np.float64]:
        """All sections multiplied out below the line, lowest power of z^-1 first."""
        return _product(self.rows[:, 3:5])


def chains_of(divisor: Polynomial, step_s: float, *numerators: Polynomial) -> list[Chain]:
    """The chains for ratios of polynomials in s with real roots, the divisor's order at least the numerator's.

    Formula: s = (2/h)*(1 - w)/(1 + w) with w = z^-1 puts (s - r)/(s - p) into
    [(1 - r*h/2) - (1 + r*h/2)*w]/[(1 - p*h/2) - (1 + p*h/2)*w]; a root the numerator lacks puts (1 + w)*h/2 there.
    Source: the bilinear transform (A. Tustin, 1947, from memory). Valid for roots that are real. Units: seconds.
    Errors: none.

    >>> low_pass, = chains_of((1.0, 1e-6), 1e-6, (1.0,))
    >>> low_pass.of(np.ones(3)).round(6).tolist()
    [0.333333, 0.777778, 0.925926]
    """
    half_s = step_s / 2.0
    poles, leading = _roots(divisor, half_s)
    below = math.prod((1.0 - pole for pole in poles), start=leading)
    divisors = [-(1.0 + pole) / (1.0 - pole) for pole in poles]
    return [_chain(numerator, half_s, below, divisors) for numerator in numerators]


def _chain(numerator: Polynomial, half_s: float, below: float, divisors: list[float]) -> Chain:
    zeros, leading = _roots(numerator, half_s)
    rows = [[1.0, 1.0, 0.0, 1.0, back, 0.0] for back in divisors]
    for row, zero in zip(rows, zeros, strict=False):
        row[:2] = 1.0 - zero, -(1.0 + zero)
    return Chain(leading / below, np.array(rows).reshape(-1, 6))


def _roots(polynomial: Polynomial, half_s: float) -> tuple[Sequence[float], float]:
    """Roots times half the step, and the coefficient of the highest power in that measure."""
    scaled = shortened(tuple(here / half_s**power for power, here in enumerate(polynomial)))
    return real_roots(scaled), scaled[-1] if scaled else 0.0


def _product(factors: NDArray[np.float64]) -> NDArray[np.float64]:
    whole = np.ones(1)
    for factor in factors:
        whole = np.convolve(whole, factor)
    return whole
