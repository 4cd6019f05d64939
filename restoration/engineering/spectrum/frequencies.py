"""Which lines a mains and a repetition rate have, where sampling puts them, and which may be taken for each other."""

from __future__ import annotations

import math
from dataclasses import dataclass

from restoration.engineering.refusals import (
    refuse_below_zero,
    refuse_not_above_zero,
    refuse_not_finite,
    refuse_unless,
)

MAINS, OWN = "mains", "own"


@dataclass(frozen=True)
class Named:
    """One harmonic of one family, and where sampling shows it."""

    family: str
    harmonic: int
    frequency_hz: float
    seen_at_hz: float

    @property
    def words(self) -> str:
        """Its name for people.

        >>> Named("own", 3, 7500.0, 7500.0).words
        'own rate × 3 (7500 Hz)'
        """
        name = "mains" if self.family == MAINS else "own rate"
        times = "" if self.harmonic == 1 else f" × {self.harmonic}"
        return f"{name}{times} ({self.frequency_hz:g} Hz)"


def named_lines(family: str, rate_hz: float, harmonics: int, interval_s: float) -> tuple[Named, ...]:
    """The first harmonics of a rate, each where sampling shows it.

    Formula: h f, folded as `folded_hz`. Source: as there. Valid for any rate. Units: Hz, s. Errors: as `folded_hz`.

    >>> [line.seen_at_hz for line in named_lines("mains", 50.0, 3, 0.0078125)]
    [50.0, 28.0, 22.0]
    """
    return tuple(
        Named(family, harmonic, harmonic * rate_hz, folded_hz(harmonic * rate_hz, interval_s))
        for harmonic in range(1, harmonics + 1)
    )


def folded_hz(frequency_hz: float, interval_s: float) -> float:
    """Where a line shows in samples taken at equal intervals.

    Formula: |f − n fs| with n the whole number nearest to f / fs, fs = 1 / interval. Source: sampling theorem
    (aliasing), common practice. Valid for instant samples without a filter before them. Units: Hz, s; Hz.
    Errors: ValueError for a frequency below zero, an interval not above zero, and what is not finite.

    >>> folded_hz(100.0, 1e-3), round(folded_hz(10_050.0, 1e-4), 6)
    (100.0, 50.0)
    """
    refuse_below_zero(frequency_hz=frequency_hz)
    refuse_not_above_zero(interval_s=interval_s)
    refuse_not_finite(interval_s=interval_s)
    turns = frequency_hz * interval_s
    return abs(turns - round(turns)) / interval_s if turns > 0.5 else frequency_hz


def needed_duration_s(one_hz: float, other_hz: float) -> float:
    """Length of record that tells two lines apart; infinite for the same frequency.

    Formula: T = 1 / |f1 − f2|. Source: the resolution of a record of the length T, common practice (F. J. Harris,
    Proc. IEEE 66, 1978, from memory). Valid for lines of like height; a small one beside a large one, and a window
    that tapers the record, want two to four times as much. Units: Hz; s. Errors: ValueError for a frequency not
    above zero or not finite.

    >>> needed_duration_s(100.0, 104.0), needed_duration_s(50.0, 50.0)
    (0.25, inf)
    """
    refuse_not_above_zero(one_hz=one_hz, other_hz=other_hz)
    refuse_not_finite(one_hz=one_hz, other_hz=other_hz)
    return 1.0 / abs(one_hz - other_hz) if one_hz != other_hz else math.inf


def harmonics_near(
    frequency_hz: float, duration_s: float, *, own_hz: float, mains_hz: float = 50.0, most: int = 40
) -> tuple[tuple[str, int], ...]:
    """Which harmonics of the mains and of the own rate a frequency that was read could be, the nearest first.

    Formula: all harmonics h with |h f − frequency| < 1 / T. Source: as `needed_duration_s`. Valid for a frequency
    read over a record, or counted over a time, of the length T. Units: Hz, s. Errors: ValueError for values not above
    zero or not finite, and for no harmonic at all to be looked at.

    >>> harmonics_near(100.0, 0.1, own_hz=2500.0)
    (('mains', 2),)
    >>> harmonics_near(2500.0, 0.03, own_hz=2500.0, most=60)
    (('mains', 50), ('own', 1))
    """
    refuse_not_above_zero(frequency_hz=frequency_hz, duration_s=duration_s, mains_hz=mains_hz, own_hz=own_hz)
    refuse_not_finite(frequency_hz=frequency_hz, duration_s=duration_s, mains_hz=mains_hz, own_hz=own_hz)
    refuse_unless(most >= 1, f"At least one harmonic of each rate is looked at; {most} was given.")
    near = [
        (abs(rate_hz * harmonic - frequency_hz), family, harmonic)
        for family, rate_hz in ((MAINS, mains_hz), (OWN, own_hz))
        for harmonic in range(1, most + 1)
    ]
    return tuple((family, harmonic) for off_hz, family, harmonic in sorted(near) if off_hz * duration_s < 1.0)
