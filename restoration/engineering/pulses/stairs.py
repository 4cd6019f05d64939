"""Edges with a rest on the way: two edges, one upon the other, as in a stair."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures.record import Samples
from restoration.engineering.pulses.edges import Edges
from restoration.engineering.pulses.levels import States

_FEWEST_ON_STAIR = 10
_MOST_EDGES = 16
_SHARE_AT_REST = 0.35
_LEVEL = 0.02


def resting_edges(values: Samples, edges: Edges, states: States) -> NDArray[np.bool_]:
    """Which edges rest between their outer reference levels, of up to 16 spread evenly; the others are not marked.

    An edge rests where more than a third of its samples in a row keep within 2 % of the amplitude of their median, or
    within twice the noise left after averaging a sixteenth of the edge. Edges of fewer than 10 samples show no rest.
    Own method, no source.

    >>> from restoration.engineering.pulses.edges import find_edges
    >>> values = np.repeat([0.0, 5.0, 10.0], 40)
    >>> resting_edges(values, find_edges(values, 0.0, 10.0, 0.0), States(0.0, 10.0, 0.0)).tolist()
    [True]
    """
    found, on_edge = np.zeros(len(edges), dtype=np.bool_), edges.samples_on_edge
    for at in np.unique(np.linspace(0, len(edges) - 1, min(_MOST_EDGES, len(edges))).astype(int)):
        if on_edge[at] >= _FEWEST_ON_STAIR:
            found[at] = _rests(values[edges.first[at] + 1 : edges.last[at]], states)
    return found


def _rests(part: Samples, states: States) -> bool:
    window = max(1, part.size // 16)
    smooth = np.convolve(part, np.ones(window) / window, mode="valid") if window > 1 else part
    half = _LEVEL * states.amplitude_v + 2.0 * states.noise_v / math.sqrt(window)
    run = max(3, math.ceil(_SHARE_AT_REST * smooth.size))
    rows = np.lib.stride_tricks.sliding_window_view(smooth, run)[:: max(1, run // 8)]
    return bool((np.ptp(rows, axis=1) <= 2.0 * half).any())
