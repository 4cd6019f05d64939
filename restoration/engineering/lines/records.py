"""One interconnect as physics: a pulse source, a lossless wire, what is fitted at its ends, its load."""

from __future__ import annotations

import math
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
STRAIGHT_EDGE = 0.8
"""What a straight edge takes from 10 to 90 %, as a part of the whole of it."""


@dataclass(frozen=True)
class PulseSource:
    """A train of pulses with straight edges behind a resistance.

    `duration_s` is between the half-way points; `rise_s` and `fall_s` are the whole (0 to 100 %)
    leading and trailing edges, so that the 10 to 90 % durations are `STRAIGHT_EDGE` of them.
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
    """What the far end sees: a resistance beside a capacitance, the probe's included, behind a grid stopper if any.

    >>> LinkLoad(resistance_ohm=math.inf, capacitance_f=60e-12).conductance_s
    0.0
    """

    resistance_ohm: float = math.inf
    capacitance_f: float = 0.0
    grid_stopper_ohm: float = 0.0

    def __post_init__(self) -> None:
        refuse_not_above_zero(resistance_ohm=self.resistance_ohm)
        refuse_below_zero(capacitance_f=self.capacitance_f, grid_stopper_ohm=self.grid_stopper_ohm)

    @property
    def conductance_s(self) -> float:
        """One over the resistance and its stopper at rest, in siemens; zero for an open end."""
        return 1.0 / (self.resistance_ohm + self.grid_stopper_ohm)


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
    """One interconnect from the volts behind the source to the grid it drives.

    At the source terminal: the other wires and loads hung on it, lumped (`source_load_ohm` beside `source_load_f`),
    and a shunt resistor. Between terminal and wire: the series resistor. Between wire and load: an attenuator
    resistor beside its capacitor. Across the load: a shunt resistor, which a capacitor may couple
    (`shunt_coupling_f`; infinite means direct). Loads in several places along the wire are taken as one at its end,
    which holds while the wire between them is short beside the edge.

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
    source_load_ohm: float = math.inf
    source_load_f: float = 0.0
    source_shunt_ohm: float = math.inf
    attenuator_ohm: float = 0.0
    attenuator_f: float = 0.0
    shunt_coupling_f: float = math.inf

    def __post_init__(self) -> None:
        refuse_below_zero(
            series_ohm=self.series_ohm,
            source_load_f=self.source_load_f,
            attenuator_ohm=self.attenuator_ohm,
            attenuator_f=self.attenuator_f,
        )
        refuse_not_above_zero(
            shunt_ohm=self.shunt_ohm,
            source_load_ohm=self.source_load_ohm,
            source_shunt_ohm=self.source_shunt_ohm,
            shunt_coupling_f=self.shunt_coupling_f,
        )

    @property
    def driving_ohm(self) -> float:
        """Source resistance and series resistor together."""
        return self.source.resistance_ohm + self.series_ohm

    @property
    def source_conductance_s(self) -> float:
        """What hangs on the source terminal at rest, without the wire, in siemens."""
        return 1.0 / self.source_load_ohm + 1.0 / self.source_shunt_ohm

    @property
    def load_conductance_s(self) -> float:
        """Load and shunt resistor together at rest, in siemens; a coupled shunt takes nothing at rest."""
        is_coupled = math.isfinite(self.shunt_coupling_f)
        return self.load.conductance_s + (0.0 if is_coupled else 1.0 / self.shunt_ohm)

    @property
    def reflection_at_load(self) -> float:
        """(R - Z0)/(R + Z0) of the resistances at the end of the wire, capacitors taken as open."""
        conductance_s = self.load_conductance_s
        seen = self.line.impedance_ohm * conductance_s / (1.0 + self.attenuator_ohm * conductance_s)
        return (1.0 - seen) / (1.0 + seen)

    @property
    def reflection_at_source(self) -> float:
        """(R - Z0)/(R + Z0) looking back into the source, capacitors taken as open."""
        source_ohm = self.source.resistance_ohm
        back_ohm = self.series_ohm + source_ohm / (1.0 + source_ohm * self.source_conductance_s)
        return (back_ohm - self.line.impedance_ohm) / (back_ohm + self.line.impedance_ohm)


@dataclass(frozen=True)
class EndVolts:
    """Volts at five points of a link, each an array of the shape of `times_s`.

    `source_v` is at the source terminal (before a series resistor), `line_start_v` where the wire begins, `line_end_v`
    where it ends, `load_v` at the load's terminal (after an attenuator), `grid_v` behind the grid stopper.
    """

    times_s: Samples
    source_v: Samples
    line_start_v: Samples
    load_v: Samples
    line_end_v: Samples
    grid_v: Samples
