"""Recorded measurements as the fit takes them, and what the model says of them nearby."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.constants import COMMON, Matrix, with_factors
from restoration.engineering.in_place.figures import predict
from restoration.engineering.in_place.reading import PulseFigures
from restoration.engineering.in_place.scales import FITTED, scaled, scaled_uncertainty
from restoration.engineering.limits import Quantity
from restoration.engineering.refusals import refuse_not_finite, refuse_unless

STEP = 0.08
"""Step of a factor's logarithm either way for its slope: about what records leave open, so that a reflection which
passes a reference level just here does not decide."""
POINTS = 600
LEAST_UNCERTAINTY = 1e-4
"""A stated uncertainty of nothing would outweigh all else; this is the least believed, on the scale compared."""


class Datum(NamedTuple):
    """One measured figure on the scale it is compared on, with its standard uncertainty there."""

    quantity: Quantity
    value: float
    uncertainty: float


@dataclass(frozen=True)
class Record:
    """One measurement in place: the case with nominal constants, and what was measured at one end.

    `measured` holds value and standard uncertainty (k = 1) by quantity, in SI units. `wire` names the kind of wire,
    `drive` the source, so that records of one share what is particular to it. Raises ValueError for a figure that is
    not finite, one that has to be above zero and is not, and an uncertainty below zero.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=400.0)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(4700.0))
    >>> Record("K101", case, {"amplitude": (-18.0, 0.2)})
    Traceback (most recent call last):
    ValueError: The amplitude of K101 has to be above zero; -18.0 was given.
    """

    name: str
    case: LinkCase
    measured: Mapping[Quantity | str, tuple[float, float]]
    wire: str = ""
    drive: str = ""
    end: str = "load"

    def __post_init__(self) -> None:
        refuse_unless(self.end in ("load", "source"), f"A link has the ends load and source; {self.end!r} was given.")
        for quantity, (value, uncertainty) in self.figures():
            refuse_not_finite(**{quantity.value: value})
            refuse_unless(
                math.isfinite(uncertainty) and uncertainty >= 0.0,
                f"The standard uncertainty of the {quantity.words} of {self.name} is zero or more and finite; "
                f"{uncertainty} was given.",
            )
            may_be_zero = quantity in (Quantity.OVERSHOOT, Quantity.UNDERSHOOT)
            refuse_unless(
                value > 0.0 or (may_be_zero and value == 0.0) or quantity not in FITTED,
                f"The {quantity.words} of {self.name} has to be above zero; {value} was given.",
            )

    def figures(self) -> list[tuple[Quantity, tuple[float, float]]]:
        """The measured figures by quantity.

        Formula: none. Source: none. Valid always. Units: SI. Errors: ValueError for a quantity that there is not.
        """
        return [(Quantity(quantity), pair) for quantity, pair in self.measured.items()]

    def data(self, predicted: PulseFigures) -> list[Datum]:
        """What of this record the fit takes, on the scale it is compared on.

        Formula: `scales`. Source: none. Valid for figures predicted of the same end. Units: none. Errors: none.
        """
        return [
            Datum(
                quantity,
                scaled(quantity, value, predicted),
                max(scaled_uncertainty(quantity, value, uncertainty, predicted), LEAST_UNCERTAINTY),
            )
            for quantity, (value, uncertainty) in sorted(self.figures())
            if quantity in FITTED
        ]


class Nearby(NamedTuple):
    """What the model says at some factors, and its slopes along the three logarithms; by quantity."""

    values: Mapping[Quantity, float]
    slopes: Mapping[Quantity, tuple[float, float, float]]
    figures: PulseFigures


def look_nearby(
    case: LinkCase, end: str, logs: Matrix, quantities: tuple[Quantity, ...], *, slopes: bool = True
) -> Nearby:
    """Predicted figures of one end, on the scale they are compared on, with their slopes along the three logarithms.

    Formula: differences of `predict` either way, step `STEP`. Source: none. Valid where figures bend little within a
    step. Units: none. Shapes: `logs` (3,). Errors: as `predict`.

    >>> from restoration.engineering.in_place.case import WireConstants
    >>> from restoration.engineering.link_model import LinkLoad, PulseSource
    >>> source = PulseSource(0.0, 20.0, 1e-6, 1e-7, 1e-7, resistance_ohm=1000.0)
    >>> case = LinkCase(source, 2.0, WireConstants(12e-12, 0.9e-6), LinkLoad(1000.0))
    >>> near = look_nearby(case, "load", np.zeros(3), (Quantity.AMPLITUDE,))
    >>> [round(slope, 2) for slope in near.slopes[Quantity.AMPLITUDE]]
    [0.0, 0.0, -0.5]
    """
    figures = _figures(case, end, logs)
    values = {quantity: scaled(quantity, _of(figures, quantity), figures) for quantity in quantities}
    if not slopes:
        return Nearby(values, {}, figures)
    steep = []
    for at in range(len(COMMON)):
        up, down = (_figures(case, end, logs + sign * STEP * np.eye(3)[at]) for sign in (1.0, -1.0))
        steep.append({one: scaled(one, _of(up, one), figures) - scaled(one, _of(down, one), figures) for one in values})
    found = {
        quantity: (steep[0][quantity] / (2 * STEP), steep[1][quantity] / (2 * STEP), steep[2][quantity] / (2 * STEP))
        for quantity in quantities
    }
    return Nearby(values, found, figures)


def _figures(case: LinkCase, end: str, logs: Matrix) -> PulseFigures:
    capacitance, inductance, drive = np.exp(logs).tolist()
    return predict(with_factors(case, (capacitance, inductance, drive)), points=POINTS).end(end)


def _of(figures: PulseFigures, quantity: Quantity) -> float:
    value = figures.get(quantity)
    return 0.0 if value is None else value
