"""The physical case of one link: its source, wire, load, the parts on it, and the other wires of the source."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass, replace

from restoration.engineering.in_place.arrangement import BARE, Arrangement
from restoration.engineering.link_model import LinkLoad, LinkModel, LosslessLine, PulseSource
from restoration.engineering.refusals import refuse_not_above_zero, refuse_not_finite, refuse_unless

STIFF_OHM = 0.01
"""A source said to have no resistance is reckoned with this much, so that its current can be told."""
EDGE_OF_CORNER = 0.35
"""Rise time times corner frequency of a single pole, ln 9 / 2π, rounded."""


@dataclass(frozen=True)
class WireConstants:
    """Capacitance and inductance of a metre of wire.

    >>> wire = WireConstants(capacitance_f_per_m=12e-12, inductance_h_per_m=0.9e-6)
    >>> round(wire.impedance_ohm, 1), round(wire.delay_s_per_m * 1e9, 3)
    (273.9, 3.286)
    """

    capacitance_f_per_m: float
    inductance_h_per_m: float

    def __post_init__(self) -> None:
        given = {
            "capacitance_f_per_m": self.capacitance_f_per_m,
            "inductance_h_per_m": self.inductance_h_per_m,
        }
        refuse_not_above_zero(**given)
        refuse_not_finite(**given)

    @property
    def impedance_ohm(self) -> float:
        """Characteristic impedance, the root of L'/C'."""
        return math.sqrt(self.inductance_h_per_m / self.capacitance_f_per_m)

    @property
    def delay_s_per_m(self) -> float:
        """Delay of a metre, the root of L' times C'."""
        return math.sqrt(self.inductance_h_per_m * self.capacitance_f_per_m)

    @classmethod
    def of_line(cls, impedance_ohm: float, delay_s_per_m: float) -> WireConstants:
        """The constants of a line of that characteristic impedance and delay.

        Formula: C' = delay/Z0, L' = delay*Z0. Source: theory of the lossless line. Valid for a lossless line.
        Units: ohms, seconds per metre. Errors: ValueError for what is not above zero and finite.

        >>> round(WireConstants.of_line(75.0, 5e-9).capacitance_f_per_m * 1e12, 2)
        66.67
        """
        refuse_not_above_zero(impedance_ohm=impedance_ohm, delay_s_per_m=delay_s_per_m)
        return cls(delay_s_per_m / impedance_ohm, delay_s_per_m * impedance_ohm)


@dataclass(frozen=True)
class OtherWire:
    """Another wire of the same source: what it is called, its length, its load, and the parts on it."""

    code: str
    length_m: float
    wire: WireConstants
    load: LinkLoad
    arrangement: Arrangement = BARE

    def __post_init__(self) -> None:
        _refuse_length(self.length_m)

    def admittance_s(self, frequency_hz: float) -> complex:
        """What this wire asks of the source terminal at one frequency, the wire taken as its capacitance.

        Formula: the ladder of load, shunt, attenuator, wire capacitance, series resistor and source shunt, from the
        far end. Source: circuit theory. Valid while the wire is short beside the edge. Units: hertz, siemens.
        Errors: none for a frequency of zero or more.

        >>> other = OtherWire("K2", 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(100e3, 20e-12))
        >>> round(other.admittance_s(0.0).real * 100e3, 6)
        1.0
        """
        s = 2j * math.pi * frequency_hz
        fitted = self.arrangement
        end = _of_load(self.load, s) + _of_shunt(fitted, s)
        if fitted.attenuator_ohm:
            end = _in_series(end, 1.0 / (1.0 / fitted.attenuator_ohm + s * fitted.attenuator_f))
        wire = end + s * self.wire.capacitance_f_per_m * self.length_m
        return _in_series(wire, fitted.series_ohm) + 1.0 / fitted.source_shunt_ohm

    def lumped(self, edge_s: float, duration_s: float) -> LinkLoad:
        """The resistance beside a capacitance that stands for this wire on its source.

        Formula: R from the real part of the admittance at 1/(2π*duration) where a capacitor couples the shunt, else
        at rest; C = Im Y/ω at 0.35/edge, where a resistor in series hides the capacitance behind it.
        Source: circuit theory; the choice of the two frequencies is own. Valid while the wire is short beside the
        edge; `predict` says by how much it may err. Units: seconds, ohms, farads. Errors: none.

        >>> other = OtherWire("K2", 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(100e3, 20e-12))
        >>> round(other.lumped(edge_s=1e-7, duration_s=1e-6).capacitance_f * 1e12, 6)
        44.0
        """
        coupled = math.isfinite(self.arrangement.shunt_coupling_f)
        conductance_s = self.admittance_s(1.0 / (2 * math.pi * duration_s) if coupled else 0.0).real
        at_edge_hz = EDGE_OF_CORNER / edge_s
        capacitance_f = self.admittance_s(at_edge_hz).imag / (2 * math.pi * at_edge_hz)
        return LinkLoad(1.0 / conductance_s if conductance_s else math.inf, capacitance_f)


@dataclass(frozen=True)
class LinkCase:
    """One link as physics: everything `predict` needs.

    `source` has open-circuit levels behind its resistance. `others` are the other wires of the same source, taken as
    a resistance beside a capacitance at its terminal. `probe` hangs on the load while it is measured. `bench_load`
    is what the levels were measured with on the bench, where they were: another drive resistance then means other
    open-circuit levels (`with_drive_factor`). Raises ValueError for a length not above zero, a source that never
    moves, and a most drive current not above zero.

    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
    >>> LinkCase(source, -1.0, WireConstants(12e-12, 0.9e-6), LinkLoad(100e3))
    Traceback (most recent call last):
    ValueError: A wire has a length above zero and finite, in metres; -1.0 was given.
    """

    source: PulseSource
    length_m: float
    wire: WireConstants
    load: LinkLoad
    others: tuple[OtherWire, ...] = ()
    arrangement: Arrangement = BARE
    drive_most_a: float | None = None
    probe: LinkLoad | None = None
    bench_load: LinkLoad | None = None
    code: str = "this wire"

    def __post_init__(self) -> None:
        _refuse_length(self.length_m)
        refuse_unless(
            self.source.step_v != 0.0,
            f"The source rests and is active at the same {self.source.rest_v} V; there is no pulse to predict.",
        )
        if self.drive_most_a is not None:
            refuse_not_above_zero(drive_most_a=self.drive_most_a)
            refuse_not_finite(drive_most_a=self.drive_most_a)

    @property
    def edge_s(self) -> float:
        """The quicker edge of the source, or the delay of the wire where the source has a step."""
        edges = [edge for edge in (self.source.rise_s, self.source.fall_s) if edge]
        return min(edges) if edges else self.delay_s

    @property
    def delay_s(self) -> float:
        """One-way delay of the wire."""
        return self.length_m * self.wire.delay_s_per_m

    @property
    def end_load(self) -> LinkLoad:
        """The load with the probe on it; behind a grid stopper the probe is reckoned at the grid."""
        if self.probe is None:
            return self.load
        conductance_s = 1.0 / self.load.resistance_ohm + 1.0 / self.probe.resistance_ohm
        return replace(
            self.load,
            resistance_ohm=1.0 / conductance_s if conductance_s else math.inf,
            capacitance_f=self.load.capacitance_f + self.probe.capacitance_f,
        )

    @property
    def others_load(self) -> LinkLoad:
        """All other wires of the source together, as one resistance beside one capacitance."""
        each = [other.lumped(self.edge_s, self.source.duration_s) for other in self.others]
        conductance_s = sum(1.0 / one.resistance_ohm for one in each)
        capacitance_f = sum(one.capacitance_f for one in each)
        return LinkLoad(1.0 / conductance_s if conductance_s else math.inf, capacitance_f)

    def model(self) -> LinkModel:
        """The link model of this case.

        Formula: none of its own. Source: `engineering.link_model`. Valid as `LinkModel`. Units: SI. Errors: none.

        >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
        >>> LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(100e3)).model().load.resistance_ohm
        100000.0
        """
        fitted, others = self.arrangement, self.others_load
        return LinkModel(
            replace(self.source, resistance_ohm=max(self.source.resistance_ohm, STIFF_OHM)),
            LosslessLine(self.wire.impedance_ohm, self.delay_s),
            self.end_load,
            series_ohm=fitted.series_ohm,
            shunt_ohm=fitted.shunt_ohm,
            source_load_ohm=others.resistance_ohm,
            source_load_f=others.capacitance_f,
            source_shunt_ohm=fitted.source_shunt_ohm,
            attenuator_ohm=fitted.attenuator_ohm,
            attenuator_f=fitted.attenuator_f,
            shunt_coupling_f=fitted.shunt_coupling_f,
        )

    def seen_from(self, other: OtherWire) -> LinkCase:
        """The case of another wire of the same source, this wire among its others; the probe is not on it.

        Formula: none. Source: none. Valid for a wire of `others`. Units: SI.
        Errors: ValueError for a wire that is not of this source.

        >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
        >>> wire, load = WireConstants(12e-12, 0.9e-6), LinkLoad(100e3)
        >>> case = LinkCase(source, 2.0, wire, load, (OtherWire("K2", 3.0, wire, load),), code="K1")
        >>> there = case.seen_from(case.others[0])
        >>> there.length_m, there.others[0].code, there.seen_from(there.others[0]) == case
        (3.0, 'K1', True)
        """
        refuse_unless(other in self.others, f"The wire {other.code} does not hang on the source of {self.code}.")
        here = OtherWire(self.code, self.length_m, self.wire, self.load, self.arrangement)
        at = self.others.index(other)
        return replace(
            self,
            length_m=other.length_m,
            wire=other.wire,
            load=other.load,
            arrangement=other.arrangement,
            others=(*self.others[:at], here, *self.others[at + 1 :]),
            probe=None,
            code=other.code,
        )

    def with_drive_factor(self, factor: float) -> LinkCase:
        """The same case with the drive resistance multiplied; levels known from the bench keep their bench figure.

        Formula: R' = factor*R; with a bench load of RB, e' = e*(1 + R'/RB)/(1 + R/RB). Source: Ohm's law.
        Valid for a source that is a resistance. Units: none for the factor. Errors: ValueError for a factor that is
        not above zero and finite.

        >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=1000.0)
        >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(), bench_load=LinkLoad(1000.0))
        >>> case.with_drive_factor(2.0).source.active_v
        30.0
        """
        refuse_not_above_zero(factor=factor)
        refuse_not_finite(factor=factor)
        was_ohm = self.source.resistance_ohm
        bench_s = 0.0 if self.bench_load is None else self.bench_load.conductance_s
        taller = (1.0 + factor * was_ohm * bench_s) / (1.0 + was_ohm * bench_s)
        source = replace(
            self.source,
            resistance_ohm=factor * was_ohm,
            rest_v=self.source.rest_v * taller,
            active_v=self.source.active_v * taller,
        )
        return replace(self, source=source)

    def with_wire_factors(self, capacitance: float, inductance: float) -> LinkCase:
        """The same case with the constants of all its wires multiplied.

        Formula: C' and L' times their factors. Source: none. Valid for factors above zero. Units: none.
        Errors: ValueError for a factor that is not above zero and finite.

        >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=1000.0)
        >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad())
        >>> case.with_wire_factors(2.0, 1.0).wire.capacitance_f_per_m
        2.4e-11
        """
        return replace(
            self,
            wire=_scaled(self.wire, capacitance, inductance),
            others=tuple(replace(other, wire=_scaled(other.wire, capacitance, inductance)) for other in self.others),
        )


def _scaled(wire: WireConstants, capacitance: float, inductance: float) -> WireConstants:
    return WireConstants(wire.capacitance_f_per_m * capacitance, wire.inductance_h_per_m * inductance)


def _refuse_length(length_m: float) -> None:
    refuse_unless(
        0.0 < length_m < math.inf,
        f"A wire has a length above zero and finite, in metres; {length_m} was given.",
    )


def _of_load(load: LinkLoad, s: complex) -> complex:
    return _in_series(1.0 / load.resistance_ohm + s * load.capacitance_f, load.grid_stopper_ohm)


def _of_shunt(fitted: Arrangement, s: complex) -> complex:
    if math.isinf(fitted.shunt_coupling_f):
        return complex(1.0 / fitted.shunt_ohm)
    coupling = s * fitted.shunt_coupling_f
    return coupling / (1.0 + coupling * fitted.shunt_ohm)


def _in_series(admittance_s: complex, ohm: complex) -> complex:
    return admittance_s / (1.0 + admittance_s * ohm) if cmath.isfinite(ohm) else 0j
