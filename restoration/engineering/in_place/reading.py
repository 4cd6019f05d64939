"""Figures read off a computed pulse, by the definitions of the pulse standards, its levels known from the circuit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import Samples
from restoration.engineering.pulses.aberrations import LEAST_EXCURSION
from restoration.engineering.refusals import refuse_unless

SETTLED = 0.02
"""Part of the amplitude within which the end of a top lies about its level, or it is not called settled."""
_PASSED = 0.001
"""Part of the amplitude by which a trace has to pass its level to be one that rings or sags, not one that climbs."""
MARGIN = 0.1
"""Part of the amplitude that the trace has to pass the middle by, either way, to have changed its state."""
_LAST_PART = 0.2
NO_EDGE = (
    "The pulse of this link does not pass half of its height and come back while it is looked at, so no figure can be "
    "read of it: look at the capacitances, the resistances and the length given for it."
)


@dataclass(frozen=True)
class PulseFigures:
    """What a perfect instrument would read of one pulse; SI units, overshoot and undershoot parts of the amplitude.

    Rise is the positive-going edge and fall the negative-going one, 10 to 90 %; the duration is between the 50 %
    instants; the delay is from the leading edge at the source terminal, so that it is zero there.
    """

    amplitude_v: float
    pulse_duration_s: float
    rise_time_s: float
    fall_time_s: float
    overshoot: float
    undershoot: float
    delay_s: float
    low_level_v: float
    high_level_v: float

    def get(self, quantity: Quantity | str) -> float | None:
        """The figure of that quantity; None where a computed pulse has none.

        Formula: none. Source: none. Valid for every quantity of `limits.Quantity`. Units: those of the quantity.
        Errors: ValueError for a quantity that there is not.

        >>> PulseFigures(5.0, 1e-6, 1e-7, 1e-7, 0.1, 0.0, 2e-8, 0.0, 5.0).get("overshoot")
        0.1
        """
        found: float | None = getattr(self, Quantity(quantity).field, None)
        return found


class Levels(NamedTuple):
    """Rest level and active level of one end, as the circuit gives them at rest and after long enough."""

    rest_v: float
    active_v: float


class Reading(NamedTuple):
    """The figures of one end, the instant of its leading edge, whether its top had settled, and whether it rings so
    far that it changes state again."""

    figures: PulseFigures
    leading_s: float
    settled: bool
    again: bool


class _Edge(NamedTuple):
    begin_s: float
    middle_s: float
    end_s: float
    overshoot: float
    undershoot: float
    again: bool


def read_pulse(times_s: Samples, volts: Samples, levels: Levels, turns_s: float) -> Reading:
    """Figures of one pulse from its samples; `turns_s` is when its trailing edge begins at this end.

    Formula: the active level is the highest point of a trace that climbs and never passes the level of the circuit
    by a thousandth; the level of the circuit where the last fifth of the top lies about it; else, where the top
    sags, its middle value. It has settled within 2 %. Instants are by straight line between samples; an edge begins
    at its last crossing of the near reference level before its middle and ends at its first of the far one after.
    Source: IEEE 181-2011 and IEC 60469 for the terms; the choice of levels is own.
    Valid for one pulse that stands clear of both ends of the record. Units: seconds, volts. Shapes: both arrays (n,).
    Errors: ValueError for a trace that does not pass half of its height on both edges.

    >>> times_s = np.linspace(-1e-7, 2e-6, 2101)
    >>> volts = 5.0 * np.interp(times_s, [0.0, 1e-7, 1e-6, 1.1e-6], [0.0, 1.0, 1.0, 0.0])
    >>> found = read_pulse(times_s, volts, Levels(0.0, 5.0), 1e-6).figures
    >>> round(found.rise_time_s * 1e9, 6), round(found.pulse_duration_s * 1e9, 6)
    (80.0, 1000.0)
    """
    step_v = levels.active_v - levels.rest_v
    height = (volts - levels.rest_v) / step_v
    turn = int(np.searchsorted(times_s, turns_s, side="right"))
    reached, settled, turn = _level_reached(times_s, height, turn)
    height = height / reached
    leading = _edge(times_s[:turn], height[:turn])
    trailing = _edge(times_s[turn - 1 :], 1.0 - height[turn - 1 :])
    up, down = (leading, trailing) if step_v > 0 else (trailing, leading)
    active_v = levels.rest_v + reached * step_v
    figures = PulseFigures(
        amplitude_v=abs(reached * step_v),
        pulse_duration_s=trailing.middle_s - leading.middle_s,
        rise_time_s=up.end_s - up.begin_s,
        fall_time_s=down.end_s - down.begin_s,
        overshoot=max(leading.overshoot, trailing.overshoot),
        undershoot=max(leading.undershoot, trailing.undershoot),
        delay_s=0.0,
        low_level_v=min(levels.rest_v, active_v),
        high_level_v=max(levels.rest_v, active_v),
    )
    return Reading(figures, leading.middle_s, settled, leading.again or trailing.again)


def _level_reached(times_s: Samples, height: Samples, turn: int) -> tuple[float, bool, int]:
    """The top as a part of its settled height, whether it had settled, and where the trailing edge begins."""
    highest = int(np.argmax(height))
    most = float(height[highest])
    if most <= 1.0 + _PASSED and (highest >= turn or height[turn - 1] >= (1.0 - SETTLED) * most):
        return min(most, 1.0), most >= 1.0 - SETTLED, max(turn, highest + 1)
    first = int(np.argmax(height >= 0.5))
    last_s = times_s[turn - 1] - _LAST_PART * (times_s[turn - 1] - times_s[first])
    top = _evenly(times_s, height, last_s, times_s[turn - 1])
    middle = float(np.median(top))
    if top.min() <= 1.0 <= top.max() or abs(middle - 1.0) <= SETTLED:
        return 1.0, abs(middle - 1.0) <= SETTLED, turn
    up = first + int(np.argmax(height[first:turn] >= 0.9 * min(most, 1.0)))
    return float(np.median(_evenly(times_s, height, times_s[up], times_s[turn - 1]))), False, turn


def _evenly(times_s: Samples, height: Samples, from_s: float, until_s: float) -> Samples:
    """A stretch at even instants, so that none counts for more because it was looked at closely."""
    return np.interp(np.linspace(from_s, until_s, 101), times_s, height)


def _edge(times_s: Samples, climbing: Samples) -> _Edge:
    """The edge of a trace that climbs from 0 to 1 and stays there; it is over once it has passed 60 %."""
    entered = int(np.argmax(climbing >= 0.5 + MARGIN))
    below = np.flatnonzero(climbing[:entered] <= 0.5 - MARGIN)
    left = int(below[-1]) if below.size else 0
    middles = _crossings(climbing[left : entered + 1], 0.5)
    refuse_unless(middles.size > 0, NO_EDGE)
    at = left + int(middles[(middles.size - 1) // 2])
    before, after = _crossings(climbing[: at + 2], 0.1), _crossings(climbing[at:], 0.9)
    begin = int(before[-1]) if before.size else 0
    end = at + int(after[0]) if after.size else climbing.size - 2
    beyond = climbing[at + 1 :]
    peak = int(beyond.argmax())
    overshoot = _told(float(beyond[peak]) - 1.0)
    undershoot = _told(1.0 - float(beyond[peak:].min())) if overshoot else 0.0
    return _Edge(
        _instant(times_s, climbing, begin, 0.1),
        _instant(times_s, climbing, at, 0.5),
        _instant(times_s, climbing, end, 0.9),
        overshoot,
        undershoot,
        bool(climbing[entered:].min() < 0.5 - MARGIN),
    )


def _crossings(climbing: Samples, level: float) -> NDArray[np.intp]:
    above = climbing >= level
    return np.flatnonzero(above[1:] != above[:-1])


def _instant(times_s: Samples, climbing: Samples, at: int, level: float) -> float:
    here, there = float(climbing[at]), float(climbing[at + 1])
    part = (level - here) / (there - here) if there != here else 0.5
    return float(times_s[at] + min(max(part, 0.0), 1.0) * (times_s[at + 1] - times_s[at]))


def _told(excursion: float) -> float:
    return excursion if excursion > LEAST_EXCURSION else 0.0
