"""Reflection at the end of a wire, and the lattice of a step that runs to and fro between two resistances."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)


def reflection(resistance_ohm: float, impedance_ohm: float) -> float:
    """What share of a wave comes back from a resistance at the end of a wire.

    Formula: (R - Z0)/(R + Z0). Source: textbooks (from memory). Valid for a resistance; infinite means an open end.
    Units: ohm. Errors: ValueError for a resistance below zero, an impedance not above zero, NaN.

    >>> reflection(225.0, 75.0), reflection(25.0, 75.0), reflection(math.inf, 75.0), reflection(0.0, 75.0)
    (0.5, -0.5, 1.0, -1.0)
    """
    refuse_not_above_zero(impedance_ohm=impedance_ohm)
    refuse_not_finite(impedance_ohm=impedance_ohm)
    if resistance_ohm == math.inf:
        return 1.0
    refuse_below_zero(resistance_ohm=resistance_ohm)
    return (resistance_ohm - impedance_ohm) / (resistance_ohm + impedance_ohm)


@dataclass(frozen=True)
class Lattice:
    """A step on a wire: levels at the load after each arrival and at the start at once and after each return.

    `load_v[n]` stands from (2n + 1) delays on, `source_v[n]` from 2n delays on; both tend to `final_v`, save where a
    source without resistance drives an open end or a shorted one, which goes on for ever.
    """

    reflection_at_source: float
    reflection_at_load: float
    source_v: tuple[float, ...]
    load_v: tuple[float, ...]
    final_v: float


def lattice(emf_v: float, source_ohm: float, impedance_ohm: float, load_ohm: float, *, count: int = 6) -> Lattice:
    """The lattice diagram of a step of `emf_v` behind `source_ohm` into a wire that ends in `load_ohm`.

    Formula: launched V = E*Z0/(Rs + Z0); load after n arrivals V*(1 + Gl)*sum (Gs*Gl)^k, k < n; start after n returns
    V + V*Gl*(1 + Gs)*sum (Gs*Gl)^k, k < n; in the end E*Rl/(Rs + Rl). Source: L. V. Bewley's lattice, 1933 (from
    memory). Valid for resistances, a wire without loss, a step quicker than the delay. Units: volts, ohm.
    Shapes: `count` levels at each end. Errors: ValueError for resistances below zero, an impedance not above zero, both
    ends without resistance, a count below one, NaN.

    >>> step = lattice(10.0, 25.0, 75.0, 225.0, count=4)
    >>> step.load_v, step.source_v
    ((11.25, 8.4375, 9.140625, 8.96484375), (7.5, 9.375, 8.90625, 9.0234375))
    """
    refuse_not_finite(emf_v=emf_v, source_ohm=source_ohm)
    at_source, at_load = reflection(source_ohm, impedance_ohm), reflection(load_ohm, impedance_ohm)
    refuse_unless(
        source_ohm > 0.0 or load_ohm > 0.0,
        "A source without resistance into a load without resistance has no final current; give one of them more "
        "than zero ohm.",
    )
    refuse_unless(count >= 1, f"A lattice needs one level or more; {count} were asked for.")
    launched_v = emf_v * impedance_ohm / (source_ohm + impedance_ohm)
    sums = _sums(at_source * at_load, count)
    return Lattice(
        at_source,
        at_load,
        source_v=tuple(launched_v * (1.0 + at_load * (1.0 + at_source) * whole) for whole in (0.0, *sums[:-1])),
        load_v=tuple(launched_v * (1.0 + at_load) * whole for whole in sums),
        final_v=emf_v if load_ohm == math.inf else emf_v * load_ohm / (source_ohm + load_ohm),
    )


def _sums(ratio: float, count: int) -> list[float]:
    """Partial sums of a geometric series from 1 on."""
    whole, term, sums = 0.0, 1.0, []
    for _ in range(count):
        whole += term
        term *= ratio
        sums.append(whole)
    return sums
