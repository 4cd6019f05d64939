"""The answer of a link to a ramp, step by step: every edge of a pulse is the difference of two ramps.

A ramp that begins at a time step bends only at time steps again, one delay later and so on, so that with resistive
ends straight lines between the steps are the exact answer, at a step as long as the delay. Ends with capacitors
follow the trapezoidal rule (the bilinear transform), whose error falls as the square of the step.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import cast

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from restoration.engineering.lines.emf import sharpest_edge_s
from restoration.engineering.lines.ends import (
    Coefficients,
    FarEnd,
    NearEnd,
    far_end,
    near_end,
    settled_shares,
    time_constants_s,
)
from restoration.engineering.lines.records import LinkModel, Samples
from restoration.engineering.refusals import refuse_unless

MOST_STEPS = 2_000_000
PLENTY_OF_STEPS = 100_000
LONGEST_ONE_CALL = 64
SETTLED_WITHIN = 1e-5
FINENESS = 0.004
SHORTEST_SHARE_OF_EDGE = 5e-4

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
    """Both ends in powers of z^-1 and the delay: whole steps, or an all-pass."""

    near: NearEnd
    far: FarEnd
    delay_steps: int
    slip: Coefficients
    series_share: float


def ramp_answer(link: LinkModel, until_s: float, longest_step_s: float | None = None) -> RampAnswer:
    near, far = near_end(link), far_end(link)
    step_s, delay_steps = _choose_step(link, near, far, until_s, longest_step_s)
    ends = _stepped(link, near, far, step_s, delay_steps)
    shares = settled_shares(link)
    settled = np.array(
        [shares.source.real, shares.line_start.real, shares.line_end.real, shares.load.real, shares.grid.real]
    )
    most = max(2, math.ceil(until_s / step_s) + 1)
    steps = min(most, _first_guess(link, near, far, step_s))
    while True:
        refuse_unless(
            steps <= MOST_STEPS,
            f"The record would take {most} steps; at most {MOST_STEPS} are allowed. "
            "Ask for a shorter time or a longer line.",
        )
        volts = _travel(ends, _ramp(link, steps, step_s))
        growth = np.diff(volts, axis=1, append=0.0)
        growth[:, -1] = settled
        is_settled = link.source.droop_time_constant_s is None and bool(
            np.all(np.abs(growth[:, steps // 2 :] - settled[:, None]) < SETTLED_WITHIN)
        )
        if is_settled or steps == most:
            return RampAnswer(step_s, volts, growth, near.divisor.size == far.divisor.size == 1)
        steps = min(most, 2 * steps)


def _ramp(link: LinkModel, steps: int, step_s: float) -> Samples:
    since = np.arange(steps, dtype=np.float64)
    droop_s = link.source.droop_time_constant_s
    if droop_s is None:
        return since
    return -np.expm1(-since * step_s / droop_s) * droop_s / step_s


def _first_guess(link: LinkModel, near: NearEnd, far: FarEnd, step_s: float) -> int:
    constants_s = sum(time_constants_s(near.divisor)) + sum(time_constants_s(far.divisor))
    return math.ceil((8.0 * link.line.delay_s + 20.0 * constants_s) / step_s) + 8


def _choose_step(
    link: LinkModel, near: NearEnd, far: FarEnd, until_s: float, longest_step_s: float | None
) -> tuple[float, int]:
    """A step for the edges and time constants, and how many of it are a delay; none where the step is longer."""
    delay_s = link.line.delay_s
    constants_s = (*time_constants_s(near.divisor), *time_constants_s(far.divisor))
    edge_s = sharpest_edge_s(link.source)
    wanted_s = delay_s
    for constant_s in constants_s:
        beside_s = edge_s or constant_s
        wanted_s = min(wanted_s, math.sqrt(FINENESS * beside_s * max(constant_s, SHORTEST_SHARE_OF_EDGE * beside_s)))
    if longest_step_s is not None:
        wanted_s = min(delay_s, longest_step_s)
    delay_steps = math.ceil(delay_s / wanted_s * (1 - 1e-12))
    return delay_s / delay_steps, delay_steps


def _stepped(link: LinkModel, near: NearEnd, far: FarEnd, step_s: float, delay_steps: int) -> _Stepped:
    half_s = step_s / 2.0
    return _Stepped(
        NearEnd(*_bilinear(half_s, near.launched, near.sent_back, near.divisor)),
        FarEnd(*_bilinear(half_s, far.sent_back, far.load, far.grid, far.divisor)),
        delay_steps,
        np.array([1.0]),
        link.series_ohm / link.line.impedance_ohm,
    )


def _bilinear(half_step_s: float, *polynomials: Coefficients) -> list[Coefficients]:
    """Polynomials in s as polynomials in w = z^-1, all times (1 + w)^order: s = (2/h)*(1 - w)/(1 + w)."""
    order = max(polynomial.size for polynomial in polynomials) - 1
    powers = _powers(order)
    scales = half_step_s ** -np.arange(order + 1.0)
    return [(polynomial * scales[: polynomial.size]) @ powers[: polynomial.size] for polynomial in polynomials]


@cache
def _powers(order: int) -> Rows:
    """Row i holds (1 - w)^i * (1 + w)^(order - i)."""
    rows = []
    for minus in range(order + 1):
        row = np.array([1.0])
        for factor in [np.array([1.0, -1.0])] * minus + [np.array([1.0, 1.0])] * (order - minus):
            row = np.convolve(row, factor)
        rows.append(row)
    return np.array(rows)


def _travel(ends: _Stepped, emf_v: Samples) -> Rows:
    """Both ends through time, from rest at no volts: rows are source, line start, line end, load, grid."""
    far = ends.far
    launch = _in_one_call if ends.delay_steps <= LONGEST_ONE_CALL else _in_round_trips
    launched = launch(ends, emf_v)
    arriving = _later(launched, ends.delay_steps)
    sent_back = _filtered(far.sent_back, far.divisor, arriving)
    returned = _later(sent_back, ends.delay_steps)
    start = launched + returned
    source = start + ends.series_share * (launched - returned)
    load = _filtered(far.load, far.divisor, arriving)
    grid = _filtered(far.grid, far.divisor, arriving)
    return np.array([source, start, arriving + sent_back, load, grid])


def _in_one_call(ends: _Stepped, emf_v: Samples) -> Samples:
    """The launched wave by one filter whose divisor reaches back over the round trip."""
    near, far = ends.near, ends.far
    divisor, returning = np.convolve(near.divisor, far.divisor), np.convolve(near.sent_back, far.sent_back)
    round_trip = 2 * ends.delay_steps
    whole = np.zeros(round_trip + returning.size)
    whole[: divisor.size] = divisor
    whole[round_trip:] -= returning
    return _filtered(np.convolve(near.launched, far.divisor), whole, emf_v)


def _in_round_trips(ends: _Stepped, emf_v: Samples) -> Samples:
    """The launched wave one round trip at a time: what comes back in one was launched in the one before."""
    near, far = ends.near, ends.far
    divisor, returning = np.convolve(near.divisor, far.divisor), np.convolve(near.sent_back, far.sent_back)
    launched = _filtered(near.launched, near.divisor, emf_v)
    round_trip = 2 * ends.delay_steps
    state = np.zeros(divisor.size - 1)
    for begin in range(round_trip, launched.size, round_trip):
        came_back, state = lfilter(returning, divisor, launched[begin - round_trip : begin], zi=state)
        here = launched[begin : begin + round_trip]
        here += came_back[: here.size]
    return launched


def _later(wave: Samples, steps: int) -> Samples:
    late = np.zeros_like(wave)
    late[steps:] = wave[: wave.size - steps]
    return late


def _filtered(numerator: Coefficients, divisor: Coefficients, wave: Samples) -> Samples:
    if divisor.size == 1:
        return (numerator[0] / divisor[0]) * wave
    return cast(Samples, lfilter(numerator, divisor, wave))
