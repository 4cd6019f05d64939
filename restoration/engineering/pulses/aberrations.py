"""What happens around an edge: overshoot, undershoot, preshoot, settling, ringing, and the noise of rest."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures.record import Samples
from restoration.engineering.pulses.edges import Edges
from restoration.engineering.pulses.levels import States

MOST_EDGES = 32
"""Edges looked at closely, spread evenly over the record."""
FEWEST_IN_HALF_CYCLE = 3
LEAST_EXCURSION = 0.0005
"""Part of the amplitude below which an excursion is not told from the resolution of the levels."""
LEAST_RING = 0.002
"""Part of the amplitude below which an excursion is not called ringing, however quiet the trace."""


@dataclass(frozen=True)
class Aberration:
    """One edge's surroundings, amplitude 1: excursions, settling and ringing in samples; None where not told."""

    overshoot: float
    undershoot: float
    preshoot: float
    settling: float | None
    ringing_period: float | None
    ringing_decay: float | None
    half_cycles: int


@dataclass(frozen=True, eq=False)
class _Side:
    """The trace beside an edge as it was sampled, and what brings it to the old level at 0 and the new one at 1."""

    before: Samples
    after: Samples
    offset: float
    old_v: float
    new_v: float

    def far_before(self) -> float:
        """The excursion before the edge past the old level, away from the new one."""
        if not self.before.size:
            return 0.0
        extreme = self.before.min() if self.new_v > self.old_v else self.before.max()
        return float((self.old_v - extreme) / (self.new_v - self.old_v))

    def peak(self) -> int:
        """Place of the farthest sample past the new level."""
        return int(self.after.argmax() if self.new_v > self.old_v else self.after.argmin())

    def beyond(self, start: int = 0, stop: int | None = None) -> Samples:
        """Samples after the edge as parts of the amplitude beyond the new level."""
        return (self.after[start:stop] - self.new_v) * (1.0 / (self.new_v - self.old_v))

    def least_after(self, start: int) -> float:
        """The lowest excursion from a place on, short of the new level."""
        part = self.after[start:]
        extreme = part.min() if self.new_v > self.old_v else part.max()
        return float((extreme - self.new_v) / (self.new_v - self.old_v))

    def last_outside(self, band: float) -> int:
        """Place of the last sample farther than a part of the amplitude from the new level, -1 for none.

        Looked for backwards in growing stretches, since the end of a long record mostly rests.
        """
        half = band * abs(self.new_v - self.old_v)
        stop, size = self.after.size, 4096
        while stop > 0:
            start = max(0, stop - size)
            outside = np.flatnonzero(np.abs(self.after[start:stop] - self.new_v) > half)
            if outside.size:
                return start + int(outside[-1])
            stop, size = start, 2 * size
        return -1


def look_at_edges(
    values: Samples, states: States, edges: Edges, band: float, noise_v: float
) -> list[tuple[bool, Aberration]]:
    """Aberrations of up to 32 edges, each with whether the edge rises.

    The post-transition region runs from the edge to the middle of the way to the next (to the end of the record after
    the last), the pre-transition region from the middle of the way from the edge before. In the post-transition region
    overshoot is the excursion past the new level, and undershoot the excursion back short of it afterwards; preshoot
    is the excursion past the old level, away from the new one, before the edge. Excursions no larger than noise makes
    among so many samples (1 + sqrt(2 ln n) standard deviations), or within 0.05 % of the amplitude, are 0. Settling
    runs from the 50 % instant until the trace stays within ``band`` of the new level; ringing from the crossings of the
    new level between excursions above noise. IEEE 181 regions and terms; the length of the regions is own choice.
    """
    chosen = np.unique(np.linspace(0, len(edges) - 1, min(MOST_EDGES, len(edges))).astype(int))
    noise = noise_v / states.amplitude_v
    return [(bool(edges.rising[at]), _aberration(_side(values, states, edges, int(at)), band, noise)) for at in chosen]


def noise_reach(noise: float, samples: int) -> float:
    """How far white noise is likely to reach among so many samples: (1 + sqrt(2 ln n)) standard deviations.

    sqrt(2 ln n) is the usual estimate of the largest of n Gaussian samples; one more keeps chance ones out (own
    choice).

    >>> round(noise_reach(1.0, 100), 2), round(noise_reach(1.0, 1_000_000), 2)
    (4.03, 6.26)
    """
    return noise * (1.0 + math.sqrt(2.0 * math.log(max(samples, 2))))


def _side(values: Samples, states: States, edges: Edges, at: int) -> _Side:
    middle = float(edges.middle[at])
    start = 0 if at == 0 else math.ceil((middle + edges.middle[at - 1]) / 2)
    stop = math.floor((middle + edges.middle[at + 1]) / 2) + 1 if at + 1 < len(edges) else values.size
    begin = math.floor(edges.begin[at]) + 1 if not math.isnan(edges.begin[at]) else math.ceil(middle)
    turn = math.ceil(middle)
    rising = bool(edges.rising[at])
    old_v, new_v = (states.low_v, states.high_v) if rising else (states.high_v, states.low_v)
    return _Side(values[start:begin], values[turn:stop], turn - middle, old_v, new_v)


