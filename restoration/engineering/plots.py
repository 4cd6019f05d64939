"""Geometry of a drawn trace: where every point, tick and band lies on the paper, and numbers for people."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.captures.record import Samples, Trace
from restoration.engineering.figures import PREFIXES, power_for

_DUST = 1e-18  # a thousandth of the least prefix: what arithmetic leaves behind, and nothing that was measured
_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


def format_si(value: float | None, unit: str, digits: int = 3) -> str:
    """A value for people: significant digits, a prefix of thousands, a no-break space, the unit.

    A value that is None or not finite is "not known"; one below a thousandth of the least prefix (f) is nothing.
    A part of something (no unit) is given as it is.

    >>> format_si(2.4149e-6, "s"), format_si(31.0, "V"), format_si(999.96, "Hz"), format_si(None, "s")
    ('2.41\\xa0µs', '31.0\\xa0V', '1.00\\xa0kHz', 'not known')
    """
    if value is None or not math.isfinite(value):
        return "not known"
    if not unit:
        return f"{value:.{digits}g}"
    if abs(value) < _DUST:
        return f"0\u00a0{unit}"
    power = power_for(value, digits)
    mantissa = float(f"{value:.{digits - 1}e}") / 10.0**power
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(mantissa)) + 1e-12))
    return f"{mantissa:.{min(decimals, 12)}f}\u00a0{PREFIXES[power]}{unit}"


def format_part(value: float | None) -> str:
    """A part of the amplitude as a percentage for people.

    >>> format_part(0.0724), format_part(None)
    ('7.2\\xa0%', 'not known')
    """
    return "not known" if value is None or not math.isfinite(value) else f"{100 * value:.1f}\u00a0%"


@dataclass(frozen=True)
class Tick:
    """One line of the grid: where it lies in drawing units, its value and its words."""

    at: float
    value: float
    words: str


@dataclass(frozen=True)
class Frame:
    """The plot on the paper: its box in drawing units, and the span of time and volts it shows."""

    left: float
    top: float
    width: float
    height: float
    start_s: float
    stop_s: float
    least_v: float
    most_v: float

    def x(self, time_s: float) -> float:
        """Drawing unit across of an instant."""
        return self.left + self.width * (time_s - self.start_s) / (self.stop_s - self.start_s)

    def y(self, level_v: float) -> float:
        """Drawing unit down of a level."""
        return self.top + self.height * (self.most_v - level_v) / (self.most_v - self.least_v)


@dataclass(frozen=True)
class Band:
    """A limit band as a rectangle, cut to the frame."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Curve:
    """A trace ready to draw: its name and the ``points`` attribute of a polyline."""

    name: str
    points: str


def nice_ticks(least: float, most: float, about: int = 6) -> tuple[float, ...]:
    """Round values from least to most: steps of 1, 2, 2.5 or 5 times a power of ten, near the number asked for.

    Raises ValueError where least is not below most, or either is not finite.

    >>> nice_ticks(-0.3, 5.2)
    (0.0, 1.0, 2.0, 3.0, 4.0, 5.0)
    """
    if not (math.isfinite(least) and math.isfinite(most) and least < most):
        raise ValueError(f"An axis runs from a lower to a higher finite value; {least} to {most} was given.")
    rough = (most - least) / max(1, about)
    power = 10.0 ** math.floor(math.log10(rough))
    step = power * next((one for one in _STEPS if one * power >= rough * 0.999), 10.0)
    first, last = math.ceil(least / step - 1e-9), math.floor(most / step + 1e-9)
    return tuple(float(f"{place * step:.12g}") for place in range(first, last + 1))


def frame_for(
    traces: Sequence[Trace], *, width: float = 960.0, height: float = 420.0, left: float = 84.0, top: float = 16.0,
    include_v: Sequence[float] = (),
) -> Frame:  # fmt: skip
    """A frame that holds all the traces and any further levels (limits, say), with a twentieth of room above and below.

    A trace without a sample interval is drawn against its sample number. Raises ValueError without a trace.

    >>> frame_for([Trace("CH1", 0.0, 1e-6, np.array([0.0, 5.0, 0.0]))]).stop_s
    2e-06
    """
    if not traces:
        raise ValueError("There is no trace to draw.")
    levels = [*include_v, *(float(t.values.min()) for t in traces), *(float(t.values.max()) for t in traces)]
    least, most = min(levels), max(levels)
    room = 0.05 * (most - least) or max(1e-9, 0.05 * abs(most)) or 1.0
    spans = [_span(trace) for trace in traces]
    start, stop = min(span[0] for span in spans), max(span[1] for span in spans)
    stop = stop if stop > start else start + 1.0
    return Frame(left, top, width - left, height - top, start, stop, least - room, most + room)


def _span(trace: Trace) -> tuple[float, float]:
    interval = trace.interval_s or 1.0
    return trace.start_s, trace.start_s + interval * (trace.values.size - 1)


def time_ticks(frame: Frame, unit: str = "s") -> tuple[Tick, ...]:
    """Grid lines across, with their times in words.

    >>> [tick.words for tick in time_ticks(Frame(0, 0, 100, 100, 0.0, 2e-6, 0.0, 1.0))][:2]
    ['0\\xa0s', '500\\xa0ns']
    """
    return tuple(Tick(frame.x(value), value, _short(value, unit)) for value in nice_ticks(frame.start_s, frame.stop_s))


