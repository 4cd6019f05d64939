"""The interval that should hold a later measurement: what records leave open, drives that differ, and scatter."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.stats import t as student_t

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.constants import SiteConstants, check_level, with_factors
from restoration.engineering.in_place.figures import Predicted, predict
from restoration.engineering.in_place.reading import PulseFigures
from restoration.engineering.in_place.records import POINTS, STEP
from restoration.engineering.in_place.scales import PREDICTED, scaled, unscaled
from restoration.engineering.limits import Quantity

ENDS = ("load", "source")


@dataclass(frozen=True)
class Interval:
    """A predicted value and the ends of the interval that should hold a measurement of it."""

    value: float
    low: float
    high: float

    def holds(self, measured: float) -> bool:
        """Whether a measurement lies in the interval.

        Formula: low <= x <= high. Source: none. Valid for finite x. Units: those of the value. Errors: none.

        >>> Interval(5.0, 4.0, 6.0).holds(6.5)
        False
        """
        return self.low <= measured <= self.high


def predict_interval(
    case: LinkCase, constants: SiteConstants, wire: str = "", drive: str = "", *, level: float = 0.90
) -> Mapping[tuple[str, Quantity], Interval]:
    """Predicted figures at both ends with the interval that should hold a later measurement of each.

    Formula: y ± t sqrt(g' S g + scatter^2), y the figure on the scale of `scales`, g its slopes along the logarithms
    of C', L' and drive resistance, S their covariance for this kind of wire and this drive (`SiteConstants.own`: wider
    where it has no records), t Student's for as many degrees of freedom as tell the scatter.
    Source: theory of linear models, first order. `case` has nominal constants. Valid where figures bend little over
    the spread of the constants. Units: SI. Errors: ValueError for a level that is not between 0 and 1.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=1000.0)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(1000.0))
    >>> found = predict_interval(case, SiteConstants.from_geometry())["load", Quantity.AMPLITUDE]
    >>> round(found.value, 2), 7.0 < found.low < 9.0, 11.0 < found.high < 13.0
    (10.0, True, True)
    """
    check_level(level)
    means, covariance = constants.own(wire, drive)
    base = _predicted(case, means)
    moved = [_predicted(case, means + STEP * np.eye(3)[at]) for at in range(3)]
    found = {}
    for end in ENDS:
        figures = base.end(end)
        for quantity in PREDICTED:
            if end == "source" and quantity is Quantity.DELAY:
                continue
            here = scaled(quantity, _value(figures, quantity), figures)
            slopes = np.array(
                [(scaled(quantity, _value(one.end(end), quantity), figures) - here) / STEP for one in moved]
            )
            variance = float(slopes @ covariance @ slopes) + constants.scatter[quantity] ** 2
            half = float(student_t.ppf(0.5 + level / 2, constants.freedom[quantity])) * math.sqrt(variance)
            found[end, quantity] = Interval(
                _value(figures, quantity),
                unscaled(quantity, here - half, figures),
                unscaled(quantity, here + half, figures),
            )
    return found


def _predicted(case: LinkCase, logs: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Predicted:
    capacitance, inductance, drive = np.exp(logs).tolist()
    return predict(with_factors(case, (capacitance, inductance, drive)), points=POINTS)


def _value(figures: PulseFigures, quantity: Quantity) -> float:
    value = figures.get(quantity)
    return 0.0 if value is None else value
