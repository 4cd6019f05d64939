"""What a measurement of a trace says, and its form for other programs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Any


class Polarity(StrEnum):
    """Which way the waveform goes from its base state."""

    POSITIVE_PULSE = "positive pulse"
    NEGATIVE_PULSE = "negative pulse"
    STEP_UP = "step up"
    STEP_DOWN = "step down"
    NONE = "none"


@dataclass(frozen=True)
class Transition:
    """Transition duration between the 10 % and 90 % reference levels: a value, or only a bound.

    ``at_most_s`` stands in for the value where fewer than two samples lie on the edge. ``samples_on_edge`` is the
    median count of samples strictly between the two reference levels, None where there is no such edge.

    >>> Transition(None, 8e-9, 1).as_json()
    {'value': None, 'at_most': 8e-09, 'samples_on_edge': 1}
    """

    value_s: float | None = None
    at_most_s: float | None = None
    samples_on_edge: int | None = None

    def as_json(self) -> dict[str, float | int | None]:
        """Plain mapping with the keys value, at_most and samples_on_edge."""
        return {"value": self.value_s, "at_most": self.at_most_s, "samples_on_edge": self.samples_on_edge}


@dataclass(frozen=True)
class PulseMeasurement:
    """Pulse parameters of one trace in the terms of IEEE 181 and IEC 60469; SI units.

    A figure that the trace cannot give is None, and ``reasons`` holds a sentence under the name of that field.
    ``uncertainty`` holds standard uncertainties (k = 1) under the names of the fields they belong to.
    ``overshoot``, ``undershoot`` and ``preshoot`` are parts of the amplitude; ``duty`` is pulse duration by period.
    """

    name: str
    samples: int
    sample_interval_s: float | None
    minimum_v: float
    maximum_v: float
    peak_to_peak_v: float
    low_level_v: float | None = None
    high_level_v: float | None = None
    amplitude_v: float | None = None
    polarity: Polarity = Polarity.NONE
    rising_edges: int = 0
    falling_edges: int = 0
    rise_time_s: Transition = Transition()
    fall_time_s: Transition = Transition()
    pulse_duration_s: float | None = None
    period_s: float | None = None
    frequency_hz: float | None = None
    duty: float | None = None
    jitter_s: float | None = None
    overshoot: float | None = None
    undershoot: float | None = None
    preshoot: float | None = None
    settling_s: float | None = None
    ringing_hz: float | None = None
    ringing_decay_s: float | None = None
    noise_rms_v: float | None = None
    unit: str = "V"
    warnings: tuple[str, ...] = ()
    reasons: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    uncertainty: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))

    def expanded_uncertainty(self, name: str) -> float | None:
        """Expanded uncertainty (k = 2, about 95 %) of the field of that name, None where none could be stated.

        >>> one = PulseMeasurement("CH1", 2, 1.0, 0.0, 1.0, 1.0, uncertainty={"amplitude_v": 0.1})
        >>> one.expanded_uncertainty("amplitude_v"), one.expanded_uncertainty("jitter_s")
        (0.2, None)
        """
        standard = self.uncertainty.get(name)
        return None if standard is None else 2.0 * standard


_KEYS = (
    "name", "samples", "sample_interval_s", "minimum_v", "maximum_v", "peak_to_peak_v", "low_level_v", "high_level_v",
    "amplitude_v", "polarity", "rising_edges", "falling_edges", "rise_time_s", "fall_time_s", "pulse_duration_s",
    "period_s", "frequency_hz", "duty", "jitter_s", "overshoot", "undershoot", "preshoot", "settling_s", "ringing_hz",
    "noise_rms_v",
)  # fmt: skip


def as_json(measurement: PulseMeasurement) -> dict[str, Any]:
    """The measurement as plain values with stable keys, ready for strict JSON: SI units, None where not known.

    After ``warnings`` come ``ringing_decay_s``, ``unit``, ``reasons`` (why a figure is None, by key) and
    ``expanded_uncertainty`` (k = 2, by key).

    >>> as_json(PulseMeasurement("CH1", 2, 1.0, 0.0, 1.0, 1.0))["polarity"]
    'none'
    """
    plain: dict[str, Any] = {}
    for key in _KEYS:
        value = getattr(measurement, key)
        if isinstance(value, Transition):
            plain[key] = value.as_json()
        else:
            plain[key] = value.value if isinstance(value, Polarity) else value
    plain["warnings"] = list(measurement.warnings)
    plain["ringing_decay_s"] = measurement.ringing_decay_s
    plain["unit"] = measurement.unit
    plain["reasons"] = dict(measurement.reasons)
    plain["expanded_uncertainty"] = {name: 2.0 * value for name, value in measurement.uncertainty.items()}
    return plain
