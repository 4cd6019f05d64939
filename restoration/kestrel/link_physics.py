"""The physics of each interconnect as the demonstration has it, and what an instrument would read.

All values are the invention of this demonstration; line impedance and delay are of the size given
for single wires over a metal frame and for 75 ohm screened wire.
"""

import math
from dataclasses import replace

import numpy as np
from numpy.random import Generator

from restoration.engineering.link_model import (
    LinkLoad,
    LinkModel,
    LosslessLine,
    PulseSource,
    Samples,
    SupplyRipple,
    link_volts,
    settled_shares,
)
from restoration.kestrel.joined import LOAD_F, LOAD_OHM, beside, drive_ohm
from restoration.kestrel.plan_records import InterconnectPlan, SignalPlan
from restoration.kestrel.site_days import chance
from restoration.kestrel.story_records import Figures, LinkState

E12 = (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)
E12_OHM = tuple(float(base * 10**decade) for decade in (0, 1, 2) for base in E12)
PROBE_OHM = 10e6
PROBE_F = 12e-12
SHUNT_OHM = 1200.0

# What goes wrong with a source: an edge too quick from too stiff a stage, or height or duration out by a factor.
QUICK_EDGE_S = 45e-9
STIFF_SOURCE_OHM, STIFFEST_OHM = 40.0, 8.0
HEAVY_F = 200e-12  # other wires of that capacitance halve the resistance of a source that is too stiff
TALL, LOW, SHORT = 1.62, 0.70, 0.74


def output_height_v(output: tuple[str, str], nominal_v: float) -> float:
    """The height that an output gives into a light load: near the nominal, and every chassis of a drawing alike."""
    return nominal_v * float(chance(*output, "height").uniform(0.985, 1.025))


def output_edge_s(output: tuple[str, str], rise_most_s: float) -> float:
    """The whole leading edge that an output gives: well inside what a load asks for."""
    return rise_most_s * float(chance(*output, "edge").uniform(0.62, 0.78))


def output_slowness(output: tuple[str, str]) -> float:
    """By how much the falling edge of an output is slower than its rising one."""
    return float(chance(*output, "slower").uniform(1.13, 1.36))


def output_duration_s(output: tuple[str, str], nominal_s: float) -> float:
    """How long the pulse of an output lasts: near the nominal."""
    return nominal_s * float(chance(*output, "duration").uniform(0.98, 1.02))


def good_state(link: InterconnectPlan, signal: SignalPlan, luck: Generator) -> LinkState:
    """The link as it should be: nominal height, edges well inside the limit."""
    loads = len(link.loads)
    load_ohm = 1 / (loads / LOAD_OHM + 1 / PROBE_OHM)
    sign = -1.0 if signal.polarity == "negative" else 1.0
    height_v = output_height_v(link.output, signal.amplitude_v.nominal or 0.0) * float(luck.uniform(0.99, 1.01))
    source_ohm, hung = drive_ohm(link.output, signal.kind), beside(link)
    screened = link.wire.startswith("screened")
    edge_s = output_edge_s(link.output, signal.rise_time_s.most or 0.0) * float(luck.uniform(0.97, 1.03))
    slower_s = edge_s * output_slowness(link.output) * float(luck.uniform(0.97, 1.03))
    return LinkState(
        rest_v=0.0,
        active_v=round(sign * height_v * (1 + source_ohm / LOAD_OHM), 2),
        duration_s=round(
            output_duration_s(link.output, signal.pulse_duration_s.nominal or 0.0) * float(luck.uniform(0.995, 1.005)),
            9,
        ),
        rise_s=round(edge_s if sign > 0 else slower_s, 10),
        fall_s=round(slower_s if sign > 0 else edge_s, 10),
        period_s=signal.period_s,
        source_ohm=source_ohm,
        impedance_ohm=75.0 if screened else float(round(luck.uniform(230, 310))),
        delay_s=round(link.length_m * (5.0e-9 if screened else float(luck.uniform(3.6, 4.1)) * 1e-9), 11),
        load_ohm=round(load_ohm),
        load_f=round(loads * LOAD_F + PROBE_F, 13),
        ripple_v=round(float(luck.uniform(0.05, 0.35)), 2),
        noise_v=round(float(luck.uniform(0.03, 0.09)), 3),
        beside_ohm=LOAD_OHM / hung.loads if hung.loads else math.inf,
        beside_f=round(hung.capacitance_f, 13),
    )


def troubled_state(state: LinkState, signal: SignalPlan, trouble: str) -> LinkState:
    """The same link with one thing wrong: rings, tall, low, short or slow."""
    if trouble == "rings":
        stiff_ohm = max(STIFFEST_OHM, round(STIFF_SOURCE_OHM / (1 + state.beside_f / HEAVY_F), 1))
        return replace(state, rise_s=QUICK_EDGE_S, fall_s=QUICK_EDGE_S * 1.6, source_ohm=stiff_ohm)
    if trouble == "tall":
        return replace(state, active_v=round(state.active_v * TALL, 2))
    if trouble == "low":
        return replace(state, active_v=round(state.active_v * LOW, 2))
    if trouble == "short":
        return replace(state, duration_s=round(state.duration_s * SHORT, 9))
    if trouble == "slow":
        return _slowed(state, signal)
    raise ValueError(f"There is no trouble called {trouble!r}; there are rings, tall, low, short and slow.")


