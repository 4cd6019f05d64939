"""Delay from the pulses of one trace to those of another in the same capture."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from restoration.engineering.captures.record import Samples, Trace
from restoration.engineering.pulses.edges import find_edges
from restoration.engineering.pulses.levels import find_states
from restoration.engineering.pulses.record import Polarity
from restoration.engineering.pulses.timing import polarity_of


@dataclass(frozen=True)
class Delay:
    """Delay in seconds with its standard uncertainty (k = 1), or None with the reason."""

    value_s: float | None
    uncertainty_s: float = 0.0
    reason: str = ""


def measure_delay(reference: Trace, trace: Trace) -> Delay:
    """Median time from the 50 % instant of each leading edge of the reference to the next one of the trace.

    The leading edge is the rising one of a positive pulse or step up, the falling one of a negative pulse or step
    down. Uncertainty: both instants to interval / sqrt(12), and the spread of the delays over sqrt(n). Valid for
    two traces of one capture, whose times have one origin, with the trace at or after its reference.

    >>> first = Trace("a", 0.0, 1e-9, np.repeat([0.0, 5.0], [100, 100]))
    >>> later = Trace("b", 0.0, 1e-9, np.repeat([5.0, 0.0], [120, 80]))
    >>> round(measure_delay(first, later).value_s * 1e9, 6)
    20.0
    """
    if reference.interval_s is None or trace.interval_s is None:
        return Delay(None, reason="The capture states no sample interval, so no delay can be told.")
    early, late = _leading(reference), _leading(trace)
    for edges, one in ((early, reference), (late, trace)):
        if not edges.size:
            return Delay(None, reason=f"There is no edge in {one.name} to measure a delay from or to.")
    following = np.searchsorted(late, early - 0.5 * max(reference.interval_s, trace.interval_s))
    paired = following < late.size
    if not paired.any():
        return Delay(None, reason=f"No leading edge of {trace.name} follows a leading edge of {reference.name}.")
    delays = late[following[paired]] - early[paired]
    instants = math.hypot(reference.interval_s, trace.interval_s) / math.sqrt(12.0)
    spread = float(delays.std(ddof=1) / math.sqrt(delays.size)) if delays.size > 1 else 0.0
    return Delay(float(np.median(delays)), math.hypot(instants, spread))


def _leading(trace: Trace) -> Samples:
    """Instants of the leading edges, in seconds."""
    values = trace.values
    states = find_states(values, float(values.min()), float(values.max()), trace.quantum_v)
    if states.reason:
        return np.empty(0)
    edges = find_edges(values, states.low_v, states.high_v, states.noise_v)
    up = polarity_of(edges) in (Polarity.POSITIVE_PULSE, Polarity.STEP_UP)
    instants: Samples = trace.start_s + edges.middle[edges.rising == up] * (trace.interval_s or math.nan)
    return instants
