"""The measurement of one trace, from its samples to every figure with its reasons and uncertainty."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

import numpy as np

from restoration.engineering.captures.record import Trace
from restoration.engineering.pulses.aberrations import Aberration, look_at_edges, noise_reach, rest_noise
from restoration.engineering.pulses.clipping import clipped_sides
from restoration.engineering.pulses.edges import Edges, find_edges
from restoration.engineering.pulses.levels import States, find_states
from restoration.engineering.pulses.record import Polarity, PulseMeasurement, Transition
from restoration.engineering.pulses.rests import Rest, look_at_rests, sentences
from restoration.engineering.pulses.stairs import resting_edges
from restoration.engineering.pulses.timing import UNEVEN_PERIODS, EdgeTime, Times, edge_time, measure_times
from restoration.engineering.pulses.uncertainty import Accuracy, Clues, uncertainties

STATED_NOWHERE = Accuracy()
SETTLING_BAND = 0.02
"""Settling is into 2 % of the amplitude either side of the level, unless another band is asked for."""

NOISY = 0.015
"""Noise as part of the amplitude from which durations of long edges come out short by more than is to be ignored."""
_LONG_EDGE = 16

_LEVEL_FIELDS = ("low_level_v", "high_level_v", "amplitude_v")
_EDGE_FIELDS = ("rise_time_s", "fall_time_s")
_TIME_FIELDS = (
    "pulse_duration_s",
    "period_s",
    "frequency_hz",
    "duty",
    "jitter_s",
    "settling_s",
    "ringing_hz",
    "ringing_decay_s",
)
_SHAPE_FIELDS = ("overshoot", "undershoot", "preshoot", "settling_s", "ringing_hz", "ringing_decay_s")


@dataclass
class _Findings:
    """What is gathered on the way to a measurement."""

    figures: dict[str, Any] = field(default_factory=dict)
    reasons: dict[str, str] = field(default_factory=dict)
    warnings: list[str] = field(default_factory=list)

    def unknown(self, names: tuple[str, ...], reason: str) -> None:
        for name in names:
            self.figures.pop(name, None)
            self.reasons[name] = reason


def measure(
    trace: Trace,
    *,
    expected_amplitude_v: float | None = None,
    settling_band: float = SETTLING_BAND,
    accuracy: Accuracy = STATED_NOWHERE,
) -> PulseMeasurement:
    """Pulse parameters of a trace after IEEE 181-2011 and IEC 60469.

    State levels by histogram; reference levels at 10, 50 and 90 % of the way between them; instants by straight line
    between samples. Figures over several edges are medians (the period a mean), overshoot, undershoot and preshoot
    the larger of the medians of rising and falling edges, settling the larger, all as parts of the amplitude.
    Where the trace cannot tell a figure it is None with a sentence in ``reasons``; a transition with fewer than two
    samples on it gives only a bound. ``expected_amplitude_v`` lets a probe factor left unset be suspected.
    ``settling_band`` is a part of the amplitude, above 0 and below 0.5. ``accuracy`` is that of instrument and probe.

    Valid for waveforms of two states with overshoot below the amplitude. Raises ValueError for a settling band or an
    expected amplitude outside these limits.

    >>> import numpy as np
    >>> values = np.interp(np.arange(1000) % 200, [0, 50, 60, 110, 120, 200], [0, 0, 5, 5, 0, 0])
    >>> found = measure(Trace("CH1", 0.0, 1e-9, values))
    >>> found.amplitude_v, found.polarity.value, round(found.rise_time_s.value_s * 1e9, 6)
    (5.0, 'positive pulse', 8.0)
    """
    _refuse_arguments(expected_amplitude_v, settling_band)
    values = trace.values
    least, most = float(values.min()), float(values.max())
    step_v = trace.quantum_v
    states = find_states(values, least, most, step_v)
    found = _Findings()
    base = PulseMeasurement(
        trace.name, values.size, trace.interval_s, least, most, most - least, unit=trace.unit
    )  # fmt: skip
    edges = None if states.reason else find_edges(values, states.low_v, states.high_v, states.noise_v)
    if edges is None or not len(edges) or _flicker(edges):
        return _without_edges(base, trace, states, edges)
    noise, rest = rest_noise(values, edges, states)
    if noise is not None and noise > 1.5 * states.noise_v:
        edges = find_edges(values, states.low_v, states.high_v, noise)
    states = replace(states, noise_v=noise if noise is not None else states.noise_v)
    times = measure_times(edges)
    rise, fall = (edge_time(edges, up, resting_edges(values, edges, states)) for up in (True, False))
    _put_levels(found, states, edges)
    _put_times(found, times, rise, fall)
    aberrations = look_at_edges(values, states, edges, settling_band, states.noise_v)
    _put_shape(found, aberrations, settling_band, states, values.size)
    _put_noise(found, noise)
    rests = look_at_rests(values, edges, states)
    _put_rests(found, rests, times.polarity, trace.unit)
    _put_clipping(found, clipped_sides(values, states, least, most, step_v))
    _in_seconds(found, trace.interval_s)
    clues = Clues(states, times, rise, fall, trace.interval_s, step_v, rest, rests)
    _put_suspicions(found, expected_amplitude_v, states, trace)
    return replace(
        base,
        **found.figures,
        warnings=tuple(found.warnings),
        reasons=MappingProxyType(found.reasons),
        uncertainty=MappingProxyType(uncertainties(found.figures, clues, accuracy)),
    )


def _refuse_arguments(expected_amplitude_v: float | None, settling_band: float) -> None:
    if not 0 < settling_band < 0.5:
        raise ValueError(
            f"The settling band is {settling_band}; it has to be a part of the amplitude, above 0 and below 0.5."
        )
    if expected_amplitude_v is not None and not (math.isfinite(expected_amplitude_v) and expected_amplitude_v > 0):
        raise ValueError(f"The expected amplitude is {expected_amplitude_v} V; it has to be above zero and finite.")


def _flicker(edges: Edges) -> bool:
    """Many changes that last about one sample and keep no rhythm: the last step of a converter, not pulses."""
    lasting = np.diff(edges.middle)
    if lasting.size < 10:
        return False
    shorter = min(np.median(lasting[0::2]), np.median(lasting[1::2]))
    cycles = lasting[:-1] + lasting[1:]
    return bool(shorter < 1.5 and cycles.max() - cycles.min() > UNEVEN_PERIODS * np.median(cycles))


def _without_edges(base: PulseMeasurement, trace: Trace, states: States, edges: Edges | None) -> PulseMeasurement:
    """A trace that rests, or whose levels cannot be told: extremes, noise, and one reason for all the rest."""
    reason = states.reason or "There is no transition in the trace: it never goes from one state to the other."
    if edges is not None and len(edges):
        reason = "There is no transition in the trace: it changes for one sample here and there, as converter steps do."
    names = _LEVEL_FIELDS + _EDGE_FIELDS + _TIME_FIELDS + _SHAPE_FIELDS
    resting = "no transition" in reason and trace.values.size >= 16
    reasons = dict.fromkeys(names, reason)
    if not resting:
        reasons["noise_rms_v"] = "The trace has no resting part long enough to measure noise on."
    return replace(
        base,
        noise_rms_v=float(trace.values.std()) if resting else None,
        warnings=(reason,),
        reasons=MappingProxyType(reasons),
        uncertainty=MappingProxyType({}),
    )


def _put_levels(found: _Findings, states: States, edges: Edges) -> None:
    found.figures.update(
        low_level_v=states.low_v,
        high_level_v=states.high_v,
        amplitude_v=states.amplitude_v,
        rising_edges=int(edges.rising.sum()),
        falling_edges=int(len(edges) - edges.rising.sum()),
    )
    for settled, word in ((states.low_settled, "low"), (states.high_settled, "high")):
        if not settled:
            found.warnings.append(f"The trace has no flat {word} state; the mean of its peaks was taken as that level.")
    if edges.runts:
        found.warnings.append(
            f"The trace passes the middle between its levels {_times(edges.runts)} more without completing a "
            "transition: a runt, or ringing."
        )
    if states.noise_v > 0.05 * states.amplitude_v:
        found.warnings.append(
            "Noise is more than a twentieth of the amplitude: transition durations come out short and excursions large."
        )
    elif states.noise_v > NOISY * states.amplitude_v and int(edges.samples_on_edge.max()) >= _LONG_EDGE:
        found.warnings.append(
            f"Noise is {100 * states.noise_v / states.amplitude_v:.1f} % of the amplitude: transition durations come "
            "out short by a part that their uncertainty holds."
        )


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _put_times(found: _Findings, times: Times, rise: EdgeTime, fall: EdgeTime) -> None:
    period = times.period
    found.figures.update(
        polarity=times.polarity,
        rise_time_s=Transition(rise.value, rise.at_most, rise.on_edge),
        fall_time_s=Transition(fall.value, fall.at_most, fall.on_edge),
        pulse_duration_s=times.duration,
        period_s=period,
        frequency_hz=None if period is None else 1.0 / period,
        duty=None if period is None or times.duration is None else times.duration / period,
        jitter_s=times.jitter,
    )
    found.reasons.update(times.reasons)
    if found.figures["duty"] is None:
        found.reasons.setdefault("duty", times.reasons.get("pulse_duration_s", "There is no period."))
    for name, one in (("rise_time_s", rise), ("fall_time_s", fall)):
        if one.reason:
            found.reasons[name] = one.reason
            if one.at_most is not None:
                found.warnings.append(one.reason)


def _put_shape(
    found: _Findings, looks: list[tuple[bool, Aberration]], band: float, states: States, samples: int
) -> None:
    found.figures.update(
        overshoot=_larger(looks, lambda one: one.overshoot),
        undershoot=_larger(looks, lambda one: one.undershoot),
        preshoot=_larger(looks, lambda one: one.preshoot),
        settling_s=_larger(looks, lambda one: one.settling),
        ringing_hz=_rate(_median(looks, lambda one: one.ringing_period)),
        ringing_decay_s=_median(looks, lambda one: one.ringing_decay),
    )
    if found.figures["settling_s"] is None:
        noisy = band * states.amplitude_v <= noise_reach(states.noise_v, samples)
        found.reasons["settling_s"] = (
            f"Noise is wider than the settling band of {100 * band:g} % of the amplitude."
            if noisy
            else f"The trace does not stay within {100 * band:g} % of its new level before the next edge or the end."
        )
    if found.figures["ringing_hz"] is None:
        found.reasons["ringing_hz"] = _why_no_ringing(looks)
    if found.figures["ringing_decay_s"] is None:
        found.reasons["ringing_decay_s"] = found.reasons.get("ringing_hz", "The ringing does not decay.")


def _why_no_ringing(looks: list[tuple[bool, Aberration]]) -> str:
    if max(one.half_cycles for _, one in looks) < 3:
        return "No ringing stands out of the noise for a whole cycle after any edge."
    return "The ringing has fewer than three samples a half cycle: its frequency cannot be told."


Figure = Callable[[Aberration], float | None]


def _values(looks: list[tuple[bool, Aberration]], figure: Figure) -> list[float]:
    return [value for value in (figure(one) for _, one in looks) if value is not None]


def _median(looks: list[tuple[bool, Aberration]], figure: Figure) -> float | None:
    values = _values(looks, figure)
    return float(np.median(values)) if values else None


def _larger(looks: list[tuple[bool, Aberration]], figure: Figure) -> float | None:
    sides = [_median([look for look in looks if look[0] is rising], figure) for rising in (True, False)]
    return max((side for side in sides if side is not None), default=None)


def _rate(period: float | None) -> float | None:
    return None if period is None else 1.0 / period


def _put_noise(found: _Findings, noise: float | None) -> None:
    found.figures["noise_rms_v"] = noise
    if noise is None:
        found.reasons["noise_rms_v"] = "No stretch between edges rests for the 16 samples that noise needs."


def _put_rests(found: _Findings, rests: tuple[Rest, Rest], polarity: Polarity, unit: str) -> None:
    """Says aloud where a state is not steady; no excursion can be told from a level that slopes."""
    places = ("top", "base") if polarity in (Polarity.NEGATIVE_PULSE, Polarity.STEP_DOWN) else ("base", "top")
    for rest, word, place in zip(rests, ("low", "high"), places, strict=True):
        found.warnings.extend(sentences(rest, word, place, unit))
        if rest.slope_v:
            reason = f"The {place} slopes: an excursion beyond it cannot be told from the slope."
            found.unknown(("overshoot", "undershoot", "preshoot"), reason)


def _put_clipping(found: _Findings, sides: tuple[str, str]) -> None:
    for how, word, where in ((sides[0], "low", "bottom"), (sides[1], "high", "top")):
        if how == "level":
            reason = (
                f"The trace is clipped at the {where}: its {word} state lies on the end of the range, or beyond it."
            )
            found.warnings.append(reason)
            found.unknown((f"{word}_level_v", "amplitude_v", "pulse_duration_s", "duty", *_SHAPE_FIELDS), reason)
            found.figures.update(rise_time_s=Transition(), fall_time_s=Transition())
            found.reasons.update(dict.fromkeys(_EDGE_FIELDS, reason))
        elif how == "peak":
            reason = f"The trace is clipped at the {where}: its excursions beyond the {word} state are cut off."
            found.warnings.append(reason)
            found.unknown(("overshoot", "undershoot", "preshoot", "ringing_decay_s"), reason)


def _in_seconds(found: _Findings, interval_s: float | None) -> None:
    """Brings every figure that was counted in samples to seconds, or gives it up without an interval."""
    if interval_s is None:
        reason = "The capture states no sample interval, so no time can be told."
        kept = {"duty": found.figures.get("duty")}
        found.unknown(tuple(name for name in _TIME_FIELDS if name != "duty"), reason)
        found.figures.update({name: value for name, value in kept.items() if value is not None})
        for name in _EDGE_FIELDS:
            found.figures[name] = Transition(None, None, found.figures[name].samples_on_edge)
            found.reasons[name] = reason
        return
    for name in ("pulse_duration_s", "period_s", "jitter_s", "settling_s", "ringing_decay_s"):
        if found.figures.get(name) is not None:
            found.figures[name] *= interval_s
    for name in ("frequency_hz", "ringing_hz"):
        if found.figures.get(name) is not None:
            found.figures[name] /= interval_s
    for name in _EDGE_FIELDS:
        one = found.figures[name]
        found.figures[name] = Transition(
            None if one.value_s is None else one.value_s * interval_s,
            None if one.at_most_s is None else one.at_most_s * interval_s,
            one.samples_on_edge,
        )


def _put_suspicions(found: _Findings, expected_v: float | None, states: States, trace: Trace) -> None:
    if expected_v is None:
        return
    ratio = states.amplitude_v / expected_v
    stated = f"The amplitude is {states.amplitude_v:.3g} {trace.unit} where {expected_v:.3g} V is expected"
    if 7.0 <= ratio <= 14.0:
        found.warnings.append(f"{stated}, about ten times as much: is the channel set to ×10 with a ×1 probe on it?")
    elif 7.0 <= 1.0 / ratio <= 14.0:
        found.warnings.append(f"{stated}, about a tenth: is a ×10 probe on a channel that is set to ×1?")
