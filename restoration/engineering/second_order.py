"""What every circuit of one inductance and one capacitance has in common: how fast it rings, how far it overshoots."""

from __future__ import annotations

import math

from restoration.engineering.refusals import refuse_not_above_zero, refuse_not_finite, refuse_unless


def resonance_hz(inductance_h: float, capacitance_f: float) -> float:
    """The frequency at which an inductance and a capacitance resonate, and all but ring.

    Formula: 1 / 2π√(L C). Source: closed form. Valid for light damping; a source resistance of 2 √(L / C) and above
    stops it. Units: H, F, Hz. Errors: ValueError for values not above zero or not finite.

    >>> round(resonance_hz(0.15e-6, 12e-12) / 1e6, 1)
    118.6
    """
    refuse_not_above_zero(inductance_h=inductance_h, capacitance_f=capacitance_f)
    refuse_not_finite(inductance_h=inductance_h, capacitance_f=capacitance_f)
    return 1.0 / (2.0 * math.pi * math.sqrt(inductance_h) * math.sqrt(capacitance_f))


def overshoot_of(damping: float) -> float:
    """Overshoot of a second-order step by its damping ratio.

    Formula: exp(-pi zeta / sqrt(1 - zeta²)), 0 from zeta = 1 on. Source: textbook. Valid for zeta of zero or more.
    Units: none; a part of the step. Errors: ValueError for a damping below zero or no number.

    >>> round(overshoot_of(0.5), 4), round(overshoot_of(0.7), 4), overshoot_of(1.0)
    (0.163, 0.046, 0.0)
    """
    refuse_unless(damping >= 0.0, f"A damping ratio is zero or more; {damping} was given.")
    return 0.0 if damping >= 1.0 else math.exp(-math.pi * damping / math.sqrt(1.0 - damping**2))
