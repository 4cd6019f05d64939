"""Waveforms whose figures are known from a formula."""

from __future__ import annotations

import math

import numpy as np

from restoration.engineering.captures import Trace


def trace_of(values, interval_s=1e-9, name="CH1", quantum_v=None, start_s=0.0):
    """A trace of any sequence of numbers."""
    return Trace(name, start_s, interval_s, np.asarray(values, dtype=np.float64), quantum_v=quantum_v)


def trapezoid(samples=5000, *, rise=100, top=300, fall=200, period=1000, low=0.0, high=5.0):
    """A train of straight-edged pulses; durations in samples, edges from 0 to 100 %."""
    corners = [0, rise, rise + top, rise + top + fall, period]
    return np.interp(np.arange(samples) % period, corners, [low, high, high, low, low])


def one_pulse(samples=2000, *, begin=500, rise=20, top=280, fall=40, low=0.0, high=31.0):
    """One straight-edged pulse."""
    corners = [0, begin, begin + rise, begin + rise + top, begin + rise + top + fall, samples]
    return np.interp(np.arange(samples), corners, [low, low, high, high, low, low])


def second_order_step(damping, times):
    """Step response of a second-order system of natural frequency 1 rad/s.

    y = 1 - exp(-z t) sin(w t + arccos z) / w with w = sqrt(1 - z^2), for z below 1 (any textbook of linear systems).
    """
    w = math.sqrt(1.0 - damping**2)
    late = np.maximum(times, 0.0)
    return np.where(times > 0, 1.0 - np.exp(-damping * late) * np.sin(w * late + math.acos(damping)) / w, 0.0)


def noise(samples, rms, seed=1):
    """White noise, the same every time."""
    return np.random.default_rng(seed).normal(0.0, rms, samples)
