"""Standard uncertainties of the figures of a pulse measurement."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from restoration.engineering.pulses.levels import States
from restoration.engineering.pulses.record import Transition
from restoration.engineering.pulses.rests import Rest
from restoration.engineering.pulses.timing import EdgeTime, Times

_MOST_INDEPENDENT = 100
"""Samples of rest counted as independent at most, since noise is seldom white. Common practice, no source."""


@dataclass(frozen=True)
class Accuracy:
    """Stated limits of instrument and probe: gain and time base as parts of the reading, and an offset in volts.

    Each is a limit either way, taken as evenly distributed: standard uncertainty = limit / sqrt(3) (JCGM 100, 4.3.7).

    >>> round(Accuracy(gain=0.03).standard_gain, 6)
    0.017321
    """

    gain: float = 0.0
    time: float = 0.0
    offset_v: float = 0.0

    def __post_init__(self) -> None:
        for name, value in (("gain", self.gain), ("time", self.time), ("offset_v", self.offset_v)):
            if not (math.isfinite(value) and value >= 0):
                raise ValueError(f"The accuracy limit {name} is {value}; it has to be zero or more and finite.")

    @property
    def standard_gain(self) -> float:
        """Standard uncertainty of the gain, part of the reading."""
        return self.gain / math.sqrt(3.0)

    @property
    def standard_time(self) -> float:
        """Standard uncertainty of the time base, part of the reading."""
        return self.time / math.sqrt(3.0)


@dataclass(frozen=True)
class Clues:
    """What the uncertainties are made from.

    ``rest`` is the number of samples the noise was measured on; ``rests`` are the low and the high state.
    """

    states: States
    times: Times
    rise: EdgeTime
    fall: EdgeTime
    interval_s: float | None
    quantum_v: float | None
    rest: int
    rests: tuple[Rest, Rest]


def uncertainties(figures: Mapping[str, Any], clues: Clues, accuracy: Accuracy) -> dict[str, float]:
    """Standard uncertainty (k = 1) of each figure that is known, by field name.

    Level: noise / sqrt(n), n the samples of that state and at most 100, with converter step / sqrt(12), what the
    state wanders, slopes or is short by, gain and offset. Amplitude: both levels without the offset, which cancels.
    Instant: noise and step over the slope of the edge, with interval / (sqrt(12) n) for the straight line between
    samples, n the samples on the edge. Durations: sqrt(2) instants, the effect of the levels on the reference levels,
    the spread over the edges, and the time base. Parts are combined as the root of the sum of squares (JCGM 100,
    5.1.2). The share of the straight line and the cap on
    n are common practice, no source.
    """
    budget = _Budget(clues, accuracy)
    found: dict[str, float] = {}
    for name, rule in _RULES.items():
        value = figures.get(name)
        value = value.value_s if isinstance(value, Transition) else value
        if value is not None:
            found[name] = rule(budget, float(value), figures)
    if clues.interval_s is None:
        found = {name: value for name, value in found.items() if name in _WITHOUT_TIME}
    return {name: value for name, value in found.items() if math.isfinite(value)}


class _Budget:
    def __init__(self, clues: Clues, accuracy: Accuracy) -> None:
        self.clues, self.accuracy = clues, accuracy
        self.step = (clues.quantum_v or 0.0) / math.sqrt(12.0)
        self.amplitude = clues.states.amplitude_v
        self.noise = clues.states.noise_v
        self.interval = clues.interval_s or 0.0

    def state(self, at: int) -> float:
        """Of the low (0) or high (1) level, without the instrument: noise over its own samples, step and unsteadiness.

        The limit of unsteadiness is taken at k = 2, so that the expanded uncertainty holds all of it.
        """
        rest = self.clues.rests[at]
        n = max(1, min(rest.samples, _MOST_INDEPENDENT))
        return math.hypot(self.noise / math.sqrt(n), self.step, rest.doubt_v / 2.0)

    def swing(self) -> float:
        """Of the difference of the levels, without the instrument; limits of unsteadiness add, since they may agree."""
        low, high = (self.state(at) for at in (0, 1))
        return max(math.hypot(low, high), sum(rest.doubt_v for rest in self.clues.rests) / 2.0)

    def level(self, value: float, at: int) -> float:
        offset = self.accuracy.offset_v / math.sqrt(3.0)
        return math.hypot(self.state(at), value * self.accuracy.standard_gain, offset)

    def amplitude_of(self, value: float) -> float:
        return math.hypot(self.swing(), value * self.accuracy.standard_gain)

    def instant(self, edge: EdgeTime) -> float:
        """Of one crossing, in seconds."""
        return math.hypot(self.of_noise(edge), self.interval * _line(edge))

    def slope(self, edge: EdgeTime) -> float:
        """Volts a sample."""
        length = edge.value if edge.value is not None else (edge.at_most or 1.0)
        return 0.8 * self.amplitude / max(length, 1e-12)

    def of_noise(self, edge: EdgeTime) -> float:
        """The share of noise and converter step in one instant, in seconds: that which differs from edge to edge."""
        return self.interval * math.hypot(self.noise, self.step) / self.slope(edge)

    def instants(self) -> float:
        """Of the worse of rising and falling edges, in seconds."""
        return max(self.instant(self.clues.rise), self.instant(self.clues.fall))

    def transition(self, edge: EdgeTime, value: float) -> float:
        levels = value * self.swing() / (0.8 * self.amplitude)
        random = math.sqrt(2.0) * self.of_noise(edge) / math.sqrt(max(1, edge.count))
        return math.hypot(
            random,
            self.interval * (math.sqrt(2.0) * _line(edge) + _corners(edge)),
            self.early_and_late(edge),
            levels,
            edge.spread * self.interval,
            value * self.accuracy.standard_time,
        )

    def early_and_late(self, edge: EdgeTime) -> float:
        """Seconds by which noise brings the crossings of 10 and 90 % together: it passes each before the edge does.

        Of k samples within one standard deviation of noise of a reference level the farthest lies about
        sqrt(2 ln(1 + k)) of them off, at either end; taken at k = 2. Own choice after the extremes of Gaussian samples.
        """
        across = self.noise / self.slope(edge)
        return self.interval * across * math.sqrt(2.0 * math.log1p(across))

    def duration(self, value: float) -> float:
        levels = (
            self.swing()
            / (0.8 * self.amplitude)
            * max((edge.value or edge.at_most or 0.0) for edge in (self.clues.rise, self.clues.fall))
        )
        return math.hypot(
            math.sqrt(2.0) * self.instants(),
            levels * self.interval,
            self.clues.times.duration_spread * self.interval,
            value * self.accuracy.standard_time,
        )

    def period(self, value: float) -> float:
        instants = math.sqrt(2.0) * self.instants() / max(1, self.clues.times.periods)
        spread = self.clues.times.period_spread * self.interval
        return math.hypot(instants, spread, value * self.accuracy.standard_time)

    def part(self, value: float) -> float:
        """Of an excursion as part of the amplitude."""
        return math.hypot(self.noise, self.step, (1.0 + abs(value)) * self.swing()) / self.amplitude

    def duty(self, value: float, figures: Mapping[str, Any]) -> float:
        if self.clues.interval_s is None or not figures.get("period_s") or not figures.get("pulse_duration_s"):
            return math.nan
        parts = (
            self.duration(figures["pulse_duration_s"]) / figures["pulse_duration_s"],
            self.period(figures["period_s"]) / figures["period_s"],
        )
        return value * math.hypot(*parts)

    def frequency(self, value: float) -> float:
        return value * value * self.period(1.0 / value)

    def jitter(self, value: float) -> float:
        count = max(2, self.clues.times.periods)
        return math.hypot(value / math.sqrt(2.0 * (count - 1)), math.sqrt(2.0) * self.instants())

    def settling(self, value: float) -> float:
        return math.hypot(self.interval / math.sqrt(3.0), self.instants(), value * self.accuracy.standard_time)

    def ringing(self, value: float) -> float:
        crossing = math.hypot(self.interval / math.sqrt(12.0), 0.0)
        return value * math.hypot(math.sqrt(2.0) * crossing * value, self.accuracy.standard_time)

    def rest_noise(self, value: float) -> float:
        n = max(2, min(self.clues.rest, _MOST_INDEPENDENT))
        return math.hypot(value / math.sqrt(2.0 * (n - 1)), self.step)


def _line(edge: EdgeTime) -> float:
    """Of the straight line between samples, in samples: the same on every edge, so that no count lessens it."""
    return 1.0 / (math.sqrt(12.0) * max(1, edge.on_edge or 0))


def _corners(edge: EdgeTime) -> float:
    """What a straight line that cuts the corner of an edge may add to its duration, in samples, at k = 2.

    A straight edge passes 10 % c samples after its corner, c an eighth of its duration; a line from the sample before
    the corner to the one after passes it by up to (1 - sqrt(c))^2 early, and as late at 90 %. The duration comes out
    the longer by as much, so that half a sample is taken off before c is reckoned.
    """
    apart = 0.125 * max(1.0, (edge.value or 1.0) - 0.5)
    return max(0.0, 1.0 - math.sqrt(apart)) ** 2


_WITHOUT_TIME = ("low_level_v", "high_level_v", "amplitude_v", "overshoot", "undershoot", "preshoot", "noise_rms_v")
_RULES = {
    "low_level_v": lambda budget, value, _: budget.level(value, 0),
    "high_level_v": lambda budget, value, _: budget.level(value, 1),
    "amplitude_v": lambda budget, value, _: budget.amplitude_of(value),
    "rise_time_s": lambda budget, value, _: budget.transition(budget.clues.rise, value),
    "fall_time_s": lambda budget, value, _: budget.transition(budget.clues.fall, value),
    "pulse_duration_s": lambda budget, value, _: budget.duration(value),
    "period_s": lambda budget, value, _: budget.period(value),
    "frequency_hz": lambda budget, value, _: budget.frequency(value),
    "duty": lambda budget, value, figures: budget.duty(value, figures),
    "jitter_s": lambda budget, value, _: budget.jitter(value),
    "overshoot": lambda budget, value, _: budget.part(value),
    "undershoot": lambda budget, value, _: budget.part(value),
    "preshoot": lambda budget, value, _: budget.part(value),
    "settling_s": lambda budget, value, _: budget.settling(value),
    "ringing_hz": lambda budget, value, _: budget.ringing(value),
    "noise_rms_v": lambda budget, value, _: budget.rest_noise(value),
}