def _slowed(state: LinkState, signal: SignalPlan) -> LinkState:
    """A source so weak that resistance times capacitance takes 1.7 times the rise allowed."""
    capacitance_f = state.load_f + state.beside_f + state.delay_s / state.impedance_ohm
    source_ohm = 1.7 * (signal.rise_time_s.most or 0.0) / (math.log(9) * capacitance_f)
    taken = 1 / state.load_ohm + 1 / state.beside_ohm
    active_v = state.active_v * (1 + source_ohm * taken) / (1 + state.source_ohm * taken)
    return replace(state, source_ohm=round(source_ohm), active_v=round(active_v, 2))


def conditioned_state(state: LinkState, signal: SignalPlan, trouble: str) -> LinkState:
    """The link as left: well inside its limits by the smallest damper, or by the attenuator nearest to nominal."""
    shunt_ohm = SHUNT_OHM if trouble == "tall" else math.inf
    tried = [replace(state, series_ohm=series_ohm, shunt_ohm=shunt_ohm) for series_ohm in E12_OHM]
    fit = [left for left in tried if well_within(figures_of(left), signal)]
    if not fit:
        raise ValueError(f"No preferred resistor brings {signal.name!r} inside its limits from the state given.")
    if trouble != "tall":
        return fit[0]
    nominal_v = signal.amplitude_v.nominal or 0.0
    return min(fit, key=lambda left: abs(figures_of(left).amplitude_v - nominal_v))


def well_within(figures: Figures, signal: SignalPlan) -> bool:
    """Whether every figure is inside its limits with a twentieth to spare, overshoot with three tenths."""
    spare = 0.05
    amplitude, duration = signal.amplitude_v, signal.pulse_duration_s
    return (
        (amplitude.least or 0.0) * (1 + spare) <= figures.amplitude_v <= (amplitude.most or 0.0) * (1 - spare)
        and (duration.least or 0.0) <= figures.pulse_duration_s <= (duration.most or 0.0)
        and figures.rise_time_s <= (signal.rise_time_s.most or 0.0) * (1 - spare)
        and figures.fall_time_s <= (signal.fall_time_s.most or 0.0) * (1 - spare)
        and figures.overshoot <= (signal.overshoot.most or 0.0) * (1 - 6 * spare)
    )


def link_model(state: LinkState, *, start_s: float = 0.0, repeats: bool = False, ripple: bool = False) -> LinkModel:
    """The link model of a state; one pulse unless it repeats."""
    source = PulseSource(
        rest_v=state.rest_v,
        active_v=state.active_v,
        duration_s=state.duration_s,
        rise_s=state.rise_s,
        fall_s=state.fall_s,
        resistance_ohm=state.source_ohm,
        start_s=start_s,
        period_s=state.period_s if repeats else None,
    )
    return LinkModel(
        source,
        LosslessLine(state.impedance_ohm, state.delay_s),
        LinkLoad(state.load_ohm, state.load_f),
        series_ohm=state.series_ohm,
        shunt_ohm=state.shunt_ohm,
        source_load_ohm=state.beside_ohm,
        source_load_f=state.beside_f,
        ripple=SupplyRipple(state.ripple_v, 100.0) if ripple else None,
    )


def figures_of(state: LinkState, end: str = "load") -> Figures:
    """What a perfect instrument would read of one pulse at an end, its levels known from the circuit.

    Rise is the positive-going edge and fall the negative-going one, as the pulse standards have it. Overshoot is
    given to a hundredth of a per cent, which is finer than anyone reads it.
    """
    model = link_model(state)
    step_s = min(state.rise_s, state.fall_s) / 25
    times_s = np.arange(-step_s * 5, state.duration_s * 1.6 + state.rise_s + state.fall_s + 40 * state.delay_s, step_s)
    volts = link_volts(model, times_s, longest_step_s=step_s)
    shares = settled_shares(model)
    top_v = state.active_v * (shares.load.real if end == "load" else shares.source.real)
    trace = (volts.load_v if end == "load" else volts.source_v) / top_v
    leading, trailing = _edges_of(times_s, trace)
    lasts_s = trailing[1] - leading[1]
    rising, falling = (leading, trailing) if state.active_v > state.rest_v else (trailing, leading)
    return Figures(
        amplitude_v=abs(top_v),
        pulse_duration_s=lasts_s,
        rise_time_s=rising[2] - rising[0],
        fall_time_s=falling[2] - falling[0],
        overshoot=round(max(0.0, float(trace.max()) - 1.0), 4),
        period_s=state.period_s,
    )


def _edges_of(times_s: Samples, trace: Samples) -> tuple[list[float], list[float]]:
    """When the trace, from 0 to 1, first climbs past 10, 50, 90 % and then falls past 90, 50, 10 %."""
    leading = [_crossing(times_s, trace, level) for level in (0.1, 0.5, 0.9)]
    after = int(np.searchsorted(times_s, (leading[1] + times_s[-1]) / 4))
    trailing = [_crossing(times_s[after:], 1.0 - trace[after:], 1.0 - level) for level in (0.9, 0.5, 0.1)]
    return leading, trailing


def _crossing(times_s: Samples, climbing: Samples, level: float) -> float:
    above = int(np.argmax(climbing >= level))
    before = max(above - 1, 0)
    if above == before:
        return float(times_s[above])
    return float(np.interp(level, climbing[before : above + 1], times_s[before : above + 1]))
