"""The best arrangements of all, found without reckoning in time what cannot be among them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from restoration.engineering.in_place.proposals.judging import (
    A_MISS,
    MISSED,
    OUTSIDE,
    PARTS,
    WORST,
    Judge,
    merit,
    without_capacitor,
)
from restoration.engineering.in_place.proposals.pool import Found, Pool, meets_everything
from restoration.engineering.in_place.proposals.space import (
    DAMPED_SHUNT,
    DAMPER,
    DIVIDER,
    FLAT_DIVIDER,
    KINDS,
    NOTHING,
    ROLE_ORDER,
    SHUNT,
    Candidates,
    everything,
    joined,
)
from restoration.engineering.in_place.proposals.waves import Fittings
from restoration.engineering.link_model import Samples

FIRST_LOT, LARGER, MOST_LOT = 256, 4, 8192
"""How many are reckoned at once at first, how many times more each time that was not enough, and at the most."""
_SERIES, _SHUNT = ROLE_ORDER.index("series_ohm"), ROLE_ORDER.index("shunt_ohm")
_NUMBER = {kind: number for number, kind in enumerate(KINDS)}
_ALONE_KINDS = (NOTHING, DAMPER, SHUNT)
_OTHER_KINDS = tuple(kind for kind in KINDS if kind not in _ALONE_KINDS)
_ALONE = {_NUMBER[NOTHING]: None, _NUMBER[DAMPER]: _SERIES, _NUMBER[SHUNT]: _SHUNT}
"""The place of the new part where there is at most one, by the number of the kind."""
_HOLDS = {
    DAMPER: [_NUMBER[DAMPED_SHUNT]],
    SHUNT: [_NUMBER[kind] for kind in (DAMPED_SHUNT, DIVIDER, FLAT_DIVIDER)],
}


@dataclass(frozen=True)
class Searched:
    """The best, how many candidates came into question, and how many of them were reckoned in time."""

    best: tuple[Found, ...]
    looked_at: int
    simulated: int


def search(judge: Judge, count: int) -> Searched:
    """What is ``listed`` of the ``picked`` of every kind, out of everything that the shelf allows.

    First everything of one new part is reckoned in time. Of the rest, what cannot be better than what it would be with
    a part left out, or than leaving the wire as it is, falls away by its bound. Then best bound first: once as many
    are found as are asked for, none scoring more than the next bound, no later one can be among them. What a
    candidate does to other wires, which takes longest, is reckoned only where it would be picked, and the whole of its
    waveform only where the first steps leave it in front.
    """
    return _Search(judge, count).run()


class _Line:
    """Candidates in the order of what they score at the least, which grows as more becomes known of them."""

    def __init__(self, bounds: Samples) -> None:
        self.least, self.looked = bounds.copy(), np.zeros(len(bounds), dtype=bool)
        self._rank = np.empty(len(bounds))
        self._rank[np.lexsort(bounds[:, WORST:].T[::-1])] = np.arange(len(bounds))
        self.order = self.sorted(np.arange(len(bounds)))

    def learn(self, places: np.ndarray, missed: Samples) -> None:
        """So many limits more are missed by these at the least."""
        self.least[places, MISSED] += missed
        self.looked[places] = True

    def sorted(self, places: np.ndarray) -> np.ndarray:
        """These in order."""
        least = self.least[places]
        return places[np.lexsort((self._rank[places], least[:, MISSED], least[:, OUTSIDE]))]


class _Search:
    """One search: what was found so far, and what it took."""

    def __init__(self, judge: Judge, count: int) -> None:
        self.judge, self.count = judge, count
        self.pool = Pool(self._verified)
        self.to_beat = float(merit(judge.now_score)[0])
        self.looked_at = self.simulated = 0
        self.alone: dict[tuple[str, int], Samples] = {}
        self.plain: dict[tuple[int, ...], float] = {}

    def run(self) -> Searched:
        farthest = float(self.judge.now_score[0, OUTSIDE])
        for lot, _ in self._lots(_ALONE_KINDS, -1.0, farthest):
            self._reckon_alone(lot)
        for nearer, farther in ((-1.0, 0.0), (0.0, farthest)):
            best = self.pool.best(1)
            if farther > nearer and not (best and self._is_enough(best[0].score, nearer)):
                self._best_first(self._lots(_OTHER_KINDS, nearer, farther))
        return Searched(self.pool.best(self.count), self.looked_at, self.simulated)

    @staticmethod
    def _is_enough(best: tuple[float, ...], nearer: float) -> bool:
        """Whether two parts or more, with an amplitude farther outside than this, cannot be listed beside the best."""
        return best[OUTSIDE] <= nearer or (meets_everything(best) and best[PARTS] < 2.0)

    def _lots(self, kinds: tuple[str, ...], nearer: float, farther: float) -> list[tuple[Candidates, Samples]]:
        """All of these kinds whose amplitude lies so far outside its limits, that are worth it, with their bounds."""

        def keep(fitted: Fittings) -> np.ndarray:
            self.looked_at += fitted.count if nearer < 0.0 else 0
            outside = self.judge.outside(fitted)
            kept: np.ndarray = (outside > nearer) & (outside <= farther)
            return kept

        case = self.judge.case
        lots = everything(self.judge.shelf, case.arrangement, case.load, keep, kinds)
        return [(lot, bounds) for lot, bounds in map(self._worth, lots) if lot.count]

    def _worth(self, lot: Candidates) -> tuple[Candidates, Samples]:
        """Those that are allowed and may be better than leaving it as it is, with their bounds."""
        lot = lot.take(np.flatnonzero(self.judge.allowed(lot)))
        bounds = self.judge.bounds(lot)
        worth = merit(bounds) < self.to_beat
        return lot.take(worth), bounds[worth]

    def _reckon_alone(self, lot: Candidates) -> None:
        """Everything of one new part, and what each part alone comes to."""
        scores = self.judge.scores(lot)
        self.simulated += lot.count
        better = merit(scores) < self.to_beat
        self.pool.add(lot.take(better), scores[better], sure=True)
        place = _ALONE[int(lot.kind[0])]
        if place is not None:
            table = np.full(len(self.judge.shelf.offers), np.inf)
            table[lot.offers[:, place]] = merit(scores)
            self.alone[KINDS[int(lot.kind[0])], int(lot.base[0])] = table

    def _part_left_out(self, lot: Candidates) -> Samples:
        """The best merit of its own damper or shunt alone, and of leaving the wire as it is; (k,)."""
        least = np.full(lot.count, self.to_beat)
        for (alone, base), table in self.alone.items():
            place = _SERIES if alone == DAMPER else _SHUNT
            has = np.isin(lot.kind, _HOLDS[alone]) & (lot.base == base)
            least[has] = np.minimum(least[has], table[lot.offers[has, place]])
        return least

    def _not_idle(self, lot: Candidates, bounds: Samples) -> tuple[Candidates, Samples]:
        """Those in which every part may do something."""
        fine = merit(bounds) < self._part_left_out(lot)
        return lot.take(fine), bounds[fine]

    def _best_first(self, lots: list[tuple[Candidates, Samples]]) -> None:
        lots = [self._not_idle(lot, found) for lot, found in lots]
        if not lots:
            return
        lot, bounds = joined(one for one, _ in lots), np.concatenate([found for _, found in lots])
        line = _Line(bounds)
        size = look = FIRST_LOT
        while (order := self._still_open(line.order, lot, line.least)).size:
            front = order[:size]
            known = front[line.looked[front]]
            if 2 * known.size >= front.size:
                self._reckon(lot.take(known), bounds[known])
                line.order = order[~np.isin(order, known)]
                size = min(MOST_LOT, LARGER * size)
            else:
                line.order = self._after_a_look(line, order, order[~line.looked[order]][:look], lot)
                look = min(MOST_LOT, LARGER * look)

    def _after_a_look(self, line: _Line, order: np.ndarray, fresh: np.ndarray, lot: Candidates) -> np.ndarray:
        """The order once the first steps in time of some are known; without those that cannot come in any more."""
        taken = lot.take(fresh)
        self.simulated += taken.count
        line.learn(fresh, self.judge.missed_at_least(taken))
        hopeless = fresh[merit(line.least[fresh]) >= self._part_left_out(taken)]
        return line.sorted(order[~np.isin(order, hopeless)] if hopeless.size else order)

    def _still_open(self, order: np.ndarray, lot: Candidates, bounds: Samples) -> np.ndarray:
        """What may still come into the list, in order of its bounds."""
        best = self.pool.best(self.count)
        if not order.size or not best:
            return order
        bound = tuple(bounds[order[0]].tolist())
        if len(best) == self.count and best[-1].score <= bound:
            return order[:0]
        order = order[merit(bounds[order]) < self._as_near()]
        if meets_everything(best[0].score) and best[0].score <= bound:
            order = order[bounds[order, PARTS] <= best[0].score[PARTS]]
        full = [number for number in _NUMBER.values() if self.pool.is_full(number, bound)]
        return order[~np.isin(lot.kind[order], full)] if full else order

    def _as_near(self) -> float:
        """The merit from which on nothing can be listed: farther outside, or more missed, than the best so far."""
        best = self.pool.best(1)
        return float(merit(np.array([best[0].score]))[0] // A_MISS + 1.0) * A_MISS if best else np.inf

    def _reckon(self, lot: Candidates, bounds: Samples) -> None:
        scores = bounds.copy()
        scores[:, MISSED] += self.judge.missed_here(lot)
        fine = merit(scores) < np.minimum(self._part_left_out(lot), self._as_near())
        self.pool.add(lot.take(fine), scores[fine], sure=False)

    def _verified(self, lot: Candidates, scores: Samples) -> tuple[np.ndarray, Samples]:
        """Scores with what is missed elsewhere, and whether leaving a part out would not do as well."""
        whole, to_beat = scores.copy(), self._part_left_out(lot)
        too_many = np.ceil((to_beat - merit(scores)) / A_MISS)
        whole[:, MISSED] += self.judge.missed_elsewhere(lot, too_many)
        fine = merit(whole) < to_beat
        fine[fine] = merit(whole[fine]) < self._without_capacitor(lot.take(fine))
        return fine, whole

    def _without_capacitor(self, lot: Candidates) -> Samples:
        """The merit of each divider without the capacitor across it, where that may be proposed; else nothing."""
        found = np.full(lot.count, np.inf)
        flat = np.flatnonzero(lot.kind == _NUMBER[FLAT_DIVIDER])
        if flat.size:
            plain = without_capacitor(lot.take(flat))
            keys = [(base, *offers) for base, offers in zip(plain.base.tolist(), plain.offers.tolist(), strict=True)]
            first = {key: at for at, key in enumerate(keys) if key not in self.plain}
            self._reckon_plain(plain.take(np.array(list(first.values()), dtype=np.intp)), list(first))
            found[flat] = [self.plain[key] for key in keys]
        return found

    def _reckon_plain(self, plain: Candidates, keys: list[tuple[int, ...]]) -> None:
        """Dividers without a capacitor, each once."""
        merits, fine = np.full(plain.count, np.inf), np.flatnonzero(self.judge.allowed(plain))
        if fine.size:
            self.simulated += fine.size
            merits[fine] = merit(self.judge.scores(plain.take(fine)))
        self.plain.update(zip(keys, merits.tolist(), strict=True))
