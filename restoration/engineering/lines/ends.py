"""What the wave on a wire meets at its two ends, as ratios of polynomials in s."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from itertools import pairwise

from restoration.engineering.lines.polynomials import Polynomial, at, line, plus, times
from restoration.engineering.lines.records import LinkModel

LEAST_FELT_F = 1e-18


@dataclass(frozen=True)
class NearEnd:
    """The source end: what it launches and what it sends back, each over one divisor.

    With k = 1 + Rs*Ys of the source terminal, series resistor R and a wave b coming back:
    a = (Z0*e + [k*(R - Z0) + Rs]*b)/[k*(R + Z0) + Rs].
    """

    launched: Polynomial
    sent_back: Polynomial
    divisor: Polynomial


@dataclass(frozen=True)
class FarEnd:
    """The load end: what it sends back, and volts at the load and the grid for a wave that arrives, over one divisor.

    With the load's admittance p/q and the attenuator's impedance R1/d, D = q*d + R1*p:
    sent back (D - Z0*p*d)/(D + Z0*p*d), load 2*q*d/(D + Z0*p*d).
    """

    sent_back: Polynomial
    load: Polynomial
    grid: Polynomial
    divisor: Polynomial


def near_end(link: LinkModel) -> NearEnd:
    """The source end of a link as polynomials in s.

    Formula: see ``NearEnd``, from Kirchhoff's laws at the source terminal. Valid for lumped loads at the terminal.
    Units: ohm, farad, s in 1/second. Errors: none beyond the link's own.

    >>> from restoration.engineering.lines.records import LosslessLine, PulseSource
    >>> link = LinkModel(PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, 25.0), LosslessLine(75.0, 1e-8))
    >>> near_end(link).launched, near_end(link).divisor
    ((75.0,), (100.0,))
    """
    z0, source_ohm = link.line.impedance_ohm, link.source.resistance_ohm
    terminal = line(1.0 + source_ohm * link.source_conductance_s, source_ohm * _felt(link.source_load_f))
    return NearEnd(
        launched=(z0,),
        sent_back=plus((source_ohm,), terminal, link.series_ohm - z0),
        divisor=plus((source_ohm,), terminal, link.series_ohm + z0),
    )


def far_end(link: LinkModel) -> FarEnd:
    """The load end of a link as polynomials in s, of order three at the most.

    Formula: see ``FarEnd``, from Kirchhoff's laws. Valid for lumped parts. Units: ohm, farad, s in 1/second.
    Errors: none beyond the link's own.

    >>> from restoration.engineering.lines.records import LinkLoad, LosslessLine, PulseSource
    >>> source = PulseSource(0.0, 10.0, 1e-6, 0.0, 0.0, 25.0)
    >>> end = far_end(LinkModel(source, LosslessLine(75.0, 1e-8), LinkLoad(225.0)))
    >>> round(end.sent_back[0] / end.divisor[0], 9), round(end.load[0] / end.divisor[0], 9)
    (0.5, 1.5)
    """
    load = link.load
    grid = line(1.0 / load.resistance_ohm, _felt(load.capacitance_f))
    stopped = plus((1.0,), grid, load.grid_stopper_ohm) if load.grid_stopper_ohm else (1.0,)
    shunt, coupled = _shunt(link)
    p = plus(times(grid, coupled), times(shunt, stopped))
    d = line(1.0, link.attenuator_ohm * _felt(link.attenuator_f))
    whole = times(times(stopped, coupled), d)
    series = plus(whole, p, link.attenuator_ohm) if link.attenuator_ohm else whole
    across = times(p, d)
    z0 = link.line.impedance_ohm
    return FarEnd(
        sent_back=plus(series, across, -z0),
        load=times((2.0,), whole),
        grid=times((2.0,), times(coupled, d)),
        divisor=plus(series, across, z0),
    )


def _shunt(link: LinkModel) -> tuple[Polynomial, Polynomial]:
    """The shunt's admittance as a ratio."""
    if math.isfinite(link.shunt_ohm) and math.isfinite(link.shunt_coupling_f):
        farad = max(link.shunt_coupling_f, LEAST_FELT_F)
        return (0.0, farad), (1.0, link.shunt_ohm * farad)
    return (1.0 / link.shunt_ohm,), (1.0,)


def _felt(farad: float) -> float:
    """The capacitance, or none where it is less than anything in a machine."""
    return farad if farad >= LEAST_FELT_F else 0.0


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
    transit = cmath.exp(-s * link.line.delay_s)
    near_divisor, far_divisor = at(near.divisor, s), at(far.divisor, s)
    far_back = at(far.sent_back, s) / far_divisor
    near_back = at(near.sent_back, s) / near_divisor
    launched = at(near.launched, s) / near_divisor / (1.0 - near_back * far_back * transit**2)
    arriving = launched * transit
    returned = arriving * far_back * transit
    start = launched + returned
    return Shares(
        source=start + link.series_ohm * (launched - returned) / link.line.impedance_ohm,
        line_start=start,
        line_end=arriving * (1.0 + far_back),
        load=arriving * at(far.load, s) / far_divisor,
        grid=arriving * at(far.grid, s) / far_divisor,
    )


def time_constants_s(divisor: Polynomial) -> tuple[float, ...]:
    """Time constants of a divisor with real negative roots, longest first, from ratios of its coefficients.

    Formula: c1/c0, c2/c1, c3/c2 of c0 + c1*s + ...; the last is never longer than the shortest true one, and each is
    close to a true one where they lie far apart. Source: Vieta. Units: seconds. Errors: none.

    >>> [round(tau, 3) for tau in time_constants_s((1.0, 100.1, 10.0))]
    [100.1, 0.1]
    """
    return tuple(higher / lower for lower, higher in pairwise(divisor))
