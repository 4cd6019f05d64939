"""Telling hum from own-rate ripple in a trace."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from restoration.engineering.captures.record import Samples, Trace
from restoration.engineering.refusals import refuse_not_above_zero, refuse_not_finite, refuse_unless
from restoration.engineering.spectrum.fitting import Fit, fit_sines
from restoration.engineering.spectrum.frequencies import MAINS, OWN, Named, named_lines
from restoration.engineering.spectrum.rates import MOST_PART, found_rate

MOST_SAMPLES = 4_000_000
MOST_LINES = 80
SEEN = 4.0  # standard uncertainties: of 10,000 lines of nothing but noise, 3 stand out so far
MUCH = 4.0  # times the other's energy (twice its level) is "mostly"
STEADY, HALF_RATE = "the steady level", "half the sampling rate"


class Cause(StrEnum):
    """What the lines say about where the ripple comes from."""

    HUM = "mostly hum"
    OWN = "mostly own-rate ripple"
    BOTH = "hum and own-rate ripple"
    NEITHER = "neither"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True)
class Line:
    """One harmonic of the mains or of the machine's own rate.

    `seen_at_hz` is where the sampling puts it: itself below half the sampling rate, above it the frequency it folds
    to. `peak_v` is None where something else stands too near, which `too_near` names; `at_most_v` then bounds the
    height, where the record can.
    """

    family: str
    harmonic: int
    frequency_hz: float
    seen_at_hz: float
    words: str
    peak_v: float | None
    uncertainty_v: float | None
    at_most_v: float | None = None
    too_near: str = ""

    @property
    def is_folded(self) -> bool:
        """Whether it is seen elsewhere than it is."""
        return self.seen_at_hz != self.frequency_hz


@dataclass(frozen=True)
class Ripple:
    """What a record holds besides its steady level, in volts rms: hum, own ripple, what cannot be told, the rest.

    `unresolved_rms_v` is made by lines of both families that stand too near each other, or too near the steady level.
    `mains_hz` and `own_hz` are the rates as they were found in the record.
    """

    lines: tuple[Line, ...]
    mains_rms_v: float
    own_rms_v: float
    unresolved_rms_v: float
    rest_rms_v: float
    mains_hz: float
    own_hz: float
    duration_s: float
    cause: Cause

    @property
    def resolution_hz(self) -> float:
        """One over the length of the record: lines nearer than that cannot be told apart."""
        return 1.0 / self.duration_s


@dataclass(frozen=True)
class Rates:
    """Both rates, how many harmonics of each are looked at, and within which part of each it may lie."""

    mains_hz: float
    own_hz: float
    mains_harmonics: int
    own_harmonics: int
    mains_off: float
    own_off: float

    def __post_init__(self) -> None:
        refuse_not_above_zero(mains_hz=self.mains_hz, own_hz=self.own_hz)
        refuse_not_finite(mains_hz=self.mains_hz, own_hz=self.own_hz)
        count = self.mains_harmonics + self.own_harmonics
        refuse_unless(
            min(self.mains_harmonics, self.own_harmonics) >= 1 and count <= MOST_LINES,
            f"At least one line of each rate and {MOST_LINES} in all are looked at; "
            f"{self.mains_harmonics} and {self.own_harmonics} were given.",
        )
        for off in (self.mains_off, self.own_off):
            refuse_unless(
                0 <= off <= MOST_PART, f"A rate is looked for within 0 to {MOST_PART} of itself; {off} was given."
            )

    def lines(self, interval_s: float) -> tuple[Named, ...]:
        """All lines of both."""
        return (
            *named_lines(MAINS, self.mains_hz, self.mains_harmonics, interval_s),
            *named_lines(OWN, self.own_hz, self.own_harmonics, interval_s),
        )

    def moved(self, mains_hz: float, own_hz: float) -> Rates:
        """The same with other rates."""
        return Rates(mains_hz, own_hz, self.mains_harmonics, self.own_harmonics, self.mains_off, self.own_off)


def tell_ripple(
    trace: Trace,
    *,
    own_hz: float,
    mains_hz: float = 50.0,
    mains_harmonics: int = 10,
    own_harmonics: int = 20,
    mains_off: float = 0.01,
    own_off: float = 0.001,
) -> Ripple:
    """Tell hum from own-rate ripple: the height of each line, what is left, and the cause in a word.

    Formula: `fit_sines` at all harmonics of both rates at once; peak = √(a² + b²), its standard uncertainty from the
    residual and the normal matrix. Each rate is first looked for within its part (`mains_off`, `own_off`) of what is
    stated, where the record is long enough to show it. A line nearer than 1/T to another, to the steady level or to
    half the sampling rate gets no peak but a bound, peak + 2 u, the largest over what both rates may be; none where
    the two may coincide. Neighbours of one family count for it together. The cause: what is four standard
    uncertainties high counts; four times the energy of the other and of all that cannot be told is "mostly"; where
    what cannot be told could turn the answer, nothing is told. Source: linear least squares and the resolution
    1/T, common practice. Valid for steady rates and heights over the record; a rest that keeps a third rate makes the
    uncertainties too small. Lines above half the sampling rate are taken where they fold to.
    Units: V, Hz, s. Shapes: any trace. Errors: ValueError for a trace without a sample interval, with too few samples
    for its lines or more than four million, rates not above zero, a part not from 0 to 0.2, more than 80 lines.

    >>> t = np.arange(4000) * 1e-4
    >>> trace = Trace("HT", 0.0, 1e-4, 0.3 * np.sin(2 * np.pi * 100 * t) + 0.05 * np.sin(2 * np.pi * 830 * t))
    >>> ripple = tell_ripple(trace, own_hz=830.0)
    >>> ripple.cause.value, round(ripple.mains_rms_v, 3), round(ripple.own_rms_v, 3)
    ('mostly hum', 0.212, 0.035)
    """
    rates = Rates(mains_hz, own_hz, mains_harmonics, own_harmonics, mains_off, own_off)
    interval_s = _interval(trace)
    duration_s = interval_s * trace.values.size
    rates = _found(trace.values, interval_s, rates)
    named = rates.lines(interval_s)
    fit = fit_sines(trace.values, interval_s, [line.seen_at_hz for line in named])
    near = _too_near(named, interval_s, duration_s)
    bounds = _bounds(trace.values, interval_s, rates, duration_s) if any(near) else [None] * len(named)
    lines = tuple(_line(line, at, fit, near[at], bounds[at]) for at, line in enumerate(named))
    return _summed(lines, fit, _bunches(named, interval_s, duration_s), rates, duration_s)


def _interval(trace: Trace) -> float:
    if trace.interval_s is None:
        raise ValueError("This trace does not say its sample interval, so its frequencies cannot be known.")
    refuse_unless(
        trace.values.size <= MOST_SAMPLES,
        f"The trace has {trace.values.size} samples; up to {MOST_SAMPLES} are worked. Take a stretch of it.",
    )
    return trace.interval_s


def _found(values: Samples, interval_s: float, rates: Rates) -> Rates:
    """Both rates as they are in the record, each looked for with the other's lines taken away."""
    without_own = _without(values, interval_s, rates, OWN)
    mains_hz = found_rate(without_own, interval_s, rates.mains_hz, rates.mains_harmonics, rates.mains_off)
    rates = rates.moved(mains_hz, rates.own_hz)
    without_mains = _without(values, interval_s, rates, MAINS)
    own_hz = found_rate(without_mains, interval_s, rates.own_hz, rates.own_harmonics, rates.own_off)
    return rates.moved(mains_hz, own_hz)


