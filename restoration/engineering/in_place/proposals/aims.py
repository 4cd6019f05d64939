"""What an arrangement should come to: the limits of the signal drawn in a little, and what is aimed at without any."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from restoration.engineering.in_place.proposals.readings import PEAK_DRIVE, TIMED, Figures
from restoration.engineering.limits import Limit, Quantity
from restoration.engineering.link_model import PulseSource, Samples
from restoration.engineering.plots import format_si
from restoration.engineering.refusals import refuse_unless

SPARE = 0.03
"""Part by which limits are drawn in, so that what is proposed does not lie on the line; own choice."""
AROUND = 0.10
"""Part about the amplitude aimed at where it has no least or no most (common practice, no source)."""
LEAST_PART = 0.01
"""What is spared of a limit on overshoot or undershoot at the least, as a part of the amplitude; own choice."""
AMPLITUDE_STEP, OFF_STEP, SHARE_STEP = 0.01, 0.02, 0.05
_DUST = 1e-9


@dataclass(frozen=True)
class Band:
    """A quantity with the least and the most it may be."""

    quantity: str
    least: float
    most: float

    def missed(self, values: Samples) -> np.ndarray:
        """Which of the values lie outside."""
        return ~((values >= self.least) & (values <= self.most))


@dataclass(frozen=True)
class Aims:
    """Amplitude aimed at with its limits, the other limits, and in words where the aim comes from.

    `timed` holds limits that only the waveform tells, drawn in; `levels` those on the two levels.
    """

    amplitude: Band
    drawn: Band
    nominal_v: float
    timed: tuple[Band, ...]
    levels: tuple[Band, ...]
    whence: str

    @classmethod
    def of(cls, limits: Mapping[Quantity, Limit], now_v: float, drive_most_a: float | None, spare: float) -> Aims:
        """The aims of these limits for a link that has this amplitude now."""
        limit = limits.get(Quantity.AMPLITUDE, Limit())
        nominal_v, whence = _aim(limit, now_v)
        least_v = nominal_v * (1.0 - AROUND) if limit.least is None and limit.most is None else limit.least
        most_v = nominal_v * (1.0 + AROUND) if limit.least is None and limit.most is None else limit.most
        amplitude = Band(Quantity.AMPLITUDE, least_v or 0.0, np.inf if most_v is None else most_v)
        room_v = min(spare * nominal_v, (amplitude.most - amplitude.least) / 4.0)
        drawn = Band(Quantity.AMPLITUDE, amplitude.least + room_v, amplitude.most - room_v)
        timed = [
            Band(quantity, *_drawn_in(limits[quantity], spare, quantity))
            for quantity in TIMED
            if _is_limit(limits.get(quantity))
        ]
        if drive_most_a is not None:
            timed.append(Band(PEAK_DRIVE, -np.inf, drive_most_a))
        levels = tuple(
            Band(quantity, *_drawn_in(limits[quantity], 0.0, quantity))
            for quantity in (Quantity.LOW_LEVEL, Quantity.HIGH_LEVEL)
            if _is_limit(limits.get(quantity))
        )
        return cls(amplitude, drawn, nominal_v, tuple(timed), levels, whence)

    @property
    def of_loads(self) -> tuple[Band, ...]:
        """The limits that the waveform at a load tells; what the source may drive is not among them."""
        return tuple(band for band in self.timed if band.quantity != PEAK_DRIVE)

    def outside(self, least_v: Samples, most_v: Samples, band: Band) -> Samples:
        """By how many hundredths of the nominal amplitude the two lie outside a band, rounded up; 0 inside."""
        beyond_v = np.maximum(0.0, np.maximum(band.least - least_v, most_v - band.most))
        return np.ceil(beyond_v / (AMPLITUDE_STEP * self.nominal_v) - _DUST) + 0.0

    def off(self, amplitude_v: Samples) -> Samples:
        """How many fiftieths of the nominal amplitude lie between it and the amplitude."""
        return np.rint(np.abs(amplitude_v - self.nominal_v) / (OFF_STEP * self.nominal_v))

    def missed_levels(self, source: PulseSource, share: Samples) -> Samples:
        """How many limits on the two levels are missed."""
        held = {
            Quantity.LOW_LEVEL: min(source.rest_v, source.active_v) * share,
            Quantity.HIGH_LEVEL: max(source.rest_v, source.active_v) * share,
        }
        return sum((band.missed(held[Quantity(band.quantity)]).astype(float) for band in self.levels), 0.0 * share)

    def missed_so_far(self, known: Figures, count: int) -> Samples:
        """How many limits are missed for certain, of quantities known at the least; (count,)."""
        beyond = ((known[band.quantity] > band.most).astype(float) for band in self.timed if band.quantity in known)
        return sum(beyond, np.zeros(count))

    def missed_timed(self, figures: Figures) -> Samples:
        """How many of the limits that only the waveform tells are missed; there has to be one."""
        first, *others = (band.missed(figures[band.quantity]).astype(float) for band in self.timed)
        return sum(others, first)


def _is_limit(limit: Limit | None) -> bool:
    return limit is not None and not (limit.least is None and limit.most is None)


def _drawn_in(limit: Limit, spare: float, quantity: Quantity) -> tuple[float, float]:
    """The limits less what is to spare; of a part of the amplitude at least a hundredth, at most half the limit."""
    least = -np.inf if limit.least is None else limit.least * (1.0 + spare)
    most = np.inf if limit.most is None else limit.most * (1.0 - spare)
    if spare and not quantity.unit and limit.most is not None:
        most = min(most, limit.most - min(LEAST_PART, limit.most / 2.0))
    return (least, most) if least <= most else (limit.least or least, limit.most or most)


def _aim(limit: Limit, now_v: float) -> tuple[float, str]:
    if limit.nominal is not None:
        refuse_unless(limit.nominal > 0.0, f"An amplitude aimed at is more than zero; {limit.nominal:g} V was given.")
        return limit.nominal, f"The amplitude aimed at is the nominal one, {format_si(limit.nominal, 'V')}."
    given = [bound for bound in (limit.least, limit.most) if bound is not None]
    if given and sum(given) > 0.0:
        middle_v = sum(given) / len(given)
        between = "half-way between the least and the most" if len(given) == 2 else "the limit"
        return middle_v, f"No nominal amplitude is given; {format_si(middle_v, 'V')}, {between}, is aimed at."
    return now_v, (
        f"Neither a limit nor a nominal amplitude is given; what is predicted now, {format_si(now_v, 'V')}, is kept "
        f"within {100 * AROUND:.0f}\u00a0%."
    )


def words_of(aims: Aims, limits: Mapping[Quantity, Limit]) -> Iterator[str]:
    """What is aimed at, in sentences."""
    yield aims.whence
    if not _is_limit(limits.get(Quantity.AMPLITUDE)) and limits.get(Quantity.AMPLITUDE, Limit()).nominal is not None:
        yield f"The amplitude has no least and no most; {100 * AROUND:.0f}\u00a0% about the nominal are taken."
    without = [quantity.words for quantity in (Quantity.OVERSHOOT, Quantity.RISE_TIME) if quantity not in limits]
    if without:
        yield f"No limit on {' and '.join(without)} is given; it is shown and not judged."
