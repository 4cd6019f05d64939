"""Unlock: which one missing thing, once done, lets most signals be checked that cannot be checked now.

The signal check of a link is possible when all before it stands: the link itself joined and rung out, every other
wire of its source joined, the chassis at both its ends with HT on, and the racks of both ends open for fitting. What
of this does not stand are the things it needs. A missing thing frees the links that need it and nothing else. Links
marked critical count three times: that weight is a placeholder, for a site to replace by its own. Common practice, no
source.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from restoration.engineering.refusals import refuse_unless

CRITICAL_WEIGHT = 3
"""How much a link marked critical counts against any other: a placeholder, from no measurement."""
TOGETHER = 3


@dataclass(frozen=True, order=True)
class Thing:
    """Something that does not stand: the chassis of a slot ("slot"), a wire ("link"), a rack's supplies ("rack")."""

    kind: str
    code: str


@dataclass(frozen=True)
class Held:
    """Links whose signal checks need the same missing things: how many, and what they weigh together."""

    needs: frozenset[Thing]
    links: int
    weight: int


@dataclass(frozen=True)
class Together:
    """A second thing, and the links that need it and the first and nothing else."""

    thing: Thing
    links: int
    weight: int


@dataclass(frozen=True)
class Unlock:
    """One missing thing: how many links it alone frees, what they weigh, and what it frees with one thing more."""

    thing: Thing
    links: int
    weight: int
    together: tuple[Together, ...]


def weight_of(is_critical: bool | None) -> int:
    """How much a link counts: a critical one CRITICAL_WEIGHT, any other, and one of which nobody said, 1.

    >>> weight_of(True), weight_of(None)
    (3, 1)
    """
    return CRITICAL_WEIGHT if is_critical else 1


def unlocks(held: Iterable[Held]) -> tuple[Unlock, ...]:
    """Rank the missing things by the weight of the links that each alone would free, the most first.

    Formula: weight(t) = sum of the weights of the links that need {t} exactly; what t frees together with u is the
    same sum over {t, u}. Ties go by the number of links, then by what the best second thing would add, then by kind
    and code. Things that only links with three or more needs wait for are left out: no single thing and no pair
    frees any of those. Links that need nothing can be checked now and count for nothing here. Errors: ValueError
    with a whole sentence for a number of links below 1.

    >>> a, b = Thing("slot", "C-04"), Thing("slot", "D-02")
    >>> rows = unlocks([Held(frozenset({a}), 2, 4), Held(frozenset({a, b}), 5, 5)])
    >>> [(row.thing.code, row.links, row.weight, row.together[0].thing.code, row.together[0].links) for row in rows]
    [('C-04', 2, 4, 'D-02', 5), ('D-02', 0, 0, 'C-04', 5)]
    """
    alone: dict[Thing, tuple[int, int]] = {}
    pairs: dict[Thing, dict[Thing, tuple[int, int]]] = defaultdict(dict)
    for bunch in held:
        refuse_unless(bunch.links > 0, f"Links that are held must be 1 or more; {bunch.links} was given.")
        for thing in bunch.needs:
            if len(bunch.needs) == 1:
                alone[thing] = _more(alone.get(thing), bunch)
            elif len(bunch.needs) == 2:
                (other,) = bunch.needs - {thing}
                pairs[thing][other] = _more(pairs[thing].get(other), bunch)
    found = [Unlock(thing, *alone.get(thing, (0, 0)), _together(pairs[thing])) for thing in {*alone, *pairs}]
    return tuple(sorted(found, key=_rank))


def _more(known: tuple[int, int] | None, bunch: Held) -> tuple[int, int]:
    links, weight = known or (0, 0)
    return links + bunch.links, weight + bunch.weight


def _together(others: dict[Thing, tuple[int, int]]) -> tuple[Together, ...]:
    rows = [Together(thing, *counts) for thing, counts in others.items()]
    return tuple(sorted(rows, key=lambda row: (-row.weight, -row.links, row.thing))[:TOGETHER])


def _rank(row: Unlock) -> tuple[int, int, int, Thing]:
    return -row.weight, -row.links, -row.together[0].weight if row.together else 0, row.thing
