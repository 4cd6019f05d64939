"""The volts at both ends of very many variants of one wire at once, while the source makes one edge."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np

from restoration.engineering.in_place.arrangement import Arrangement
from restoration.engineering.link_model import LinkModel, Samples

STEPS_ON_AN_EDGE = 16
FINEST = 100.0  # steps on an edge at the most, however short the wire
MOST_STEPS = 4096
COLUMNS = 1024


@dataclass(frozen=True)
class Fittings:
    """Arrangements as columns, each an array of shape (k,); the fields are those of ``Arrangement``."""

    series_ohm: Samples
    source_shunt_ohm: Samples
    attenuator_ohm: Samples
    attenuator_f: Samples
    shunt_ohm: Samples
    shunt_coupling_f: Samples

    @classmethod
    def of(cls, arrangements: tuple[Arrangement, ...]) -> Fittings:
        """Columns of these arrangements."""
        return cls(*(np.array([getattr(one, field.name) for one in arrangements]) for field in fields(cls)))

    @property
    def count(self) -> int:
        """How many there are."""
        return self.series_ohm.size

    def take(self, index: np.ndarray) -> Fittings:
        """Those of the index."""
        return Fittings(*(getattr(self, field.name)[index] for field in fields(self)))

    def arrangement(self, at: int) -> Arrangement:
        """One of them as an arrangement."""
        return Arrangement(*(float(getattr(self, field.name)[at]) for field in fields(self)))

    @property
    def direct_shunt_s(self) -> Samples:
        """Conductance of the shunt at rest: nothing where a capacitor couples it."""
        return np.where(np.isinf(self.shunt_coupling_f), 1.0 / self.shunt_ohm, 0.0)


@dataclass(frozen=True)
class Variants:
    """Variants of one wire: what all have in common as a link model, what each has fitted, what hangs on its source.

    `hung_s` and `hung_f` (k,) are the conductance and capacitance of the other wires at the source terminal; the
    fields of `model` that say the same for one wire are not read.
    """

    model: LinkModel
    fitted: Fittings
    hung_s: Samples
    hung_f: Samples

    def take(self, index: np.ndarray) -> Variants:
        """Those of the index."""
        return Variants(self.model, self.fitted.take(index), self.hung_s[index], self.hung_f[index])

    @property
    def source_s(self) -> Samples:
        """Conductance at the source terminal at rest, without the wire."""
        return self.hung_s + 1.0 / self.fitted.source_shunt_ohm


@dataclass(frozen=True)
class Clock:
    """Time steps: their length, how many one delay takes, how many are reckoned."""

    step_s: float
    lag: int
    steps: int


def clock_for(model: LinkModel, lasts_s: float) -> Clock:
    """Steps that hold a whole number to the delay and at least 16 to an edge, for as long as said.

    A wire of less delay than a hundredth of an edge is reckoned with a hundredth.
    """
    edges = [edge_s for edge_s in (model.source.rise_s, model.source.fall_s) if edge_s > 0.0]
    edge_s = min(edges) if edges else 4.0 * model.line.delay_s
    lag = max(1, math.ceil(model.line.delay_s * STEPS_ON_AN_EDGE / edge_s - 1e-9))
    step_s = max(model.line.delay_s / lag, edge_s / FINEST)
    return Clock(step_s, lag, min(MOST_STEPS, max(48, math.ceil(lasts_s / step_s))))


class NearEnds:
    """The source ends, stepped together: conductances and the memory of the capacitance at the terminal."""

    def __init__(self, variants: Variants, step_s: float) -> None:
        z0 = variants.model.line.impedance_ohm
        wire_s = 1.0 / (variants.fitted.series_ohm + z0)
        remembered_s = 2.0 * variants.hung_f / step_s
        self.source_s = 1.0 / variants.model.source.resistance_ohm
        self.wire_s = wire_s
        self.turned_s = 2.0 * remembered_s
        self.ohm = 1.0 / (self.source_s + variants.source_s + wire_s + remembered_s)
        self.through = 2.0 * z0 * wire_s
        self.back = 1.0 - self.through
        self.memory_a = np.zeros_like(wire_s)
        self.spare = np.empty_like(wire_s)
        self.remembers = bool(np.any(remembered_s))

    def step(self, emf: float, coming: Samples, terminal: Samples) -> Samples:
        """Volts at the terminal into `terminal`; gives twice the wave that sets out."""
        np.multiply(self.wire_s, coming, out=terminal)
        terminal += emf * self.source_s
        if self.remembers:
            terminal += self.memory_a
        terminal *= self.ohm
        if self.remembers:
            np.multiply(self.turned_s, terminal, out=self.spare)
            np.subtract(self.spare, self.memory_a, out=self.memory_a)
        np.multiply(self.through, terminal, out=self.spare)
        return self.back * coming + self.spare


class FarEnds:
    """The load ends, stepped together; every capacitor is a conductance beside a remembered current."""

    def __init__(self, variants: Variants, step_s: float) -> None:
        fitted, load = variants.fitted, variants.model.load
        self.twice_z0 = 2.0 * variants.model.line.impedance_ohm
        with np.errstate(divide="ignore"):
            self.across_s = 2.0 * fitted.attenuator_f / step_s
            through_ohm = 1.0 / (1.0 / fitted.attenuator_ohm + self.across_s)
        self.wire_s = 1.0 / (through_ohm + variants.model.line.impedance_ohm)
        self.across_share = through_ohm * self.wire_s
        self.load_s = 2.0 * load.capacitance_f / step_s
        grid_s = 1.0 / load.resistance_ohm + self.load_s
        self.load_share = 1.0 / (1.0 + load.grid_stopper_ohm * grid_s)
        self.stopper_ohm = load.grid_stopper_ohm
        self._couple(fitted, step_s)
        self.ohm = 1.0 / (self.wire_s + grid_s * self.load_share + self.shunt_s)
        self.across_a, self.load_a, self.coupled_a = (np.zeros_like(self.wire_s) for _ in range(3))
        self.has_across = bool(np.any(self.across_s))

    def _couple(self, fitted: Fittings, step_s: float) -> None:
        direct = np.isinf(fitted.shunt_coupling_f)
        self.coupling_s = 2.0 * np.where(direct, 0.0, fitted.shunt_coupling_f) / step_s
        with np.errstate(invalid="ignore"):
            self.coupled_share = np.where(direct, 0.0, 1.0 / (1.0 + fitted.shunt_ohm * self.coupling_s))
        self.shunt_s = np.where(direct, 1.0 / fitted.shunt_ohm, self.coupling_s * self.coupled_share)
        self.shunt_ohm = np.where(direct, 0.0, fitted.shunt_ohm)
        self.is_coupled = not bool(np.all(direct))

    def step(self, coming: Samples, load_v: Samples) -> Samples:
        """Volts at the load into `load_v`; gives twice the wave that goes back."""
        np.multiply(self.wire_s, coming, out=load_v)
        load_v += self.load_share * self.load_a
        if self.has_across:
            load_v -= self.across_share * self.across_a
        if self.is_coupled:
            load_v += self.coupled_share * self.coupled_a
        load_v *= self.ohm
        current_a = coming - load_v
        current_a *= self.wire_s
        if self.has_across:
            current_a -= self.across_share * self.across_a
        self._remember(coming, load_v, current_a)
        current_a *= -self.twice_z0
        current_a += coming
        return current_a

    def _remember(self, coming: Samples, load_v: Samples, current_a: Samples) -> None:
        if self.has_across:
            across_v = coming - 0.5 * self.twice_z0 * current_a - load_v
            self.across_a = 2.0 * self.across_s * across_v - self.across_a
        if self.is_coupled:
            taken_a = self.shunt_s * load_v - self.coupled_share * self.coupled_a
            self.coupled_a = 2.0 * self.coupling_s * (load_v - self.shunt_ohm * taken_a) - self.coupled_a
        grid_v = load_v
        if self.stopper_ohm:
            grid_v = self.load_share * (load_v + self.stopper_ohm * self.load_a)
        self.load_a = 2.0 * self.load_s * grid_v - self.load_a


@dataclass(frozen=True)
class EdgeTraces:
    """Volts of each variant while the source climbs from 0 to 1, (n, k), and those behind its resistance, (n,)."""

    step_s: float
    emf: Samples
    terminal: Samples
    load: Samples
    source_s: float

    @property
    def driven_a(self) -> tuple[Samples, Samples]:
        """The least and the most that the source then drives; each (k,)."""
        driven = self.emf[:, np.newaxis] - self.terminal
        return driven.min(axis=0) * self.source_s, driven.max(axis=0) * self.source_s


def edge_traces(variants: Variants, edge_s: float, clock: Clock) -> EdgeTraces:
    """What one edge from 0 to 1 V makes of every variant, from rest.

    Formula: the method of characteristics with trapezoidal capacitors: each end sees twice the wave that left the
    other end one delay ago behind the wire's impedance. Source: F. H. Branin, Proc. IEEE 55, 1967 (from memory).
    Valid for a lossless wire and lumped ends. Units: seconds, volts, amperes. Shapes: (n, k). Errors: none.
    """
    near, far = NearEnds(variants, clock.step_s), FarEnds(variants, clock.step_s)
    count = variants.fitted.count
    out, back = np.zeros((2, clock.lag, count))
    load, terminal = np.empty((2, clock.steps, count))
    at_s = clock.step_s * np.arange(clock.steps)
    emf = np.clip(at_s / edge_s, 0.0, 1.0) if edge_s else np.where(at_s > 0.0, 1.0, 0.0)
    for step, emf_v in enumerate(emf.tolist()):
        place = step % clock.lag
        launched = near.step(emf_v, back[place], terminal[step])
        back[place] = far.step(out[place], load[step])
        out[place] = launched
    return EdgeTraces(clock.step_s, emf, terminal, load, near.source_s)
