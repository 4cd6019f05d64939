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

    ``printed_step_s`` is the weight of the last printed digit. The times must lie on an even grid to within that
    rounding (one and a half steps, since some instruments cut instead of rounding), single-precision arithmetic
    (1e-7 of the largest time) and 2 % of the interval. A stated interval is used where it agrees with the span;
    where rounded times contradict it the capture is refused, and where exact times do, the times win aloud.

    >>> from_times(np.array([0.0, 0.1, 0.2, 0.3]), 0.1, None, 1)[:2]
    (0.0, 0.1)
    """
    if times.size < 2:
        return float(times[0]), _stated_for_one(stated_s), ()
    step = (float(times[-1]) - float(times[0])) / (times.size - 1)
    slack = 1.5 * printed_step_s + 2.4e-7 * float(np.abs(times[[0, -1]]).max())
    if step < _FINEST_S:
        raise CaptureRefused(_not_advancing(times))
    off = _off_the_grid(times, step)
    interval, warnings = _interval(step, slack / (times.size - 1), slack, stated_s)
    if float(off.max()) > slack + _UNEVEN * interval:
        raise CaptureRefused(_uneven(times, first_line))
    if warnings == (_COARSE,) and float(off.max()) <= 0.1 * printed_step_s:
        warnings = ()
    told = tuple(word.format(100 * slack / (times.size - 1) / step) for word in warnings)
    return float(times[0]), interval, told


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


def _off_the_grid(times: Samples, step: float) -> Samples:
    """How far each time lies from the even grid through the first and the last."""
    off = times - times[0]
    off -= step * np.arange(times.size)
    return np.abs(off, out=off)


def _uneven(times: Samples, first_line: int) -> str:
    jumps = np.diff(times)
    place = int(np.abs(jumps - np.median(jumps)).argmax())
    return (
        f"Line {first_line + place + 1}: time goes from {times[place]:g} s to {times[place + 1]:g} s where steps of "
        f"{np.median(jumps):g} s are usual; a trace has to be evenly sampled, without gaps."
    )
