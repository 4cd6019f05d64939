"""One interconnect as physics: a pulse source, a lossless wire and its loads.

The wire is solved by the method of characteristics (F. H. Branin, "Transient analysis of lossless
transmission lines", Proc. IEEE 55, 1967, from memory): each end sees its own resistance and a
voltage that left the other end one delay ago. For resistive ends the values at the time steps
are exact; a load capacitance is stepped by the trapezoidal rule.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)

Samples = NDArray[np.float64]

MOST_STEPS = 2_000_000
STEPS_IN_A_DELAY = 4
STEPS_ON_AN_EDGE = 20
STEPS_IN_A_TIME_CONSTANT = 20


@dataclass(frozen=True)
class PulseSource:
    """A train of pulses with straight edges behind a resistance.

    `duration_s` is between the half-way points; `rise_s` and `fall_s` are the whole (0 to 100 %)
    leading and trailing edges, so that the 10 to 90 % durations are 0.8 of them.
    `droop_time_constant_s` is that of a coupling capacitor: the top decays towards rest and the
    trace dips past rest after the pulse. Without a period there is one pulse.

    >>> PulseSource(0.0, 20.0, duration_s=2e-6, rise_s=1e-7, fall_s=1e-7, resistance_ohm=150.0).step_v
    20.0
    """

    rest_v: float
    active_v: float
    duration_s: float
    rise_s: float
    fall_s: float
    resistance_ohm: float
    start_s: float = 0.0
    period_s: float | None = None
    droop_time_constant_s: float | None = None

    def __post_init__(self) -> None:
        refuse_not_finite(rest_v=self.rest_v, active_v=self.active_v, start_s=self.start_s)
        refuse_below_zero(rise_s=self.rise_s, fall_s=self.fall_s, resistance_ohm=self.resistance_ohm)
        half_edges_s = (self.rise_s + self.fall_s) / 2
        refuse_unless(
            self.duration_s > 0.0 and self.duration_s >= half_edges_s,
            f"A pulse of {self.duration_s} s is shorter than half of its two edges together, "
            f"{half_edges_s} s; give a longer pulse or quicker edges.",
        )
        if self.period_s is not None:
            whole_s = self.duration_s + half_edges_s
            refuse_unless(
                whole_s <= self.period_s < math.inf,
                f"A period of {self.period_s} s does not hold a pulse that takes {whole_s} s.",
            )
        if self.droop_time_constant_s is not None:
            refuse_not_above_zero(droop_time_constant_s=self.droop_time_constant_s)

    @property
    def step_v(self) -> float:
        """Active level less rest level, in volts; below zero for a negative-going pulse."""
        return self.active_v - self.rest_v


@dataclass(frozen=True)
class LosslessLine:
    """A wire as a line without loss: characteristic impedance and one-way delay.

    >>> LosslessLine.of_length(4.6, impedance_ohm=280.0, delay_s_per_m=4e-9).delay_s
    1.84e-08
    """

    impedance_ohm: float
    delay_s: float

    def __post_init__(self) -> None:
        refuse_not_above_zero(impedance_ohm=self.impedance_ohm, delay_s=self.delay_s)
        refuse_not_finite(impedance_ohm=self.impedance_ohm, delay_s=self.delay_s)

    @classmethod
    def of_length(cls, length_m: float, *, impedance_ohm: float, delay_s_per_m: float) -> LosslessLine:
        """The line of a wire so many metres long; delay = length times delay per metre."""
        refuse_not_above_zero(length_m=length_m, delay_s_per_m=delay_s_per_m)
        return cls(impedance_ohm, length_m * delay_s_per_m)


@dataclass(frozen=True)
class LinkLoad:
    """What the far end sees: a resistance beside a capacitance, the probe's included.

    >>> LinkLoad(resistance_ohm=math.inf, capacitance_f=60e-12).conductance_s
    0.0
    """

    resistance_ohm: float = math.inf
    capacitance_f: float = 0.0

    def __post_init__(self) -> None:
        refuse_not_above_zero(resistance_ohm=self.resistance_ohm)
        refuse_below_zero(capacitance_f=self.capacitance_f)

    @property
    def conductance_s(self) -> float:
        """One over the resistance, in siemens; zero for an open end."""
        return 1.0 / self.resistance_ohm


@dataclass(frozen=True)
class SupplyRipple:
    """Hum or HT ripple that rides on the source: a sine of stated peak and frequency.

    >>> SupplyRipple(peak_v=0.4, frequency_hz=100.0).phase_rad
    0.0
    """

    peak_v: float
    frequency_hz: float
    phase_rad: float = 0.0

    def __post_init__(self) -> None:
        refuse_below_zero(peak_v=self.peak_v, frequency_hz=self.frequency_hz)
        refuse_not_finite(phase_rad=self.phase_rad)


@dataclass(frozen=True)
class LinkModel:
    """One interconnect: source, optional series resistor at it, line, optional shunt, load.

    The series resistor sits between the source terminal and the wire, the shunt resistor across
    the load. Loads in several places are taken as one at the far end, which holds while the
    wire between them is short beside the edge.

    >>> source = PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, resistance_ohm=25.0)
    >>> link = LinkModel(source, LosslessLine(75.0, 10e-9), LinkLoad(225.0))
    >>> round(link.reflection_at_load, 9), link.reflection_at_source
    (0.5, -0.5)
    """

    source: PulseSource
    line: LosslessLine
    load: LinkLoad = LinkLoad()
    series_ohm: float = 0.0
    shunt_ohm: float = math.inf
    ripple: SupplyRipple | None = None

    def __post_init__(self) -> None:
        refuse_below_zero(series_ohm=self.series_ohm)
        refuse_not_above_zero(shunt_ohm=self.shunt_ohm)

    @property
    def driving_ohm(self) -> float:
        """Source resistance and series resistor together."""
        return self.source.resistance_ohm + self.series_ohm

    @property
    def load_conductance_s(self) -> float:
        """Load and shunt resistor together, in siemens."""
        return self.load.conductance_s + 1.0 / self.shunt_ohm

    @property
    def reflection_at_load(self) -> float:
        """(R - Z0)/(R + Z0) of the resistive part of the load."""
        seen = self.line.impedance_ohm * self.load_conductance_s
        return (1.0 - seen) / (1.0 + seen)

    @property
    def reflection_at_source(self) -> float:
        """(R - Z0)/(R + Z0) looking back into the source."""
        return (self.driving_ohm - self.line.impedance_ohm) / (self.driving_ohm + self.line.impedance_ohm)


@dataclass(frozen=True)
class EndVolts:
    """Volts at three points of a link, each an array of the shape of `times_s`.

    `source_v` is at the source terminal (before a series resistor), `line_start_v` where the wire
    begins, `load_v` across the load.
    """

    times_s: Samples
    source_v: Samples
    line_start_v: Samples
    load_v: Samples


def source_emf_v(source: PulseSource, times_s: Samples, ripple: SupplyRipple | None = None) -> Samples:
    """Volts behind the source resistance at each time.

    Formula: each edge of height A from t0 over d adds A*clip((t - t0)/d, 0, 1); through a
    coupling time constant T it adds A*(T/d)*[g(t - t0) - g(t - t0 - d)] with
    g(x) = 1 - exp(-x/T) for x > 0, which is the exact answer of a first-order high pass to a ramp.
    Ripple adds peak*sin(2*pi*f*t + phase). Source: first-order circuit theory.
    Valid for straight edges. Units: seconds, volts. Shapes: as `times_s`.
    Errors: ValueError where `times_s` is not a finite, rising, one-dimensional array.

    >>> source = PulseSource(0.0, 5.0, 350e-9, 100e-9, 200e-9, resistance_ohm=50.0)
    >>> source_emf_v(source, np.array([0.0, 50e-9, 200e-9, 400e-9])).round(9).tolist()
    [0.0, 2.5, 5.0, 2.5]
    """
    _refuse_times(times_s)
    volts: Samples = np.full(times_s.shape, source.rest_v)
    for start_s, edge_s, height_v in _edges(source, float(times_s[-1])):
        volts += height_v * _edge_shape(times_s - start_s, edge_s, source.droop_time_constant_s)
    if ripple is not None:
        angle = 2 * math.pi * ripple.frequency_hz * times_s + ripple.phase_rad
        volts += ripple.peak_v * np.sin(angle)
    return volts


def _refuse_times(times_s: Samples) -> None:
    refuse_unless(
        times_s.ndim == 1 and times_s.size > 0 and bool(np.all(np.isfinite(times_s))),
        "The times must be a one-dimensional array of finite seconds with at least one in it.",
    )
    refuse_unless(bool(np.all(np.diff(times_s) > 0)), "The times must rise from each sample to the next.")


def _edges(source: PulseSource, until_s: float) -> Iterator[tuple[float, float, float]]:
    """Start, length and height of every edge that begins by `until_s`."""
    period_s = source.period_s
    pulses = 1
    if period_s is not None:
        pulses = max(1, math.floor((until_s - source.start_s) / period_s) + 1)
    trailing_s = source.duration_s + (source.rise_s - source.fall_s) / 2
    for number in range(pulses):
        begun_s = source.start_s + number * (period_s or 0.0)
        yield begun_s, source.rise_s, source.step_v
        yield begun_s + trailing_s, source.fall_s, -source.step_v


def _edge_shape(since_s: Samples, edge_s: float, droop_s: float | None) -> Samples:
    if droop_s is None:
        if edge_s == 0.0:
            return (since_s >= 0.0).astype(np.float64)
        return np.clip(since_s / edge_s, 0.0, 1.0)
    if edge_s == 0.0:
        return np.where(since_s >= 0.0, np.exp(-np.maximum(since_s, 0.0) / droop_s), 0.0)
    begun = -np.expm1(-np.maximum(since_s, 0.0) / droop_s)
    ended = -np.expm1(-np.maximum(since_s - edge_s, 0.0) / droop_s)
    return (droop_s / edge_s) * (begun - ended)


def link_volts(link: LinkModel, times_s: Samples, *, longest_step_s: float | None = None) -> EndVolts:
    """Volts at both ends of the link at the times asked for.

    Formula: i1 = (e - b)/(R + Z0), v1 = b + Z0*i1, where b = v2 - Z0*i2 one delay ago;
    v2*(1 + Z0*G + 2*Z0*C/h) = f + Z0*(2*C*v2'/h + iC'), where f = v1 + Z0*i1 one delay ago and
    ' is the step before. Source: Branin 1967 (from memory); trapezoidal rule.
    Valid for a lossless line; exact at the steps where C is zero (between steps: a straight
    line); with C the error falls as the square of the step. Everything has rested before the
    first pulse or the first time, whichever is earlier.
    Units: seconds, volts. Shapes: as `times_s`. `longest_step_s` bounds the step; without it the
    step suits the delay, the edges and the load. Errors: ValueError for unfit times, and for a
    record of more than two million steps.

    >>> source = PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, resistance_ohm=25.0)
    >>> link = LinkModel(source, LosslessLine(75.0, 10e-9), LinkLoad(225.0))
    >>> volts = link_volts(link, np.array([5e-9, 15e-9, 25e-9, 35e-9]))
    >>> volts.load_v.round(6).tolist(), volts.source_v.round(6).tolist()
    ([0.0, 11.25, 11.25, 8.4375], [7.5, 7.5, 9.375, 9.375])
    """
    _refuse_times(times_s)
    if longest_step_s is not None:
        refuse_not_above_zero(longest_step_s=longest_step_s)
    delay_steps = math.ceil(link.line.delay_s / _step_wanted_s(link, longest_step_s) * (1 - 1e-12))
    step_s = link.line.delay_s / delay_steps
    grid_s = _grid(link, times_s, step_s)
    emf_v = source_emf_v(link.source, grid_s, link.ripple)
    near_v, far_v = _travel(link, emf_v, delay_steps, step_s)
    current_a = (emf_v - near_v) / link.driving_ohm if link.driving_ohm else np.zeros_like(emf_v)
    terminal_v = near_v + link.series_ohm * current_a
    source_v, line_start_v, load_v = (np.interp(times_s, grid_s, volts) for volts in (terminal_v, near_v, far_v))
    return EndVolts(times_s, source_v, line_start_v, load_v)


def _step_wanted_s(link: LinkModel, longest_step_s: float | None) -> float:
    wanted = [link.line.delay_s / STEPS_IN_A_DELAY]
    wanted += [edge / STEPS_ON_AN_EDGE for edge in (link.source.rise_s, link.source.fall_s) if edge]
    if link.load.capacitance_f:
        conductance_s = link.load_conductance_s + 1.0 / link.line.impedance_ohm
        wanted.append(link.load.capacitance_f / conductance_s / STEPS_IN_A_TIME_CONSTANT)
    if longest_step_s is not None:
        wanted = [link.line.delay_s, longest_step_s]
    return min(wanted)


def _grid(link: LinkModel, times_s: Samples, step_s: float) -> Samples:
    """Steps that hold the start of the first pulse and reach past every time asked for."""
    start_s = link.source.start_s
    before = math.ceil(max(0.0, start_s - float(times_s[0])) / step_s) + 1
    after = math.ceil(max(0.0, float(times_s[-1]) - start_s) / step_s) + 1
    refuse_unless(
        before + after <= MOST_STEPS,
        f"The record would take {before + after} steps; at most {MOST_STEPS} are allowed. "
        "Ask for a shorter time or a longer line.",
    )
    return start_s + step_s * np.arange(-before, after + 1, dtype=np.float64)


def _travel(link: LinkModel, emf_v: Samples, delay_steps: int, step_s: float) -> tuple[Samples, Samples]:
    """Step both ends through time; returns volts at the start of the wire and at the load."""
    z0 = link.line.impedance_ohm
    driving = link.driving_ohm + z0
    stepped_s = 2.0 * link.load.capacitance_f / step_s
    divisor = 1.0 + z0 * (link.load_conductance_s + stepped_s)
    rest_v, rest_a = _at_rest(link, float(emf_v[0]))
    forward = [rest_v + z0 * rest_a] * delay_steps
    backward = [rest_v - z0 * rest_a] * delay_steps
    near_v, far_v = [], []
    load_v, capacitor_a = rest_v, 0.0
    for step, emf in enumerate(emf_v.tolist()):
        arriving = backward[step]
        start_v = arriving + z0 * (emf - arriving) / driving
        history_a = stepped_s * load_v + capacitor_a
        load_v = (forward[step] + z0 * history_a) / divisor
        capacitor_a = stepped_s * load_v - history_a
        backward.append(2.0 * load_v - forward[step])
        forward.append(2.0 * start_v - arriving)
        near_v.append(start_v)
        far_v.append(load_v)
    return np.array(near_v), np.array(far_v)


def _at_rest(link: LinkModel, emf_v: float) -> tuple[float, float]:
    conductance_s = link.load_conductance_s
    current_a = emf_v * conductance_s / (1.0 + link.driving_ohm * conductance_s)
    return emf_v - link.driving_ohm * current_a, current_a
