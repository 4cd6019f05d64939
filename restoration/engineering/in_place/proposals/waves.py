"""The volts at both ends of very many variants of one wire at once, while the source makes one edge."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.in_place.arrangement import Arrangement
from restoration.engineering.link_model import LinkModel, Samples

STEPS_ON_AN_EDGE = 16
FINEST = 100.0  # steps on an edge at the most, however short the wire
MOST_STEPS = 4096
COLUMNS = 2048

Singles = NDArray[np.float32]


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
    Formula: delay/ceil(16*delay/edge). Source: own. Valid for a delay above zero. Units: seconds. Errors: none.

    >>> from restoration.engineering.link_model import LosslessLine, PulseSource
    >>> model = LinkModel(PulseSource(0.0, 5.0, 1e-6, 8e-8, 8e-8, 100.0), LosslessLine(280.0, 2e-8))
    >>> clock_for(model, 1e-6)
    Clock(step_s=5e-09, lag=4, steps=200)
    """
    edges = [edge_s for edge_s in (model.source.rise_s, model.source.fall_s) if edge_s > 0.0]
    edge_s = min(edges) if edges else 4.0 * model.line.delay_s
    lag = max(1, math.ceil(model.line.delay_s * STEPS_ON_AN_EDGE / edge_s - 1e-9))
    step_s = max(model.line.delay_s / lag, edge_s / FINEST)
    return Clock(step_s, lag, min(MOST_STEPS, max(48, math.ceil(lasts_s / step_s))))


class NearEnds:
    """The source ends, stepped together.

    At the terminal: (gs + G + gw + gc)*v = gs*e + gw*b + J, with b twice the wave that comes back and J the memory of
    the capacitance there, J' = 2*gc*v - J; the wave that sets out is (1 - 2*Z0*gw)*b + 2*Z0*gw*v, twice.
    What multiplies v, b and e is worked out beforehand, the memory kept already divided.
    """

    def __init__(self, variants: Variants, step_s: float) -> None:
        z0 = variants.model.line.impedance_ohm
        source_s = 1.0 / variants.model.source.resistance_ohm
        wire_s = 1.0 / (variants.fitted.series_ohm + z0)
        held_s = 2.0 * variants.hung_f / step_s
        whole_s = source_s + variants.source_s + wire_s + held_s
        self.of_emf, self.of_coming = _single(source_s / whole_s), _single(wire_s / whole_s)
        self.kept = _single(2.0 * held_s / whole_s)
        self.through, self.back = _single(2.0 * z0 * wire_s), _single(1.0 - 2.0 * z0 * wire_s)
        self.memory, self.spare = np.zeros_like(self.kept), np.zeros_like(self.kept)
        self.remembers = bool(np.any(held_s))

    def step(self, coming: Singles, terminal: Singles, sets_out: Singles) -> None:
        """Volts at the terminal into `terminal`, twice the wave that sets out into `sets_out`, while e is 1."""
        spare = self.spare
        np.multiply(self.of_coming, coming, out=terminal)
        terminal += self.of_emf
        if self.remembers:
            terminal += self.memory
            np.multiply(self.kept, terminal, out=spare)
            np.subtract(spare, self.memory, out=self.memory)
        np.multiply(self.through, terminal, out=spare)
        np.multiply(self.back, coming, out=sets_out)
        sets_out += spare


