"""One pulse through a link, worked out only where something happens: around its edges, not along a flat top."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from restoration.engineering.in_place.reading import Levels
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

SETTLING_TIMES = 7.0
"""Time constants after which less than a thousandth is left."""
FLAT = 1e-3
"""Part of the amplitude within which a top is called flat, so that time along it may be passed over."""
STEPS_ON_AN_EDGE = 32
MOST_STEPS = 8000
LEAST_V = 1e-12
"""Volts below which nothing is left of a pulse."""
NOTHING_LEFT = "Nothing of the pulse is left on this link: look at the resistances given for its drive, load and parts."


@dataclass(frozen=True)
class Solved:
    """Volts of one pulse, its levels at both ends, when its trailing edge begins at the source, the current it takes.

    `passed_s` is the time of the flat top that was left out of `volts`.
    """

    volts: EndVolts
    at_source: Levels
    at_load: Levels
    turns_s: float
    passed_s: float
    drive_a: float

    @property
    def whole_volts(self) -> EndVolts:
        """The volts with the time along the flat top put in again."""
        times_s = self.volts.times_s
        return replace(self.volts, times_s=np.where(times_s >= self.turns_s, times_s + self.passed_s, times_s))


def solve_pulse(model: LinkModel, points: int) -> Solved:
    """One pulse of the source of a model at about so many instants.

    Formula: `link_volts`; where the top lasts longer than the link takes to settle, a shorter pulse is solved, which
    is the same but for the time along the top, since the link is linear and does not change with time. That the top
    is flat by then is checked to a thousandth of the amplitude, and a longer pulse taken where it is not.
    Source: as `link_volts`. Valid as `LinkModel`; one pulse, whatever the period. Units: SI.
    Errors: ValueError where no volts of the pulse are left at an end.

    >>> from restoration.engineering.link_model import LinkLoad, LosslessLine
    >>> source = PulseSource(0.0, 9.0, 1e-3, 1e-7, 1e-7, resistance_ohm=400.0)
    >>> solved = solve_pulse(LinkModel(source, LosslessLine(275.0, 7e-9), LinkLoad(800.0)), 600)
    >>> round(solved.at_load.active_v, 9), solved.passed_s > 0.99e-3
    (6.0, True)
    """
    whole = replace(model.source, period_s=None)
    needs_s = settling_s(model)
    shares = settled_shares(model)
    at_source, at_load = (_levels(whole, share) for share in (shares.source, shares.load))
    refuse_unless(all(map(_is_a_pulse, (at_source, at_load))), NOTHING_LEFT)
    while True:
        short = _shortened(whole, needs_s)
        link = replace(model, source=short)
        times_s = _times(short, min(needs_s, 4.0 * short.duration_s), model.line.delay_s, points)
        volts = link_volts(link, times_s, longest_step_s=_longest_step_s(link, times_s))
        if short is whole or _is_flat(volts, at_source, at_load, trailing_s(short)):
            break
        needs_s *= 3.0
    current_a = np.abs(source_emf_v(short, times_s) - volts.source_v) / short.resistance_ohm
    passed_s = whole.duration_s - short.duration_s
    return Solved(volts, at_source, at_load, trailing_s(short), passed_s, float(current_a.max()))


def settling_s(model: LinkModel) -> float:
    """About how long a link takes to settle to a thousandth after an edge of its source.

    Formula: seven time constants of whichever lasts longest: 1/α of the lumped wire with α = R/2L + G/2C, R*C of
    drive and all capacitance, and that of a coupled shunt; and four trips of the wire.
    Source: circuit theory; an estimate that `solve_pulse` checks. Valid as an order of size. Units: seconds.
    Errors: none.

    >>> from restoration.engineering.link_model import LinkLoad, LosslessLine
    >>> link = LinkModel(PulseSource(0.0, 9.0, 1e-6, 0.0, 0.0, 400.0), LosslessLine(275.0, 7e-9), LinkLoad(1e5))
    >>> 5e-8 < settling_s(link) < 5e-7
    True
    """
    z0_ohm, delay_s = model.line.impedance_ohm, model.line.delay_s
    drive_ohm, wire_f = model.driving_ohm, delay_s / z0_ohm
    damping = drive_ohm / (2 * z0_ohm * delay_s) + model.load_conductance_s / (2 * (wire_f + model.load.capacitance_f))
    slow_s = (drive_ohm + model.attenuator_ohm) * (wire_f + model.load.capacitance_f + model.source_load_f)
    slow_s += model.load.grid_stopper_ohm * model.load.capacitance_f
    coupled_s = 0.0
    if math.isfinite(model.shunt_coupling_f):
        coupled_s = (model.shunt_ohm + drive_ohm + model.attenuator_ohm) * model.shunt_coupling_f
    return SETTLING_TIMES * max(1.0 / damping, slow_s, coupled_s) + 8 * delay_s


def trailing_s(source: PulseSource) -> float:
    """When the trailing edge of the first pulse of a source begins.

    Formula: start + duration + (rise - fall)/2, the duration being between half-way points. Source: IEEE 181-2011.
    Valid for straight edges. Units: seconds. Errors: none.

    >>> round(trailing_s(PulseSource(0.0, 9.0, 1e-6, 2e-7, 1e-7, 400.0)) * 1e9, 6)
    1050.0
    """
    return source.start_s + source.duration_s + (source.rise_s - source.fall_s) / 2


def _is_a_pulse(levels: Levels) -> bool:
    return LEAST_V < abs(levels.active_v - levels.rest_v) < math.inf


def _levels(source: PulseSource, share: complex) -> Levels:
    return Levels(source.rest_v * share.real, source.active_v * share.real)


def _shortened(source: PulseSource, needs_s: float) -> PulseSource:
    """The same pulse with its flat top cut to what the link needs; one with a sagging top is left as it is."""
    enough_s = (source.rise_s + source.fall_s) / 2 + 1.5 * needs_s
    if source.droop_time_constant_s is not None or source.duration_s <= enough_s:
        return source
    return replace(source, duration_s=enough_s)


def _times(source: PulseSource, needs_s: float, delay_s: float, points: int) -> Samples:
    """Instants close together after each edge for as long as the link takes to settle, and few on a flat top."""
    start_s, turns_s = source.start_s, trailing_s(source)
    edge_points = points * 9 // 20
    windows = [
        _after_edge(start_s, source.rise_s, delay_s, min(needs_s + source.rise_s, turns_s - start_s), edge_points),
        np.linspace(start_s, turns_s, max(points // 10, 20)),
        _after_edge(turns_s, source.fall_s, delay_s, needs_s + source.fall_s, edge_points),
    ]
    times: Samples = np.unique(np.concatenate(windows))
    kept: Samples = times[np.diff(times, prepend=-math.inf) > 1e-9 * (times[-1] - times[0])]
    return kept


def _after_edge(start_s: float, edge_s: float, delay_s: float, lasts_s: float, points: int) -> Samples:
    """Instants from just before an edge on, half of them while it passes both ends, the rest thinning out."""
    passing_s = min(edge_s + 4 * delay_s, lasts_s)
    before = start_s - passing_s * np.array([0.02, 0.01])
    passing = start_s + np.linspace(0.0, passing_s, points // 2)
    rest = start_s + passing_s + (lasts_s - passing_s) * np.linspace(0.0, 1.0, points - points // 2) ** 1.5
    return np.concatenate([before, passing, rest])


def _longest_step_s(link: LinkModel, times_s: Samples) -> float | None:
    """A step that the edges ask for, where there are capacitors; resistive ends are exact at any step."""
    edges = [edge for edge in (link.source.rise_s, link.source.fall_s) if edge]
    has_capacitor = link.load.capacitance_f or link.source_load_f or math.isfinite(link.shunt_coupling_f)
    if not edges or not has_capacitor:
        return None
    lasts_s = float(times_s[-1] - times_s[0])
    return max(min(edges) / STEPS_ON_AN_EDGE, lasts_s / MOST_STEPS)


def _is_flat(volts: EndVolts, at_source: Levels, at_load: Levels, turns_s: float) -> bool:
    """Whether both ends have come to their levels when the trailing edge begins, and stay."""
    begin, end = np.searchsorted(volts.times_s, (turns_s - 0.1 * (turns_s - volts.times_s[0]), turns_s))
    return all(_off(trace_v[begin:end], levels) <= FLAT for trace_v, levels in _pairs(volts, at_source, at_load))


def _pairs(volts: EndVolts, at_source: Levels, at_load: Levels) -> Iterator[tuple[Samples, Levels]]:
    yield volts.source_v, at_source
    yield volts.load_v, at_load


def _off(trace_v: Samples, levels: Levels) -> float:
    return float(np.abs(trace_v - levels.active_v).max()) / abs(levels.active_v - levels.rest_v)
