"""The strongest lines of a record, whatever rate they keep."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import signal

from restoration.engineering.captures.record import Trace
from restoration.engineering.refusals import refuse_unless

FEWEST = 16


@dataclass(frozen=True)
class Peak:
    """A line of the spectrum: its frequency to half of 1/T, and its height."""

    frequency_hz: float
    peak_v: float


def strongest(trace: Trace, count: int = 5) -> tuple[Peak, ...]:
    """The highest separate lines of a trace, the highest first.

    Formula: power spectrum with a flat-top window, √(2 P) of each local maximum at least five bins from a higher one.
    Source: `scipy.signal.periodogram` and `find_peaks`; window of HFT type as scipy's "flattop". Valid for lines
    five or more of 1/T apart: the window is wide, so that a line between two bins keeps its height within 0.1 %;
    neighbours nearer than that, and what is below five of 1/T, are not shown. Units: Hz, V. Errors: ValueError for a
    trace without a sample interval, of fewer than 16 samples, and a count below one.

    >>> t = np.arange(2000) * 1e-3
    >>> strongest(Trace("HT", 0.0, 1e-3, 0.2 * np.sin(2 * np.pi * 100 * t)), 1)[0].frequency_hz
    100.0
    """
    refuse_unless(count >= 1, f"At least one line is looked for; {count} was given.")
    refuse_unless(
        trace.values.size >= FEWEST, f"A spectrum needs {FEWEST} samples; this trace has {trace.values.size}."
    )
    if trace.interval_s is None:
        raise ValueError("This trace does not say its sample interval, so its frequencies cannot be known.")
    hz, power = signal.periodogram(
        trace.values, fs=1.0 / trace.interval_s, window="flattop", detrend="constant", scaling="spectrum"
    )
    power[:5] = 0.0
    places, _ = signal.find_peaks(power, distance=5)
    places = places[np.argsort(power[places])[::-1][:count]]
    return tuple(Peak(float(hz[at]), math.sqrt(2 * float(power[at]))) for at in places if power[at] > 0.0)