def _without(values: Samples, interval_s: float, rates: Rates, family: str) -> Samples:
    named = rates.lines(interval_s)
    fit = fit_sines(values, interval_s, [line.seen_at_hz for line in named])
    return values - fit.wave_v([at for at, line in enumerate(named) if line.family == family])


def _distance(one: Named, other: Named) -> float:
    return abs(one.seen_at_hz - other.seen_at_hz)


def _too_near(named: Sequence[Named], interval_s: float, duration_s: float) -> list[str]:
    """What stands too near each line; an empty word where it stands alone."""
    found = []
    for line in named:
        others = [other.words for other in named if other is not line and _distance(line, other) * duration_s < 1.0]
        if line.seen_at_hz * duration_s < 1.0:
            others.append(STEADY)
        if (1.0 / interval_s - 2 * line.seen_at_hz) * duration_s < 1.0:
            others.append(HALF_RATE)
        found.append(others[0] if others else "")
    return found


def _bunches(named: Sequence[Named], interval_s: float, duration_s: float) -> list[tuple[str, list[int]]]:
    """Lines bunched with those too near them: whose each bunch is (empty: nobody can say), and its members."""
    order = sorted(range(len(named)), key=lambda at: named[at].seen_at_hz)
    bunches: list[list[int]] = []
    for at in order:
        if bunches and _distance(named[bunches[-1][-1]], named[at]) * duration_s < 1.0:
            bunches[-1].append(at)
        else:
            bunches.append([at])
    return [(_owner([named[at] for at in bunch], duration_s), bunch) for bunch in bunches]


