"""Figures of very many variants of one wire at once: what a perfect instrument would read at the load."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping
from functools import cached_property

import numpy as np

from restoration.engineering.in_place.proposals.steady import Shares, shares, slowness
from restoration.engineering.in_place.proposals.waves import (
    COLUMNS,
    MOST_STEPS,
    Clock,
    EdgeTraces,
    Singles,
    Variants,
    clock_for,
    step_traces,
)
from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import Samples

Figures = Mapping[str, Samples]
PEAK_DRIVE = "peak drive"
TIMED = (
    Quantity.RISE_TIME,
    Quantity.FALL_TIME,
    Quantity.PULSE_DURATION,
    Quantity.OVERSHOOT,
    Quantity.UNDERSHOOT,
    Quantity.DELAY,
)
"""Quantities that only the waveform tells."""
_EDGES, _FIRST_TRIPS = 2.0, 4.0
"""How many of the longer edge, and of the delay, the first steps hold; own choice."""
_DUST = 1e-5
"""More than what rounding in single precision may add to a figure."""
_TRIPS = 12.0
_TIME_CONSTANTS = 3.0


class _Edge:
    """One edge of every variant; what is read off its traces is read when it is asked for. Each (k,)."""

    def __init__(self, traces: EdgeTraces, steady: Shares) -> None:
        self._traces, self._edge_s, self._steady = traces, traces.edge_s, steady

    @cached_property
    def lasts_s(self) -> Samples:
        """From 10 to 90 %."""
        return _less(self._reaches_s(0.9), self._reaches_s(0.1))

    @property
    def lasts_at_least_s(self) -> Samples:
        """The same, or where it goes on longer than it was looked at, so long as it was."""
        end_s = self._traces.step_s * (self._traces.load.shape[0] - 1)
        lasts: Samples = np.maximum(np.minimum(self._reaches_s(0.9), end_s) - self._reaches_s(0.1), 0.0)
        return lasts

    @cached_property
    def middle_s(self) -> Samples:
        """Its middle at the load, after that of the source."""
        return self._reaches_s(0.5) - self._edge_s / 2.0

    @property
    def terminal_middle_s(self) -> Samples:
        """Its middle at the source terminal."""
        terminal, steady = self._traces.terminal, self._steady.terminal
        return _reaches_s(terminal, 0.5 * steady, self._traces.step_s) - self._edge_s / 2.0

    @cached_property
    def overshoot(self) -> Samples:
        """The highest point beyond the level, as a part of it."""
        over: Samples = np.maximum(self._traces.load.max(axis=0) / self._steady.load - 1.0, 0.0)
        return over

    @property
    def undershoot(self) -> Samples:
        """The lowest point after the highest, as a part of the level under it."""
        return np.where(self.overshoot > 0.0, _dip(self._traces.load, self._steady.load), 0.0)

    @property
    def driven_a(self) -> tuple[Samples, Samples]:
        """The least and the most that the source drives for an edge of one volt."""
        return self._traces.driven_a

    def _reaches_s(self, part: float) -> Samples:
        return _reaches_s(self._traces.load, part * self._steady.load, self._traces.step_s)


def read_variants(variants: Variants, wanted: Collection[str] = (*TIMED, PEAK_DRIVE)) -> Figures:
    """Those figures of every variant that are wanted; the peak of what the source drives is in amperes.

    Formula: both edges apart, each from rest, as sums of the steps they climb by, and read against the steady level:
    10, 50 and 90 % by straight line between steps; overshoot the highest point beyond it, undershoot the lowest point
    after that. A level that is not reached while the edge is looked at makes its times infinite.
    Source: IEEE 181-2011 and IEC 60469 for the terms. Valid while the pulse outlasts its settling and its source does
    not droop. Units: seconds, parts of one, amperes. Shapes: (k,). Errors: none.

    >>> from restoration.engineering.in_place.arrangement import Arrangement
    >>> from restoration.engineering.in_place.proposals.waves import Fittings
    >>> from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 9.0, 1e-6, 5e-8, 5e-8, resistance_ohm=40.0)
    >>> model = LinkModel(source, LosslessLine(280.0, 2e-8), LinkLoad(1e5, 3e-11))
    >>> fitted = Fittings.of((Arrangement(), Arrangement(series_ohm=240.0)))
    >>> found = read_variants(Variants(model, fitted, np.zeros(2), np.zeros(2)), [Quantity.OVERSHOOT])
    >>> (found["overshoot"] > 0.1).tolist()
    [True, False]
    """
    count = variants.fitted.count
    found = {name: np.full(count, np.inf) for name in wanted}
    for places, clock in _in_groups(variants):
        pulse = _Pulse(variants.take(places), clock)
        for name, values in found.items():
            values[places] = _TOLD[name](pulse)
    return found


def read_at_least(variants: Variants, wanted: Collection[str] = (*TIMED, PEAK_DRIVE)) -> Figures:
    """How large those of the figures that grow with time are at the least, after two edges and two there and backs.

    Formula: as `read_variants`, over those first steps alone, short of what rounding may add: rise and fall time (so
    long as it was looked at, where 90 % is not reached), overshoot, and what the source drives at the most. The other
    figures are not among them. Source: own. Valid, units, shapes and errors: as `read_variants`.

    >>> from restoration.engineering.in_place.arrangement import Arrangement
    >>> from restoration.engineering.in_place.proposals.waves import Fittings
    >>> from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 9.0, 1e-6, 5e-8, 5e-8, resistance_ohm=40.0)
    >>> model = LinkModel(source, LosslessLine(280.0, 2e-8), LinkLoad(1e5, 3e-11))
    >>> one = Variants(model, Fittings.of((Arrangement(),)), np.zeros(1), np.zeros(1))
    >>> sorted(read_at_least(one, [Quantity.OVERSHOOT, Quantity.DELAY]))
    [<Quantity.OVERSHOOT: 'overshoot'>]
    """
    model = variants.model
    clock = clock_for(model, _EDGES * max(model.source.rise_s, model.source.fall_s) + _FIRST_TRIPS * model.line.delay_s)
    found = {name: np.empty(variants.fitted.count) for name in _GROWING if name in wanted}
    for first in range(0, variants.fitted.count, COLUMNS):
        places = np.arange(first, min(first + COLUMNS, variants.fitted.count))
        pulse = _Pulse(variants.take(places), clock)
        for name, values in found.items():
            values[places] = _GROWING[name](pulse) * (1.0 - _DUST)
    return found


def _in_groups(variants: Variants) -> list[tuple[np.ndarray, Clock]]:
    """Variants that need about the same time, at most so many at once; a variant's time hangs on itself alone."""
    model = variants.model
    lasts_s = np.maximum(model.source.rise_s, model.source.fall_s) + _TIME_CONSTANTS * slowness(variants).settled_s
    whole_f = model.line.delay_s / model.line.impedance_ohm + model.load.capacitance_f
    lasts_s += _TRIPS * math.sqrt(model.line.impedance_ohm * model.line.delay_s * whole_f)
    finest = clock_for(model, 0.0)
    ladder = np.ceil(2.0 * np.log2(np.clip(lasts_s / finest.step_s, 32.0, MOST_STEPS))).astype(np.intp)
    groups = []
    for rung in np.unique(ladder):
        places = np.flatnonzero(ladder == rung)
        clock = Clock(finest.step_s, finest.lag, math.ceil(2.0 ** (rung / 2.0)))
        groups += [(places[at : at + COLUMNS], clock) for at in range(0, places.size, COLUMNS)]
    return groups


