"""Whether a resistor bears the pulses it is given: watts at their duty, and the volts of their tops."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.plots import format_si
from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import refuse_not_above_zero, refuse_not_finite, refuse_unless

USUAL_DERATING = 0.5
"""A resistor is run at half of its printed watts: common practice, no source."""


@dataclass(frozen=True)
class RatingCheck:
    """Watts a resistor turns into heat against what it may, volts against what it may, and the verdict in words."""

    watts: float
    allowed_w: float
    peak_v: float
    allowed_v: float
    fits: bool
    words: str


def pulse_watts(peak_v: float, resistance_ohm: float, duty: float) -> float:
    """The mean heat in a resistor that stands on pulses of so many volts for a part of the time.

    Formula: P = V² / R × duty. Source: Joule's law. Valid for pulses with flat tops and nothing between, and periods
    far shorter than the resistor takes to warm; a single long pulse can overheat a part whose mean is small. Units: V,
    Ω, W, a duty from 0 to 1. Errors: ValueError for volts that are not finite, a resistance not above zero, a duty
    outside 0 to 1.

    >>> pulse_watts(30.0, 270.0, 0.25)
    0.8333333333333334
    """
    refuse_not_finite(peak_v=peak_v, resistance_ohm=resistance_ohm)
    refuse_not_above_zero(resistance_ohm=resistance_ohm)
    refuse_out_of_reach(peak_v=peak_v, resistance_ohm=resistance_ohm)
    refuse_unless(0.0 <= duty <= 1.0, f"A duty is a part of the time from 0 to 1; {duty} was given.")
    return peak_v**2 / resistance_ohm * duty


def check_rating(
    peak_v: float,
    resistance_ohm: float,
    duty: float,
    rating_w: float,
    rating_v: float = math.inf,
    *,
    derating: float = USUAL_DERATING,
) -> RatingCheck:
    """Whether a resistor bears its pulses, by mean watts and by peak volts.

    Formula: V² / R × duty ≤ derating × rated watts, and |V| ≤ rated volts. Source: common practice, no source, for the
    derating of a half; give another where the part's own sheet or a hot place asks for it. Valid as `pulse_watts`.
    The rated volts hold at the top of every pulse, whatever the duty. Units: V, Ω, W. Errors: ValueError as
    `pulse_watts`, for ratings not above zero, and a derating outside 0 to 1.

    >>> check_rating(30.0, 270.0, 0.25, 1.0).words
    'The resistor turns 833\\xa0mW into heat and is allowed 500\\xa0mW: take one of 1.67\\xa0W or more.'
    >>> check_rating(30.0, 2.7e3, 0.25, 0.5, 250.0).fits
    True
    """
    watts = pulse_watts(peak_v, resistance_ohm, duty)
    refuse_not_above_zero(rating_w=rating_w, rating_v=rating_v)
    refuse_out_of_reach(rating_w=rating_w, rating_v=rating_v, derating=derating)
    refuse_unless(0.0 < derating <= 1.0, f"A derating is a part of the rated watts up to 1; {derating} was given.")
    allowed_w = derating * rating_w
    complaints = []
    if watts > allowed_w:
        complaints.append(
            f"The resistor turns {format_si(watts, 'W')} into heat and is allowed {format_si(allowed_w, 'W')}: "
            f"take one of {format_si(watts / derating, 'W')} or more."
        )
    if abs(peak_v) > rating_v:
        complaints.append(
            f"The pulse puts {format_si(abs(peak_v), 'V')} on a resistor made for {format_si(rating_v, 'V')}: "
            "take one for more volts, or two in series."
        )
    fine = f"The resistor turns {format_si(watts, 'W')} into heat and is allowed {format_si(allowed_w, 'W')}."
    return RatingCheck(watts, allowed_w, abs(peak_v), rating_v, not complaints, " ".join(complaints) or fine)
