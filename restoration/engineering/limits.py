"""Limits of a signal, and the verdict on a figure with its uncertainty taken off both sides."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from restoration.engineering.pulses.record import PulseMeasurement, Transition


class Verdict(StrEnum):
    """What a figure says about its limit."""

    WITHIN = "within"
    OUTSIDE = "outside"
    TOO_CLOSE = "too close to call"
    CANNOT_TELL = "cannot tell"


class Quantity(StrEnum):
    """What a signal may have limits on; the value is stable, ``words`` are for people."""

    AMPLITUDE = "amplitude"
    LOW_LEVEL = "low_level"
    HIGH_LEVEL = "high_level"
    PULSE_DURATION = "pulse_duration"
    RISE_TIME = "rise_time"
    FALL_TIME = "fall_time"
    OVERSHOOT = "overshoot"
    UNDERSHOOT = "undershoot"
    PRESHOOT = "preshoot"
    DELAY = "delay"

    @property
    def words(self) -> str:
        """The quantity in words: ``pulse duration``."""
        return self.value.replace("_", " ")

    @property
    def unit(self) -> str:
        """``V``, ``s``, or nothing for a part of the amplitude."""
        return _UNITS[self]

    @property
    def field(self) -> str:
        """Field of a pulse measurement that holds it; the delay is between two traces and has none there.

        >>> Quantity.RISE_TIME.field, Quantity.OVERSHOOT.field, Quantity.RISE_TIME.words
        ('rise_time_s', 'overshoot', 'rise time')
        """
        return f"{self.value}_{self.unit.lower()}" if self.unit else self.value


_UNITS = {
    Quantity.AMPLITUDE: "V",
    Quantity.LOW_LEVEL: "V",
    Quantity.HIGH_LEVEL: "V",
    Quantity.PULSE_DURATION: "s",
    Quantity.RISE_TIME: "s",
    Quantity.FALL_TIME: "s",
    Quantity.OVERSHOOT: "",
    Quantity.UNDERSHOOT: "",
    Quantity.PRESHOOT: "",
    Quantity.DELAY: "s",
}


@dataclass(frozen=True)
class Limit:
    """Any of the least allowed, nominal and most allowed value, in the unit of the quantity.

    Raises ValueError for a number that is not finite, a least above the most, and a nominal outside the two.

    >>> Limit(least=5.0, most=2.0)
    Traceback (most recent call last):
    ValueError: The least allowed, 5, is above the most allowed, 2.
    """

    least: float | None = None
    nominal: float | None = None
    most: float | None = None

    def __post_init__(self) -> None:
        for name in ("least", "nominal", "most"):
            value = getattr(self, name)
            if value is not None and not math.isfinite(value):
                raise ValueError(f"The {name} of a limit is {value}; it has to be a finite number, or left out.")
        if self.least is not None and self.most is not None and self.least > self.most:
            raise ValueError(f"The least allowed, {self.least:g}, is above the most allowed, {self.most:g}.")
        if self.nominal is not None and not self._holds(self.nominal):
            raise ValueError(f"The nominal value, {self.nominal:g}, is outside its own limits.")

    def _holds(self, value: float) -> bool:
        return (self.least is None or value >= self.least) and (self.most is None or value <= self.most)


@dataclass(frozen=True)
class Figure:
    """A measured figure: a value with its expanded uncertainty, or a bound, or neither with the reason."""

    value: float | None
    expanded_uncertainty: float = 0.0
    at_most: float | None = None
    reason: str = ""


def judge(value: float | None, expanded_uncertainty: float, limit: Limit, at_most: float | None = None) -> Verdict:
    """Verdict on a figure against a limit, the expanded uncertainty U taken off both sides.

    Within: least + U <= value <= most - U. Outside: value < least - U or value > most + U. Between the two it is too
    close to call. Guard bands as in ISO 14253-1 and JCGM 106 (8.3), w = U with k = 2. Without a value, a bound
    ``at_most`` can put a figure within a limit that has no least, or outside by lying under the least; it can never
    put it outside the most. No least and no most: cannot tell. Value, U and limit in one unit.

    Raises ValueError for NaN, infinity, and an uncertainty below zero.

    >>> judge(4.0, 0.2, Limit(most=5.0)).value, judge(4.9, 0.2, Limit(most=5.0)).value
    ('within', 'too close to call')
    >>> judge(None, 0.0, Limit(most=10e-9), at_most=8e-9).value, judge(None, 0.0, Limit(most=10e-9)).value
    ('within', 'cannot tell')
    """
    _refuse(value, expanded_uncertainty, at_most)
    if limit.least is None and limit.most is None:
        return Verdict.CANNOT_TELL
    if value is None:
        return _judge_bound(at_most, expanded_uncertainty, limit)
    low = math.inf if limit.least is None else value - limit.least
    high = math.inf if limit.most is None else limit.most - value
    room = min(low, high)
    if room >= expanded_uncertainty:
        return Verdict.WITHIN
    return Verdict.OUTSIDE if room < -expanded_uncertainty else Verdict.TOO_CLOSE


def _refuse(value: float | None, expanded_uncertainty: float, at_most: float | None) -> None:
    if not (math.isfinite(expanded_uncertainty) and expanded_uncertainty >= 0):
        raise ValueError(f"The expanded uncertainty is {expanded_uncertainty}; it has to be zero or more and finite.")
    for number in (value, at_most):
        if number is not None and not math.isfinite(number):
            raise ValueError(f"The figure is {number}; only a finite number can be judged.")


def _judge_bound(at_most: float | None, expanded_uncertainty: float, limit: Limit) -> Verdict:
    if at_most is None:
        return Verdict.CANNOT_TELL
    if limit.least is not None:
        return Verdict.OUTSIDE if at_most < limit.least - expanded_uncertainty else Verdict.CANNOT_TELL
    within = limit.most is not None and at_most <= limit.most - expanded_uncertainty
    return Verdict.WITHIN if within else Verdict.CANNOT_TELL


def figure(measurement: PulseMeasurement, quantity: Quantity) -> Figure:
    """The figure of a measurement that a limit on the quantity is about.

    >>> from restoration.engineering.pulses import PulseMeasurement
    >>> figure(PulseMeasurement("CH1", 2, 1.0, 0.0, 1.0, 1.0, amplitude_v=1.0), Quantity.AMPLITUDE).value
    1.0
    """
    held = getattr(measurement, quantity.field, None)
    value, at_most = (held.value_s, held.at_most_s) if isinstance(held, Transition) else (held, None)
    reason = measurement.reasons.get(quantity.field, "") if value is None else ""
    if quantity is Quantity.DELAY:
        reason = "The delay is between two traces; one trace alone does not tell it."
    return Figure(value, measurement.expanded_uncertainty(quantity.field) or 0.0, at_most, reason)


def overall(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of several: outside, then too close to call, then cannot tell; within only where all are.

    None at all cannot tell.

    >>> overall([Verdict.WITHIN, Verdict.TOO_CLOSE]).value, overall([]).value
    ('too close to call', 'cannot tell')
    """
    given = set(verdicts)
    for worst in (Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.CANNOT_TELL):
        if worst in given:
            return worst
    return Verdict.WITHIN if given else Verdict.CANNOT_TELL
