"""Which interconnects are drawn one by one, and which are drawn together as one wire."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from restoration.machine.following.folding import Bools, Ints, Shown
from restoration.machine.following.reaching import Followed

ROWS = 8  # interconnects named at the inputs of one plate; further ones from the same plate come together as one wire
BACK_ROWS = 3  # interconnects back that are named at one plate; further ones are counted


@dataclass(frozen=True)
class Bundle:
    """Several interconnects drawn as one wire; `terminal` is the place of the source that all of them have, if so."""

    source: int
    load: int
    count: int
    hop: int
    terminal: int | None


@dataclass(frozen=True, eq=False)
class Wires:
    """Interconnects by their place in the wiring, the hop at which each is crossed, and the plates it joins."""

    links: Ints
    hop: Ints
    sources: Ints
    loads: Ints

    def only(self, which: Bools) -> "Wires":
        """Some of them."""
        return Wires(self.links[which], self.hop[which], self.sources[which], self.loads[which])


@dataclass(frozen=True, eq=False)
class Chosen:
    """Interconnects that are drawn one by one, then the wires drawn for several.

    Plates are counted through: single ones first, then folds. `more_back` says how many links back of a plate are
    neither named nor drawn.
    """

    named: Wires
    bundles: tuple[Bundle, ...]
    more_back: dict[int, int]


def choose_wires(followed: Followed, shown: Shown, source_terminal: Ints, *, is_down: bool) -> Chosen:
    """Name what fits, bundle what runs on past the room at a plate or to a fold, count what else runs back."""
    single = len(shown.places)
    hops = np.concatenate((followed.reached.hop[shown.places], [each.hop for each in shown.folds])).astype(np.intp)
    wires = _between_plates(followed, shown)
    ahead = (hops[wires.loads] > hops[wires.sources]) == is_down
    ahead &= hops[wires.loads] != hops[wires.sources]
    is_single = (wires.sources < single) & (wires.loads < single)
    onward, back = wires.only(ahead), wires.only(~ahead & is_single)
    is_named = is_single[ahead]
    is_named[is_named] = _rank(onward.loads[is_named]) < ROWS
    is_back_named = _rank(back.sources) < BACK_ROWS
    more = np.unique(back.sources[~is_back_named], return_counts=True)
    named = _both(onward.only(is_named), back.only(is_back_named))
    return Chosen(
        named,
        tuple(_bundles(onward.only(~is_named), source_terminal)),
        dict(zip(more[0].tolist(), more[1].tolist(), strict=True)),
    )


def _between_plates(followed: Followed, shown: Shown) -> Wires:
    """The links with both ends on the sheet, the earliest crossed first."""
    single = len(shown.places)
    plate = np.full(len(followed.reached), -1, dtype=np.intp)
    plate[shown.places] = np.arange(single)
    for number, each in enumerate(shown.folds):
        plate[each.members] = single + number
    sources, loads = plate[followed.sources], plate[followed.loads]
    kept = np.flatnonzero((sources >= 0) & (loads >= 0) & ((sources < single) | (loads < single)))
    kept = kept[np.lexsort((followed.links[kept], followed.link_hop[kept]))]
    return Wires(followed.links[kept], followed.link_hop[kept], sources[kept], loads[kept])


def _both(one: Wires, other: Wires) -> Wires:
    return Wires(
        np.concatenate((one.links, other.links)),
        np.concatenate((one.hop, other.hop)),
        np.concatenate((one.sources, other.sources)),
        np.concatenate((one.loads, other.loads)),
    )


def _rank(plates: Ints) -> Ints:
    """For each, how many of the same plate stand before it."""
    order = np.argsort(plates, kind="stable")
    ordered = plates[order]
    starts = np.flatnonzero(np.diff(ordered, prepend=-1))
    lengths = np.diff(np.append(starts, len(ordered)))
    rank = np.empty(len(plates), dtype=np.intp)
    rank[order] = np.arange(len(ordered)) - np.repeat(starts, lengths)
    return rank


def _bundles(wires: Wires, source_terminal: Ints) -> Iterator[Bundle]:
    if not len(wires.links):
        return
    terminals = source_terminal[wires.links]
    order = np.lexsort((terminals, wires.loads, wires.sources))
    sources, loads, terminals = wires.sources[order], wires.loads[order], terminals[order]
    first = np.flatnonzero((np.diff(sources, prepend=-1) != 0) | (np.diff(loads, prepend=-1) != 0))
    after = np.append(first[1:], len(sources))
    nearest = np.minimum.reduceat(wires.hop[order], first)
    for at, end, hop in zip(first.tolist(), after.tolist(), nearest.tolist(), strict=True):
        terminal = int(terminals[at]) if terminals[at] == terminals[end - 1] else None
        yield Bundle(int(sources[at]), int(loads[at]), end - at, hop, terminal)