class FarEnds:
    """The load ends, stepped together; every capacitor is a conductance beside a remembered current.

    From the wire, a current ge*(b - v) - Je through Z0 and the attenuator; to earth (gg + gs)*v less the remembered
    currents of the grid and of a coupled shunt. Twice the wave that goes back is b - 2*Z0 times the current.
    """

    def __init__(self, variants: Variants, step_s: float) -> None:
        fitted, load, z0 = variants.fitted, variants.model.load, variants.model.line.impedance_ohm
        held_s = 2.0 * load.capacitance_f / step_s
        grid_s = 1.0 / load.resistance_ohm + held_s
        load_share = 1.0 / (1.0 + load.grid_stopper_ohm * grid_s)
        self.shunt = _CoupledShunts(fitted, step_s)
        self.across = _Across(fitted, z0, step_s)
        self.ohm = 1.0 / (self.across.wire_s + grid_s * load_share + self.shunt.conductance_s)
        self.of_coming = _single(self.across.wire_s * self.ohm)
        self.through = _single(2.0 * z0 * self.across.wire_s)
        self.back = _single(1.0 - 2.0 * z0 * self.across.wire_s)
        self.of_load, self.kept = np.float32(load_share), np.float32(2.0 * held_s)
        self.stopped = np.float32(load_share * load.grid_stopper_ohm)
        self.single_ohm = _single(self.ohm)
        self.memory, self.spare = np.zeros_like(self.single_ohm), np.zeros_like(self.single_ohm)
        self.is_plain = not (load.grid_stopper_ohm or self.shunt.is_there or self.across.is_there)
        if self.is_plain:
            self.of_load, self.kept_plain = np.float32(1.0), _single(2.0 * held_s * self.ohm)

    def step(self, coming: Singles, load_v: Singles, goes_back: Singles) -> None:
        """Volts at the load into `load_v`, twice the wave that goes back into `goes_back`."""
        spare = self.spare
        np.multiply(self.of_coming, coming, out=load_v)
        if self.is_plain:
            load_v += self.memory
            np.multiply(self.kept_plain, load_v, out=spare)
            np.subtract(spare, self.memory, out=self.memory)
        else:
            self._add_remembered(load_v)
        np.multiply(self.through, load_v, out=spare)
        np.multiply(self.back, coming, out=goes_back)
        goes_back += spare
        if not self.is_plain:
            self._remember(coming, load_v, goes_back)

    def _add_remembered(self, load_v: Singles) -> None:
        given_a = self.of_load * self.memory
        if self.across.is_there:
            given_a -= self.across.given_a
        if self.shunt.is_there:
            given_a += self.shunt.given_a
        given_a *= self.single_ohm
        load_v += given_a

    def _remember(self, coming: Singles, load_v: Singles, goes_back: Singles) -> None:
        if self.across.is_there:
            self.across.remember(coming, load_v, goes_back)
        if self.shunt.is_there:
            self.shunt.remember(load_v)
        grid_v = self.of_load * load_v + self.stopped * self.memory
        self.memory = self.kept * grid_v - self.memory


class _Across:
    """Attenuators with the capacitors across them, in series with the wire."""

    def __init__(self, fitted: Fittings, z0: float, step_s: float) -> None:
        held_s = 2.0 * fitted.attenuator_f / step_s
        with np.errstate(divide="ignore"):
            ohm = 1.0 / (1.0 / fitted.attenuator_ohm + held_s)
        self.wire_s = 1.0 / (ohm + z0)
        self.share, self.kept = _single(ohm * self.wire_s), _single(2.0 * held_s)
        self.twice_z0 = np.float32(2.0 * z0)
        self.memory = np.zeros_like(self.share)
        self.given_a = np.zeros_like(self.share)
        self.is_there = bool(np.any(held_s))

    def remember(self, coming: Singles, load_v: Singles, goes_back: Singles) -> None:
        """Take the remembered current out of the wave that goes back, and renew it."""
        goes_back += self.twice_z0 * self.given_a
        across_v = np.float32(0.5) * (coming + goes_back) - load_v
        self.memory = self.kept * across_v - self.memory
        self.given_a = self.share * self.memory


class _CoupledShunts:
    """Shunts, some of them through a capacitor."""

    def __init__(self, fitted: Fittings, step_s: float) -> None:
        direct = np.isinf(fitted.shunt_coupling_f)
        held_s = 2.0 * np.where(direct, 0.0, fitted.shunt_coupling_f) / step_s
        ohm = np.where(direct, 0.0, fitted.shunt_ohm)
        share = np.where(direct, 0.0, 1.0 / (1.0 + ohm * held_s))
        self.conductance_s = np.where(direct, 1.0 / fitted.shunt_ohm, held_s * share)
        self.conductance, self.share = _single(self.conductance_s), _single(share)
        self.kept, self.ohm = _single(2.0 * held_s), _single(ohm)
        self.memory = np.zeros_like(self.share)
        self.given_a = np.zeros_like(self.share)
        self.is_there = not bool(np.all(direct))

    def remember(self, load_v: Singles) -> None:
        """Renew the remembered current."""
        taken_a = self.conductance * load_v - self.given_a
        self.memory = self.kept * (load_v - self.ohm * taken_a) - self.memory
        self.given_a = self.share * self.memory


def _single(values: Samples) -> Singles:
    return values.astype(np.float32)


