"""Rise times: of an RC, of several in a row, of a bandwidth, and the true edge behind what the instrument showed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

import numpy as np
from scipy.optimize import brentq
from scipy.special import gammaincinv

from restoration.engineering.plots import format_si
from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import refuse_below_zero, refuse_not_above_zero, refuse_not_finite, refuse_unless

Shape = Literal["gaussian", "single pole"]

RISE_TIMES_BANDWIDTH = {
    "single pole": math.log(9.0) / (2.0 * math.pi),
    "gaussian": 2.0 * NormalDist().inv_cdf(0.9) * math.sqrt(math.log(2.0)) / (2.0 * math.pi),
}
"""Rise time (10 to 90 %) times bandwidth (−3 dB): ln 9 / 2π = 0.34969915, and 0.33962445 for a Gaussian response."""

_NODES = 32
_ANGLES = (2 * np.arange(_NODES) + 1) * np.pi / _NODES - np.pi
_PLACES = _NODES * (0.5017 * _ANGLES / np.tan(0.6407 * _ANGLES) - 0.6122 + 0.2645j * _ANGLES)
_SLOPES = _NODES * (
    0.5017 / np.tan(0.6407 * _ANGLES) - 0.5017 * 0.6407 * _ANGLES / np.sin(0.6407 * _ANGLES) ** 2 + 0.2645j
)
_WEIGHTS = np.exp(_PLACES) * _SLOPES / (1j * _NODES)

"""Points of Talbot's contour and what each weighs in the inverse transform, at a time of one."""

MUCH_LONGER = 3.0
"""An edge this many times the instrument's own reads about 5 % long, √(1 + 1 / 9): common practice, no source."""


def rc_rise_s(resistance_ohm: float, capacitance_f: float, low: float = 0.1, high: float = 0.9) -> float:
    """The rise time of a capacitance charged through a resistance.

    Formula: R C ln((1 − low) / (1 − high)), which is ln 9 R C from 10 to 90 %; the usual 2.2 R C is 0.126 % more.
    Source: the exponential; ngspice agrees. Valid for one pole and a step far quicker than the result. Units: Ω, F, s.
    Errors: ValueError for values below zero or not finite, and fractions not 0 < low < high < 1.

    >>> round(rc_rise_s(1e3, 100e-12) * 1e9, 5)
    219.72246
    """
    refuse_below_zero(resistance_ohm=resistance_ohm, capacitance_f=capacitance_f)
    refuse_unless(
        0.0 < low < high < 1.0,
        f"A rise time runs from a low to a higher part of the step, both between 0 and 1; {low} and {high} were given.",
    )
    return resistance_ohm * capacitance_f * math.log((1.0 - low) / (1.0 - high))


def combined_rise_s(*parts_s: float) -> float:
    """The rise time of several stages in a row by the sum of squares.

    Formula: √Σ t². Source: exact for Gaussian responses only. For poles it reads low, two equal RC stages by 7.46 %
    (see `quadrature_error`); for measured instruments its systematic error is typically unknown (P. Hale and others,
    2017, from the abstract on nist.gov). Never less than the longest part. Units: s. Shape: one part or more. Errors:
    ValueError for no part and for parts below zero or not finite.

    >>> combined_rise_s(3e-9, 4e-9)
    5e-09
    """
    refuse_unless(bool(parts_s), "No rise time was given to combine; give one or more.")
    for part_s in parts_s:
        refuse_below_zero(rise_time_s=part_s)
    return math.hypot(*parts_s)


def _constant(shape: Shape) -> float:
    names = " or ".join(sorted(RISE_TIMES_BANDWIDTH))
    refuse_unless(shape in RISE_TIMES_BANDWIDTH, f"The shape of a response is {names}; “{shape}” was given.")
    return RISE_TIMES_BANDWIDTH[shape]


def bandwidth_of_rise(rise_s: float, shape: Shape = "gaussian") -> float:
    """The −3 dB bandwidth that goes with a rise time.

    Formula: 0.33962445 / t for a Gaussian response, 0.34969915 / t for a single pole. Source: closed forms; the 0.35 of
    practice is the second, rounded. Valid for responses of these shapes; a sharply cut one has up to 0.45. Units: s,
    Hz. Errors: ValueError for a rise time not above zero or not finite, and a shape there is not.

    >>> round(bandwidth_of_rise(3.5e-9, "single pole") / 1e6, 3)
    99.914
    """
    refuse_not_above_zero(rise_s=rise_s)
    refuse_not_finite(rise_s=rise_s)
    return _constant(shape) / rise_s