def level_ticks(frame: Frame, unit: str = "V") -> tuple[Tick, ...]:
    """Grid lines down, with their levels in words.

    >>> [tick.words for tick in level_ticks(Frame(0, 0, 100, 100, 0.0, 1.0, 0.0, 2.0), "V")][-1]
    '2\\xa0V'
    """
    return tuple(Tick(frame.y(value), value, _short(value, unit)) for value in nice_ticks(frame.least_v, frame.most_v))


def _short(value: float, unit: str) -> str:
    """Up to four digits without zeros at the end, for an axis."""
    words = format_si(value, unit, 4)
    number, _, rest = words.partition("\u00a0")
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{number}\u00a0{rest}"


def curve(trace: Trace, frame: Frame, buckets: int = 960) -> Curve:
    """Points of a trace inside the frame, thinned to its least and most in each of a number of buckets of time.

    A trace of at most twice as many samples as buckets is drawn whole. Thinning keeps every peak: the drawn extreme of
    each bucket is a real sample, in the order in which the two came. Raises ValueError for fewer than one bucket.

    >>> curve(Trace("CH1", 0.0, 1.0, np.array([0.0, 1.0])), Frame(0, 0, 100, 50, 0.0, 1.0, 0.0, 1.0)).points
    '0,50 100,0'
    """
    if buckets < 1:
        raise ValueError(f"A trace is drawn in at least one bucket; {buckets} was given.")
    interval = trace.interval_s or 1.0
    first, last = _shown(trace, frame, interval)
    places = first + _extremes(trace.values[first:last], buckets)
    x = frame.left + frame.width * (trace.start_s + places * interval - frame.start_s) / (frame.stop_s - frame.start_s)
    y = frame.top + frame.height * (frame.most_v - trace.values[places]) / (frame.most_v - frame.least_v)
    return Curve(trace.name, " ".join(f"{_plain(a)},{_plain(b)}" for a, b in zip(x.tolist(), y.tolist(), strict=True)))


def thinned(trace: Trace, start_s: float, stop_s: float, buckets: int = 960) -> tuple[Samples, Samples]:
    """Times and values of a trace from one instant to another, thinned as ``curve`` does, for a plot that zooms.

    Formula: least and most sample of each bucket. Units: seconds, volts; a trace without a sample interval is given
    against its sample number. Shapes (m,), m at most twice the buckets and four. Raises ValueError for fewer than one
    bucket, or a stop not after the start.

    >>> times, values = thinned(Trace("CH1", 0.0, 1e-9, np.array([0.0, 1.0, 5.0, 1.0])), 0.0, 3e-9)
    >>> values.tolist()
    [0.0, 1.0, 5.0, 1.0]
    """
    if buckets < 1:
        raise ValueError(f"A trace is thinned to at least one bucket; {buckets} was given.")
    if not start_s < stop_s:
        raise ValueError(f"What is shown runs from an earlier to a later instant; {start_s} to {stop_s} was given.")
    interval = trace.interval_s or 1.0
    first, last = _shown(trace, Frame(0.0, 0.0, 1.0, 1.0, start_s, stop_s, 0.0, 1.0), interval)
    places = first + _extremes(trace.values[first:last], buckets)
    times: Samples = trace.start_s + interval * places.astype(np.float64)
    return times, trace.values[places]


def _shown(trace: Trace, frame: Frame, interval: float) -> tuple[int, int]:
    """The samples inside the frame, with one more on either side."""
    most = trace.values.size
    start, stop = (
        min(max((at_s - trace.start_s) / interval, -2.0), most + 1.0) for at_s in (frame.start_s, frame.stop_s)
    )
    first, last = math.floor(start) - 1, math.ceil(stop) + 2
    first = min(max(0, first), most)
    return first, max(first, min(last, trace.values.size))


def _extremes(values: Samples, buckets: int) -> NDArray[np.intp]:
    """Places of the least and the most sample of each bucket, in order, and of the first and the last of all."""
    if values.size <= 2 * buckets:
        return np.arange(values.size)
    each = math.ceil(values.size / buckets)
    count = values.size // each
    whole = each * count
    blocks = values[:whole].reshape(count, each)
    base = np.arange(count) * each
    pairs = np.sort(np.stack((base + blocks.argmin(axis=1), base + blocks.argmax(axis=1)), axis=1), axis=1)
    places = pairs.ravel()
    if whole < values.size:
        rest = values[whole:]
        places = np.append(places, sorted((whole + int(rest.argmin()), whole + int(rest.argmax()))))
    return np.concatenate(([0], places, [values.size - 1]))


def _plain(value: float) -> str:
    words = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if words == "-0" else words


def level_band(frame: Frame, least_v: float | None, most_v: float | None) -> Band | None:
    """The band between two levels across the whole frame; an open side reaches the frame's edge, None outside it.

    >>> level_band(Frame(0, 0, 100, 50, 0.0, 1.0, 0.0, 10.0), 8.0, None)
    Band(x=0, y=0.0, width=100, height=10.0)
    """
    low = frame.least_v if least_v is None else max(least_v, frame.least_v)
    high = frame.most_v if most_v is None else min(most_v, frame.most_v)
    if (least_v is None and most_v is None) or low >= high:
        return None
    return Band(frame.left, frame.y(high), frame.width, frame.y(low) - frame.y(high))
