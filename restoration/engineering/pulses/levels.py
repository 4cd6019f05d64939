"""State levels of a two-state waveform, by histogram."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures.record import Samples

_ENOUGH = 16384
_BLOCKS, _BLOCK = 64, 1024
_AT_REST = 0.9  # part of the samples at a level; own choice: the median then errs by a tenth of a step at most


@dataclass(frozen=True)
class States:
    """The two levels, the noise they were told through, and whether each was dwelt in or is a peak only.

    ``reason`` is the sentence that says why there are no levels; ``low_settled`` and ``high_settled`` are False where
    no flat was found and the mean of the peaks stands in.
    """

    low_v: float
    high_v: float
    noise_v: float
    low_settled: bool = True
    high_settled: bool = True
    reason: str = ""

    @property
    def amplitude_v(self) -> float:
        """Difference of the levels."""
        return self.high_v - self.low_v


@dataclass(frozen=True, eq=False)
class _Histogram:
    counts: NDArray[np.int64]
    smooth: Samples
    least: float
    width: float
    kernel: int

    def centre(self, place: int) -> float:
        return self.least + (place + 0.5) * self.width

    def place(self, value: float) -> int:
        return min(max(int((value - self.least) / self.width), 0), self.counts.size - 1)


def fast_noise(values: Samples, step_v: float | None) -> float:
    """Standard deviation of white noise on a smooth trace, from second differences; never below step / sqrt(12).

    sigma = quartile(|v[i] - 2 v[i+1] + v[i+2]|) / (0.3186 sqrt 6), over at most 16384 samples in stretches spread over
    the record. Robust against edges; blind to noise much slower than the sample interval. Own choice of method.

    >>> round(fast_noise(np.random.default_rng(1).normal(0.0, 0.1, 50000), None), 2)
    0.1
    """
    if values.size < 3:
        return 0.0
    pieces = max(1, min(16, values.size // 2048))
    length = min(values.size // pieces, _ENOUGH // pieces)
    starts = np.linspace(0, values.size - length, pieces).astype(int)
    second = np.concatenate([np.abs(np.diff(values[start : start + length], 2)) for start in starts])
    place = second.size // 4
    white = float(np.partition(second, place)[place]) / (0.3186 * math.sqrt(6.0))
    return max(white, (step_v or 0.0) / math.sqrt(12.0))


def find_states(values: Samples, least: float, most: float, step_v: float | None) -> States:
    """Low and high state level of a trace with two states.

    Method: a histogram between least and most (64 to 4096 bins, smoothed over three standard deviations of noise and
    one and a half converter steps). The fullest place is one state. The other is looked for beyond the middle between
    it and the farther extreme, and only in the stretches that stay there longest, so that the turning points of a
    decaying ring are not taken for a state (which splitting the range in halves would do). Each level is the mean of
    the samples about its mode, or without noise their median, which removes the half-bin error. A stretch that never
    dwells gives its peak instead where it is a complete pulse, and no level where the record cuts it off.

    After the histogram method of IEEE 181 (the choice of bins, the dwell rule and the order of search are own).
    Valid for overshoot below the amplitude. Volts; shape (n,).

    >>> states = find_states(np.repeat([0.0, 5.0, 0.0], 50), 0.0, 5.0, None)
    >>> states.low_v, states.high_v
    (0.0, 5.0)
    """
    noise = fast_noise(values, None)
    if most - least <= 0:
        return States(least, least, noise, reason="The trace is one constant value: there is no transition in it.")
    if values.size < 4:
        return States(least, most, noise, reason=f"There are only {values.size} samples; levels need at least four.")
    chosen = _stretches_of(values)
    histogram = _histogram(chosen, least, most, _kernel_v(noise, step_v))
    chosen = chosen[:: max(1, chosen.size // _ENOUGH)]
    main = histogram.centre(_peak(histogram, 0, histogram.counts.size, True))
    upward = most - main >= main - least
    far = most if upward else least
    split = (main + far) / 2
    other, settled, reason = _other_level(values, histogram, split, upward, far, noise)
    main_level = _centre_near(values, chosen, main, histogram)
    main_settled = _dwells(histogram, main)
    if not main_settled and not reason:
        main_level = least if upward else most
    states = States(
        min(main_level, other), max(main_level, other), noise,
        low_settled=main_settled if upward else settled,
        high_settled=settled if upward else main_settled,
        reason=reason,
    )  # fmt: skip
    return states if reason else _refused_if_noise(states, chosen, main, step_v, most - least)


def _kernel_v(noise: float, step_v: float | None) -> float:
    return max(3.0 * noise, 1.5 * (step_v or 0.0))


def _histogram(values: Samples, least: float, most: float, kernel_v: float) -> _Histogram:
    bins = int(min(4096, max(64, 2 ** math.floor(math.log2(max(values.size / 4, 1))))))
    width = (most - least) / bins
    scale = (bins - 1e-9) / (most - least)
    counts = np.bincount(((values - least) * scale).astype(np.intp), minlength=bins)[:bins]
    kernel = _odd(kernel_v / width, bins // 6)
    smooth = np.convolve(counts, np.ones(kernel), mode="same") if kernel > 1 else counts.astype(np.float64)
    return _Histogram(counts, smooth, least, width, kernel)


def _odd(width: float, most: int) -> int:
    """A whole, odd number of bins, so that smoothing leans to neither side."""
    return 2 * (min(max(1, round(width)), max(1, most)) // 2) + 1


def _stretches_of(values: Samples) -> Samples:
    """The whole trace, or 64 stretches of 1024 samples spread over a long one: enough to find where it mostly is."""
    if values.size <= _BLOCKS * _BLOCK:
        return values
    starts = np.linspace(0, values.size - _BLOCK, _BLOCKS).astype(np.intp)
    return np.concatenate([values[start : start + _BLOCK] for start in starts])


def _peak(histogram: _Histogram, start: int, stop: int, prefer_ends: bool) -> int:
    """Place of the fullest part; among equals the one farthest from the middle."""
    part = histogram.smooth[start:stop]
    best = np.flatnonzero(part >= part.max())
    if best.size == 1 or not prefer_ends:
        return start + int(best[0])
    middle = (histogram.counts.size - 1) / 2
    return start + int(best[np.abs(start + best - middle).argmax()])


def _dwells(histogram: _Histogram, level: float) -> bool:
    """Whether the level holds far more samples than an even spread over the range would put there."""
    even = int(histogram.counts.sum()) * histogram.kernel / histogram.counts.size
    place = histogram.place(level)
    near = float(histogram.smooth[max(0, place - 1) : place + 2].max())
    return _concentrated(near, even, int(histogram.counts.sum()))


def _concentrated(near: float, even: float, samples: int) -> bool:
    """Whether a place holds far more than its even share: three times as much, or half of what it lacks."""
    return near >= min(3.0 * even, 0.5 * (samples + even))


def _centre_near(values: Samples, chosen: Samples, level: float, histogram: _Histogram) -> float:
    """Centre of the samples about a mode, from a choice of samples where those suffice."""
    half = histogram.width * (histogram.kernel + 1)
    if chosen.size != values.size and np.count_nonzero(np.abs(chosen - level) <= half) < 32:
        chosen = values
    return _centre(chosen, level, half, histogram.kernel == 1)


def _centre(values: Samples, level: float, half: float, quiet: bool) -> float:
    """Centre of the samples within a half width of the level, twice, the second time about the first centre.

    The mean where there is noise to be averaged; the median, which the ends of edges do not pull, on a quiet trace and
    where nine samples in ten are one value, as on a clean trace in the steps of a converter.
    """
    for _ in range(2):
        near = values[np.abs(values - level) <= half]
        if near.size:
            median = float(np.median(near))
            at_rest = quiet or np.count_nonzero(near == median) >= _AT_REST * near.size
            level = median if at_rest else float(near.mean())
    return level


def _other_level(
    values: Samples, histogram: _Histogram, split: float, upward: bool, far: float, noise: float
) -> tuple[float, bool, str]:
    """Level of the state beyond the split, whether it was dwelt in, and the reason where it cannot be told."""
    beyond = values > split if upward else values < split
    starts, stops = _stretches(beyond)
    if not starts.size:
        return far, False, "There is no transition in the trace."
    lengths = stops - starts
    longest = np.flatnonzero(lengths >= 0.75 * lengths.max())
    pieces = [values[starts[at] : stops[at]] for at in _spread(longest, 512)]
    stride = max(1, sum(piece.size for piece in pieces) // _ENOUGH)
    held = np.concatenate([piece[::stride] for piece in pieces])
    level, settled = _dwelt_level(held, split, far, histogram, noise)
    if settled:
        return level, True, ""
    cut = starts[longest[0]] == 0 or stops[longest[-1]] == values.size
    if cut and longest.size == 1:
        end = "begins" if starts[longest[0]] == 0 else "ends"
        return (
            far,
            False,
            (
                f"The record {end} while the trace is still moving: it never rests in its "
                f"{'high' if upward else 'low'} state, so that level cannot be told."
            ),
        )
    peaks = [piece.max() if upward else piece.min() for piece in pieces]
    return float(np.mean(peaks)), False, ""


def _spread(places: NDArray[np.intp], most: int) -> NDArray[np.intp]:
    if places.size <= most:
        return places
    chosen: NDArray[np.intp] = places[np.linspace(0, places.size - 1, most).astype(np.intp)]
    return chosen


def _stretches(beyond: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and one-past-last sample of every run of True."""
    change = np.flatnonzero(beyond[1:] != beyond[:-1]) + 1
    edges = np.concatenate(([0], change, [beyond.size]))
    first = 0 if beyond[0] else 1
    return edges[first:-1:2], edges[first + 1 :: 2]