def rise_of_bandwidth(bandwidth_hz: float, shape: Shape = "gaussian") -> float:
    """The rise time that goes with a −3 dB bandwidth.

    Formula, source and validity: as `bandwidth_of_rise`. Units: Hz, s. Errors: ValueError for a bandwidth not above
    zero or not finite, and a shape there is not.

    >>> round(rise_of_bandwidth(20e6, "single pole") * 1e9, 3), round(rise_of_bandwidth(20e6) * 1e9, 3)
    (17.485, 16.981)
    """
    refuse_not_above_zero(bandwidth_hz=bandwidth_hz)
    refuse_not_finite(bandwidth_hz=bandwidth_hz)
    return _constant(shape) / bandwidth_hz


def equal_stages_rise_s(time_constant_s: float, count: int) -> float:
    """The rise time of so many equal RC stages in a row, none loading the one before.

    Formula: τ (P⁻¹(n, 0.9) − P⁻¹(n, 0.1)), P the regularised lower incomplete gamma function, for the step response of
    1 / (1 + s τ)ⁿ is P(n, t / τ). Source: closed form; 3.357908561 τ for two, and ngspice agrees. Valid for buffered
    stages. Units: s. Errors: ValueError for a time constant not above zero or not finite, and fewer than one stage.

    >>> round(equal_stages_rise_s(1.0, 2), 9)
    3.357908561
    """
    refuse_not_above_zero(time_constant_s=time_constant_s)
    refuse_not_finite(time_constant_s=time_constant_s)
    refuse_unless(count >= 1, f"There has to be at least one stage; {count} was given.")
    return time_constant_s * float(gammaincinv(count, 0.9) - gammaincinv(count, 0.1))


def staged_rise_s(time_constants_s: Sequence[float]) -> float:
    """The rise time of RC stages in a row, alike or not, none loading the one before.

    Formula: the step response is the inverse Laplace transform of 1 / s ∏ 1 / (1 + s τ) along Talbot's contour, and its
    10 and 90 % points are found by Brent's method. Source: J. A. C. Weideman, "Optimizing Talbot's contours", SIAM J.
    Numer. Anal. 44, 2006, from memory; equal stages agree with `equal_stages_rise_s`. Valid for buffered stages.
    Units: s. Shape: 1 to 20 time constants. Errors: ValueError for none or more than 20, and for one not above zero
    or not finite.

    >>> round(staged_rise_s([1.0, 1.0]), 6), round(staged_rise_s([3.0, 4.0]), 6)
    (3.357909, 11.810313)
    """
    refuse_unless(1 <= len(time_constants_s) <= 20, f"Give 1 to 20 stages; {len(time_constants_s)} were given.")
    for constant_s in time_constants_s:
        refuse_not_above_zero(time_constant_s=constant_s)
        refuse_not_finite(time_constant_s=constant_s)
        refuse_out_of_reach(time_constant_s=constant_s)
    longest_s = max(time_constants_s)
    parts = np.array(time_constants_s) / longest_s

    def left(time: float) -> float:
        """The part of a step still to come, by the inverse transform of (1 − ∏ 1 / (1 + s τ)) / s."""
        places = _PLACES / time
        passed = 1.0 / np.prod(1.0 + places[:, None] * parts[None, :], axis=1)
        return float(((1.0 - passed) / places * _WEIGHTS).sum().real) / time

    latest = 40.0 * len(parts)
    early, late = (brentq(lambda time, part=part: left(time) - part, 1e-9, latest, xtol=1e-12) for part in (0.9, 0.1))
    return longest_s * float(late - early)


def quadrature_error(time_constants_s: Sequence[float]) -> float:
    """By what part the sum of squares misses the rise time of RC stages in a row; below zero where it reads low.

    Formula: √Σ (ln 9 τ)² / exact − 1, exact by `staged_rise_s`. Source: as there. Valid for buffered RC stages; it
    shows what the sum of squares may be out by, where the real responses are not known. Units: s in, a part of one
    out. Errors: as `staged_rise_s`.

    >>> round(quadrature_error([1.0, 1.0]), 4), round(quadrature_error([1.0, 0.1]), 4)
    (-0.0746, -0.0031)
    """
    exact_s = staged_rise_s(time_constants_s)
    return combined_rise_s(*(math.log(9.0) * constant_s for constant_s in time_constants_s)) / exact_s - 1.0


