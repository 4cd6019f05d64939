"""What an oscilloscope capture is once it has been read: traces of evenly spaced samples."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]

LARGEST_VALUE = 1e9
"""Volts. No probe carries more; a larger number is an over-range mark or a misread column."""


class CaptureRefused(ValueError):  # noqa: N818 - the word the workshop uses
    """The capture cannot be read; the message is a whole sentence for the person who brought it."""


_JUDGED = 65536  # samples by which a grid is judged
_FEWEST_ON_GRID, _MOST_ON_GRID = 4, 16384  # distinct values
_SAME = 1e-7  # part of the range below which two values differ by arithmetic only


@dataclass(frozen=True, eq=False)
class Trace:
    """One channel of one record: samples at ``start_s + i * interval_s``.

    ``values`` is a one-dimensional float64 array that cannot be written to. ``interval_s`` is None when neither
    the file nor the person states it: levels can then be measured, times cannot. ``quantum_v`` is the vertical step
    of the converter where it can be told from the samples, ``probe_factor`` the attenuation stated in the header.

    Raises CaptureRefused for an empty, many-dimensional or non-finite array, and for an interval that is not
    above zero.

    >>> Trace("CH1", 0.0, 1e-9, np.array([0.0, 0.5, 1.0])).values.flags.writeable
    False
    """

    name: str
    start_s: float
    interval_s: float | None
    values: Samples = field(repr=False)
    unit: str = "V"
    quantum_v: float | None = None
    probe_factor: float | None = None

    def __post_init__(self) -> None:
        values = np.ascontiguousarray(self.values, dtype=np.float64)
        if values.ndim != 1 or not values.size:
            raise CaptureRefused(f"A trace is a single row of samples; this one has the shape {values.shape}.")
        if not np.isfinite(values).all():
            place = int(np.flatnonzero(~np.isfinite(values))[0])
            raise CaptureRefused(f"Sample {place + 1} is {values[place]}, which is not a voltage.")
        if not math.isfinite(self.start_s):
            raise CaptureRefused(f"The first sample is at {self.start_s} s; it has to be at a finite time.")
        if self.interval_s is not None and not (math.isfinite(self.interval_s) and self.interval_s > 0):
            raise CaptureRefused(f"The sample interval is {self.interval_s} s; it has to be above zero and finite.")
        frozen = values.view()
        frozen.flags.writeable = False
        object.__setattr__(self, "values", frozen)

    @property
    def duration_s(self) -> float | None:
        """Time from the first sample to the last."""
        return None if self.interval_s is None else self.interval_s * (self.values.size - 1)


@dataclass(frozen=True, eq=False)
class Capture:
    """What one file held: its shape in words, its traces, and whatever the reader should be told."""

    shape: str
    channels: tuple[Trace, ...]
    warnings: tuple[str, ...] = ()


def vertical_step(values: Samples) -> float | None:
    """Vertical step of the converter, in the unit of the samples, or None where the samples do not show one.

    The distinct values of a digitised trace lie on a grid (see ``grid_step``); so do those of a clean straight edge,
    which rises by as much from each sample to the next. A converter shows itself where the trace rests or turns: it
    does so on two neighbouring steps of the grid, as noise or a slow tail makes it, while the states between which an
    edge runs lie many of its steps apart. Own method; valid for converters of 16 bits or fewer. A trace that rests on
    values far apart, without any noise, shows no step.

    >>> vertical_step(np.repeat([0.0, 0.02, 0.04, 0.08], 8))
    0.02
    >>> vertical_step(np.array([0.0, 5.0] * 20)) is None
    True
    >>> vertical_step(np.repeat([0.0, 1.0, 2.0, 3.0, 4.0], [20, 1, 1, 1, 20])) is None
    True
    """
    step = grid_step(values)
    if step is None:
        return None
    apart = np.diff(np.unique(_rested(values)))
    real = apart[apart > _SAME * float(np.ptp(values))]
    return step if real.size and real.min() < 1.5 * step else None


def _rested(values: Samples) -> Samples:
    """The samples that are held or turned back from: all but those strictly between their neighbours."""
    middle = np.arange(1, values.size - 1, max(1, values.size // _JUDGED))
    before, here, after = values[middle - 1], values[middle], values[middle + 1]
    passed = ((before < here) & (here < after)) | ((before > here) & (here > after))
    rested: Samples = here[~passed]
    return rested


def grid_step(values: Samples) -> float | None:
    """Step of the grid that all samples lie on, in their unit, or None where they lie on none.

    The step is told when at least four distinct values are seen, many times over, with every gap between neighbours a
    whole multiple of the smallest gap to within a tenth of it (room for printed rounding). Own method.

    >>> grid_step(np.repeat([0.0, 1.0, 2.0, 3.0, 4.0], [20, 1, 1, 1, 20]))
    1.0
    """
    stride = max(1, values.size // _JUDGED)
    distinct = np.unique(values[::stride])
    if (
        distinct.size < _FEWEST_ON_GRID
        or distinct.size * _FEWEST_ON_GRID > values[::stride].size
        or distinct.size > _MOST_ON_GRID
    ):
        return None
    gaps = np.diff(distinct)
    real = gaps[gaps > _SAME * (distinct[-1] - distinct[0])]
    if not real.size:
        return None
    multiples = real / real.min()
    if np.abs(multiples - np.round(multiples)).max() > 0.1:
        return None
    step = float(real.sum() / np.round(multiples).sum())
    return float(f"{step:.6g}")
