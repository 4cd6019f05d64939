"""From a column of times, or of sample numbers, to a first sample and an interval."""

from __future__ import annotations

import numpy as np

from restoration.engineering.captures.record import CaptureRefused, Samples

Timebase = tuple[float, float, tuple[str, ...]]

_FINEST_S = 1e-18
_COARSE = "The times are printed so coarsely that the sample interval is known to {:.1g} % only."
_UNEVEN = 0.02
"""Part of an interval by which a sample may lie off the even grid without a word."""


def from_index(index: Samples, start_s: float, increment_s: float, first_line: int) -> Timebase:
    """Time of the first sample and interval where the file counts samples: start + i * increment.

    Raises CaptureRefused where the count misses a sample.

    >>> from_index(np.array([22.0, 23.0, 24.0]), -1e-3, 1e-6, 3)[:2]
    (-0.000978, 1e-06)
    """
    steps = np.diff(index)
    if steps.size and (steps != 1.0).any():
        place = int(np.flatnonzero(steps != 1.0)[0])
        raise CaptureRefused(
            f"Line {first_line + place + 1}: the sample number goes from {index[place]:g} to {index[place + 1]:g}; "
            "samples have to follow one another without a gap."
        )
    return float(f"{start_s + index[0] * increment_s:.12g}"), increment_s, ()


def from_times(times: Samples, printed_step_s: float, stated_s: float | None, first_line: int) -> Timebase:
    """Time of the first sample and even interval behind a column of printed times.

    ``printed_step_s`` is the weight of the last printed digit. The times must lie within a band about a straight line
    (least squares) no wider than that rounding, with room for single-precision arithmetic (2.4e-7 of the largest
    time) and 2 % of the interval. A stated interval is used where it agrees with the slope; where rounded times
    contradict it the capture is refused, and where exact times do, the times win aloud.

    >>> from_times(np.array([0.0, 0.1, 0.2, 0.3]), 0.1, None, 1)[:2]
    (0.0, 0.1)
    """
    if times.size < 2:
        return float(times[0]), _stated_for_one(stated_s), ()
    if not times[-1] - times[0] > _FINEST_S * times.size:
        raise CaptureRefused(_not_advancing(times))
    step, band = _line_through(times)
    slack = 1.1 * printed_step_s + 2.4e-7 * float(np.abs(times[[0, -1]]).max())
    if band > slack + _UNEVEN * step:
        raise CaptureRefused(_uneven(times, first_line))
    doubt = slack * min(1.0 / (times.size - 1), 4.0 / times.size**1.5)
    interval, warnings = _interval(step, doubt, slack, stated_s)
    if band <= 0.1 * printed_step_s:
        warnings = tuple(word for word in warnings if word != _COARSE)
    return float(times[0]), interval, tuple(word.format(100 * doubt / step) for word in warnings)


def _line_through(times: Samples) -> tuple[float, float]:
    """Slope of the straight line of least squares, and the width of the band about it that holds every time."""
    index = np.arange(times.size, dtype=np.float64) - (times.size - 1) / 2
    centred = times - times.mean()
    slope = float(np.sum(index * centred) / np.sum(index * index))
    off = centred - slope * index
    return slope, float(off.max() - off.min())


def _stated_for_one(stated_s: float | None) -> float:
    if stated_s is None:
        raise CaptureRefused("There is one sample in the file; a capture needs at least two.")
    return stated_s


def _not_advancing(times: Samples) -> str:
    return (
        f"The times do not advance: the first is {times[0]:g} s and the last is {times[-1]:g} s "
        f"over {times.size} samples."
    )


def _interval(step: float, doubt: float, slack: float, stated_s: float | None) -> tuple[float, tuple[str, ...]]:
    """The stated interval where the times allow it, else the mean step in as few digits as its doubt allows."""
    if stated_s is not None:
        if abs(stated_s - step) <= doubt + 1e-6 * step:
            return stated_s, ()
        if slack > _UNEVEN * step:
            raise CaptureRefused(
                f"The header states a sample interval of {stated_s:g} s, but the times advance by {step:g} s."
            )
        warning = (
            f"The header states a sample interval of {stated_s:g} s; the times advance by {step:g} s, which was used."
        )
        return _shortest(step, doubt), (warning,)
    if doubt > 1e-3 * step:
        return _shortest(step, doubt), (_COARSE,)
    return _shortest(step, doubt), ()


def _shortest(step: float, doubt: float) -> float:
    for digits in range(1, 16):
        value = float(f"{step:.{digits}g}")
        if abs(value - step) <= min(doubt, 1e-4 * step):
            return value
    return step


def _uneven(times: Samples, first_line: int) -> str:
    jumps = np.diff(times)
    if 3 * np.count_nonzero(jumps == 0.0) >= times.size:
        place = int(np.flatnonzero(jumps == 0.0)[0])
        return (
            f"Line {first_line + place + 1}: the time {times[place]:g} s is given twice, as are most others: these "
            "look like pairs of least and most at the same time, in no one order. Save the capture with one sample "
            "for each time."
        )
    place = int(np.abs(jumps - np.median(jumps)).argmax())
    return (
        f"Line {first_line + place + 1}: time goes from {times[place]:g} s to {times[place + 1]:g} s where steps of "
        f"{np.median(jumps):g} s are usual; a trace has to be evenly sampled, without gaps."
    )
