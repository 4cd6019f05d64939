"""Sines of known frequencies fitted to evenly spaced samples by least squares, all at once.

Times are counted from the middle of the record, so that cosines and sines do not mix; sums of products of two sines
over equal steps have closed forms, so that only the samples' own projections are summed over the record.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh

from restoration.engineering.captures.record import Samples

Matrix = NDArray[np.float64]
CHUNK = 16384
LEAST_PART = 1e-9  # of the largest eigenvalue: below it two sines are one
CLEAR = 4.0
WEIGHT = 1e-4  # of a sine in a direction that the record does not show


@dataclass(frozen=True, eq=False)
class Fit:
    """Cosine and sine part of each frequency, how much of the samples' energy they are, and what is left.

    `cosine_v` begins with the steady level. `*_spread` are inverses of the normal matrices, `is_shown` says for each
    frequency whether the record shows it apart from all others.
    """

    frequencies_hz: tuple[float, ...]
    interval_s: float
    samples: int
    cosine_v: Samples
    sine_v: Samples
    cosine_spread: Matrix
    sine_spread: Matrix
    is_shown: tuple[bool, ...]
    explained_v2: float
    rest_rms_v: float

    def peak_v(self, at: int) -> float:
        """Height of one sine."""
        return math.hypot(self.cosine_v[1 + at], self.sine_v[at])

    def uncertainty_v(self, at: int) -> float:
        """Standard uncertainty of that height: the larger of its two parts'."""
        spread = max(self.cosine_spread[1 + at, 1 + at], self.sine_spread[at, at])
        return self.rest_rms_v * math.sqrt(spread)

    def _is_clear(self, at: int) -> bool:
        """Whether both parts of a sine are known about as well as noise allows: variance 2/n each."""
        spread = max(self.cosine_spread[1 + at, 1 + at], self.sine_spread[at, at])
        return self.is_shown[at] and bool(spread * self.samples < CLEAR)

    def wave_v(self, members: Sequence[int]) -> Samples:
        """What some of the sines make together, at every sample."""
        turns = 2 * math.pi * np.array([self.frequencies_hz[at] for at in members]) * self.interval_s
        parts = self.cosine_v[[1 + at for at in members]] - 1j * self.sine_v[list(members)]
        length = min(CHUNK, self.samples)
        base = np.exp(1j * np.outer(np.arange(length), turns))
        wave: Samples = np.empty(self.samples)
        for start in range(0, self.samples, length):
            turned = parts * np.exp(1j * turns * (start - (self.samples - 1) / 2))
            wave[start : start + length] = (base[: self.samples - start] @ turned).real
        return wave

    def rms_v(self, members: Sequence[int]) -> float:
        """Level of what some of the sines make together, without its mean."""
        if len(members) == 1 and self._is_clear(members[0]):
            return self.peak_v(members[0]) / math.sqrt(2)
        return float(self.wave_v(members).std())


def projections(values: Samples, turns: Samples) -> NDArray[np.complex128]:
    """Sums of v exp(i x k) over the record, k counted from its middle; x in radians a sample.

    Formula: as said, worked in stretches with the phase of their start taken out. Source: discrete Fourier transform
    at any frequency. Valid for evenly spaced samples. Units: of the values. Shapes (n,), (m,) to (m,). Errors: none.

    >>> projections(np.array([1.0, 2.0, 3.0]), np.array([0.0])).tolist()
    [(6+0j)]
    """
    samples = values.size
    length = min(CHUNK, samples)
    base = np.exp(1j * np.outer(np.arange(length), turns))
    found = np.zeros(turns.size, dtype=np.complex128)
    for start in range(0, samples, length):
        part = values[start : start + length]
        found += (part @ base[: part.size]) * np.exp(1j * turns * (start - (samples - 1) / 2))
    return found


