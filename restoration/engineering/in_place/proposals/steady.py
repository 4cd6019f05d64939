"""What needs no reckoning in time: steady levels, currents, watts and time constants of very many variants at once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from restoration.engineering.in_place.case import EDGE_OF_CORNER, LinkCase, OtherWire
from restoration.engineering.in_place.proposals.waves import Fittings, Variants
from restoration.engineering.link_model import LinkModel, PulseSource, Samples


@dataclass(frozen=True)
class Shares:
    """For one volt behind the source: volts at its terminal and at the load, amperes out of it; each (k,)."""

    terminal: Samples
    load: Samples
    drive_a: Samples
    wire_a: Samples


def shares(variants: Variants) -> Shares:
    """The resistive divider of every variant.

    Formula: Y = load and shunt; through the wire Y/(1 + (Rser + R1)*Y); terminal 1/(1 + Rs*(Ys + that)).
    Source: Kirchhoff's laws. Valid at rest and after long enough. Units: one, siemens. Shapes: (k,). Errors: none.

    >>> from restoration.engineering.in_place.arrangement import Arrangement
    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad
    >>> source = PulseSource(0.0, 20.0, 1e-6, 5e-8, 5e-8, resistance_ohm=100.0, period_s=1e-5)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(1e6, 50e-12))
    >>> fitted = Fittings.of((Arrangement(), Arrangement(shunt_ohm=100.0)))
    >>> shares(variants_of(case, fitted)).load.round(3).tolist()
    [1.0, 0.5]
    """
    fitted, source_ohm = variants.fitted, variants.model.source.resistance_ohm
    end_s = variants.model.load.conductance_s + fitted.direct_shunt_s
    kept = 1.0 / (1.0 + (fitted.series_ohm + fitted.attenuator_ohm) * end_s)
    asked_s = variants.source_s + end_s * kept
    terminal = 1.0 / (1.0 + source_ohm * asked_s)
    return Shares(terminal, terminal * kept, terminal * asked_s, terminal * kept * end_s)


@dataclass(frozen=True)
class Slowness:
    """Time constants of every variant, each (k,): that of its edges, and that after which it is settled."""

    edge_s: Samples
    settled_s: Samples


def slowness(variants: Variants) -> Slowness:
    """Sums of open-circuit time constants: each capacitance times the resistance it sees.

    Formula: sum of R_i*C_i over the terminal, the wire at its end, the load, with a coupling capacitor's own; with a
    capacitor across the attenuator the edge goes through the two in series, and the rest is what settles afterwards.
    Source: the method of open-circuit time constants (common practice). Valid as an order of size for ringing ends.
    Units: seconds. Shapes: (k,). Errors: none.

    >>> from restoration.engineering.in_place.arrangement import Arrangement
    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad
    >>> source = PulseSource(0.0, 20.0, 1e-6, 5e-8, 5e-8, resistance_ohm=100.0, period_s=1e-5)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(1e6, 50e-12))
    >>> fitted = Fittings.of((Arrangement(), Arrangement(shunt_ohm=100.0)))
    >>> (slowness(variants_of(case, fitted)).edge_s * 1e9).round(1).tolist()
    [7.4, 4.9]
    """
    fitted, model = variants.fitted, variants.model
    source_ohm = 1.0 / (1.0 / model.source.resistance_ohm + variants.source_s)
    wire_f, load_f = model.line.delay_s / model.line.impedance_ohm, model.load.capacitance_f
    end_s = model.load.conductance_s + fitted.direct_shunt_s
    to_end_ohm = source_ohm + fitted.series_ohm
    seen_ohm = 1.0 / (end_s + 1.0 / (to_end_ohm + fitted.attenuator_ohm))
    stopped_s = model.load.grid_stopper_ohm * load_f
    driven_s = source_ohm * variants.hung_f + to_end_ohm * wire_f
    plain_s = driven_s + seen_ohm * load_f + stopped_s
    across_f = fitted.attenuator_f
    has_across = across_f > 0.0
    in_series_f = across_f * load_f / np.where(has_across, across_f + load_f, 1.0)
    edge_s = np.where(has_across, driven_s + to_end_ohm * in_series_f + stopped_s, plain_s)
    held_s = edge_s + seen_ohm * np.where(has_across, across_f + load_f, 0.0)
    is_coupled = np.isfinite(fitted.shunt_coupling_f)
    coupling_f = np.where(is_coupled, fitted.shunt_coupling_f, 0.0)
    coupled_ohm = seen_ohm + np.where(is_coupled, fitted.shunt_ohm, 0.0)
    return Slowness(edge_s, np.where(has_across, held_s, plain_s) + coupled_ohm * coupling_f)


@dataclass(frozen=True)
class Burden:
    """What one place has to bear in every variant: mean watts and an upper bound of the peak volts, each (k,)."""

    watts: Samples
    volts: Samples


def burdens(variants: Variants) -> Mapping[str, Burden]:
    """Watts at the duty of the pulse, and volts at most, by place.

    Formula: mean square of the source D*Va^2 + (1 - D)*Vr^2 times share^2 * R, and for what is in series the part
    R/(Rs + Rser + R1) of f*C*step^2, the energy of two edges a period that charges the capacitance behind it; a coupled
    shunt takes f*C*step^2 * R2/(R2 + Rth) of its own capacitor. Volts at most: the greatest of both levels and the
    step, divided between the part and all resistance before it, as while capacitors are still uncharged.
    Without a period the duty is taken as 1 and the rate as that of pulses with gaps of their own length.
    Source: Ohm's and Joule's laws. Valid while edges are short beside the pulse. Units: watts, volts.
    Shapes: (k,). Errors: none.

    >>> from restoration.engineering.in_place.arrangement import Arrangement
    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad
    >>> source = PulseSource(0.0, 20.0, 1e-6, 5e-8, 5e-8, resistance_ohm=100.0, period_s=1e-5)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(1e6, 50e-12))
    >>> fitted = Fittings.of((Arrangement(), Arrangement(shunt_ohm=100.0)))
    >>> burdens(variants_of(case, fitted))["shunt_ohm"].watts.round(3).tolist()
    [0.0, 0.1]
    """
    fitted, source = variants.fitted, variants.model.source
    found, squared = shares(variants), _mean_square(source)
    series, attenuator, shunt = fitted.series_ohm, fitted.attenuator_ohm, fitted.shunt_ohm
    before_ohm = source.resistance_ohm + series
    through_w = squared * found.wire_a**2
    charging_w = _edges_w(variants, found) / (source.resistance_ohm + series + attenuator)
    wire_f, load_f = variants.model.line.delay_s / variants.model.line.impedance_ohm, variants.model.load.capacitance_f
    peak_v = max(abs(source.active_v), abs(source.rest_v), abs(source.step_v))
    shunt_v = peak_v / (1.0 + (before_ohm + attenuator) / shunt)
    nothing = np.zeros_like(series)
    at_attenuator_v = peak_v * attenuator / (before_ohm + attenuator)
    return {
        "series_ohm": Burden((through_w + charging_w * (wire_f + load_f)) * series, peak_v * series / before_ohm),
        "source_shunt_ohm": Burden(
            squared * found.terminal**2 / fitted.source_shunt_ohm,
            peak_v / (1.0 + source.resistance_ohm / fitted.source_shunt_ohm),
        ),
        "attenuator_ohm": Burden((through_w + charging_w * load_f) * attenuator, at_attenuator_v),
        "attenuator_f": Burden(nothing, at_attenuator_v),
        "shunt_ohm": Burden(squared * found.load**2 * fitted.direct_shunt_s + _coupled_w(variants), shunt_v),
        "shunt_coupling_f": Burden(nothing, nothing + peak_v),
    }


def _mean_square(source: PulseSource) -> float:
    duty = source.duration_s / source.period_s if source.period_s else 1.0
    return duty * source.active_v**2 + (1.0 - duty) * source.rest_v**2


def _edges_w(variants: Variants, found: Shares) -> Samples:
    """What two edges a period take to charge and empty each farad, in watts."""
    source = variants.model.source
    rate: Samples = (source.step_v * found.load) ** 2 / _period_s(source)
    return rate


def _period_s(source: PulseSource) -> float:
    return source.period_s or 2.0 * source.duration_s


def _coupled_w(variants: Variants) -> Samples:
    fitted, source = variants.fitted, variants.model.source
    is_coupled = np.isfinite(fitted.shunt_coupling_f)
    behind_s = variants.model.load.conductance_s + 1.0 / (
        source.resistance_ohm + fitted.series_ohm + fitted.attenuator_ohm
    )
    energy_j = np.where(is_coupled, fitted.shunt_coupling_f, 0.0) * source.step_v**2
    taken = 1.0 / (1.0 + 1.0 / (behind_s * np.where(is_coupled, fitted.shunt_ohm, 1.0)))
    return np.where(is_coupled, energy_j * taken / _period_s(source), 0.0)


def lumped(case: LinkCase, fitted: Fittings) -> tuple[Samples, Samples]:
    """What this wire, with each of these arrangements, is to the other wires of its source: siemens and farads.

    Formula, source and limits as ``OtherWire.lumped``, for all arrangements at once. Units: siemens, farads.
    Shapes: (k,). Errors: none.

    >>> from restoration.engineering.in_place.arrangement import Arrangement
    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad
    >>> source = PulseSource(0.0, 20.0, 1e-6, 5e-8, 5e-8, resistance_ohm=100.0, period_s=1e-5)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(1e6, 50e-12))
    >>> fitted = Fittings.of((Arrangement(), Arrangement(shunt_ohm=100.0)))
    >>> lumped(case, fitted)[0].round(6).tolist()
    [1e-06, 0.010001]
    """
    at_edge_hz = EDGE_OF_CORNER / case.edge_s
    slow_hz = 1.0 / (2.0 * math.pi * case.source.duration_s)
    slow = np.where(np.isfinite(fitted.shunt_coupling_f), slow_hz, 0.0)
    here = OtherWire(case.code, case.length_m, case.wire, case.load)
    at_edge = _admittance_s(here, fitted, np.full(fitted.count, at_edge_hz))
    return _admittance_s(here, fitted, slow).real, at_edge.imag / (2.0 * math.pi * at_edge_hz)


def _admittance_s(here: OtherWire, fitted: Fittings, frequency_hz: Samples) -> np.ndarray:
    s = 2j * math.pi * frequency_hz
    load = here.load
    grid = 1.0 / load.resistance_ohm + s * load.capacitance_f
    end = grid / (1.0 + grid * load.grid_stopper_ohm)
    is_coupled = np.isfinite(fitted.shunt_coupling_f)
    coupling = s * np.where(is_coupled, fitted.shunt_coupling_f, 0.0)
    coupled = coupling / (1.0 + coupling * np.where(is_coupled, fitted.shunt_ohm, 0.0))
    end = end + np.where(is_coupled, coupled, fitted.direct_shunt_s)
    through = fitted.attenuator_ohm / (1.0 + s * fitted.attenuator_ohm * fitted.attenuator_f)
    end = end / (1.0 + end * through)
    wire = end + s * here.wire.capacitance_f_per_m * here.length_m
    whole: np.ndarray = wire / (1.0 + wire * fitted.series_ohm) + 1.0 / fitted.source_shunt_ohm
    return whole


def variants_of(case: LinkCase, fitted: Fittings) -> Variants:
    """The wire of a case with each of these arrangements.

    Formula: none. Source: none. Valid as the case. Units: SI. Shapes: as the arrangements. Errors: none.

    >>> from restoration.engineering.in_place.arrangement import Arrangement
    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad
    >>> source = PulseSource(0.0, 20.0, 1e-6, 5e-8, 5e-8, resistance_ohm=100.0, period_s=1e-5)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(1e6, 50e-12))
    >>> fitted = Fittings.of((Arrangement(), Arrangement(shunt_ohm=100.0)))
    >>> variants_of(case, fitted).fitted.count
    2
    """
    others = case.others_load
    hung_s = np.full(fitted.count, 1.0 / others.resistance_ohm)
    return Variants(case.model(), fitted, hung_s, np.full(fitted.count, others.capacitance_f))


@dataclass(frozen=True)
class Elsewhere:
    """Another wire of the source, and what hangs there besides the wire that is changed."""

    code: str
    model: LinkModel
    arrangement: Fittings
    rest_s: float
    rest_f: float

    @classmethod
    def of(cls, case: LinkCase, other: OtherWire) -> Elsewhere:
        """That wire as seen from itself."""
        there = case.seen_from(other)
        rest = LinkCase(
            there.source, there.length_m, there.wire, there.load, tuple(o for o in case.others if o is not other)
        ).others_load
        return cls(
            other.code, there.model(), Fittings.of((other.arrangement,)), 1.0 / rest.resistance_ohm, rest.capacitance_f
        )

    def variants(self, here_s: Samples, here_f: Samples) -> Variants:
        """That wire while the one that is changed hangs on the source as said."""
        same = self.arrangement.take(np.zeros(here_s.size, dtype=np.intp))
        return Variants(self.model, same, here_s + self.rest_s, here_f + self.rest_f)
