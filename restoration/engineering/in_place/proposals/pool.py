"""What may be listed of all that was reckoned: the best of each kind, and of all kinds together."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from restoration.engineering.in_place.proposals.judging import MISSED, OUTSIDE, PARTS
from restoration.engineering.in_place.proposals.space import KINDS, ROLE_ORDER, Candidates, joined
from restoration.engineering.link_model import Samples

OF_ONE_KIND = 3
NEAR = 1.15
"""Factor within which two values are one for people."""
VERIFIED_FIRST, VERIFIED_MORE = 8, 4
"""How many full scores are asked for at first, and by what factor more each time that these were not enough."""

Verify = Callable[[Candidates, Samples], tuple[np.ndarray, Samples]]
"""Gives which of some candidates may be listed, and the full scores of all of them."""


@dataclass(frozen=True)
class Found:
    """One candidate with its score."""

    candidate: Candidates
    score: tuple[float, ...]

    @property
    def kind(self) -> str:
        """What kind of arrangement it is."""
        return KINDS[int(self.candidate.kind[0])]


def meets_everything(score: tuple[float, ...]) -> bool:
    """Whether a score has nothing outside, nothing missed, and nothing to fear from tolerances.

    Formula: none. Source: none. Valid for scores. Units: none. Errors: none.

    >>> meets_everything((0.0, 0.0, 0.0, 2.0)), meets_everything((0.0, 1.0, 0.0, 1.0))
    (True, False)
    """
    return not any(score[:PARTS])


def listed(found: Iterable[Found], count: int) -> tuple[Found, ...]:
    """The first so many in order of score that are as near to the limits as the best of all.

    None that is farther outside or misses more; where the best meets everything, none of more parts than it has.
    """
    ordered = sorted(found, key=lambda one: one.score)
    if not ordered:
        return ()
    best = ordered[0].score
    most_parts = best[PARTS] if meets_everything(best) else np.inf
    as_near = [
        one
        for one in ordered
        if one.score[OUTSIDE] == best[OUTSIDE] and one.score[MISSED] == best[MISSED] and one.score[PARTS] <= most_parts
    ]
    return tuple(as_near[:count])


def picked(lot: Candidates, scores: Samples) -> np.ndarray:
    """Places of the best three of one kind, none in all its values within a factor of 1.15 of a better one."""
    values = np.stack([getattr(lot.fitted, role) for role in ROLE_ORDER], axis=1)
    order = np.lexsort(scores.T[::-1])
    picks: list[int] = []
    while order.size and len(picks) < OF_ONE_KIND:
        picks.append(int(order[0]))
        order = order[~_is_near(values[order], values[order[0]])]
    return np.array(picks, dtype=np.intp)


def _is_near(values: Samples, to: Samples) -> np.ndarray:
    within = (values <= NEAR * to) & (to <= NEAR * values)
    near: np.ndarray = np.all((values == to) | (within & np.isfinite(values) & np.isfinite(to)), axis=1)
    return near


@dataclass
class _OfKind:
    """All of one kind that may be listed; `sure` are those whose scores are full, the others score that or more."""

    lot: Candidates
    scores: Samples
    sure: np.ndarray

    def kept(self, index: np.ndarray) -> _OfKind:
        return _OfKind(self.lot.take(index), self.scores[index], self.sure[index])


class Pool:
    """All that may be listed so far, by kind; full scores are asked for only of what would be picked."""

    def __init__(self, verify: Verify) -> None:
        self._verify = verify
        self._kinds: dict[int, _OfKind] = {}
        self._picks: dict[int, tuple[Found, ...]] = {}

    def add(self, lot: Candidates, scores: Samples, *, sure: bool) -> None:
        """Take more in, with full scores or with what they are at the least."""
        for kind in np.unique(lot.kind).tolist():
            here = lot.kind == kind
            more = _OfKind(lot.take(here), scores[here], np.full(int(here.sum()), sure))
            self._kinds[kind] = _together(self._kinds[kind], more) if kind in self._kinds else more
            self._picks.pop(kind, None)

    def picks(self, kind: int) -> tuple[Found, ...]:
        """The best of one kind, all with full scores."""
        if kind not in self._picks and kind in self._kinds:
            self._picks[kind] = self._pick(kind)
        return self._picks.get(kind, ())

    def _pick(self, kind: int) -> tuple[Found, ...]:
        count = VERIFIED_FIRST
        while True:
            held = self._kinds[kind]
            places = picked(held.lot, held.scores)
            if bool(np.all(held.sure[places])):
                return tuple(
                    Found(held.lot.take(at), tuple(held.scores[at][0].tolist())) for at in places[:, np.newaxis]
                )
            self._make_sure(kind, held, count)
            count *= VERIFIED_MORE

    def _make_sure(self, kind: int, held: _OfKind, count: int) -> None:
        """Ask for the full scores of the first few that have none yet."""
        order = np.lexsort(held.scores.T[::-1])
        first = order[~held.sure[order]][:count]
        fine, scores = self._verify(held.lot.take(first), held.scores[first])
        held.scores[first], held.sure[first] = scores, True
        stays = np.ones(held.sure.size, dtype=bool)
        stays[first] = fine
        self._kinds[kind] = held.kept(stays)

    def best(self, count: int) -> tuple[Found, ...]:
        """What would be listed of what is there."""
        return listed((one for kind in self._kinds for one in self.picks(kind)), count)

    def is_full(self, kind: int, bound: tuple[float, ...]) -> bool:
        """Whether nothing of this kind that scores the bound or more can be listed."""
        of_kind = self.picks(kind)
        return len(of_kind) == OF_ONE_KIND and of_kind[-1].score <= bound


def _together(one: _OfKind, other: _OfKind) -> _OfKind:
    return _OfKind(
        joined((one.lot, other.lot)),
        np.concatenate((one.scores, other.scores)),
        np.concatenate((one.sure, other.sure)),
    )
