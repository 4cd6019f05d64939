"""Whether a trace was cut off by the edge of the screen or of the converter."""

from __future__ import annotations

import math

import numpy as np

from restoration.engineering.captures.record import Samples
from restoration.engineering.pulses.levels import States

_LONGEST_LOOK = 32768
_FEWEST_CUT = 4
_FLAT = 0.8  # part of the samples near a level, of which the ends of the edges hold some


def clipped_sides(values: Samples, states: States, least: float, most: float, step_v: float | None) -> tuple[str, str]:
    """How the trace is clipped below and above: "", "level" (the state itself is cut) or "peak" (only excursions).

    A state is cut where three tenths of its samples or more (nine tenths where a coarse converter repeats its values)
    hold one exact value, the extreme of the record, while the other state shows noise from sample to sample of more
    than 0.6 converter steps. Excursions are cut where four or more samples in a row hold the exact extreme, beyond
    the state level, entered with a jump, while no other such flat lies off the levels. A trace without any noise
    cannot show the first kind. Both states are cut where each holds nothing but its extreme while
    the samples on the way between them carry noise. Own method, no source.
    """
    if _both_cut(values, states, least, most, step_v):
        return "level", "level"
    return (
        _clipped(values, -1.0, states.low_v, least, states, step_v),
        _clipped(values, 1.0, states.high_v, most, states, step_v),
    )


def _both_cut(values: Samples, states: States, least: float, most: float, step_v: float | None) -> bool:
    """Both states without any noise, and noise of more than 0.6 converter steps on the edges between them.

    Noise is told from a rounded edge by its third differences, which are as large as noise makes them beside the second
    (sqrt(20) to sqrt(6)), where those of a smooth edge are far smaller.
    """
    tenth = 0.1 * states.amplitude_v
    chosen = values[:: max(1, values.size // _LONGEST_LOOK)]
    for level, extreme in ((states.low_v, least), (states.high_v, most)):
        if np.count_nonzero(chosen == extreme) < _FLAT * int(np.count_nonzero(np.abs(chosen - level) < tenth)):
            return False
    between = (values > least) & (values < most)
    inside = between[:-3] & between[1:-2] & between[2:-1] & between[3:]
    if np.count_nonzero(inside) < 2 * _FEWEST_CUT:
        return False
    third = float(np.median(np.abs(np.diff(values, 3)[inside]))) / (0.6745 * math.sqrt(20.0))
    second = float(np.median(np.abs(np.diff(values, 2)[:-1][inside]))) / (0.6745 * math.sqrt(6.0))
    step = step_v or _least_step(values[between])
    return third > max(0.6 * step, 1e-6 * states.amplitude_v) and third > 0.6 * second


def _least_step(values: Samples) -> float:
    """The step of a converter that the capture does not tell, 0 where hardly any value comes twice."""
    apart = np.unique(values)
    return float(np.diff(apart).min()) if 1 < apart.size < 0.5 * values.size else 0.0


def _clipped(values: Samples, sign: float, level: float, extreme: float, states: States, step_v: float | None) -> str:
    if np.count_nonzero(values == extreme) < _FEWEST_CUT:
        return ""
    beyond = sign * (extreme - level)
    if beyond <= 0.05 * states.amplitude_v and _rests_exactly(values, level, extreme, states, step_v):
        return "level"
    if beyond < max(0.02 * states.amplitude_v, 6.0 * states.noise_v):
        return ""
    return "peak" if _cut_peak(sign * values, sign * extreme) and not _has_other_flats(values, extreme, states) else ""


def _rests_exactly(values: Samples, level: float, extreme: float, states: States, step_v: float | None) -> bool:
    apart = states.amplitude_v
    other_level = states.high_v if level == states.low_v else states.low_v
    chosen = values[:: max(1, values.size // _LONGEST_LOOK)]
    here = chosen[np.abs(chosen - level) < 0.1 * apart]
    there = chosen[np.abs(chosen - other_level) < 0.1 * apart]
    if min(here.size, there.size) < 2 * _FEWEST_CUT or np.mean(here == extreme) < _share_of_a_cut(here, extreme):
        return False
    return _shows_noise(values, other_level, 0.1 * apart, 0.6 * (step_v or 0.0))


def _share_of_a_cut(here: Samples, extreme: float) -> float:
    """Share of a state's samples on one value that shows a cut: large where a coarse converter repeats its values."""
    others = here[here != extreme]
    repeats = others.size > 0 and np.unique(others).size < 0.5 * others.size
    return 0.9 if repeats else 0.3


def _shows_noise(values: Samples, level: float, half: float, least: float) -> bool:
    """Whether the trace near a level jumps about from sample to sample by a fair part of its spread there."""
    near = np.abs(values - level) < half
    inside = near[:-2] & near[1:-1] & near[2:]
    if float(values[near].std()) <= least or np.count_nonzero(inside) < 2 * _FEWEST_CUT:
        return False
    spread = float(np.median(np.abs(values[near] - level))) / 0.6745
    jumps = float(np.median(np.abs(np.diff(values, 2)[inside]))) / (0.6745 * math.sqrt(6.0))
    return jumps > 0.2 * spread and jumps > 0.0


def _cut_peak(values: Samples, most: float) -> bool:
    at_most = values == most
    change = np.flatnonzero(np.diff(at_most.astype(np.int8))) + 1
    bounds = np.concatenate(([0], change, [values.size]))
    starts, stops = bounds[:-1][at_most[bounds[:-1]]], bounds[1:][at_most[bounds[:-1]]]
    longest = int((stops - starts).argmax())
    start, stop = int(starts[longest]), int(stops[longest])
    if stop - start < _FEWEST_CUT:
        return False
    beside = [values[place] for place in (start - 1, stop) if 0 <= place < values.size]
    jump = most - max(beside) if beside else 0.0
    return _longer_than_rounding(values, start, stop, most, jump)


def _longer_than_rounding(values: Samples, start: int, stop: int, most: float, jump: float) -> bool:
    """A rounded peak of a coarse converter is flat too; the next step down is then nearly as long as the flat."""
    near = values[max(0, start - (stop - start)) : stop + (stop - start)]
    next_step = int(np.count_nonzero((near < most) & (near >= most - 1.5 * jump)))
    return (stop - start) > 4 * max(1, next_step // 2)


def _has_other_flats(values: Samples, extreme: float, states: States) -> bool:
    """Whether flats half as long lie elsewhere off the levels: steps, as of reflections on a wire, not a cut."""
    change = np.flatnonzero(np.diff(values)) + 1
    starts = np.concatenate(([0], change))
    lengths = np.diff(np.concatenate((starts, [values.size])))
    at = values[starts]
    longest = int(lengths[at == extreme].max())
    apart = 0.02 * states.amplitude_v
    off_levels = (np.abs(at - states.low_v) > apart) & (np.abs(at - states.high_v) > apart)
    return bool((lengths[off_levels & (at != extreme)] >= longest / 2).any())