def _sum_of_cosines(turns: Samples, samples: int) -> Samples:
    """Sum of cos(x k) over k from −(n−1)/2 to (n−1)/2: sin(n x/2) / sin(x/2)."""
    half = np.asarray(turns, dtype=np.float64) / 2
    small = np.abs(np.sin(half)) < 1e-12
    divisor = np.where(small, 1.0, np.sin(half))
    at_a_whole_turn = samples * np.cos(samples * half) / np.where(small, np.cos(half), 1.0)
    found: Samples = np.where(small, at_a_whole_turn, np.sin(samples * half) / divisor)
    return found


def fit_sines(values: Samples, interval_s: float, frequencies_hz: Sequence[float]) -> Fit:
    """Fit a steady level and a sine at each frequency to evenly spaced samples.

    Formula: least squares of v = a₀ + Σ (aᵢ cos 2πfᵢt + bᵢ sin 2πfᵢt) by the normal equations; directions that the
    record does not show (two sines of nearly one frequency) are left at nothing. Source: linear least squares, common
    practice. Valid for frequencies from zero to half the sampling rate. Units: V, s, Hz. Shapes (n,).
    Errors: ValueError for fewer samples than unknowns and one more.

    >>> t = np.arange(100) * 1e-3
    >>> fit = fit_sines(2.0 + 0.5 * np.sin(2 * np.pi * 70 * t), 1e-3, [70.0])
    >>> round(fit.peak_v(0), 9), round(float(fit.cosine_v[0]), 9)
    (0.5, 2.0)
    """
    samples, unknowns = values.size, 1 + 2 * len(frequencies_hz)
    if samples <= unknowns:
        raise ValueError(
            f"{samples} samples cannot show {len(frequencies_hz)} lines; at least {unknowns + 1} are needed."
        )
    mean = float(values.mean())
    level = values - mean
    turns = 2 * math.pi * np.asarray(frequencies_hz, dtype=np.float64) * interval_s
    found = projections(level, turns)
    even, odd = _normal_matrices(turns, samples)
    cosine_v, cosine_spread, cosine_shown = _solved(even, np.concatenate(([0.0], found.real)))
    sine_v, sine_spread, sine_shown = _solved(odd, found.imag)
    explained = float(cosine_v[1:] @ found.real + sine_v @ found.imag)
    left = max(0.0, float(level @ level) - explained)
    cosine_v[0] += mean
    shown = tuple(bool(one and other) for one, other in zip(cosine_shown[1:], sine_shown, strict=True))
    rest_rms_v = math.sqrt(left / (samples - unknowns))
    return Fit(
        tuple(frequencies_hz), interval_s, samples, cosine_v, sine_v, cosine_spread, sine_spread, shown,
        explained, rest_rms_v,
    )  # fmt: skip


def _normal_matrices(turns: Samples, samples: int) -> tuple[Matrix, Matrix]:
    """Sums of products of the steady level and the cosines, and of the sines."""
    apart = _sum_of_cosines(np.subtract.outer(turns, turns), samples)
    together = _sum_of_cosines(np.add.outer(turns, turns), samples)
    even = np.empty((turns.size + 1, turns.size + 1))
    even[0, 0] = samples
    even[0, 1:] = even[1:, 0] = _sum_of_cosines(turns, samples)
    even[1:, 1:] = (apart + together) / 2
    return even, (apart - together) / 2


def _solved(normal: Matrix, projected: Samples) -> tuple[Samples, Matrix, NDArray[np.bool_]]:
    """Solution, inverse, and which unknowns the record shows apart from all others."""
    try:
        sizes, directions = np.linalg.eigh(normal)
    except np.linalg.LinAlgError:  # divide and conquer does not converge on some that are all but diagonal
        sizes, directions = eigh(normal, driver="ev")
    shows = sizes > LEAST_PART * sizes[-1]
    inverse: Matrix = (directions[:, shows] / sizes[shows]) @ directions[:, shows].T
    solved: Samples = inverse @ projected
    return solved, inverse, np.abs(directions[:, ~shows]).sum(axis=1) < WEIGHT
