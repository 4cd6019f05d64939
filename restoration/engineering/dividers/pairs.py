"""The pairs of resistors, of a series or of the stores, that bring a pulse nearest to the wanted volts."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from restoration.engineering.dividers.circuit import Divider
from restoration.engineering.reach import refuse_out_of_reach
from restoration.engineering.refusals import refuse_not_above_zero, refuse_not_finite, refuse_unless

MOST_VALUES = 2_000
_ALIKE = 1e-9  # two misses this close, as parts of the wanted volts, are alike


@dataclass(frozen=True)
class Pair:
    """A series and a shunt resistor, the volts they leave at the load, and the miss as a part of the wanted volts."""

    series_ohm: float
    shunt_ohm: float
    load_v: float
    error: float


def best_pairs(
    wanted_v: float,
    source_v: float,
    source_ohm: float,
    load_ohm: float,
    values: Sequence[float],
    count: int = 5,
    *,
    quantities: Sequence[int] | None = None,
    most_source_a: float = math.inf,
) -> tuple[Pair, ...]:
    """The pairs with the least miss, best first; of misses alike the lower resistances first, whose edges are quicker.

    Formula: V = Vs Rp / (Rs + R1 + Rp), Rp = R2 ∥ RL, for every pair; error = V / wanted − 1. Source: common practice,
    no source. Valid for the flat top of a pulse. `values` are the resistances to choose from; with `quantities`, how
    many the stores hold of each, a value held once is not used twice and one held never not at all. Pairs that draw
    more than `most_source_a` are left out. Units: V, Ω, A. Shape: at most `count` pairs, fewer where there are no
    more. Errors: ValueError for wanted volts of zero, of the other sign, or not less than the source's; no values,
    more than 2,000, or values not positive; a count below one; quantities that do not match.

    >>> from restoration.engineering.preferred_values import values_between
    >>> best = best_pairs(10.0, 30.0, 1e3, 47e3, values_between("E24", 1e3, 100e3), 2)
    >>> [(pair.series_ohm, pair.shunt_ohm, round(pair.load_v, 7)) for pair in best]
    [(8200.0, 5100.0, 10.0011126), (6200.0, 3900.0, 10.0021827)]
    """
    Divider(source_v, source_ohm, 0.0, math.inf, load_ohm)
    _refuse_wanted(wanted_v, source_v)
    refuse_unless(count >= 1, f"At least one pair has to be asked for; {count} was given.")
    refuse_not_above_zero(most_source_a=most_source_a)
    held = _held(values, quantities)
    ohms = np.array(sorted(held), dtype=np.float64)
    lower = 1.0 / (1.0 / ohms + 1.0 / load_ohm)
    total = source_ohm + ohms[:, None] + lower[None, :]
    error = source_v / wanted_v * lower[None, :] / total - 1.0
    barred = abs(source_v) / total > most_source_a
    barred[np.diag_indices(len(ohms))] |= np.array([held[ohm] < 2 for ohm in ohms.tolist()])
    best = _least(np.where(barred, np.inf, np.abs(error)), count)
    return tuple(
        Pair(
            float(ohms[row]),
            float(ohms[column]),
            wanted_v * (1.0 + float(error[row, column])),
            float(error[row, column]),
        )
        for row, column in best
    )


def _refuse_wanted(wanted_v: float, source_v: float) -> None:
    refuse_not_finite(wanted_v=wanted_v)
    refuse_out_of_reach(wanted_v=wanted_v)
    refuse_unless(
        0.0 < wanted_v * math.copysign(1.0, source_v) < abs(source_v),
        f"A divider can only make less of {source_v:g} V, and of the same sign; {wanted_v:g} V was asked for.",
    )


def _held(values: Sequence[float], quantities: Sequence[int] | None) -> Counter[float]:
    """How many there are of each value; as many as one likes where no quantities were given."""
    refuse_unless(0 < len(values) <= MOST_VALUES, f"Give 1 to {MOST_VALUES} values; {len(values)} were given.")
    for value in values:
        refuse_unless(0.0 < value < math.inf, f"A resistance to choose from has to be positive; {value} was given.")
        refuse_out_of_reach(value=value)
    many = [2] * len(values) if quantities is None else list(quantities)
    refuse_unless(
        len(many) == len(values), f"{len(values)} values were given and {len(many)} quantities; give one for each."
    )
    refuse_unless(min(many) >= 0, f"A quantity in the stores is zero or more; {min(many)} was given.")
    held: Counter[float] = Counter()
    for value, quantity in zip(values, many, strict=True):
        held[float(value)] += quantity
    held = +held
    refuse_unless(bool(held), "The stores hold none of these values; give one with a quantity above zero.")
    return held


def _least(misses: NDArray[np.float64], count: int) -> list[tuple[int, int]]:
    """Rows and columns of the least misses; of those alike the lower row, then the lower column, first."""
    flat = misses.ravel()
    place = min(count, flat.size) - 1
    bound = np.partition(flat, place)[place]
    rows, columns = np.nonzero(np.isfinite(misses) & (misses <= bound + 2.0 * _ALIKE))
    order = np.lexsort((columns, rows, np.round(misses[rows, columns] / _ALIKE)))[:count]
    return [(int(rows[at]), int(columns[at])) for at in order]
