"""A rate looked for near the one that is stated: neither the mains nor a machine's clock is quite what it should be."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar

from restoration.engineering.captures.record import Samples
from restoration.engineering.refusals import refuse_unless
from restoration.engineering.spectrum.fitting import fit_sines

MOST_PART = 0.2
USED = 4  # harmonics that a rate is looked for with: the low ones seldom meet another rate's
FINE = 8  # steps to the width of a line
WORTH = 0.1  # of the width of a line: nothing is gained by looking within less
NEAR = 0.25  # of the width of a line, within which the least squares have one least
FEWEST_PERIODS = 2
OVER = 8  # samples kept to a period of the highest harmonic used
MOST_KEPT = 2_000_000


def found_rate(values: Samples, interval_s: float, rate_hz: float, harmonics: int, part: float) -> float:
    """The rate within a part of the stated one whose first harmonics hold most of the record's energy.

    Formula: largest Σ |Σ v exp(i 2π h f t)|² over f, h up to four, in steps of an eighth of 1/T of the highest of
    them, by a padded Fourier transform; from there the least squares of those harmonics, by Brent's search. Samples
    are averaged in runs of which eight make a period of the highest. Source: harmonic sum of the periodogram and
    least squares, common practice; `scipy.optimize.minimize_scalar`.
    Valid where one rate is there and its lines stand clear of others; without one the answer means nothing, but stays
    within the part. Where the part is too small for the record to show, where fewer than two periods are recorded, or
    where the rate lies above half the sampling rate, the stated rate comes back. Units: V, s, Hz. Shapes (n,).
    Errors: ValueError for a record of more than some 60,000 periods, in which a rate is not looked for.

    >>> t = np.arange(4000) * 1e-3
    >>> round(found_rate(np.sin(2 * np.pi * 50.2 * t), 1e-3, 50.0, 1, 0.01), 4)
    50.2
    """
    duration_s, most_hz = values.size * interval_s, rate_hz * (1 + part)
    used = max(1, min(USED, harmonics, math.floor(0.5 / (interval_s * most_hz))))
    reach_hz = part * rate_hz
    is_shown = duration_s * rate_hz >= FEWEST_PERIODS and most_hz * interval_s < 0.5
    if not is_shown or reach_hz * used * duration_s < WORTH:
        return rate_hz
    level, step_s = _thinner(values, interval_s, used * most_hz)
    refuse_unless(
        level.size <= MOST_KEPT,
        f"A record of {duration_s:g} s is too long to look for {rate_hz:g} Hz in it; take a stretch of the record.",
    )
    orders = np.arange(1, used + 1)
    best_hz = _best_step(level, step_s, rate_hz, reach_hz, orders)

    def missed(frequency_hz: float) -> float:
        return -fit_sines(level, step_s, [frequency_hz * int(order) for order in orders]).explained_v2

    near_hz = NEAR / (used * duration_s)
    bounds = (max(best_hz - near_hz, rate_hz - reach_hz), min(best_hz + near_hz, rate_hz + reach_hz))
    return float(minimize_scalar(missed, bounds=bounds, method="bounded", options={"xatol": 1e-3 / duration_s}).x)


def _thinner(values: Samples, interval_s: float, highest_hz: float) -> tuple[Samples, float]:
    """The record without its mean, averaged in runs that still show the highest frequency."""
    run = max(1, math.floor(1.0 / (OVER * highest_hz * interval_s)))
    whole = run * (values.size // run)
    kept: Samples = values[:whole].reshape(-1, run).mean(axis=1)
    return kept - kept.mean(), run * interval_s


def _best_step(level: Samples, step_s: float, rate_hz: float, reach_hz: float, orders: NDArray[np.int64]) -> float:
    """The best of many equal steps across the reach."""
    padded = FINE * level.size
    power = np.abs(np.fft.rfft(level, padded)) ** 2
    bin_hz = 1.0 / (padded * step_s)
    steps = math.ceil(reach_hz * int(orders[-1]) / bin_hz)
    tried = rate_hz + reach_hz * np.arange(-steps, steps + 1) / steps
    places = np.rint(np.outer(tried, orders) / bin_hz).astype(np.int64)
    energy = power[np.minimum(places, power.size - 1)].sum(axis=1)
    return float(tried[int(energy.argmax())])