def _aberration(side: _Side, band: float, noise: float) -> Aberration:
    if not side.after.size:
        return Aberration(0.0, 0.0, 0.0, None, None, None, 0)
    floor = max(noise_reach(noise, side.after.size + side.before.size), LEAST_EXCURSION)
    peak = side.peak()
    overshoot = _told(float(side.beyond(peak, peak + 1)[0]), floor)
    undershoot = _told(-side.least_after(peak), floor) if overshoot else 0.0
    period, decay, half_cycles = _ringing(side, max(floor, LEAST_RING)) if overshoot else (None, None, 0)
    settling = _settling(side, band) if band > floor else None
    return Aberration(overshoot, undershoot, _told(side.far_before(), floor), settling, period, decay, half_cycles)


def _told(excursion: float, floor: float) -> float:
    return excursion if excursion > floor else 0.0


def _settling(side: _Side, band: float) -> float | None:
    """Instant, from the middle of the edge, after which the trace stays within the band; None if it does not."""
    last = side.last_outside(band)
    if last < 0:
        return side.offset
    if last + 1 >= side.after.size:
        return None
    here, there = side.beyond(last, last + 2)
    edge = math.copysign(band, here)
    return side.offset + last + float((here - edge) / (here - there))


def _ringing(side: _Side, floor: float) -> tuple[float | None, float | None, int]:
    """Period and decay time constant of a ring, in samples, and the half cycles seen above the floor.

    Crossings of the new level are half periods of a damped oscillation whatever its damping; the decay comes from a
    straight line through the logarithm of successive excursions.
    """
    after = side.beyond(0, side.last_outside(floor) + 2)
    strong = np.flatnonzero(np.abs(after) > floor)
    turns = np.flatnonzero(np.diff(np.signbit(after[strong]).astype(np.int8))) if strong.size else strong
    half_cycles = int(turns.size)
    if half_cycles < 3:
        return None, None, half_cycles
    crossings = _between(after, strong[turns], strong[turns + 1])
    if np.diff(crossings).min() < FEWEST_IN_HALF_CYCLE:
        return None, None, half_cycles
    peaks, heights = _excursions(after, np.append(strong[turns + 1], strong[-1] + 1))
    half_period = float(np.polyfit(np.arange(half_cycles), crossings, 1, w=heights)[0])
    return 2.0 * half_period, _decay(peaks, heights), half_cycles


def _between(after: Samples, left: NDArray[np.intp], right: NDArray[np.intp]) -> Samples:
    """Instant of the middle one of the crossings of the new level between two excursions."""
    above = after > 0
    crossings = np.flatnonzero(above[1:] != above[:-1])
    at = crossings[(np.searchsorted(crossings, left) + np.searchsorted(crossings, right) - 1) // 2]
    instants: Samples = at + after[at] / (after[at] - after[at + 1])
    return instants


def _excursions(after: Samples, bounds: NDArray[np.intp]) -> tuple[Samples, Samples]:
    """Place and height of the farthest point between each bound and the next."""
    peaks = np.array([int(start) + int(np.abs(after[start:stop]).argmax()) for start, stop in pairwise(bounds)])
    heights: Samples = np.abs(after[peaks])
    return peaks.astype(np.float64), heights


def _decay(peaks: Samples, heights: Samples) -> float | None:
    """Time constant of excursions, each logarithm weighted by its height, since noise is the same on all."""
    slope = float(np.polyfit(peaks, np.log(heights), 1, w=heights)[0])
    return -1.0 / slope if slope < -1e-12 else None


def rest_noise(values: Samples, edges: Edges, states: States) -> tuple[float | None, int]:
    """Standard deviation of the trace at rest in volts, straight trend taken off, and the samples it rests on.

    Looked for at the end of the longest stretches between edges, clear of the edge that ends them: in the last eighth
    where that holds 64 samples, else the last quarter or half; the median over up to eight stretches. None where no
    stretch holds 16 samples that keep within a tenth of the amplitude of a state level.
    """
    bounds = np.concatenate(([0.0], edges.middle, [float(values.size)]))
    lasting = np.diff(bounds)
    order = np.argpartition(-lasting, min(8, lasting.size) - 1)[:8]
    found, samples = [], 0
    for at in order:
        part = _resting_part(values, float(bounds[at]), float(bounds[at + 1]) - _clear_of_edge(edges, int(at)))
        if part is not None and _rests(part, states):
            found.append(_detrended(part))
            samples += part.size
    return (float(np.median(found)), samples) if found else (None, 0)


def _rests(part: Samples, states: States) -> bool:
    """Whether both ends of a stretch lie at one state level, so that it is not on its way."""
    tenth = 0.1 * states.amplitude_v
    quarter = part.size // 4
    begin, end = float(part[:quarter].mean()), float(part[-quarter:].mean())
    return any(abs(begin - level) < tenth and abs(end - level) < tenth for level in (states.low_v, states.high_v))


def _resting_part(values: Samples, start: float, stop: float) -> Samples | None:
    for share, fewest in ((8, 64), (4, 32), (2, 16)):
        part = values[math.ceil(stop - (stop - start) / share) : math.floor(stop)]
        if part.size >= fewest:
            return part[-16384:]
    return None


def _clear_of_edge(edges: Edges, at: int) -> float:
    """Samples to keep away from the edge that ends a stretch: three times its own length."""
    if at >= len(edges):
        return 0.0
    length = edges.end[at] - edges.begin[at]
    return 3.0 if math.isnan(length) else max(3.0, 2.0 * float(length))


def _detrended(part: Samples) -> float:
    at = np.arange(part.size) - (part.size - 1) / 2
    centred = part - part.mean()
    slope = float(np.sum(at * centred) / np.sum(at * at))  # not a matrix product: its threads cost more than they save
    return float(np.sqrt(np.mean((centred - slope * at) ** 2)))