@dataclass(frozen=True)
class EdgeTraces:
    """Volts of each variant while the source climbs straight from 0 to 1, each (n, k)."""

    steps: StepTraces
    edge_s: float

    @property
    def step_s(self) -> float:
        """The length of a time step."""
        return self.steps.step_s

    @cached_property
    def load(self) -> Singles:
        """At the load."""
        return self._climbing(self.steps.load, self.steps.load_sums)

    @cached_property
    def terminal(self) -> Singles:
        """At the terminal of the source."""
        return self._climbing(self.steps.terminal, self.steps.terminal_sums)

    def _climbing(self, at_once: Singles, sums: Singles) -> Singles:
        """What a source makes that climbs in so many whole steps and a part of one, of what it makes at once."""
        whole = int(self.edge_s / self.step_s + 1e-9)
        each = self.step_s / self.edge_s if whole else 0.0
        late = max(0, at_once.shape[0] - 1 - whole)
        climbed = sums.copy()
        climbed[whole:] -= sums[: late + 1]
        climbed *= np.float32(each)
        climbed[whole + 1 :] += np.float32(max(0.0, 1.0 - whole * each)) * at_once[:late]
        return climbed

    @property
    def driven_a(self) -> tuple[Samples, Samples]:
        """The least and the most that the source then drives; each (k,)."""
        at_s = self.step_s * np.arange(self.terminal.shape[0])
        emf = np.clip(at_s / self.edge_s, 0.0, 1.0) if self.edge_s else np.where(at_s > 0.0, 1.0, 0.0)
        driven = _single(emf)[:, np.newaxis] - self.terminal
        least, most = (
            found.astype(np.float64) * self.steps.source_s for found in (driven.min(axis=0), driven.max(axis=0))
        )
        return least, most


@dataclass(frozen=True)
class StepTraces:
    """Volts of each variant while the source goes from 0 to 1 at once, each (n, k)."""

    step_s: float
    terminal: Singles
    load: Singles
    source_s: float

    @cached_property
    def load_sums(self) -> Singles:
        """The sum of all earlier rows at the load, by row."""
        return _sums_before(self.load)

    @cached_property
    def terminal_sums(self) -> Singles:
        """The same at the terminal."""
        return _sums_before(self.terminal)

    def climbing(self, edge_s: float) -> EdgeTraces:
        """The same while the source climbs straight for so long.

        Formula: the sum of the steps it climbs by, each as late as it comes: the wire and its ends are linear.
        Source: superposition. Valid as the traces. Units: seconds. Shapes: (n, k). Errors: none.
        """
        return EdgeTraces(self, edge_s)


def _sums_before(rows: Singles) -> Singles:
    sums = np.zeros_like(rows)
    for at, row in enumerate(rows[:-1]):
        np.add(sums[at], row, out=sums[at + 1])
    return sums


def step_traces(variants: Variants, clock: Clock) -> StepTraces:
    """What a step from 0 to 1 V makes of every variant, from rest.

    Formula: the method of characteristics with trapezoidal capacitors: each end sees twice the wave that left the
    other end one delay ago behind the wire's impedance. In single precision, which is a thousandth of what the steps
    leave. Source: F. H. Branin, Proc. IEEE 55, 1967 (from memory).
    Valid for a lossless wire and lumped ends. Units: seconds, volts, amperes. Shapes: (n, k). Errors: none.

    >>> from restoration.engineering.link_model import LinkLoad, LosslessLine, PulseSource
    >>> model = LinkModel(PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, 25.0), LosslessLine(75.0, 1e-8), LinkLoad(225.0))
    >>> variants = Variants(model, Fittings.of((Arrangement(),)), np.zeros(1), np.zeros(1))
    >>> step_traces(variants, Clock(5e-9, 2, 12)).climbing(0.0).load[3::4, 0].astype(float).round(5).tolist()
    [1.125, 0.84375, 0.91406]
    """
    near, far = NearEnds(variants, clock.step_s), FarEnds(variants, clock.step_s)
    count = variants.fitted.count
    out, back = np.zeros((2, clock.lag, count), dtype=np.float32)
    sets_out = np.zeros(count, dtype=np.float32)
    load, terminal = np.empty((2, clock.steps, count), dtype=np.float32)
    for step in range(clock.steps):
        place = step % clock.lag
        near.step(back[place], terminal[step], sets_out)
        far.step(out[place], load[step], back[place])
        out[place] = sets_out
    return StepTraces(clock.step_s, terminal, load, 1.0 / variants.model.source.resistance_ohm)
