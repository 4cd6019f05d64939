"""The oscilloscope that looks at a trace: sample interval, range, bits, noise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)

Samples = NDArray[np.float64]


@dataclass(frozen=True)
class Oscilloscope:
    """A digitising oscilloscope: sample interval, record, range over which its bits are spread.

    With `clips` false a trace that leaves the range is refused, so that no capture is spoilt by
    oversight; with `clips` true it is held at the end of the range, as the instrument would.

    >>> Oscilloscope(2e-9, 5000, least_v=-10.0, most_v=41.0).volts_per_code
    0.2
    """

    sample_interval_s: float
    samples: int
    least_v: float
    most_v: float
    start_s: float = 0.0
    bits: int = 8
    noise_rms_v: float = 0.0
    clips: bool = False

    def __post_init__(self) -> None:
        refuse_not_above_zero(sample_interval_s=self.sample_interval_s)
        refuse_not_finite(start_s=self.start_s, least_v=self.least_v, most_v=self.most_v)
        refuse_below_zero(noise_rms_v=self.noise_rms_v)
        refuse_unless(self.samples >= 2, f"A capture holds two samples or more; {self.samples} was given.")
        refuse_unless(
            self.most_v > self.least_v,
            f"The range must rise from least_v to most_v; {self.least_v} to {self.most_v} was given.",
        )
        refuse_unless(1 <= self.bits <= 16, f"An oscilloscope has 1 to 16 bits; {self.bits} was given.")

    @property
    def volts_per_code(self) -> float:
        """The smallest step it can show: range / (2^bits - 1)."""
        return (self.most_v - self.least_v) / float(2**self.bits - 1)

    @property
    def times_s(self) -> Samples:
        """When each sample is taken, in seconds; shape (samples,)."""
        return self.start_s + self.sample_interval_s * np.arange(self.samples, dtype=np.float64)


def digitise(scope: Oscilloscope, volts: Samples, generator: np.random.Generator) -> Samples:
    """What the oscilloscope stores of a trace: noise added, then rounded to its codes.

    Formula: v = least_v + q*round((v + n - least_v)/q), q = range/(2^bits - 1), n normal with
    `noise_rms_v`. Source: the definition of a uniform quantiser.
    Valid for noise that is white over the record; the analogue bandwidth is taken as ample.
    Units: volts. Shapes: `volts` and the answer (samples,). Errors: ValueError where the shape
    differs, a value is not finite, or a value leaves the range while `clips` is false.

    >>> scope = Oscilloscope(1e-9, 3, least_v=0.0, most_v=25.5, clips=True)
    >>> digitise(scope, np.array([0.04, 12.26, 90.0]), np.random.default_rng(1)).round(6).tolist()
    [0.0, 12.3, 25.5]
    """
    refuse_unless(
        volts.shape == (scope.samples,),
        f"The trace must hold {scope.samples} samples in one row; its shape is {volts.shape}.",
    )
    refuse_unless(bool(np.all(np.isfinite(volts))), "Every sample of the trace must be finite.")
    seen_v = volts + scope.noise_rms_v * generator.standard_normal(scope.samples)
    half_code_v = scope.volts_per_code / 2
    refuse_unless(
        scope.clips or bool(np.all((seen_v >= scope.least_v - half_code_v) & (seen_v <= scope.most_v + half_code_v))),
        f"The trace runs from {seen_v.min():.4g} to {seen_v.max():.4g} V and leaves the range of "
        f"{scope.least_v:g} to {scope.most_v:g} V; widen the range or allow it to clip.",
    )
    codes = np.clip(np.rint((seen_v - scope.least_v) / scope.volts_per_code), 0, 2**scope.bits - 1)
    return scope.least_v + scope.volts_per_code * codes
