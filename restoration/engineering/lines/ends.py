"""What the wave on a wire meets at its two ends, as ratios of polynomials in s."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.polynomial.polynomial import polymul, polyval
from numpy.typing import NDArray

from restoration.engineering.lines.records import LinkModel

Coefficients = NDArray[np.float64]
"""Coefficients of a polynomial in s, lowest power first."""


@dataclass(frozen=True)
class NearEnd:
    """The source end: what it launches and what it sends back, each over one divisor.

    With k = 1 + Rs*Ys of the source terminal, series resistor R and a wave b coming back:
    a = (Z0*e + [k*(R - Z0) + Rs]*b)/[k*(R + Z0) + Rs].
    """

    launched: Coefficients
    sent_back: Coefficients
    divisor: Coefficients


@dataclass(frozen=True)
class FarEnd:
    """The load end: what it sends back, and volts at the load and the grid for a wave that arrives, over one divisor.

    With the load's admittance p/q and the attenuator's impedance R1/d, D = q*d + R1*p:
    sent back (D - Z0*p*d)/(D + Z0*p*d), load 2*q*d/(D + Z0*p*d).
    """

    sent_back: Coefficients
    load: Coefficients
    grid: Coefficients
    divisor: Coefficients


def near_end(link: LinkModel) -> NearEnd:
    """The source end of a link as polynomials in s.

    Formula: see ``NearEnd``, from Kirchhoff's laws at the source terminal. Valid for lumped loads at the terminal.
    Units: ohm, farad, s in 1/second. Errors: none beyond the link's own.

    >>> from restoration.engineering.lines.records import LosslessLine, PulseSource
    >>> link = LinkModel(PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, 25.0), LosslessLine(75.0, 1e-8))
    >>> near_end(link).launched.tolist(), near_end(link).divisor.tolist()
    ([75.0], [100.0])
    """
    z0, source_ohm = link.line.impedance_ohm, link.source.resistance_ohm
    terminal = _polynomial(1.0 + source_ohm * link.source_conductance_s, source_ohm * link.source_load_f)
    return NearEnd(
        launched=np.array([z0]),
        sent_back=_plus((link.series_ohm - z0) * terminal, source_ohm),
        divisor=_plus((link.series_ohm + z0) * terminal, source_ohm),
    )


def far_end(link: LinkModel) -> FarEnd:
    """The load end of a link as polynomials in s, of order three at the most.

    Formula: see ``FarEnd``, from Kirchhoff's laws. Valid for lumped parts. Units: ohm, farad, s in 1/second.
    Errors: none beyond the link's own.

    >>> from restoration.engineering.lines.records import LinkLoad, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, 25.0)
    >>> end = far_end(LinkModel(source, LosslessLine(75.0, 1e-8), LinkLoad(225.0)))
    >>> (end.sent_back / end.divisor).round(9).tolist(), (end.load / end.divisor).round(9).tolist()
    ([0.5], [1.5])
    """
    load = link.load
    grid = _polynomial(1.0 / load.resistance_ohm, load.capacitance_f)
    stopped = _plus(load.grid_stopper_ohm * grid, 1.0)
    if math.isfinite(link.shunt_ohm) and math.isfinite(link.shunt_coupling_f):
        shunt = _polynomial(0.0, link.shunt_coupling_f)
        coupled = _polynomial(1.0, link.shunt_ohm * link.shunt_coupling_f)
    else:
        shunt, coupled = np.array([1.0 / link.shunt_ohm]), np.array([1.0])
    p = _sum(polymul(grid, coupled), polymul(shunt, stopped))
    q = polymul(stopped, coupled)
    d = _polynomial(1.0, link.attenuator_ohm * link.attenuator_f)
    series = _sum(polymul(q, d), link.attenuator_ohm * p)
    across = link.line.impedance_ohm * polymul(p, d)
    return FarEnd(
        sent_back=_sum(series, -across),
        load=2.0 * polymul(q, d),
        grid=2.0 * polymul(coupled, d),
        divisor=_sum(series, across),
    )


@dataclass(frozen=True)
class Shares:
    """How much of the volts behind the source stands at each point: at rest real, for a sine complex."""

    source: complex
    line_start: complex
    line_end: complex
    load: complex
    grid: complex


def settled_shares(link: LinkModel, frequency_hz: float = 0.0) -> Shares:
    """What each point of a link has of a steady voltage, or of a sine that has gone on for long.

    Formula: a = T*e/(1 - Gs*Gl*exp(-2s*Td)) with s = 2*pi*i*f, and the ends as in ``NearEnd`` and ``FarEnd``; at f = 0
    this is the resistive divider. Source: wave algebra. Valid for a lossless line.
    Units: Hz in, none out. Errors: none beyond the link's own.

    >>> from restoration.engineering.lines.records import LinkLoad, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, 25.0)
    >>> round(settled_shares(LinkModel(source, LosslessLine(75.0, 1e-8), LinkLoad(225.0))).load.real, 9)
    0.9
    """
    s = 2j * math.pi * frequency_hz
    near, far = near_end(link), far_end(link)
    transit = np.exp(-s * link.line.delay_s)
    near_divisor, far_divisor = polyval(s, near.divisor), polyval(s, far.divisor)
    far_back = polyval(s, far.sent_back) / far_divisor
    near_back = polyval(s, near.sent_back) / near_divisor
    launched = polyval(s, near.launched) / near_divisor / (1.0 - near_back * far_back * transit**2)
    arriving = launched * transit
    returned = arriving * far_back * transit
    start = launched + returned
    shares = (
        start + link.series_ohm * (launched - returned) / link.line.impedance_ohm,
        start,
        arriving * (1.0 + far_back),
        arriving * polyval(s, far.load) / far_divisor,
        arriving * polyval(s, far.grid) / far_divisor,
    )
    return Shares(*(complex(share) for share in shares))


def time_constants_s(divisor: Coefficients) -> tuple[float, ...]:
    """Time constants of a divisor with real negative roots, longest first, from ratios of its coefficients.

    Formula: c1/c0, c2/c1, c3/c2 of c0 + c1*s + ...; the last is never longer than the shortest true one, and each is
    close to a true one where they lie far apart. Source: Vieta. Units: seconds. Errors: none.

    >>> [round(tau, 3) for tau in time_constants_s(np.array([1.0, 100.1, 10.0]))]
    [100.1, 0.1]
    """
    return tuple(float(higher / lower) for lower, higher in pairwise(divisor))


def _polynomial(constant: float, slope: float) -> Coefficients:
    return np.array([constant, slope]) if slope else np.array([constant])


def _plus(polynomial: Coefficients, constant: float) -> Coefficients:
    raised = polynomial.copy()
    raised[0] += constant
    return raised


def _sum(first: Coefficients, second: Coefficients) -> Coefficients:
    total = np.zeros(max(first.size, second.size))
    total[: first.size] += first
    total[: second.size] += second
    return total