class _Pulse:
    """Both edges of every variant of one wire."""

    def __init__(self, variants: Variants, clock: Clock) -> None:
        self.source, self._steady = variants.model.source, shares(variants)
        traces = step_traces(variants, clock)
        self.leading = _Edge(traces.climbing(self.source.rise_s), self._steady)
        same = self.source.fall_s == self.source.rise_s
        self.trailing = self.leading if same else _Edge(traces.climbing(self.source.fall_s), self._steady)
        self.up, self.down = (self.leading, self.trailing) if self.source.step_v > 0 else (self.trailing, self.leading)

    @property
    def overshoot(self) -> Samples:
        """The larger of both edges."""
        return np.maximum(self.leading.overshoot, self.trailing.overshoot)

    @property
    def undershoot(self) -> Samples:
        """The larger of both edges."""
        return np.maximum(self.leading.undershoot, self.trailing.undershoot)

    @property
    def lasts_s(self) -> Samples:
        """From middle to middle at the load."""
        lasts: Samples = self.source.duration_s + _less(self.trailing.middle_s, self.leading.middle_s)
        return lasts

    @property
    def peak_a(self) -> Samples:
        """The greatest current either way, from the rest level up and from the active level back."""
        source, per_volt_a = self.source, self._steady.drive_a
        begins = (source.rest_v * per_volt_a, source.active_v * per_volt_a)
        reached = [
            np.abs(begin + sign * source.step_v * part)
            for begin, sign, edge in ((begins[0], 1.0, self.leading), (begins[1], -1.0, self.trailing))
            for part in edge.driven_a
        ]
        peak: Samples = np.maximum.reduce(reached)
        return peak


