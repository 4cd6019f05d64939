"""Figures of very many variants of one wire at once: what a perfect instrument would read at the load."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from restoration.engineering.in_place.proposals.steady import shares, slowness
from restoration.engineering.in_place.proposals.waves import (
    COLUMNS,
    MOST_STEPS,
    Clock,
    EdgeTraces,
    Variants,
    clock_for,
    edge_traces,
)
from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import PulseSource, Samples

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
_TRIPS = 16.0
_TIME_CONSTANTS = 3.0


@dataclass(frozen=True)
class _Edge:
    """One edge of every variant: its length, its middle after that of the source, and what it passes by."""

    lasts_s: Samples
    middle_s: Samples
    terminal_middle_s: Samples
    overshoot: Samples
    undershoot: Samples
    least_a: Samples
    most_a: Samples


def read_variants(variants: Variants) -> Figures:
    """The timed figures of every variant, and the peak of what the source drives, in amperes.

    Formula: both edges reckoned apart, each from rest, and read against the steady level: 10, 50 and 90 % by straight
    line between steps; overshoot the highest point beyond it, undershoot the lowest point after that. A level that is
    not reached while the edge is looked at makes its times infinite.
    Source: IEEE 181-2011 and IEC 60469 for the terms. Valid while the pulse outlasts its settling.
    Units: seconds, parts of one, amperes. Shapes: (k,). Errors: none.
    """
    count = variants.fitted.count
    found = {name: np.empty(count) for name in (*TIMED, PEAK_DRIVE)}
    for index, clock in _in_groups(variants):
        for name, values in _read(variants.take(index), clock).items():
            found[name][index] = values
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


def _read(variants: Variants, clock: Clock) -> Figures:
    source, steady = variants.model.source, shares(variants)
    leading = _edge(edge_traces(variants, source.rise_s, clock), source.rise_s, steady.load, steady.terminal)
    trailing = leading
    if source.fall_s != source.rise_s:
        trailing = _edge(edge_traces(variants, source.fall_s, clock), source.fall_s, steady.load, steady.terminal)
    up, down = (leading, trailing) if source.step_v > 0 else (trailing, leading)
    with np.errstate(invalid="ignore"):
        lasts_s = source.duration_s + trailing.middle_s - leading.middle_s
        delay_s = leading.middle_s - leading.terminal_middle_s
    return {
        Quantity.RISE_TIME: up.lasts_s,
        Quantity.FALL_TIME: down.lasts_s,
        Quantity.PULSE_DURATION: np.where(np.isnan(lasts_s), np.inf, lasts_s),
        Quantity.OVERSHOOT: np.maximum(leading.overshoot, trailing.overshoot),
        Quantity.UNDERSHOOT: np.maximum(leading.undershoot, trailing.undershoot),
        Quantity.DELAY: np.where(np.isnan(delay_s), np.inf, delay_s),
        PEAK_DRIVE: _peak_a(source, steady.drive_a, leading, trailing),
    }


def _peak_a(source: PulseSource, per_volt_a: Samples, leading: _Edge, trailing: _Edge) -> Samples:
    """The greatest current either way, from the rest level up and from the active level back."""
    begins = (source.rest_v * per_volt_a, source.active_v * per_volt_a)
    reached = [
        np.abs(begin + sign * source.step_v * part)
        for begin, sign, edge in ((begins[0], 1.0, leading), (begins[1], -1.0, trailing))
        for part in (edge.least_a, edge.most_a)
    ]
    peak: Samples = np.maximum.reduce(reached)
    return peak


def _edge(traces: EdgeTraces, edge_s: float, load: Samples, terminal: Samples) -> _Edge:
    begin_s, middle_s, end_s = (_reaches_s(traces.load, part * load, traces.step_s) for part in (0.1, 0.5, 0.9))
    highest = traces.load.max(axis=0)
    overshoot = np.maximum(highest / load - 1.0, 0.0)
    with np.errstate(invalid="ignore"):
        lasts_s = np.where(np.isinf(end_s), np.inf, end_s - begin_s)
    return _Edge(
        lasts_s,
        middle_s - edge_s / 2.0,
        _reaches_s(traces.terminal, 0.5 * terminal, traces.step_s) - edge_s / 2.0,
        overshoot,
        np.where(overshoot > 0.0, _dip(traces.load, load), 0.0),
        traces.least_a,
        traces.most_a,
    )


def _dip(load_v: Samples, level_v: Samples) -> Samples:
    """How far under its level each trace comes after its highest point, as a part of the level."""
    lowest = np.minimum.accumulate(load_v[::-1], axis=0)[::-1]
    after = np.take_along_axis(lowest, load_v.argmax(axis=0)[np.newaxis], axis=0)[0]
    dip: Samples = np.maximum(1.0 - after / level_v, 0.0)
    return dip


def _reaches_s(volts: Samples, level_v: Samples, step_s: float) -> Samples:
    """When each trace first comes to its level; infinite where it does not."""
    at = (volts >= level_v).argmax(axis=0)
    before = np.maximum(at - 1, 0)
    high = np.take_along_axis(volts, at[np.newaxis], axis=0)[0]
    low = np.take_along_axis(volts, before[np.newaxis], axis=0)[0]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(high > low, (level_v - low) / (high - low), 1.0)
    found: Samples = np.where(high >= level_v, (before + part * (at - before)) * step_s, np.inf)
    return found
