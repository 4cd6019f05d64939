"""What a link will show at both ends: the waveform, its figures, what the source has to give, and what to mind."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.reading import Levels, PulseFigures, Reading, read_pulse
from restoration.engineering.in_place.warnings import warnings_of
from restoration.engineering.link_model import (
    EndVolts,
    LinkModel,
    PulseSource,
    Samples,
    link_volts,
    settled_shares,
    source_emf_v,
)
from restoration.engineering.refusals import refuse_unless

POINTS = 900
"""Instants at which the volts are worked out: close together around the edges, few on a flat top."""
SETTLING_TIMES = 7.0
"""Time constants after which less than a thousandth is left."""


@dataclass(frozen=True)
class Predicted:
    """A prediction for one link: figures at load and source end, the waveforms, the greatest current, what to mind.

    The times of `volts` are not evenly spaced where a long flat top was passed over.
    """

    load: PulseFigures
    source: PulseFigures
    volts: EndVolts
    peak_drive_a: float
    warnings: tuple[str, ...] = ()

    def end(self, name: str) -> PulseFigures:
        """The figures of the end called `load` or `source`.

        Formula: none. Source: none. Valid for the two names. Units: none. Errors: ValueError for another name.

        >>> from restoration.engineering.in_place.case import WireConstants
        >>> from restoration.engineering.link_model import LinkLoad
        >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
        >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(4700.0, 20e-12))
        >>> round(predict(case).end("load").amplitude_v, 3)
        18.431
        """
        refuse_unless(name in ("load", "source"), f"A link has the ends load and source; {name!r} was given.")
        return self.load if name == "load" else self.source


def predict(case: LinkCase, *, points: int = POINTS) -> Predicted:
    """Figures at the load terminal and at the source terminal for one pulse of the source.

    Formula: the link model solved in time, figures read as in `reading.read_pulse`. A top that stays flat longer
    than the link takes to settle is passed over and its time added again: the link is linear and does not change,
    so that its answer to the trailing edge is the same. Source: as `engineering.link_model`.
    Valid for a linear source and load: a grid driven into current, or a stage beyond its most current, is not
    modelled (`warnings` say where to mind it). The other wires of the source are lumped, which is fair while they
    are short beside the edge. `points` is the number of steps over the record, from 200; edges get at least 12.
    Units: SI. Errors: ValueError for fewer than 200 points.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad
    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
    >>> found = predict(LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(4700.0, 20e-12)))
    >>> round(found.load.amplitude_v, 3), round(found.peak_drive_a * 1e3, 1)
    (18.431, 11.1)
    """
    refuse_unless(points >= 200, f"A prediction takes at least 200 points; {points} were asked for.")
    model = case.model()
    source = replace(model.source, period_s=None)
    model = replace(model, source=source)
    times_s = _times(source, settling_s(model), model.line.delay_s, points)
    volts = link_volts(model, times_s)
    shares, turns_s = settled_shares(model), _trailing_s(source)
    at_source = read_pulse(times_s, volts.source_v, _levels(source, shares.source), turns_s)
    at_load = read_pulse(times_s, volts.load_v, _levels(source, shares.load), turns_s + model.line.delay_s)
    load = replace(at_load.figures, delay_s=at_load.leading_s - at_source.leading_s)
    current_a = np.abs(source_emf_v(source, times_s) - volts.source_v) / source.resistance_ohm
    drive_a = float(current_a.max())
    words = warnings_of(case, model, load, at_source.figures, drive_a, (at_source.settled, at_load.settled))
    return Predicted(load, at_source.figures, volts, drive_a, words)


def _levels(source: PulseSource, share: complex) -> Levels:
    return Levels(source.rest_v * share.real, source.active_v * share.real)


def settling_s(model: LinkModel) -> float:
    """About how long a link takes to settle to a thousandth after an edge of its source.

    Formula: seven time constants of whichever lasts longest: 1/α of the lumped wire with α = R/2L + G/2C, R*C of
    drive and all capacitance, and the trips to and fro that the two reflections allow, ln 1000 / -ln |ρ1*ρ2|.
    Source: circuit theory; an estimate that `predict` checks. Valid as an order of size. Units: seconds. Errors: none.

    >>> from restoration.engineering.link_model import LinkLoad, LosslessLine
    >>> link = LinkModel(PulseSource(0.0, 9.0, 1e-6, 0.0, 0.0, 400.0), LosslessLine(275.0, 7e-9), LinkLoad(1e5))
    >>> 5e-8 < settling_s(link) < 5e-7
    True
    """
    z0_ohm, delay_s = model.line.impedance_ohm, model.line.delay_s
    capacitance_f = delay_s / z0_ohm + model.load.capacitance_f
    drive_ohm = model.driving_ohm
    damping = drive_ohm / (2 * z0_ohm * delay_s) + model.load_conductance_s / (2 * capacitance_f)
    slow_s = (drive_ohm + model.attenuator_ohm) * (capacitance_f + model.source_load_f)
    slow_s += model.load.grid_stopper_ohm * model.load.capacitance_f
    bounce = abs(model.reflection_at_load * model.reflection_at_source)
    trips_s = 2 * delay_s * math.log(1000.0) / -math.log(min(max(bounce, 1e-9), 1.0 - 1e-9))
    coupled_s = 0.0
    if math.isfinite(model.shunt_coupling_f):
        coupled_s = (model.shunt_ohm + drive_ohm + model.attenuator_ohm) * model.shunt_coupling_f
    constants_s = max(1.0 / damping, slow_s, coupled_s)
    return SETTLING_TIMES * constants_s + min(trips_s, SETTLING_TIMES * 2.0 / damping) + 4 * delay_s


def _trailing_s(source: PulseSource) -> float:
    return source.start_s + source.duration_s + (source.rise_s - source.fall_s) / 2


def _times(source: PulseSource, needs_s: float, delay_s: float, points: int) -> Samples:
    """Instants close together after each edge for as long as the link takes to settle, and few on a flat top."""
    starts_s, turns_s = source.start_s, _trailing_s(source)
    top_s = turns_s - starts_s
    edge_points = points // 3
    windows = [
        _after_edge(starts_s, source.rise_s, delay_s, min(needs_s + source.rise_s, top_s), edge_points),
        np.linspace(starts_s, turns_s, max(points // 10, 20)),
        _after_edge(turns_s, source.fall_s, delay_s, needs_s + source.fall_s, edge_points),
    ]
    times: Samples = np.unique(np.concatenate(windows))
    return times[np.diff(times, prepend=-math.inf) > 1e-9 * (times[-1] - times[0])]


def _after_edge(start_s: float, edge_s: float, delay_s: float, lasts_s: float, points: int) -> Samples:
    """Instants from just before an edge on, a third of them while it passes both ends, the rest thinning out."""
    passing_s = min(edge_s + 2 * delay_s, lasts_s)
    before = start_s - passing_s * np.array([0.02, 0.01])
    passing = start_s + np.linspace(0.0, passing_s, points // 3)
    rest = start_s + passing_s + (lasts_s - passing_s) * np.linspace(0.0, 1.0, points - points // 3) ** 1.5
    return np.concatenate([before, passing, rest])
