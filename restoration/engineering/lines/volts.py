"""Volts at both ends of a link in time."""

from __future__ import annotations

import math

import numpy as np

from restoration.engineering.lines.emf import edges, refuse_times
from restoration.engineering.lines.ends import settled_shares
from restoration.engineering.lines.ramp import RampAnswer, Rows, ramp_answer
from restoration.engineering.lines.records import EndVolts, LinkModel, Samples
from restoration.engineering.refusals import refuse_not_above_zero


def link_volts(link: LinkModel, times_s: Samples, *, longest_step_s: float | None = None) -> EndVolts:
    """Volts at both ends of the link at the times asked for.

    Formula: wave launched a = T*e + Gs*b, wave arriving f = a one delay ago, wave back b = Gl*f one delay ago; T, Gs
    and Gl are ratios of polynomials in s (see ``lines.ends``), in time steps by the trapezoidal rule. Each edge is the
    difference of two ramps; the answer to one ramp (see ``lines.ramp``) is worked out once, until it has settled, and
    shifted. Source: method of characteristics, F. H. Branin, "Transient analysis of lossless transmission lines",
    Proc. IEEE 55, 1967 (from memory); bilinear transform, A. Tustin, 1947 (from memory).
    Valid for a lossless line of one impedance and lumped, linear parts. Exact with resistors alone, edges of no length
    too. With capacitors the step suits delay, edges and time constants, and the error stays about 0.1 % of the step in
    volts; where an edge has no length, the jump is taken as a ramp of one step about it. A time constant below 0.05 %
    of the edge is not followed, nor is the step made so short that the record passes 100,000 steps. A delay below
    0.05 % of edge or step, in a record too long for it, becomes an all-pass of first order. Before the first pulse
    everything has rested; ripple is the steady sine.
    Units: seconds, volts. Shapes: as `times_s`. `longest_step_s` bounds the step as well. Errors: ValueError for unfit
    times, and for a record of more than two million steps.

    >>> from restoration.engineering.lines.records import LinkLoad, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, resistance_ohm=25.0)
    >>> link = LinkModel(source, LosslessLine(75.0, 10e-9), LinkLoad(225.0))
    >>> volts = link_volts(link, np.array([5e-9, 15e-9, 25e-9, 35e-9]))
    >>> volts.load_v.round(6).tolist(), volts.source_v.round(6).tolist()
    ([0.0, 11.25, 11.25, 8.4375], [7.5, 7.5, 9.375, 9.375])
    """
    refuse_times(times_s)
    if longest_step_s is not None:
        refuse_not_above_zero(longest_step_s=longest_step_s)
    rows = _resting(link, times_s)
    until_s = float(times_s[-1]) - link.source.start_s
    if until_s >= 0.0:
        answer = ramp_answer(link, until_s, longest_step_s)
        for start_s, edge_s, height_v in edges(link.source, float(times_s[-1])):
            _add_edge(rows, answer, times_s, start_s, edge_s, height_v)
    source_v, line_start_v, line_end_v, load_v, grid_v = rows
    return EndVolts(times_s, source_v, line_start_v, load_v, line_end_v, grid_v)


def _resting(link: LinkModel, times_s: Samples) -> Rows:
    """The rest level at every point, with the ripple that rides on it."""
    at_rest = settled_shares(link)
    rows = np.empty((5, times_s.size))
    rows[:] = link.source.rest_v * np.array([[share.real] for share in vars(at_rest).values()])
    if link.ripple is not None:
        shares = settled_shares(link, link.ripple.frequency_hz)
        turning = np.exp(1j * (2 * math.pi * link.ripple.frequency_hz * times_s + link.ripple.phase_rad))
        for row, share in zip(rows, vars(shares).values(), strict=True):
            row += link.ripple.peak_v * (share * turning).imag
    return rows


def _add_edge(rows: Rows, answer: RampAnswer, times_s: Samples, start_s: float, edge_s: float, height_v: float) -> None:
    step_s = answer.step_s
    if edge_s == 0.0 and answer.is_resistive:
        begin = int(np.searchsorted(times_s, start_s))
        cell, _ = _place(answer, times_s[begin:] - start_s)
        rows[:, begin:] += height_v * answer.growth[:, cell]
        return
    if edge_s == 0.0:
        edge_s, start_s = step_s, start_s - step_s / 2
    for corner_s, sign in ((start_s, 1.0), (start_s + edge_s, -1.0)):
        begin = int(np.searchsorted(times_s, corner_s))
        cell, part = _place(answer, times_s[begin:] - corner_s)
        rows[:, begin:] += (sign * height_v * step_s / edge_s) * (answer.volts[:, cell] + part * answer.growth[:, cell])


def _place(answer: RampAnswer, since_s: Samples) -> tuple[np.ndarray, Samples]:
    steps = since_s / answer.step_s
    cell = np.minimum(np.floor(steps + 1e-9).astype(np.intp), answer.volts.shape[1] - 1)
    return cell, steps - cell
