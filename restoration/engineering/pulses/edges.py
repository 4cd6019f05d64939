"""Edges of a two-state waveform: counted with hysteresis, timed by interpolation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures.record import Samples

Places = NDArray[np.intp]

_BLOCK = 512
LOW_PART, MID_PART, HIGH_PART = 0.1, 0.5, 0.9
"""Reference levels as parts of the amplitude above the low state (IEEE 181 defaults)."""


@dataclass(frozen=True, eq=False)
class Edges:
    """All edges of a trace in order; instants are in samples from the first, NaN where a level was not reached.

    ``first`` is the last sample before the 10 % (rising; 90 % falling) crossing, ``last`` the first sample after the
    crossing that ends the transition; -1 stands for none. ``runts`` counts the excursions that passed the middle
    without completing a transition.
    """

    rising: NDArray[np.bool_]
    middle: Samples
    begin: Samples
    end: Samples
    first: Places
    last: Places
    runts: int = 0

    def __len__(self) -> int:
        return int(self.rising.size)

    @property
    def samples_on_edge(self) -> Places:
        """Samples strictly between the two outer reference levels, -1 where one was not reached."""
        return np.where((self.first >= 0) & (self.last >= 0), self.last - self.first - 1, -1)


def find_edges(values: Samples, low_v: float, high_v: float, noise_v: float) -> Edges:
    """Edges between the two levels.

    An edge is counted when the trace has gone from one side of the middle to the other by the hysteresis on both:
    four standard deviations of noise, at least 10 % and at most 40 % of the amplitude, so that noise counts no edge
    twice. Its instant is the middle one of its crossings of 50 %, by straight line between samples; it begins at the
    last crossing of the near reference level before that and ends at the first crossing of the far one after it.

    IEEE 181 reference levels 10, 50 and 90 %. Volts; instants in samples.

    >>> edges = find_edges(np.array([0.0, 0.0, 1.0, 1.0, 0.0]), 0.0, 1.0, 0.0)
    >>> edges.rising.tolist(), edges.middle.tolist(), edges.samples_on_edge.tolist()
    ([True, False], [1.5, 3.5], [0, 0])
    """
    amplitude = high_v - low_v
    margin = min(max(4.0 * noise_v, 0.1 * amplitude), 0.4 * amplitude)
    low_ref, middle_v, high_ref = (low_v + part * amplitude for part in (LOW_PART, MID_PART, HIGH_PART))
    levels = (low_ref, middle_v - margin, middle_v, middle_v + margin, high_ref)
    lively, origin = lively_parts(values, levels)
    return _edges_of(lively, levels, origin)


def _edges_of(values: Samples, levels: tuple[float, float, float, float, float], origin: Places | None) -> Edges:
    low_ref, lower, middle_v, upper, high_ref = levels
    above, below = values > upper, values < lower
    of_high, of_low = _changes(above), _changes(below)
    ups, entered = _alternating(above, of_high[~above[of_high]], below, of_low[~below[of_low]])
    crossings = _crossings(values, middle_v)
    left = np.where(ups, _latest(of_low[below[of_low]], entered), _latest(of_high[above[of_high]], entered))
    at = (np.searchsorted(crossings, left) + np.searchsorted(crossings, entered) - 1) // 2
    middle = crossings[at]
    outer = (_crossings(values, low_ref), _crossings(values, high_ref))
    first, last = _outer_crossings(values, middle, ups, outer)
    near, far = np.where(ups, low_ref, high_ref), np.where(ups, high_ref, low_ref)
    return Edges(
        rising=ups,
        middle=_instants(values, middle, np.full(middle.shape, middle_v), origin),
        begin=_instants(values, first, near, origin),
        end=_instants(values, np.where(last >= 0, last - 1, -1), far, origin),
        first=_in_record(first, origin),
        last=_in_record(last, origin),
        runts=_runts(crossings, middle, left, entered),
    )


def lively_parts(values: Samples, levels: tuple[float, ...]) -> tuple[Samples, Places | None]:
    """The parts of a long trace in which it passes any of the levels, and where each of their samples stands.

    A block of samples that keeps between two neighbouring levels, as do the blocks beside it, holds no crossing. What
    is left out between two parts lies wholly between the same two levels, so that the parts can be searched as one.
    ``None`` stands for the whole trace, kept where half of it or more is lively.

    >>> parts, origin = lively_parts(np.repeat([0.0, 5.0], 50_000), (2.5,))
    >>> parts.size < 5000, int(origin[0]) > 40_000
    (True, True)
    """
    count = values.size // _BLOCK
    if count < 8:
        return values, None
    blocks = values[: count * _BLOCK].reshape(count, _BLOCK)
    lowest, highest = np.searchsorted(levels, blocks.min(axis=1)), np.searchsorted(levels, blocks.max(axis=1))
    lively = lowest != highest
    apart = lowest[1:] != lowest[:-1]
    lively[1:] |= apart
    lively[:-1] |= apart
    lively[-1] = True
    if np.count_nonzero(lively) * 2 >= count:
        return values, None
    change = np.flatnonzero(np.diff(np.concatenate(([False], lively, [False])).astype(np.int8)))
    starts, stops = change[::2] * _BLOCK, change[1::2] * _BLOCK
    stops[-1] = values.size
    bounds = [(max(0, start - 1), min(values.size, stop + 1)) for start, stop in zip(starts, stops, strict=True)]
    origin = np.concatenate([np.arange(start, stop) for start, stop in bounds])
    return np.concatenate([values[start:stop] for start, stop in bounds]), origin


def _in_record(places: Places, origin: Places | None) -> Places:
    return places if origin is None else np.where(places >= 0, origin[places], -1)


def _runts(crossings: Places, middle: Places, left: Places, entered: Places) -> int:
    """Pairs of crossings of the middle that lie outside every completed edge."""
    if crossings.size - middle.size < 2:
        return 0
    at = np.searchsorted(entered, crossings)
    inside = (
        (at < entered.size) & (left[np.minimum(at, entered.size - 1)] <= crossings) if entered.size else crossings < 0
    )
    return int(np.count_nonzero(~inside)) // 2


def _alternating(
    above: NDArray[np.bool_], into_high: Places, below: NDArray[np.bool_], into_low: Places
) -> tuple[NDArray[np.bool_], Places]:
    """Direction of every change of state, and the sample that completes it."""
    places = np.concatenate((into_high, into_low)) + 1
    ups = np.concatenate((np.ones(into_high.size, bool), np.zeros(into_low.size, bool)))
    order = np.argsort(places, kind="stable")
    places, ups = places[order], ups[order]
    if not ups.size:
        return ups, places
    start = _starting_state(above, below)
    changed = np.concatenate(([start is not None and bool(ups[0]) != start], ups[1:] != ups[:-1]))
    return ups[changed], places[changed]


def _starting_state(above: NDArray[np.bool_], below: NDArray[np.bool_]) -> bool | None:
    """True where the record begins high, False where low, None where it begins in between."""
    if above[0]:
        return True
    return False if below[0] else None


def _crossings(values: Samples, level: float) -> Places:
    """Samples after which the trace passes the level."""
    return _changes(values > level)


def _changes(state: NDArray[np.bool_]) -> Places:
    return np.flatnonzero(state[1:] != state[:-1])


def _latest(places: Places, before: Places) -> Places:
    """For each limit the last of the places below it, 0 where there is none."""
    if not places.size:
        return np.zeros(before.shape, dtype=np.intp)
    at = np.searchsorted(places, before) - 1
    return np.where(at >= 0, places[np.maximum(at, 0)], 0)


def _outer_crossings(
    values: Samples,
    middle: Places,
    ups: NDArray[np.bool_],
    outer: tuple[Places, Places],
) -> tuple[Places, Places]:
    """Last sample before the transition begins and first sample after it ends, within the neighbouring edges."""
    lower, upper = outer
    least = np.concatenate(([0], middle[:-1] + 1)) if middle.size else middle
    most = np.concatenate((middle[1:], [values.size - 1])) if middle.size else middle
    near = np.where(ups, _at_or_before(lower, middle), _at_or_before(upper, middle))
    far = np.where(ups, _at_or_after(upper, middle), _at_or_after(lower, middle))
    first = np.where((near >= least) & (near >= 0), near, -1)
    last = np.where((far >= 0) & (far <= most), far + 1, -1)
    return first, last


def _at_or_before(places: Places, limits: Places) -> Places:
    if not places.size:
        return np.full(limits.shape, -1, dtype=np.intp)
    at = np.searchsorted(places, limits, side="right") - 1
    return np.where(at >= 0, places[np.maximum(at, 0)], -1)


def _at_or_after(places: Places, limits: Places) -> Places:
    if not places.size:
        return np.full(limits.shape, -1, dtype=np.intp)
    at = np.searchsorted(places, limits, side="left")
    return np.where(at < places.size, places[np.minimum(at, places.size - 1)], -1)


def _instants(values: Samples, places: Places, levels: Samples, origin: Places | None) -> Samples:
    """Instant, in samples, at which the straight line from a sample to the next passes a level; NaN for place -1."""
    safe = np.clip(places, 0, values.size - 2)
    here, there = values[safe], values[safe + 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(there != here, (levels - here) / (there - here), 0.5)
    stands = safe if origin is None else origin[safe]
    return np.where(places >= 0, stands + np.clip(part, 0.0, 1.0), np.nan)
