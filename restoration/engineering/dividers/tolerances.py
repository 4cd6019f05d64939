"""How far the volts of a divider may wander when its parts are not quite what is printed on them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.dividers.circuit import Divider, solve
from restoration.engineering.refusals import refuse_unless


@dataclass(frozen=True)
class Spread:
    """The likely wandering of the volts: root-sum-square of the part-by-part wanderings, and a standard deviation."""

    root_sum_square_v: float
    standard_v: float


def _refuse_tolerances(**tolerances: float) -> None:
    for name, tolerance in tolerances.items():
        refuse_unless(
            0.0 <= tolerance < 1.0,
            f"{name} must be a part of one from 0 to below 1, 0.05 for 5 %; {tolerance} was given.",
        )


def corners(
    divider: Divider,
    series_tolerance: float,
    shunt_tolerance: float,
    *,
    source_ohm_tolerance: float = 0.0,
    load_tolerance: float = 0.0,
    source_v_tolerance: float = 0.0,
) -> tuple[float, float]:
    """The least and the most volts at the load with every part at the worst end of its tolerance.

    Formula: the magnitude falls with Rs and R1 and rises with Vs, R2 and RL, each whatever the others are; so all at
    their bad ends is the worst of the 2 ** 5 corners, and no value inside goes beyond. Source: common practice, no
    source. Valid for parts within their tolerance; drift with age and heat is not in it. Units: parts of one in,
    volts out, the least first as numbers go (−12 before −9). Errors: ValueError for a tolerance outside 0 to 1.

    >>> least, most = corners(Divider(30.0, 1e3, 10e3, 6.8e3, 47e3), 0.05, 0.05)
    >>> round(least, 5), round(most, 5)
    (9.91779, 11.13589)
    """
    _refuse_tolerances(
        series_tolerance=series_tolerance,
        shunt_tolerance=shunt_tolerance,
        source_ohm_tolerance=source_ohm_tolerance,
        load_tolerance=load_tolerance,
        source_v_tolerance=source_v_tolerance,
    )

    def at(end: float) -> float:
        return solve(
            Divider(
                divider.source_v * (1.0 + end * source_v_tolerance),
                divider.source_ohm * (1.0 - end * source_ohm_tolerance),
                divider.series_ohm * (1.0 - end * series_tolerance),
                divider.shunt_ohm * (1.0 + end * shunt_tolerance),
                divider.load_ohm * (1.0 + end * load_tolerance),
            )
        ).load_v

    least, most = sorted((at(-1.0), at(1.0)))
    return least, most


def sensitivities(divider: Divider) -> dict[str, float]:
    """By how many volts the load's volts change for a whole part of one of each value: Vs, Rs, R1, R2, RL.

    Formula: T = Rs + R1 + Rp; dV / d ln R1 = −Vs Rp R1 / T², likewise Rs; dV / d ln R2 = Vs (Rs + R1) Rp² / (R2 T²),
    likewise RL; dV / d ln Vs = V. Source: the divider's formula, differentiated. Valid for small changes. Units: volts
    for each part of one. Shape: names of the divider's fields to volts.

    >>> {name: round(volts, 3) for name, volts in sensitivities(Divider(40.0, 1e3, 1e3, 2e3)).items()}
    {'source_v': 20.0, 'source_ohm': -5.0, 'series_ohm': -5.0, 'shunt_ohm': 10.0, 'load_ohm': 0.0}
    """
    lower, upper = divider.lower_ohm, divider.source_ohm + divider.series_ohm
    volts = solve(divider).load_v
    if math.isinf(lower):
        return dict.fromkeys(("source_ohm", "series_ohm", "shunt_ohm", "load_ohm"), 0.0) | {"source_v": volts}
    total = upper + lower
    rise = volts * upper / total * lower
    return {
        "source_v": volts,
        "source_ohm": -volts * divider.source_ohm / total,
        "series_ohm": -volts * divider.series_ohm / total,
        "shunt_ohm": rise / divider.shunt_ohm,
        "load_ohm": rise / divider.load_ohm,
    }


def spread(
    divider: Divider,
    series_tolerance: float,
    shunt_tolerance: float,
    *,
    source_ohm_tolerance: float = 0.0,
    load_tolerance: float = 0.0,
    source_v_tolerance: float = 0.0,
) -> Spread:
    """How far the volts are likely to wander: root-sum-square, and the standard deviation for evenly spread parts.

    Formula: with S the sensitivity to each part and t its tolerance, RSS = √Σ (S t)², standard deviation = RSS / √3, as
    each part is taken to lie anywhere within its tolerance alike. Source: JCGM 100:2008, 4.3.7 and 5.1.2. Valid to
    first order and for parts that err independently; resistors of one batch may all err one way, and then the
    corners are the measure. Units: parts of one in, volts out. Errors: ValueError for a tolerance outside 0 to 1.

    >>> found = spread(Divider(30.0, 0.0, 1e3, 1e3), 0.05, 0.05)
    >>> round(found.root_sum_square_v, 4), round(found.standard_v, 4)
    (0.5303, 0.3062)
    """
    tolerances = {
        "series_ohm": series_tolerance,
        "shunt_ohm": shunt_tolerance,
        "source_ohm": source_ohm_tolerance,
        "load_ohm": load_tolerance,
        "source_v": source_v_tolerance,
    }
    _refuse_tolerances(**{f"{name}_tolerance": tolerance for name, tolerance in tolerances.items()})
    volts = sensitivities(divider)
    rss = math.hypot(*(volts[name] * tolerance for name, tolerance in tolerances.items()))
    return Spread(rss, rss / math.sqrt(3.0))
