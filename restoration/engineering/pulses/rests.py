"""How steady each state is from one rest between edges to the next: runts, wander, droop, and too few samples."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures.record import Samples
from restoration.engineering.pulses.edges import Edges
from restoration.engineering.pulses.levels import States

FEWEST_AT_REST = 5
_LOOKED_AT = 24
_LONGEST_LOOK = 2048
_FEWEST_SLOPING = 16
_SHARE_OF_EDGE = 16
_RUNT, _WANDER, _SLOPE, _KEPT = 0.05, 0.015, 0.015, 0.003
"""Parts of the amplitude from which a rest is called short, wandering or sloping, or is counted at all (own choice)."""


@dataclass(frozen=True)
class Rest:
    """One state over all its rests: samples in all, samples of a usual rest, and by how much its level may err.

    ``doubt_v`` is a limit either way, apart from noise; ``short`` of ``rests`` come no nearer than ``nearest_v``;
    ``wander_v`` is peak to peak, ``slope_v`` the most that one rest falls or rises.
    """

    samples: int = 0
    usual: int = 0
    doubt_v: float = 0.0
    rests: int = 0
    short: int = 0
    nearest_v: float = 0.0
    wander_v: float = 0.0
    slope_v: float = 0.0


def look_at_rests(values: Samples, edges: Edges, states: States) -> tuple[Rest, Rest]:
    """The low and the high state, rest by rest.

    Of each state the rests whose middle sample lies farthest from the level are looked at, and others spread evenly,
    32 in all at most, in as many samples as the shortest has. The level of a rest is the mean of its second half,
    clear of edges. A rest slopes where the means of its second, third and last quarter follow one another evenly.
    Own method and thresholds, no source.

    >>> from restoration.engineering.pulses.edges import find_edges
    >>> values = np.tile(np.repeat([0.0, 10.0], 50), 5)
    >>> values[50:100] = 7.0
    >>> states = States(0.0, 10.0, 0.0)
    >>> high = look_at_rests(values, find_edges(values, 0.0, 10.0, 0.0), states)[1]
    >>> high.short, high.rests, high.nearest_v, high.doubt_v
    (1, 5, 7.0, 3.0)
    """
    starts, stops = _bounds(values.size, edges)
    is_high = np.concatenate(([not edges.rising[0]], edges.rising))
    return (
        _rest(values, starts[~is_high], stops[~is_high], states, states.low_v),
        _rest(values, starts[is_high], stops[is_high], states, states.high_v),
    )


def _bounds(samples: int, edges: Edges) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and one-past-last sample of every rest, from one outer reference level to the next."""
    begin = np.where(np.isnan(edges.begin), edges.middle, edges.begin)
    end = np.where(np.isnan(edges.end), edges.middle, edges.end)
    starts = np.concatenate(([0], np.ceil(end).astype(np.intp)))
    stops = np.concatenate((np.floor(begin).astype(np.intp) + 1, [samples]))
    clear = np.minimum(np.maximum(stops - starts, 0) // 4, np.ceil(0.2 * np.median(end - begin)).astype(np.intp))
    return starts, np.maximum(stops - clear, starts)


def _rest(values: Samples, starts: NDArray[np.intp], stops: NDArray[np.intp], states: States, level: float) -> Rest:
    lengths = stops - starts
    kept = lengths > 0
    if not kept.any():
        return Rest(usual=0, doubt_v=_few_samples(1, 0.0, states))
    starts, stops, lengths = starts[kept], stops[kept], lengths[kept]
    usual, total = int(np.median(lengths)), int(lengths.sum())
    long = np.flatnonzero(lengths >= max(4, 0.5 * usual))
    chosen = long[_chosen(np.abs(values[((starts + stops) // 2)[long]] - level))]
    doubt = 0.0
    if usual < _SHARE_OF_EDGE:
        spread = max((float(np.abs(values[starts[at] : stops[at]] - level).max()) for at in chosen), default=0.0)
        doubt = _few_samples(max(usual, 1), spread if usual < FEWEST_AT_REST + 3 else 0.0, states)
    if not chosen.size:
        return Rest(total, usual, doubt, int(long.size))
    return _steadiness(
        _alike(values, starts[chosen], lengths[chosen]), Rest(total, usual, doubt, int(long.size)), states, level
    )


def _few_samples(usual: int, spread: float, states: States) -> float:
    """What the ends of the edges may shift a level by: a tenth of the amplitude over the samples, and their spread."""
    return 0.1 * states.amplitude_v / usual + min(spread, 0.3 * states.amplitude_v)


def _chosen(off: Samples) -> NDArray[np.intp]:
    if off.size <= _LOOKED_AT + 8:
        return np.arange(off.size)
    farthest = np.argpartition(-off, 8)[:8]
    evenly = np.linspace(0, off.size - 1, _LOOKED_AT).astype(np.intp)
    return np.unique(np.concatenate((farthest, evenly)))


def _alike(values: Samples, starts: NDArray[np.intp], lengths: NDArray[np.intp]) -> Samples:
    """The rests as rows of one length, that of the shortest, the longer ones thinned out evenly."""
    length = min(int(lengths.min()), _LONGEST_LOOK)
    rows: Samples = values[starts[:, None] + np.arange(length) * lengths[:, None] // length]
    return rows


def _steadiness(parts: Samples, rest: Rest, states: States, level: float) -> Rest:
    amplitude, length = states.amplitude_v, parts.shape[1]
    means = parts[:, length // 2 :].mean(axis=1)
    doubtful = 4.0 * states.noise_v / math.sqrt(length - length // 2)
    toward = 1.0 if level == states.low_v else -1.0
    short = toward * (means - level) > max(_RUNT * amplitude, 1.5 * doubtful)
    few = 0 < np.count_nonzero(short) <= 0.4 * len(parts)
    slope, within = _slope(parts, states), _within(parts, states)
    steady = means[~short] if few else means
    wander = max(float(np.ptp(steady)), within, 2.0 * abs(float(np.median(steady)) - level))
    wander = wander if wander > max(_WANDER * amplitude, 2.0 * doubtful) else 0.0
    off = float(np.abs(means - level).max())
    doubt = rest.doubt_v + (off if off > max(_KEPT * amplitude, doubtful) else 0.0)
    doubt += max(slope, within if within > _KEPT * amplitude else 0.0)
    if wander:  # on to the ends of the record, which may lie a rest beyond the means
        doubt += float(np.ptp(steady)) / max(1, steady.size - 1)
    nearest = float(means[short].max() if toward < 0 else means[short].min()) if few else 0.0
    count = int(np.count_nonzero(short)) if few else 0
    return Rest(rest.samples, rest.usual, doubt, rest.rests, count, nearest, wander, slope)


def _slope(parts: Samples, states: States) -> float:
    """The most that a rest falls or rises by from end to end; 0 unless a third of the rests slope evenly."""
    quarter = parts.shape[1] // 4
    if quarter < _FEWEST_SLOPING // 4:
        return 0.0
    means = parts[:, parts.shape[1] - 3 * quarter :].reshape(len(parts), 3, quarter).mean(axis=2)
    one, other = means[:, 1] - means[:, 0], means[:, 2] - means[:, 1]
    told = max(_SLOPE * states.amplitude_v, 12.0 * states.noise_v / math.sqrt(quarter))
    even = (one * other > 0) & (np.abs(other) > 0.5 * np.abs(one)) & (np.abs(one) > 0.5 * np.abs(other))
    rises = np.where(even, 2.0 * np.abs(one + other), 0.0)
    sloping = rises >= told
    return 1.2 * float(rises.max()) if np.count_nonzero(sloping) * 3 >= len(parts) else 0.0


def _within(parts: Samples, states: States) -> float:
    """Peak to peak of the means of up to 16 pieces of the second half of a rest, 0 where noise explains it."""
    half = parts.shape[1] // 2
    pieces = min(16, half // 8)
    if pieces < 2:
        return 0.0
    length = half // pieces
    means = parts[:, parts.shape[1] - pieces * length :].reshape(len(parts), pieces, length).mean(axis=2)
    found = float(np.ptp(means, axis=1).max())
    return found if found > 7.0 * states.noise_v / math.sqrt(length) else 0.0


def sentences(rest: Rest, word: str, place: str, unit: str) -> list[str]:
    """What has to be said aloud of one state; ``word`` is low or high, ``place`` base or top.

    >>> sentences(Rest(samples=500, usual=100, rests=15, short=3, nearest_v=6.0), "high", "top", "V")
    ['3 of 15 pulses reach only 6.0 V: the high level and the amplitude are those of the others.']
    """
    found = []
    if rest.short:
        what = "pulses reach only" if place == "top" else "rests between pulses come only to"
        found.append(
            f"{rest.short} of {rest.rests} {what} {rest.nearest_v:.1f} {unit}: "
            f"the {word} level and the amplitude are those of the others."
        )
    if rest.slope_v:
        found.append(
            f"The {place} slopes by {rest.slope_v:.2g} {unit} from end to end (droop, hum or drift): the {word} level "
            "and the amplitude are no steady ones."
        )
    elif rest.wander_v:
        found.append(f"The {place} wanders by {rest.wander_v:.2g} {unit} (hum or drift).")
    if rest.usual < FEWEST_AT_REST:
        held = {0: "is no sample", 1: "is one sample"}.get(rest.usual, f"are only {rest.usual} samples")
        found.append(f"There {held} at rest in the {word} state: its level is uncertain by the share of the edges.")
    return found
