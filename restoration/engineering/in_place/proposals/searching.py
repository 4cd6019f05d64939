"""The best arrangements of all, found without reckoning in time what cannot be among them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from restoration.engineering.in_place.proposals.judging import MISSED, OUTSIDE, Judge, merit, without_capacitor
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
from restoration.engineering.link_model import Samples

OF_ONE_KIND = 3
FIRST_LOT, LATER_LOT = 256, 1024
_SERIES, _SHUNT = ROLE_ORDER.index("series_ohm"), ROLE_ORDER.index("shunt_ohm")
_NUMBER = {kind: number for number, kind in enumerate(KINDS)}
_ALONE = {_NUMBER[NOTHING]: None, _NUMBER[DAMPER]: _SERIES, _NUMBER[SHUNT]: _SHUNT}
"""Kinds of at most one new part, and the place of that part."""


@dataclass(frozen=True)
class Found:
    """One candidate with its score."""

    candidate: Candidates
    score: tuple[float, ...]

    @property
    def values(self) -> tuple[float, ...]:
        """What is fitted, place by place; two candidates of other offers may have the same."""
        return tuple(float(getattr(self.candidate.fitted, role)[0]) for role in ROLE_ORDER)

    @property
    def kind(self) -> str:
        """What kind of arrangement it is."""
        return KINDS[int(self.candidate.kind[0])]


@dataclass(frozen=True)
class Searched:
    """The best, how many candidates came into question, and how many of them were reckoned in time."""

    best: tuple[Found, ...]
    looked_at: int
    simulated: int


@dataclass
class _Pool:
    """The best of each kind so far, no arrangement twice."""

    kept: dict[int, dict[tuple[float, ...], Found]] = field(default_factory=dict)

    def add(self, lot: Candidates, scores: Samples) -> None:
        for kind in np.unique(lot.kind):
            of_kind = self.kept.setdefault(int(kind), {})
            places = np.flatnonzero(lot.kind == kind)
            for at in places[np.lexsort(scores[places].T[::-1])]:
                found = Found(lot.take(np.array([at])), tuple(scores[at].tolist()))
                if found.values in of_kind and of_kind[found.values].score <= found.score:
                    continue
                of_kind[found.values] = found
                worst = max(of_kind.values(), key=lambda one: one.score)
                if len(of_kind) > OF_ONE_KIND:
                    del of_kind[worst.values]
                    if worst is found:
                        break

    def best(self, count: int) -> tuple[Found, ...]:
        """The best of all kinds together."""
        return picked((one for of_kind in self.kept.values() for one in of_kind.values()), count)

    def is_full(self, kind: int, bound: tuple[float, ...]) -> bool:
        """Whether nothing of this kind that scores the bound or more can be listed."""
        of_kind = self.kept.get(kind, {})
        return len(of_kind) == OF_ONE_KIND and all(one.score <= bound for one in of_kind.values())


def picked(found: Iterable[Found], count: int) -> tuple[Found, ...]:
    """The first so many in order of score, at most three of one kind, no arrangement twice."""
    listed: list[Found] = []
    for one in sorted(found, key=lambda one: one.score):
        of_kind = sum(other.kind == one.kind for other in listed)
        if of_kind < OF_ONE_KIND and all(other.values != one.values for other in listed):
            listed.append(one)
    return tuple(listed[:count])


def search(judge: Judge, count: int) -> Searched:
    """The best candidates of everything that the shelf allows, as ``picked`` from all of them.

    First everything of one new part is reckoned in time. Of the rest, what cannot be better than what it would be with
    a part left out, or than leaving the wire as it is, falls away by its bound. Then best bound first: once as many
    are found as are asked for, none scoring more than the next bound, no later one can be among them.
    """
    return _Search(judge, count).run()


class _Search:
    """One search: what was found so far, and what it took."""

    def __init__(self, judge: Judge, count: int) -> None:
        self.judge, self.count = judge, count
        self.pool = _Pool()
        self.to_beat = float(merit(judge.now_score)[0])
        self.looked_at = self.simulated = 0
        self.alone: dict[int, Samples] = {}

    def run(self) -> Searched:
        lots = [self._worth(lot) for lot in self._everything()]
        few = [lot for lot, _ in lots if lot.count and lot.kind[0] in _ALONE]
        for lot in few:
            self._reckon_alone(lot)
        many = [self._not_idle(lot, bounds) for lot, bounds in lots if lot.count and lot.kind[0] not in _ALONE]
        if many:
            self._best_first(joined(lot for lot, _ in many), np.concatenate([bounds for _, bounds in many]))
        return Searched(self.pool.best(self.count), self.looked_at, self.simulated)

    def _everything(self) -> Iterator[Candidates]:
        case = self.judge.case
        return everything(self.judge.shelf, case.arrangement, case.load, self._may_be_near)

    def _may_be_near(self, lot: Candidates) -> np.ndarray:
        """Those whose amplitude is not farther outside its limits than it is now."""
        self.looked_at += lot.count
        near: np.ndarray = self.judge.outside(lot) <= self.judge.now_score[0, OUTSIDE]
        return near

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
        self.pool.add(lot.take(better), scores[better])
        for base in np.unique(lot.base):
            here = np.flatnonzero(lot.base == base)
            table = self.alone.setdefault(self._key(lot.kind[0], base), np.full(len(self.judge.shelf.offers), np.inf))
            place = _ALONE[int(lot.kind[0])]
            if place is not None:
                table[lot.offers[here, place]] = merit(scores[here])

    @staticmethod
    def _key(kind: int, base: int) -> int:
        return 2 * int(kind) + int(base)

    def _part_left_out(self, lot: Candidates) -> Samples:
        """The best merit of any candidate with a part less, so far as all of those are known; (k,)."""
        least = np.full(lot.count, self.to_beat)
        for alone, place in ((DAMPER, _SERIES), (SHUNT, _SHUNT)):
            for base in (0, 1):
                table = self.alone.get(self._key(_NUMBER[alone], base))
                if table is not None:
                    has = _holds(lot, alone) & (lot.base == base)
                    least[has] = np.minimum(least[has], table[lot.offers[has, place]])
        return least

    def _not_idle(self, lot: Candidates, bounds: Samples) -> tuple[Candidates, Samples]:
        """Those in which every part may do something."""
        fine = merit(bounds) < self._part_left_out(lot)
        return lot.take(fine), bounds[fine]

    def _best_first(self, lot: Candidates, bounds: Samples) -> None:
        order = np.lexsort(bounds.T[::-1])
        size = FIRST_LOT
        while order.size:
            now, order = order[:size], order[size:]
            self._reckon(lot.take(now), bounds[now])
            size = LATER_LOT
            if order.size:
                order = self._still_open(order, lot.kind, tuple(bounds[order[0]].tolist()))

    def _still_open(self, order: np.ndarray, kind: np.ndarray, bound: tuple[float, ...]) -> np.ndarray:
        """What may still come into the list, the next bound being this one."""
        best = self.pool.best(self.count)
        if len(best) == self.count and best[-1].score <= bound:
            return order[:0]
        full = [number for number in _NUMBER.values() if self.pool.is_full(number, bound)]
        return order[~np.isin(kind[order], full)] if full else order

    def _reckon(self, lot: Candidates, bounds: Samples) -> None:
        self.simulated += lot.count
        scores = bounds.copy()
        to_beat = self._part_left_out(lot)
        scores[:, MISSED] += self.judge.missed_here(lot)
        lot, scores, to_beat = _those(merit(scores) < to_beat, lot, scores, to_beat)
        scores[:, MISSED] += self.judge.missed_elsewhere(lot)
        lot, scores, to_beat = _those(merit(scores) < to_beat, lot, scores, to_beat)
        better = merit(scores) < self._without_capacitor(lot)
        self.pool.add(lot.take(better), scores[better])

    def _without_capacitor(self, lot: Candidates) -> Samples:
        """The merit of each divider without the capacitor across it, where that may be proposed; else nothing."""
        found = np.full(lot.count, np.inf)
        flat = np.flatnonzero(lot.kind == _NUMBER[FLAT_DIVIDER])
        if flat.size:
            plain = without_capacitor(lot.take(flat))
            fine = np.flatnonzero(self.judge.allowed(plain))
            self.simulated += fine.size
            found[flat[fine]] = merit(self.judge.scores(plain.take(fine)))
        return found


def _holds(lot: Candidates, alone: str) -> np.ndarray:
    kinds = {DAMPER: (DAMPED_SHUNT,), SHUNT: (DAMPED_SHUNT, DIVIDER, FLAT_DIVIDER)}[alone]
    found: np.ndarray = np.isin(lot.kind, [_NUMBER[kind] for kind in kinds])
    return found


def _those(fine: np.ndarray, lot: Candidates, scores: Samples, to_beat: Samples) -> tuple[Candidates, Samples, Samples]:
    return lot.take(fine), scores[fine], to_beat[fine]