def _dwelt_level(held: Samples, split: float, far: float, histogram: _Histogram, noise: float) -> tuple[float, bool]:
    """Mode of the samples of one state, refined by the mean around it, and whether it is a dwelling place."""
    low, high = min(split, far), max(split, far)
    width = max(histogram.width, (high - low) / max(16, min(2048, held.size // 2)))
    bins = max(8, round((high - low) / width))
    places = ((held - low) * ((bins - 1e-9) / (high - low))).astype(np.intp)
    counts = np.bincount(np.clip(places, 0, bins - 1), minlength=bins)
    kernel = _odd(histogram.kernel * histogram.width / width, bins // 3)
    smooth = np.convolve(counts, np.ones(kernel), mode="same") if kernel > 1 else counts.astype(np.float64)
    best = np.flatnonzero(smooth >= smooth.max())
    mode = int(best[-1] if far > split else best[0])
    centre = low + (mode + 0.5) * (high - low) / bins
    half = (high - low) / bins * (kernel + 1)
    border = kernel // 2 + 1
    inward = mode < border if far > split else mode >= bins - border
    settled = not inward and _concentrated(float(smooth[mode]), held.size * kernel / bins, held.size)
    near = np.count_nonzero(np.abs(held - centre) <= half)
    return _centre(held, centre, half, histogram.kernel == 1), bool(settled and near >= 2)


def _refused_if_noise(states: States, chosen: Samples, main: float, step_v: float | None, span: float) -> States:
    """Takes the levels back where they could be noise or converter steps on a resting trace.

    The noise is the lesser of that from second differences, which crowded edges raise, and the spread about the main
    level, which ringing and droop raise.
    """
    spread = _spread_about(chosen, main, states.amplitude_v / 2)
    noise = min(states.noise_v, spread)
    if states.amplitude_v <= 8.0 * noise:
        return _no_transition(states, "the difference of its levels is within eight standard deviations of its noise")
    if step_v and states.amplitude_v < 3.5 * step_v:
        return _no_transition(states, "it moves by three converter steps or fewer")
    heap = 6.0 if states.low_settled or states.high_settled else 12.0  # one side of a heap, or both
    if span >= 5.0 * float(chosen.std()) and states.amplitude_v < heap * spread:
        return _no_transition(states, "its samples form a single heap around one level, as noise does")
    return replace(states, noise_v=max(noise, (step_v or 0.0) / math.sqrt(12.0)))


def _spread_about(values: Samples, level: float, most: float) -> float:
    off = np.abs(values - level)
    off = off[off < most]
    return float(np.partition(off, off.size // 2)[off.size // 2]) / 0.6745 if off.size else 0.0


def _no_transition(states: States, because: str) -> States:
    return States(
        states.low_v, states.high_v, states.noise_v, reason=f"There is no transition in the trace: {because}."
    )
