"""The volts behind the source resistance: straight edges, droop, ripple."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from restoration.engineering.lines.records import PulseSource, Samples, SupplyRipple
from restoration.engineering.refusals import refuse_unless


def source_emf_v(source: PulseSource, times_s: Samples, ripple: SupplyRipple | None = None) -> Samples:
    """Volts behind the source resistance at each time.

    Formula: each edge of height A from t0 over d adds A*clip((t - t0)/d, 0, 1); through a
    coupling time constant T it adds A*(T/d)*[g(t - t0) - g(t - t0 - d)] with
    g(x) = 1 - exp(-x/T) for x > 0, which is the exact answer of a first-order high pass to a ramp.
    Ripple adds peak*sin(2*pi*f*t + phase). Source: first-order circuit theory.
    Valid for straight edges. Units: seconds, volts. Shapes: as `times_s`.
    Errors: ValueError where `times_s` is not a finite, rising, one-dimensional array.

    >>> source = PulseSource(0.0, 5.0, 350e-9, 100e-9, 200e-9, resistance_ohm=50.0)
    >>> source_emf_v(source, np.array([0.0, 50e-9, 200e-9, 400e-9])).round(9).tolist()
    [0.0, 2.5, 5.0, 2.5]
    """
    refuse_times(times_s)
    volts: Samples = np.full(times_s.shape, source.rest_v, dtype=np.float64)
    for start_s, edge_s, height_v in edges(source, float(times_s[-1])):
        volts += height_v * _edge_shape(times_s - start_s, edge_s, source.droop_time_constant_s)
    if ripple is not None:
        angle = 2 * math.pi * ripple.frequency_hz * times_s + ripple.phase_rad
        volts += ripple.peak_v * np.sin(angle)
    return volts


def refuse_times(times_s: Samples) -> None:
    """Raise ValueError unless the times are finite, rising and at least one.

    Formula: none. Source: none. Valid for any. Units: seconds. Shapes: one-dimensional. Errors: ValueError.

    >>> refuse_times(np.array([0.0, 0.0]))
    Traceback (most recent call last):
    ValueError: The times must rise from each sample to the next.
    """
    refuse_unless(
        times_s.ndim == 1 and times_s.size > 0 and bool(np.all(np.isfinite(times_s))),
        "The times must be a one-dimensional array of finite seconds with at least one in it.",
    )
    refuse_unless(bool(np.all(np.diff(times_s) > 0)), "The times must rise from each sample to the next.")


def edges(source: PulseSource, until_s: float) -> Iterator[tuple[float, float, float]]:
    """Start, length and height of every edge that begins by `until_s`; the first pulse is always among them.

    Formula: the half-way points of a pulse's edges lie its duration apart. Source: geometry. Valid for straight
    edges. Units: seconds, volts. Errors: none.

    >>> [(round(s * 1e9), round(d * 1e9), v) for s, d, v in edges(PulseSource(0.0, 5.0, 1e-6, 1e-7, 3e-7, 50.0), 1e-5)]
    [(0, 100, 5.0), (900, 300, -5.0)]
    """
    period_s = source.period_s
    pulses = 1
    if period_s is not None:
        pulses = max(1, math.floor((until_s - source.start_s) / period_s) + 1)
    trailing_s = source.duration_s + (source.rise_s - source.fall_s) / 2
    for number in range(pulses):
        begun_s = source.start_s + number * (period_s or 0.0)
        yield begun_s, source.rise_s, source.step_v
        yield begun_s + trailing_s, source.fall_s, -source.step_v


def _edge_shape(since_s: Samples, edge_s: float, droop_s: float | None) -> Samples:
    if droop_s is None:
        if edge_s == 0.0:
            return (since_s >= 0.0).astype(np.float64)
        return np.clip(since_s / edge_s, 0.0, 1.0)
    if edge_s == 0.0:
        return np.where(since_s >= 0.0, np.exp(-np.maximum(since_s, 0.0) / droop_s), 0.0)
    begun = -np.expm1(-np.maximum(since_s, 0.0) / droop_s)
    ended = -np.expm1(-np.maximum(since_s - edge_s, 0.0) / droop_s)
    return (droop_s / edge_s) * (begun - ended)


def sharpest_edge_s(source: PulseSource) -> float:
    """The shorter of the two edges. Units: seconds. Source: none. Valid for any. Errors: none.

    >>> sharpest_edge_s(PulseSource(0.0, 5.0, 1e-6, 1e-7, 3e-7, 50.0))
    1e-07
    """
    return min(source.rise_s, source.fall_s)
