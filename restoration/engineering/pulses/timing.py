"""Transition durations, pulse duration, period and jitter, all in samples, from the edges."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures.record import Samples
from restoration.engineering.pulses.edges import Edges
from restoration.engineering.pulses.record import Polarity

UNEVEN_PERIODS = 0.5
"""Spread of the periods, as part of their median, above which the waveform is not called periodic."""
FEWEST_ON_EDGE = 2
FEWEST_PERIODS = 3


@dataclass(frozen=True)
class EdgeTime:
    """Transition duration in samples: a value or a bound, with the spread over the edges and why there is no value."""

    value: float | None = None
    at_most: float | None = None
    on_edge: int | None = None
    spread: float = 0.0
    count: int = 0
    reason: str = ""


@dataclass(frozen=True)
class Times:
    """Durations in samples, spreads (standard deviations of the mean) beside them, and reasons by field name."""

    polarity: Polarity
    duration: float | None = None
    duration_spread: float = 0.0
    period: float | None = None
    period_spread: float = 0.0
    periods: int = 0
    jitter: float | None = None
    reasons: Mapping[str, str] = field(default_factory=dict)


def edge_time(edges: Edges, rising: bool, resting: NDArray[np.bool_] | None = None) -> EdgeTime:
    """10 to 90 % transition duration: the median over the edges of one direction.

    Fewer than two samples between the reference levels (median over the edges) leave the value unknown. Then both
    crossings lie within ``samples_on_edge + 1`` intervals, and the bound is that of the slowest edge. ``resting`` marks
    edges that rest on the way; where one does, they are two edges each and have no one duration.

    >>> from restoration.engineering.pulses.edges import find_edges
    >>> edge_time(find_edges(np.array([0.0, 0.0, 1.0, 1.0]), 0.0, 1.0, 0.0), True).at_most
    1.0
    """
    word = "rising" if rising else "falling"
    mine = edges.rising == rising
    if not mine.any():
        return EdgeTime(reason=f"There is no {word} edge in the trace.")
    if resting is not None and resting[mine].any():
        return EdgeTime(
            on_edge=int(np.median(edges.samples_on_edge[mine])), count=int(mine.sum()),
            reason=f"The trace rests on its way along the {word} edge: these are two edges, and no one duration.",
        )  # fmt: skip
    on_edge = edges.samples_on_edge[mine]
    whole = on_edge >= 0
    if not whole.any():
        return EdgeTime(reason=f"No {word} edge goes all the way from one reference level to the other.")
    median = int(np.floor(np.median(on_edge[whole])))
    if median < FEWEST_ON_EDGE:
        return EdgeTime(
            at_most=float(on_edge[whole].max() + 1), on_edge=median, count=int(whole.sum()),
            reason=f"There {_samples(median)} on the {word} edge; its duration can be bounded but not told.",
        )  # fmt: skip
    durations = (edges.end - edges.begin)[mine][whole]
    return EdgeTime(float(np.median(durations)), None, median, _spread_of_mean(durations), int(whole.sum()))


def _samples(count: int) -> str:
    return {0: "is no sample", 1: "is one sample"}.get(count, f"are {count} samples")


def _spread_of_mean(values: Samples) -> float:
    return float(values.std(ddof=1) / np.sqrt(values.size)) if values.size > 1 else 0.0


def polarity_of(edges: Edges) -> Polarity:
    """Polarity: of a step by its direction, of one pulse by its first edge, of a train by its shorter state.

    Equal states take the direction of the first edge.

    >>> from restoration.engineering.pulses.edges import find_edges
    >>> polarity_of(find_edges(np.array([0.0, 0.0, 1.0, 1.0]), 0.0, 1.0, 0.0)).value
    'step up'
    """
    count = len(edges)
    if not count:
        return Polarity.NONE
    first_up = bool(edges.rising[0])
    if count == 1:
        return Polarity.STEP_UP if first_up else Polarity.STEP_DOWN
    lasting = np.diff(edges.middle)
    if count > 2:
        high, low = lasting[edges.rising[:-1]].mean(), lasting[~edges.rising[:-1]].mean()
        if abs(high - low) > 1e-3 * (high + low):
            first_up = bool(high < low)
    return Polarity.POSITIVE_PULSE if first_up else Polarity.NEGATIVE_PULSE


def measure_times(edges: Edges) -> Times:
    """Pulse duration at 50 %, period between like edges, and the jitter of the period (standard deviation).

    The duration is the median over whole pulses. The period is the mean over the record and is given only where the
    waveform repeats: like edges no less even than half a period. Jitter needs three periods or more.

    >>> from restoration.engineering.pulses.edges import find_edges
    >>> times = measure_times(find_edges(np.tile([0.0, 0.0, 1.0, 1.0], 5), 0.0, 1.0, 0.0))
    >>> times.duration, times.period, times.jitter
    (2.0, 4.0, 0.0)
    """
    polarity = polarity_of(edges)
    positive = polarity in (Polarity.POSITIVE_PULSE, Polarity.STEP_UP)
    reasons: dict[str, str] = {}
    lasting = np.diff(edges.middle)
    pulses = lasting[edges.rising[:-1] == positive] if len(edges) > 1 else lasting
    duration, spread = _duration(pulses, lasting, reasons)
    leading = edges.middle[edges.rising == positive]
    trailing = edges.middle[edges.rising != positive]
    period, period_spread, jitter, periods = _period(leading if leading.size >= trailing.size else trailing, reasons)
    return Times(polarity, duration, spread, period, period_spread, periods, jitter, reasons)


def _duration(pulses: Samples, lasting: Samples, reasons: dict[str, str]) -> tuple[float | None, float]:
    if not pulses.size:
        reasons["pulse_duration_s"] = "There is no whole pulse, from one edge to the next, in the record."
        return None, 0.0
    duration = float(np.median(pulses))
    if duration < FEWEST_ON_EDGE:
        reasons["pulse_duration_s"] = (
            f"The pulse is {duration:.2g} sample intervals long; fewer than two tell no duration, only that it is at "
            f"most {np.ceil(pulses.max()) + 1:.0f} intervals."
        )
        return None, 0.0
    return duration, _spread_of_mean(pulses)


def _period(like: Samples, reasons: dict[str, str]) -> tuple[float | None, float, float | None, int]:
    single = "Fewer than two like edges are in the record: the pulse is not seen to repeat."
    if like.size < 2:
        reasons.update(dict.fromkeys(("period_s", "frequency_hz", "duty", "jitter_s"), single))
        return None, 0.0, None, 0
    each: NDArray[np.float64] = np.diff(like)
    if each.max() - each.min() > UNEVEN_PERIODS * np.median(each):
        uneven = (
            f"Like edges are not evenly spaced: from {each.min():.6g} to {each.max():.6g} sample intervals apart, "
            "so no one period is given."
        )
        reasons.update(dict.fromkeys(("period_s", "frequency_hz", "duty", "jitter_s"), uneven))
        return None, 0.0, None, int(each.size)
    period = float((like[-1] - like[0]) / each.size)
    if each.size < FEWEST_PERIODS:
        reasons["jitter_s"] = f"There {_periods(each.size)} in the record; jitter needs at least three."
        return period, 0.0, None, int(each.size)
    jitter = float(each.std(ddof=1))
    return period, jitter / np.sqrt(each.size), jitter, int(each.size)


def _periods(count: int) -> str:
    return "is one whole period" if count == 1 else f"are {count} whole periods"