def _owner(bunch: Sequence[Named], duration_s: float) -> str:
    families = {line.family for line in bunch}
    if len(families) > 1 or bunch[0].seen_at_hz * duration_s < 1.0:
        return ""
    return families.pop()


def _bounds(values: Samples, interval_s: float, rates: Rates, duration_s: float) -> list[float | None]:
    """The largest height each line could have, over all that both rates may be; None where two may coincide."""
    mains_off = min(rates.mains_off * rates.mains_hz, 0.25 / duration_s)
    own_off = min(rates.own_off * rates.own_hz, 0.25 / duration_s)
    corners = [
        rates.moved(rates.mains_hz + a * mains_off, rates.own_hz + b * own_off) for a in (-1, 1) for b in (-1, 1)
    ]
    fits = [fit_sines(values, interval_s, [line.seen_at_hz for line in corner.lines(interval_s)]) for corner in corners]
    sides = [_sides(corner.lines(interval_s)) for corner in corners]
    return [_bound(at, fits, [side[at] for side in sides]) for at in range(len(sides[0]))]


def _sides(named: Sequence[Named]) -> list[tuple[int, ...]]:
    """For each line, on which side of it every other stands."""
    at_hz = np.array([line.seen_at_hz for line in named])
    return [tuple(row) for row in np.sign(np.subtract.outer(at_hz, at_hz)).astype(int).tolist()]


def _bound(at: int, fits: Sequence[Fit], sides: Sequence[tuple[int, ...]]) -> float | None:
    if len(set(sides)) > 1 or sides[0].count(0) > 1 or not all(fit.is_shown[at] for fit in fits):
        return None
    return max(fit.peak_v(at) + 2 * fit.uncertainty_v(at) for fit in fits)


def _line(named: Named, at: int, fit: Fit, near: str, bound: float | None) -> Line:
    told = (named.family, named.harmonic, named.frequency_hz, named.seen_at_hz, named.words)
    if near:
        return Line(*told, None, None, bound, near)
    return Line(*told, fit.peak_v(at), fit.uncertainty_v(at))


def _summed(
    lines: tuple[Line, ...], fit: Fit, bunches: Sequence[tuple[str, list[int]]], rates: Rates, duration_s: float
) -> Ripple:
    energy = {MAINS: 0.0, OWN: 0.0, "": 0.0}
    counted = dict(energy)
    for owner, members in bunches:
        made = fit.rms_v(members) ** 2
        energy[owner] += made
        if made * fit.samples > SEEN**2 * fit.rest_rms_v**2 * len(members):
            counted[owner] += made
    rms = {owner: math.sqrt(made) for owner, made in energy.items()}
    blind = all(line.too_near for line in lines if line.family == MAINS)
    return Ripple(
        lines, rms[MAINS], rms[OWN], rms[""], fit.rest_rms_v, rates.mains_hz, rates.own_hz, duration_s,
        _cause(counted[MAINS], counted[OWN], counted[""], blind=blind),
    )  # fmt: skip


def _cause(hum: float, own: float, unresolved: float, *, blind: bool) -> Cause:
    if hum and hum >= MUCH * (own + unresolved):
        return Cause.HUM
    if own and own >= MUCH * (hum + unresolved):
        return Cause.OWN
    if unresolved * MUCH >= max(hum, own) and (unresolved or blind):
        return Cause.CANNOT_TELL
    return Cause.BOTH if hum and own else Cause.NEITHER
