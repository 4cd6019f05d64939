"""Large machines of three families, with the spread of loads and inputs that gate-level benchmark sets show.

Shape, from memory of the ISCAS'85 (Brglez and Fujiwara, 1985) and ISCAS'89 (Brglez, Bryan and Kozminski, 1989)
papers and of later surveys of netlists: one to five inputs a gate, two most often, about 2.2 on the mean; most
sources have one to three loads and a few have tens or hundreds, falling off about as a power law; depth of a few tens
of gates. No row of those sets is copied here: the wiring is drawn at random to that spread.
"""

from typing import NamedTuple

import numpy as np

from restoration.engineering.wiring import Wiring, build_wiring

FAN_IN = (0.18, 0.55, 0.17, 0.07, 0.03)
"""Chance of one, two … five inputs on a gate; mean 2.2. From memory, see above."""


class Rows(NamedTuple):
    """Slots, the slot of each terminal, and both terminals of each link, as arrays."""

    slots: int
    terminal_slot: np.ndarray
    source: np.ndarray
    load: np.ndarray

    def wiring(self) -> Wiring:
        return build_wiring(slot_count=self.slots, terminal_slot=self.terminal_slot, source=self.source, load=self.load)

    @property
    def ends(self) -> tuple[np.ndarray, np.ndarray]:
        """Slot at the source and at the load of each link."""
        return self.terminal_slot[self.source], self.terminal_slot[self.load]


def combinational(links: int, *, depth: int = 40, seed: int = 1) -> Rows:
    """Gates in so many layers, each fed from a layer shortly before its own: no loop."""
    chance = np.random.default_rng(seed)
    slots = max(depth, round(links / 2.2))
    layer = np.sort(np.concatenate((np.arange(depth), chance.integers(0, depth, slots - depth))))
    first = np.searchsorted(layer, np.arange(depth + 1))
    head = _fed(chance, np.arange(first[1], slots), links)
    back = np.where(np.arange(head.size) == np.unique(head, return_index=True)[1][np.searchsorted(
        np.unique(head), head)], 1, chance.geometric(0.6, head.size))  # fmt: skip
    from_layer = np.maximum(layer[head] - back, 0)
    tail = _popular(chance, first[from_layer], first[from_layer + 1])
    return _rows(slots, tail, head)


def sequential(links: int, *, depth: int = 40, seed: int = 2) -> Rows:
    """The same with one gate in thirty feeding back to the first layers, as registers do: loops of every size."""
    chance = np.random.default_rng(seed)
    whole = combinational(links, depth=depth, seed=seed)
    tail, head = (end.copy() for end in whole.ends)
    back = np.flatnonzero(chance.random(head.size) < 1 / 30)
    near = np.maximum(tail[back] - chance.integers(0, whole.slots // 3 + 1, back.size), 0)
    local = chance.random(back.size) < 0.9
    head[back] = np.where(local, np.maximum(tail[back] - chance.integers(0, 20, back.size), 0), near)
    return _rows(whole.slots, tail, head)


def bus_like(links: int, *, depth: int = 12, seed: int = 3) -> Rows:
    """Few drivers with hundreds of loads each, parallel links to one slot, and a few ways back."""
    chance = np.random.default_rng(seed)
    slots = max(20, links // 6)
    drivers = np.sort(chance.choice(slots, max(4, slots // 60), replace=False))
    tail = np.where(chance.random(links) < 0.7, chance.choice(drivers, links), chance.integers(0, slots, links))
    head = np.minimum(tail + chance.geometric(depth / slots, links), slots - 1)
    back = chance.random(links) < 0.002
    head[back] = chance.integers(0, slots, int(back.sum()))
    return _rows(slots, tail, head)


def _fed(chance, gates, links):
    """The gate at the head of each link: every gate is fed, by as many links as its fan-in."""
    inputs = 1 + chance.choice(5, gates.size, p=FAN_IN)
    heads = np.repeat(gates, inputs)
    more = chance.choice(gates, max(0, links - heads.size))
    return np.sort(np.concatenate((heads, more)))[:links] if more.size else np.sort(chance.choice(heads, links, False))


def _popular(chance, low, high):
    """A place from low to high - 1, the low ones far more often: a power law of loads a source."""
    return (low + (high - low) * chance.random(low.size) ** 2.5).astype(np.int64)


def _rows(slots, tail, head):
    """One output terminal a slot, and an input terminal for every link into it."""
    terminal_slot = np.concatenate((np.arange(slots), head)).astype(np.int64)
    return Rows(slots, terminal_slot, tail.astype(np.int64), slots + np.arange(head.size))


FAMILIES = {"combinational": combinational, "sequential": sequential, "bus-like": bus_like}