_TOLD: Mapping[str, Callable[[_Pulse], Samples]] = {
    Quantity.RISE_TIME: lambda pulse: pulse.up.lasts_s,
    Quantity.FALL_TIME: lambda pulse: pulse.down.lasts_s,
    Quantity.PULSE_DURATION: lambda pulse: pulse.lasts_s,
    Quantity.OVERSHOOT: lambda pulse: pulse.overshoot,
    Quantity.UNDERSHOOT: lambda pulse: pulse.undershoot,
    Quantity.DELAY: lambda pulse: _less(pulse.leading.middle_s, pulse.leading.terminal_middle_s),
    PEAK_DRIVE: lambda pulse: pulse.peak_a,
}
_GROWING: Mapping[str, Callable[[_Pulse], Samples]] = {
    Quantity.RISE_TIME: lambda pulse: pulse.up.lasts_at_least_s,
    Quantity.FALL_TIME: lambda pulse: pulse.down.lasts_at_least_s,
    Quantity.OVERSHOOT: lambda pulse: np.maximum(pulse.overshoot - _DUST, 0.0),
    PEAK_DRIVE: lambda pulse: pulse.peak_a,
}


def _less(later_s: Samples, earlier_s: Samples) -> Samples:
    """The time from one to the other; infinite where either never comes."""
    never = np.isinf(later_s) | np.isinf(earlier_s)
    return np.where(never, np.inf, np.where(never, 0.0, later_s) - np.where(never, 0.0, earlier_s))


def _dip(load_v: Singles, level_v: Samples) -> Samples:
    """How far under its level each trace comes after its highest point, as a part of the level."""
    lowest = np.minimum.accumulate(load_v[::-1], axis=0)[::-1]
    after = np.take_along_axis(lowest, load_v.argmax(axis=0)[np.newaxis], axis=0)[0]
    dip: Samples = np.maximum(1.0 - after / level_v, 0.0)
    return dip


def _reaches_s(volts: Singles, level_v: Samples, step_s: float) -> Samples:
    """When each trace first comes to its level; infinite where it does not."""
    at = (volts >= level_v).argmax(axis=0)
    before = np.maximum(at - 1, 0)
    high = np.take_along_axis(volts, at[np.newaxis], axis=0)[0]
    low = np.take_along_axis(volts, before[np.newaxis], axis=0)[0]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(high > low, (level_v - low) / (high - low), 1.0)
    found: Samples = np.where(high >= level_v, (before + part * (at - before)) * step_s, np.inf)
    return found
