"""The answer of a link to a ramp, step by step: every edge of a pulse is the difference of two ramps.

A ramp that begins at a time step bends only at time steps again, one delay later and so on, so that with resistive
ends straight lines between the steps are the exact answer, at a step as long as the delay. Ends with capacitors
follow the trapezoidal rule (the bilinear transform), whose error falls as the square of the step.
"""

from __future__ import annotations

import math
from dataclasses import astuple, dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter, sosfilt

from restoration.engineering.lines.emf import sharpest_edge_s
from restoration.engineering.lines.ends import (
    FarEnd,
    NearEnd,
    far_end,
    near_end,
    settled_shares,
    time_constants_s,
)
from restoration.engineering.lines.records import LinkModel, Samples
from restoration.engineering.lines.sections import Chain, chains_of
from restoration.engineering.refusals import refuse_unless

MOST_STEPS = 2_000_000
PLENTY_OF_STEPS = 100_000
LONGEST_ONE_CALL = 64
"""Steps in a delay up to which one filter over the round trip costs less than a call for each round trip."""
SETTLED_WITHIN = 5e-5
FINENESS = 0.003
"""The step is the root of this times edge times time constant: an error of about 0.05 % of the swing."""
LEAST_SHARE_OF_EDGE = 5e-4
STEPS_ON_AN_EDGE = 20
MOST_CROWDING = 1e7
"""How far the rounding of a coefficient may grow in the answer before the one filter's answer is bettered once."""
BEYOND_RECKONING = "The parts of this link lie too far apart in size to be worked out; check the ohms and farads given."

_PLAIN = Chain(1.0, np.zeros((0, 6)))

Rows = NDArray[np.float64]


@dataclass(frozen=True)
class RampAnswer:
    """Volts at the five points (rows) after a ramp of one volt a step, and their growth in each step (the cells).

    The last growth is that of the settled link, so that a straight line goes on from the last step.
    """

    step_s: float
    volts: Rows
    growth: Rows
    is_resistive: bool


@dataclass(frozen=True)
class _Stepped:
    """Both ends as chains of filters, and the delay: whole steps, then an all-pass."""

    launched: Chain
    near_back: Chain
    far_back: Chain
    load: Chain
    grid: Chain | None
    delay_steps: int
    slip: Chain
    series_share: float
    is_crowded: bool

    def later(self, wave: Samples) -> Samples:
        """A wave one delay later."""
        late = np.zeros_like(wave)
        late[self.delay_steps :] = wave[: max(0, wave.size - self.delay_steps)]
        return self.slip.of(late)

    def come_back(self, launched: Samples) -> Samples:
        """What comes back to the source and is sent out again of a launched wave."""
        return self.near_back.of(self.later(self.far_back.of(self.later(launched))))


def ramp_answer(link: LinkModel, until_s: float, longest_step_s: float | None = None) -> RampAnswer:
    """Volts at source, line start, line end, load and grid after a ramp of one volt a step behind the source.

    Formula: a*(1 - Gs*Gl*z^-2N) = T*e with N steps in a delay: one filter where N is small, else a round trip at a
    time. The record is as long as asked, or until an edge would have settled within 5e-5.
    Source: wave algebra. Valid as ``link_volts``. Units: seconds, volts. Shapes: five rows of one length.
    Errors: ValueError for a record of more than two million steps.

    >>> from restoration.engineering.lines.records import LinkLoad, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, resistance_ohm=25.0)
    >>> answer = ramp_answer(LinkModel(source, LosslessLine(75.0, 10e-9), LinkLoad(225.0)), 50e-9)
    >>> answer.step_s, answer.growth[3].round(4).tolist()
    (1e-08, [0.0, 1.125, 1.125, 0.8438, 0.8438, 0.9141, 0.9])
    """
    near, far = near_end(link), far_end(link)
    constants_s = (*time_constants_s(near.divisor), *time_constants_s(far.divisor))
    refuse_unless(all(math.isfinite(constant_s) for constant_s in constants_s), BEYOND_RECKONING)
    step_s, delay_steps = _choose_step(link, near, far, until_s, longest_step_s)
    ends = _stepped(link, near, far, step_s, delay_steps)
    settled = np.array([[share.real] for share in astuple(settled_shares(link))])
    most = max(2, math.ceil(until_s / step_s) + 2)
    steps = min(most, math.ceil(_settling_s(link, near, far) / step_s) + 8)
    while True:
        refuse_unless(
            steps <= MOST_STEPS,
            f"The record would take {most} steps; at most {MOST_STEPS} are allowed. "
            "Ask for a shorter time or a longer line.",
        )
        volts = _travel(ends, _ramp(link, steps, step_s))
        refuse_unless(bool(np.all(np.isfinite(volts[:, -1]))), BEYOND_RECKONING)
        if steps == most or _is_settled(link, step_s, volts, settled):
            growth = np.diff(volts, axis=1, append=volts[:, -1:] + settled)
            return RampAnswer(step_s, volts, growth, len(near.divisor) == len(far.divisor) == 1)
        steps = min(most, 2 * steps)


