"""How good an arrangement is: what is known without reckoning in time, what the waveform adds, and the score."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

import numpy as np

from restoration.engineering.in_place.case import LinkCase
from restoration.engineering.in_place.proposals.aims import SHARE_STEP, Aims
from restoration.engineering.in_place.proposals.readings import read_at_least, read_variants
from restoration.engineering.in_place.proposals.records import STORES
from restoration.engineering.in_place.proposals.space import NOTHING_NEW, ROLE_ORDER, Candidates, Shelf
from restoration.engineering.in_place.proposals.steady import (
    Elsewhere,
    Slowness,
    burdens,
    lumped,
    shares,
    slowness,
    variants_of,
)
from restoration.engineering.in_place.proposals.waves import Fittings, Variants
from restoration.engineering.limits import Quantity
from restoration.engineering.link_model import STRAIGHT_EDGE, Samples

KEPT_TOLERANCE = 0.05
"""Tolerance taken for a part that is already on the wire; own choice, since nobody has told it."""
QUICKEST = 1.4
"""10 to 90 % of an answer with no zeros, in sums of open-circuit time constants, about the least there is (three equal
poles 1.41, one pole 2.20, two poles with ζ of 0.7 1.52)."""
SETTLES = 5.0
"""Time constants that a pulse has to last, so that what is left of an edge is under a hundredth."""
A_MISS, _MOST_WORST = 1000.0, 999.0
OUTSIDE, MISSED, WORST, PARTS, OFF, SHARE, BOUGHT = range(7)
"""Columns of a score; behind them values and offers by place, so that no two candidates have the same."""


def merit(scores: Samples) -> Samples:
    """Amplitude outside, limits missed and worst case of scores (k, n) as one number each; less is better.

    Formula: (outside*1000 + missed)*1000 + worst. Source: own. Valid for fewer than a thousand limits. Units: none.
    Shapes: (k, n) to (k,). Errors: none.

    >>> merit(np.array([[0.0, 1.0, 5.0, 2.0], [2.0, 0.0, 0.0, 1.0]])).tolist()
    [1005.0, 2000000.0]
    """
    found: Samples = (scores[:, OUTSIDE] * 1000.0 + scores[:, MISSED]) * A_MISS + scores[:, WORST]
    return found


@dataclass(frozen=True)
class Judge:
    """One link, its aims and the shelf: what every candidate is worth.

    `derating` is the part of its rated watts that a part may get; parts that nobody has rated may get any.
    """

    case: LinkCase
    aims: Aims
    shelf: Shelf
    derating: float

    @cached_property
    def now(self) -> Candidates:
        """The arrangement that is there now."""
        nothing = np.full((1, len(ROLE_ORDER)), NOTHING_NEW, dtype=np.intp)
        return Candidates(Fittings.of((self.case.arrangement,)), np.zeros(1, int), np.zeros(1, int), nothing)

    @cached_property
    def elsewhere(self) -> tuple[Elsewhere, ...]:
        """The other wires of the source."""
        return tuple(Elsewhere.of(self.case, other) for other in self.case.others)

    @cached_property
    def now_score(self) -> Samples:
        """Score of leaving it as it is, (1, n)."""
        return self.scores(self.now)

    def variants(self, fitted: Fittings) -> Variants:
        """The wire with each of these fitted."""
        common = self._common
        return Variants(
            common.model, fitted, np.full(fitted.count, common.hung_s[0]), np.full(fitted.count, common.hung_f[0])
        )

    @cached_property
    def _common(self) -> Variants:
        return variants_of(self.case, self.now.fitted)

    # what needs no time

    def outside(self, fitted: Fittings) -> Samples:
        """By how many hundredths the amplitude lies outside its limits drawn in; (k,)."""
        amplitude_v = abs(self.case.source.step_v) * shares(self.variants(fitted)).load
        return self.aims.outside(amplitude_v, amplitude_v, self.aims.drawn)

    def bounds(self, lot: Candidates) -> Samples:
        """Scores with nothing missed that only the waveform tells: no candidate's score is less. (k, n)."""
        step_v = abs(self.case.source.step_v)
        found = shares(self.variants(lot.fitted))
        amplitude_v, (low_v, high_v) = step_v * found.load, self.worst_v(lot)
        aims = self.aims
        columns = (
            aims.outside(amplitude_v, amplitude_v, aims.drawn),
            aims.missed_levels(self.case.source, found.load),
            np.minimum(aims.outside(low_v, high_v, aims.amplitude), _MOST_WORST),
            lot.parts,
            aims.off(amplitude_v),
            np.rint(step_v * found.drive_a / (SHARE_STEP * self.drive_scale_a)),
            self._bought(lot),
            *(getattr(lot.fitted, role) for role in ROLE_ORDER),
            *lot.offers.T.astype(np.float64),
        )
        return np.stack(columns, axis=1)

    @property
    def drive_scale_a(self) -> float:
        """The drive's most, or where nobody knows it what an edge takes as it sets out along the bare wire."""
        if self.case.drive_most_a is not None:
            return self.case.drive_most_a
        model = self._common.model
        return abs(model.source.step_v) / (model.source.resistance_ohm + model.line.impedance_ohm)

    def worst_v(self, lot: Candidates) -> tuple[Samples, Samples]:
        """Least and most amplitude over the tolerances of all parts.

        The amplitude falls with what is in series and rises with what is to earth, so that two corners hold it.
        """
        tolerance = self.shelf.column(lambda offer: offer.tolerance, KEPT_TOLERANCE)[lot.offers].T
        corners = []
        for sign in (1.0, -1.0):
            columns = [
                getattr(lot.fitted, role) * (1.0 + (sign if "shunt" not in role else -sign) * tolerance[at])
                for at, role in enumerate(ROLE_ORDER)
            ]
            corners.append(abs(self.case.source.step_v) * shares(self.variants(Fittings(*columns))).load)
        return corners[0], corners[1]

    def _bought(self, lot: Candidates) -> Samples:
        bought = self.shelf.column(lambda offer: float(offer.where != STORES), 0.0)
        total: Samples = sum((bought[column] for column in lot.offers.T), np.zeros(lot.count))
        return total

    # what is allowed

    def allowed(self, lot: Candidates) -> np.ndarray:
        """Which candidates may be proposed at all (see ``propose`` for the rules)."""
        variants = self.variants(lot.fitted)
        steady = self._has_enough(lot) & self._is_afforded(variants)
        fine: np.ndarray = steady & self._is_borne(lot, variants) & self._is_quick(variants)
        return fine

    def _has_enough(self, lot: Candidates) -> np.ndarray:
        """Whether the same line of the list is not asked for more parts than it has; no kind has over two alike."""
        held = self.shelf.column(lambda offer: np.inf if offer.quantity is None else float(offer.quantity), np.inf)
        fine = np.ones(lot.count, dtype=bool)
        for one, other in combinations(range(len(ROLE_ORDER)), 2):
            if lot.has(one) and lot.has(other):
                twice = lot.offers[:, one] == lot.offers[:, other]
                fine &= ~twice | (held[lot.offers[:, one]] >= 2.0)
        return fine

    def _is_afforded(self, variants: Variants) -> np.ndarray:
        most_a = self.case.drive_most_a
        if most_a is None:
            return np.ones(variants.fitted.count, dtype=bool)
        level_v = max(abs(self.case.source.active_v), abs(self.case.source.rest_v))
        now_a = float(shares(self._common).drive_a[0])
        afforded: np.ndarray = shares(variants).drive_a <= max(most_a / level_v, now_a) * (1.0 + 1e-9)
        return afforded

    def _is_borne(self, lot: Candidates, variants: Variants) -> np.ndarray:
        watts = self.shelf.column(lambda offer: (offer.rating_w or np.inf) * self.derating, np.inf)
        volts = self.shelf.column(lambda offer: offer.rating_v or np.inf, np.inf)
        fine, borne = np.ones(lot.count, dtype=bool), burdens(variants)
        for at, role in enumerate(ROLE_ORDER):
            if lot.has(at):
                fine &= borne[role].watts <= watts[lot.offers[:, at]]
                fine &= borne[role].volts <= volts[lot.offers[:, at]]
        return fine

    def _is_quick(self, variants: Variants) -> np.ndarray:
        now, found = self._at_terminal(self._now_slowness), self._at_terminal(slowness(variants))
        quick = np.ones(variants.fitted.count, dtype=bool)
        for limit, edge_s in self._edges:
            if STRAIGHT_EDGE * edge_s > limit:
                continue
            lasts_s = np.hypot(STRAIGHT_EDGE * edge_s, QUICKEST * found.edge_s)
            quick &= lasts_s <= max(limit, float(np.hypot(STRAIGHT_EDGE * edge_s, QUICKEST * now.edge_s[0])))
        settles = found.settled_s <= max(self.case.source.duration_s / SETTLES, float(now.settled_s[0]))
        fitted = variants.fitted
        is_coupled = np.isfinite(fitted.shunt_coupling_f)
        holds_s = np.where(is_coupled, fitted.shunt_ohm, 0.0) * np.where(is_coupled, fitted.shunt_coupling_f, 0.0)
        fine: np.ndarray = quick & settles & (~is_coupled | (holds_s >= 2.0 * self.case.delay_s))
        return fine

    def _at_terminal(self, found: Slowness) -> Slowness:
        """Without what a grid stopper keeps back behind itself, which no part before it changes."""
        load = self._common.model.load
        own_s = load.grid_stopper_ohm * load.capacitance_f
        return Slowness(found.edge_s - own_s, found.settled_s - own_s)

    @cached_property
    def _edges(self) -> list[tuple[float, float]]:
        """The most that each edge may last, and what it lasts at the source."""
        source = self.case.source
        up_s, down_s = (source.rise_s, source.fall_s) if source.step_v > 0 else (source.fall_s, source.rise_s)
        at_source = {Quantity.RISE_TIME: up_s, Quantity.FALL_TIME: down_s}
        return [
            (band.most, at_source[Quantity(band.quantity)]) for band in self.aims.timed if band.quantity in at_source
        ]

    @cached_property
    def _now_slowness(self) -> Slowness:
        return slowness(self._common)

    # what the waveform adds

    def scores(self, lot: Candidates) -> Samples:
        """Scores of all of a lot, every one reckoned in time. (k, n)."""
        found = self.bounds(lot)
        found[:, MISSED] += self.missed_here(lot) + self.missed_elsewhere(lot)
        return found

    def missed_here(self, lot: Candidates) -> Samples:
        """How many limits that only the waveform tells are missed at this load."""
        if not self.aims.timed or not lot.count:
            return np.zeros(lot.count)
        return self.aims.missed_timed(read_variants(self.variants(lot.fitted), self._wanted))

    def missed_at_least(self, lot: Candidates) -> Samples:
        """How many of them are missed for certain, by the first steps in time alone."""
        if not self.aims.timed or not lot.count:
            return np.zeros(lot.count)
        return self.aims.missed_so_far(read_at_least(self.variants(lot.fitted), self._wanted), lot.count)

    @cached_property
    def _wanted(self) -> frozenset[str]:
        return frozenset(band.quantity for band in self.aims.timed)

    def missed_elsewhere(self, lot: Candidates, too_many: Samples | None = None) -> Samples:
        """How many limits the loads of the other wires miss that they meet now; or at least so many as are too many."""
        missed = np.zeros(lot.count)
        here_s, here_f = lumped(self.case, lot.fitted)
        for there, before in zip(self.elsewhere, self._elsewhere_now, strict=True):
            still = np.flatnonzero(missed < (np.inf if too_many is None else too_many))
            if still.size:
                after = self._missed_there(there.variants(here_s[still], here_f[still]))
                missed[still] += (after & ~before).sum(axis=0)
        return missed

    @cached_property
    def _elsewhere_now(self) -> tuple[np.ndarray, ...]:
        here_s, here_f = lumped(self.case, self.now.fitted)
        return tuple(self._missed_there(there.variants(here_s, here_f)) for there in self.elsewhere)

    def _missed_there(self, variants: Variants) -> np.ndarray:
        """Which limits a wire's load misses: amplitude, then those of the waveform; (limits, k)."""
        aims = self.aims
        amplitude_v = abs(self.case.source.step_v) * shares(variants).load
        rows, timed = [aims.drawn.missed(amplitude_v)], aims.of_loads
        if timed:
            figures = read_variants(variants, frozenset(band.quantity for band in timed))
            rows += [band.missed(figures[band.quantity]) for band in timed]
        return np.stack(rows)


def without_capacitor(lot: Candidates) -> Candidates:
    """The same dividers without the capacitor across them."""
    offers = lot.offers.copy()
    offers[:, ROLE_ORDER.index("attenuator_f")] = NOTHING_NEW
    return replace(lot, fitted=replace(lot.fitted, attenuator_f=np.zeros(lot.count)), offers=offers)
