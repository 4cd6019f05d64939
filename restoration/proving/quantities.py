"""The quantities of a signal as people read and write them: unit, words, figures, limits."""

from collections.abc import Iterable

from restoration.engineering.figures import plain_number
from restoration.machine.figures import UNITS
from restoration.machine.models.limits import LimitRow, Quantity
from restoration.proving.wording import scaled, significant

Q = Quantity


ORDER = (
    Q.AMPLITUDE,
    Q.PULSE_DURATION,
    Q.RISE_TIME,
    Q.FALL_TIME,
    Q.OVERSHOOT,
    Q.UNDERSHOOT,
    Q.PRESHOOT,
    Q.LOW_LEVEL,
    Q.HIGH_LEVEL,
    Q.DELAY,
    Q.DC_LEVEL,
)
"""The quantities as they are read off a trace, one after the other."""

USUAL = (Q.AMPLITUDE, Q.PULSE_DURATION, Q.RISE_TIME, Q.FALL_TIME, Q.OVERSHOOT)
WORDS = {Q.RISE_TIME: "rise", Q.FALL_TIME: "fall"}


def words(quantity: str) -> str:
    """Name a quantity within a sentence."""
    return WORDS.get(Quantity(quantity)) or Quantity(quantity).label


FINEST_PERCENT = 2
"""Places after the point of a percentage that is read out: less is not seen on any trace."""


def reads(
    quantity: str, value: float | None, *, at_most: float | None = None, digits: int = 3, doubt: float | None = None
) -> str:
    """Write a figure as it is read out, or as a bound; nothing at all as a dash.

    >>> reads("amplitude", 17.23), reads("overshoot", 0.061), reads("rise_time", None, at_most=8e-9)
    ('17.2 V', '6.1 %', 'at most 8 ns')
    >>> reads("fall_time", 0.0), reads("delay", None), reads("overshoot", 5.56e-6)
    ('0 s', '–', '0 %')
    """
    if value is None:
        return "–" if at_most is None else f"at most {reads(quantity, at_most)}"
    unit = UNITS[quantity].symbol
    if unit == "%":
        doubted = f" ± {significant(doubt * 100, 2)}" if doubt else ""
        return f"{significant(round(value * 100, FINEST_PERCENT), digits)}{doubted} %"
    return scaled(value, unit, digits, doubt)


def as_typed(quantity: str, value: float) -> str:
    """Write a figure as it would be typed in its field: 2.4 for 2.4 µs.

    >>> as_typed("pulse_duration", 2.4e-6), as_typed("overshoot", 0.06)
    ('2.4', '6')
    """
    return plain_number(value, UNITS[quantity])


def limit_reads(row: LimitRow) -> str:
    """Write a limit: 15 to 20 V; at most 350 ns; at least 2 µs; nominally 2.4 µs."""
    least, nominal, most = (reads(row.quantity, value, digits=4) for value in (row.least, row.nominal, row.most))
    if row.least is not None and row.most is not None:
        same_unit = least.rpartition(" ")[2] == most.rpartition(" ")[2]
        return f"{least.rpartition(' ')[0] if same_unit else least} to {most}"
    if row.most is not None:
        return f"at most {most}"
    if row.least is not None:
        return f"at least {least}"
    return f"nominally {nominal}" if row.nominal is not None else ""


def judges(row: LimitRow) -> bool:
    """Say whether a limit can judge: a nominal value alone says only what was meant."""
    return row.least is not None or row.most is not None


def order_of(quantities: Iterable[str]) -> list[str]:
    """Put quantities in the order in which they are read off a trace."""
    given = set(quantities)
    return [str(quantity) for quantity in ORDER if quantity in given]