def _is_settled(link: LinkModel, step_s: float, volts: Rows, settled: Rows) -> bool:
    """Whether an edge would stay at its settled level all through the last quarter of the record.

    Quick ringing between two capacitors may go on for long, but an edge much longer than its period stirs none up.
    A drooping source never settles.
    """
    if link.source.droop_time_constant_s is not None:
        return False
    edge = max(1, math.floor(sharpest_edge_s(link.source) / step_s))
    last = volts[:, -(volts.shape[1] // 4) - edge - 1 :]
    levels = (last[:, edge:] - last[:, :-edge]) / edge
    return bool(levels.size) and bool(np.all(np.abs(levels - settled) < SETTLED_WITHIN))


def _ramp(link: LinkModel, steps: int, step_s: float) -> Samples:
    since = np.arange(steps, dtype=np.float64)
    droop_s = link.source.droop_time_constant_s
    if droop_s is None:
        return since
    return -np.expm1(-since * step_s / droop_s) * droop_s / step_s


def _settling_s(link: LinkModel, near: NearEnd, far: FarEnd) -> float:
    """A first guess of how long the link takes to settle; the record grows where it does not."""
    constants_s = sum((*time_constants_s(near.divisor), *time_constants_s(far.divisor)))
    return 2.0 * sharpest_edge_s(link.source) + 8.0 * link.line.delay_s + 14.0 * constants_s


def _choose_step(
    link: LinkModel, near: NearEnd, far: FarEnd, until_s: float, longest_step_s: float | None
) -> tuple[float, int]:
    """A step that suits edges and time constants, and how many of it are a delay: none where it is far longer."""
    delay_s, edge_s = link.line.delay_s, sharpest_edge_s(link.source)
    wanted_s = math.inf
    for constant_s in (*time_constants_s(near.divisor), *time_constants_s(far.divisor)):
        beside_s = edge_s or constant_s
        wanted_s = min(wanted_s, math.sqrt(FINENESS * beside_s * max(constant_s, LEAST_SHARE_OF_EDGE * beside_s)))
    span_s = min(until_s, _settling_s(link, near, far))
    wanted_s = min(max(wanted_s, span_s / PLENTY_OF_STEPS), longest_step_s or math.inf)
    is_lost = delay_s < LEAST_SHARE_OF_EDGE * max(edge_s, wanted_s if math.isfinite(wanted_s) else 0.0)
    if is_lost and span_s > PLENTY_OF_STEPS * delay_s and wanted_s > delay_s:
        return min(wanted_s, edge_s / STEPS_ON_AN_EDGE if edge_s else math.inf), 0
    delay_steps = math.ceil(max(1.0, delay_s / wanted_s) * (1 - 1e-12))
    return delay_s / delay_steps, delay_steps


def _stepped(link: LinkModel, near: NearEnd, far: FarEnd, step_s: float, delay_steps: int) -> _Stepped:
    slip = _PLAIN
    if not delay_steps:
        half_s = link.line.delay_s / 2.0
        (slip,) = chains_of((1.0, half_s), step_s, (1.0, -half_s))
    launched, near_back = chains_of(near.divisor, step_s, near.launched, near.sent_back)
    is_stopped = link.load.grid_stopper_ohm > 0.0
    far_back, load, *grid = chains_of(far.divisor, step_s, far.sent_back, far.load, *[far.grid] * is_stopped)
    return _Stepped(
        launched=launched,
        near_back=near_back,
        far_back=far_back,
        load=load,
        grid=grid[0] if grid else None,
        delay_steps=delay_steps,
        slip=slip,
        series_share=link.series_ohm / link.line.impedance_ohm,
        is_crowded=_crowding(near, far, step_s) > MOST_CROWDING,
    )


def _crowding(near: NearEnd, far: FarEnd, step_s: float) -> float:
    """By how much the rounding of a coefficient grows in the answer: poles that crowd at z = 1 multiply it."""
    constants_s = (*time_constants_s(near.divisor), *time_constants_s(far.divisor))
    return math.prod(max(1.0, 2.0 * constant_s / step_s) for constant_s in constants_s)


def _travel(ends: _Stepped, emf_v: Samples) -> Rows:
    """Both ends through time, from rest at no volts: rows are source, line start, line end, load, grid."""
    launch = _in_one_call if ends.delay_steps <= LONGEST_ONE_CALL else _in_round_trips
    launched = launch(ends, ends.launched.of(emf_v))
    arriving = ends.later(launched)
    sent_back = ends.far_back.of(arriving)
    returned = ends.later(sent_back)
    start = launched + returned
    source = start + ends.series_share * (launched - returned)
    load = ends.load.of(arriving)
    grid = ends.grid.of(arriving) if ends.grid else load
    return np.array([source, start, arriving + sent_back, load, grid])


def _in_one_call(ends: _Stepped, first: Samples) -> Samples:
    """The launched wave by one filter whose divisor reaches back over the round trip, bettered where poles crowd."""
    trip = ends.near_back.then(ends.far_back).then(ends.slip).then(ends.slip)
    returning, divisor = trip.numerator(), trip.divisor()
    begin = 2 * ends.delay_steps
    whole = np.zeros(max(begin + returning.size, divisor.size))
    whole[: divisor.size] = divisor
    whole[begin : begin + returning.size] -= returning
    launched = cast(Samples, lfilter(divisor, whole, first))
    if ends.is_crowded:
        launched += lfilter(divisor, whole, first + ends.come_back(launched) - launched)
    return launched


def _in_round_trips(ends: _Stepped, first: Samples) -> Samples:
    """The launched wave one round trip at a time: what comes back in one was launched in the one before."""
    trip = ends.near_back.then(ends.far_back)
    launched = first.copy()
    length = 2 * ends.delay_steps
    state = np.zeros((len(trip.rows), 2))
    for begin in range(length, launched.size, length):
        here = launched[begin : begin + length]
        before = trip.gain * launched[begin - length : begin]
        if len(trip.rows):
            before, state = sosfilt(trip.rows, before, zi=state)
        here += before[: here.size]
    return launched