@dataclass(frozen=True)
class TrueEdge:
    """The edge behind a measured one: a value, or None where it cannot be known; bounds always; why or with what care.

    `low_s` and `high_s` take in the uncertainty of the measurement and of the instrument, and both ways of taking the
    instrument out: as Gaussian responses and as RC stages.
    """

    value_s: float | None
    low_s: float
    high_s: float
    reason: str


def true_edge(
    measured_s: float,
    measured_uncertainty_s: float,
    instrument_s: float,
    probe_s: float = 0.0,
    *,
    instrument_tolerance: float = 0.0,
) -> TrueEdge:
    """The edge of the signal itself, the rise times of instrument and probe taken out.

    Formula: √(measured² − instrument² − probe²), exact for Gaussian responses. The bounds take measured ± uncertainty
    and the instrument (with the probe) at both ends of its tolerance, once by that formula and once as two RC stages in
    a row, and go as far as the further. Source: sum of squares, closed form; its systematic error for real instruments
    is typically unknown (P. Hale and others, 2017, from the abstract on nist.gov), so the second shape shows how much
    it may matter. Valid for an edge and an instrument without ringing. Where the measured edge, less its uncertainty,
    is no longer than the instrument's own there is no value: the edge lies between nothing and what was measured.
    Units: s. Errors: ValueError for times below zero or not finite, a measured edge of zero, a tolerance outside 0 to
    1.

    >>> found = true_edge(10e-9, 0.0, 3.5e-9)
    >>> round(found.value_s * 1e9, 6), round(found.low_s * 1e9, 2), round(found.high_s * 1e9, 2)
    (9.367497, 8.95, 9.37)
    >>> true_edge(3e-9, 0.1e-9, 3.5e-9).value_s is None
    True
    """
    refuse_below_zero(measured_uncertainty_s=measured_uncertainty_s, instrument_s=instrument_s, probe_s=probe_s)
    refuse_not_above_zero(measured_s=measured_s)
    refuse_out_of_reach(measured_s=measured_s, instrument_s=instrument_s, probe_s=probe_s)
    refuse_not_finite(measured_s=measured_s)
    refuse_unless(
        0.0 <= instrument_tolerance < 1.0,
        f"instrument_tolerance must be a part of one from 0 to below 1; {instrument_tolerance} was given.",
    )
    own_s = combined_rise_s(instrument_s, probe_s)
    least_s, most_s = max(measured_s - measured_uncertainty_s, 0.0), measured_s + measured_uncertainty_s
    if least_s <= own_s * (1.0 + instrument_tolerance):
        return TrueEdge(None, 0.0, most_s, _unknown(measured_s, measured_uncertainty_s, own_s))
    slow_s, quick_s = own_s * (1.0 + instrument_tolerance), own_s * (1.0 - instrument_tolerance)
    low_s = min(_without(least_s, slow_s), _without_stage(least_s, slow_s))
    high_s = max(_without(most_s, quick_s), _without_stage(most_s, quick_s))
    return TrueEdge(_without(measured_s, own_s), low_s, high_s, _care(measured_s, own_s))


def _without(measured_s: float, own_s: float) -> float:
    return math.sqrt((measured_s - own_s) * (measured_s + own_s))


def _without_stage(measured_s: float, own_s: float) -> float:
    """The rise time of an RC stage that gives the measured one together with an RC stage of the instrument's."""
    if own_s <= 1e-6 * measured_s:
        return measured_s
    own = own_s / measured_s / math.log(9.0)

    def beyond(constant: float) -> float:
        return staged_rise_s([constant, own]) - 1.0

    least = 1e-9 * own
    if beyond(least) >= 0.0:
        return 0.0
    most = (1.0 + 1e-6) / math.log(9.0)  # a little over what the measured edge alone would need
    return min(float(brentq(beyond, least, most, xtol=1e-9)) * math.log(9.0), 1.0) * measured_s


def _unknown(measured_s: float, uncertainty_s: float, own_s: float) -> str:
    within = f", give or take {format_si(uncertainty_s, 's')}," if uncertainty_s else ""
    return (
        f"The edge cannot be known: the {format_si(measured_s, 's')} measured{within} cannot be told from the "
        f"{format_si(own_s, 's')} of the instrument and its probe; it is no longer than what was measured."
    )


def _care(measured_s: float, own_s: float) -> str:
    if measured_s >= MUCH_LONGER * own_s:
        return ""
    return (
        f"The measured edge is only {measured_s / own_s:.2g} times that of the instrument and its probe: the sum of "
        "squares holds for Gaussian responses, and for others its error is not known; keep to the bounds."
    )
