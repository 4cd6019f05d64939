"""On what scale a figure is compared: by its logarithm, or as it is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from restoration.engineering.in_place.reading import PulseFigures
from restoration.engineering.limits import Quantity

PREDICTED = (
    Quantity.AMPLITUDE,
    Quantity.PULSE_DURATION,
    Quantity.RISE_TIME,
    Quantity.FALL_TIME,
    Quantity.OVERSHOOT,
    Quantity.UNDERSHOOT,
    Quantity.DELAY,
)
"""What a prediction states an interval for."""
FITTED = (Quantity.AMPLITUDE, Quantity.RISE_TIME, Quantity.FALL_TIME, Quantity.OVERSHOOT)
"""What the wiring constants are fitted to."""

NOMINAL_SCATTER: Mapping[Quantity, float] = MappingProxyType(
    {
        Quantity.AMPLITUDE: 0.02,
        Quantity.PULSE_DURATION: 0.03,
        Quantity.RISE_TIME: 0.10,
        Quantity.FALL_TIME: 0.10,
        Quantity.OVERSHOOT: 0.04,
        Quantity.UNDERSHOOT: 0.04,
        Quantity.DELAY: 0.15,
    }
)
"""Scatter about a prediction where no records tell it: parts of the figure, of the amplitude for over- and undershoot,
of the rise time for the delay. Own guesses, meant to be wide."""

UNSAID: Mapping[Quantity, float] = MappingProxyType(
    {Quantity.AMPLITUDE: 0.012, Quantity.RISE_TIME: 0.05, Quantity.FALL_TIME: 0.05, Quantity.OVERSHOOT: 0.015}
)
"""What the uncertainty of an instrument leaves out (loads, lengths, figures from the bench), before records tell; own
guesses, corrected by the ratio that the fit finds."""

_AS_PART = frozenset((Quantity.OVERSHOOT, Quantity.UNDERSHOOT))


def scaled(quantity: Quantity, value: float, figures: PulseFigures) -> float:
    """A figure on the scale it is compared on.

    Formula: ln x for amplitude, duration and transition durations; x for over- and undershoot; x by the mean of the
    predicted transition durations for the delay. Source: own choice, so that scatter is alike for small and large.
    Valid for figures above zero where the logarithm is taken. Units: none out.
    Errors: ValueError for a figure not above zero that has to be.

    >>> figures = PulseFigures(5.0, 1e-6, 1e-7, 1e-7, 0.1, 0.0, 2e-8, 0.0, 5.0)
    >>> scaled(Quantity.OVERSHOOT, 0.1, figures), round(scaled(Quantity.DELAY, 2e-8, figures), 9)
    (0.1, 0.2)
    """
    if quantity in _AS_PART:
        return value
    if quantity is Quantity.DELAY:
        return 2 * value / (figures.rise_time_s + figures.fall_time_s)
    if not value > 0.0:
        raise ValueError(f"A {quantity.words} is above zero; {value} was given.")
    return math.log(value)


def unscaled(quantity: Quantity, compared: float, figures: PulseFigures) -> float:
    """A figure from the scale it is compared on: the inverse of `scaled`, over- and undershoot not below zero.

    Formula, source, validity, units: as `scaled`. Errors: none.

    >>> figures = PulseFigures(5.0, 1e-6, 1e-7, 1e-7, 0.1, 0.0, 2e-8, 0.0, 5.0)
    >>> unscaled(Quantity.OVERSHOOT, -0.2, figures), round(unscaled(Quantity.AMPLITUDE, math.log(5.0), figures), 9)
    (0.0, 5.0)
    """
    if quantity in _AS_PART:
        return max(0.0, compared)
    if quantity is Quantity.DELAY:
        return compared * (figures.rise_time_s + figures.fall_time_s) / 2
    return math.exp(compared)


def scaled_uncertainty(quantity: Quantity, value: float, uncertainty: float, figures: PulseFigures) -> float:
    """A standard uncertainty on the scale that the figure is compared on: u times the slope of the scale.

    Formula: u/x for a logarithm. Source: JCGM 100, first-order propagation. Valid for uncertainties small beside the
    figure. Units: none out. Errors: none for figures that `scaled` takes.

    >>> figures = PulseFigures(5.0, 1e-6, 1e-7, 1e-7, 0.1, 0.0, 2e-8, 0.0, 5.0)
    >>> scaled_uncertainty(Quantity.AMPLITUDE, 5.0, 0.1, figures)
    0.02
    """
    if quantity in _AS_PART:
        return uncertainty
    if quantity is Quantity.DELAY:
        return 2 * uncertainty / (figures.rise_time_s + figures.fall_time_s)
    return uncertainty / value
