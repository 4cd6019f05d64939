"""The span of figures that can be meant: beyond it arithmetic runs over or out, and the figure is a slip."""

import math

from restoration.engineering.refusals import refuse_unless

LEAST, MOST = 1e-30, 1e30
"""No part, time, voltage or current met here comes near either end, whatever its unit: common practice, no source."""


def refuse_out_of_reach(**given: float) -> None:
    """Raise ValueError for the first named number too small or too large to be meant.

    Formula: 1e-30 <= |x| <= 1e30. Source: none. Valid for real numbers, any unit; zero passes, and so do infinity and
    what is no number, which are others' to judge. Errors: ValueError.

    >>> refuse_out_of_reach(source_v=1e300)
    Traceback (most recent call last):
    ValueError: source_v is 1e+300; only zero and figures from 1e-30 to 1e+30 in size can be meant.
    """
    for name, value in given.items():
        refuse_unless(
            value == 0.0 or not math.isfinite(value) or LEAST <= abs(value) <= MOST,
            f"{name} is {value}; only zero and figures from {LEAST:g} to {MOST:g} in size can be meant.",
        )
