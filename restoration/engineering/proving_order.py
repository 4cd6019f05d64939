"""An order of proving that never pretends to run through a loop.

A signal can be proved where all that comes before it is proved. Round a loop nothing comes first, so each loop is
opened at a source terminal: the links of that source that lie in the loop are lifted there, one stand-in source
imitates their signal on the wires, and a stand-in load takes the place of the wires on the terminal. The other links
of the loop are then proved in their order, the stand-ins are taken away, the links are joined again, and the loop is
proved closed. Common practice, no source; how the openings are chosen, with sources, stands in `loop_opening`.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from restoration.engineering.loop_opening import Bools, Flow, Ints, Lifting, open_loops, strong_labels
from restoration.engineering.refusals import refuse_unless
from restoration.engineering.signal_flow import flow_of
from restoration.engineering.wiring import Wiring


class Method(StrEnum):
    """How the openings of a loop were chosen."""

    GREEDY = "greedy"
    QUICK = "quick"


class Deed(StrEnum):
    """What is done with a link, or with the links of one source."""

    OPEN = "open"
    PROVE = "prove"
    CLOSE = "close"


@dataclass(frozen=True)
class Opening:
    """A source terminal at which to open a loop: the links to lift there, by rank, and the load of each.

    `frees` counts the further links of the loop that lie in no loop any more, the lifted ones left out; None where it
    was not counted, because the quick way chose the source.
    """

    source: int
    links: tuple[int, ...]
    loads: tuple[int, ...]
    frees: int | None


@dataclass(frozen=True)
class Loop:
    """A loop, where to open it, and the order of its other links, round after round, once it is open."""

    slots: tuple[int, ...]
    link_count: int
    openings: tuple[Opening, ...]
    rounds: tuple[tuple[int, ...], ...]

    @property
    def closings(self) -> tuple[Opening, ...]:
        """The openings, in the order in which they are closed again: the last one opened is the first."""
        return self.openings[::-1]

    @property
    def method(self) -> Method:
        """Quick, where the quick way chose any of its openings."""
        return Method.QUICK if any(opening.frees is None for opening in self.openings) else Method.GREEDY

    def steps(self) -> Iterator[tuple[Deed, tuple[int, ...]]]:
        """Open it, prove its other links round after round, close it."""
        yield from ((Deed.OPEN, opening.links) for opening in self.openings)
        yield from ((Deed.PROVE, (link,)) for links in self.rounds for link in links)
        yield from ((Deed.CLOSE, opening.links) for opening in self.closings)


@dataclass(frozen=True)
class Layer:
    """What can be proved once the layers before it are: first its loops, then the links that lead on."""

    loops: tuple[Loop, ...]
    links: tuple[int, ...]


@dataclass(frozen=True)
class ProvingOrder:
    """The whole order, layer after layer."""

    layers: tuple[Layer, ...]

    @property
    def loops(self) -> tuple[Loop, ...]:
        """Every loop, in the order in which they are met."""
        return tuple(loop for layer in self.layers for loop in layer.loops)

    def steps(self) -> Iterator[tuple[Deed, tuple[int, ...]]]:
        """Every deed in its order, with its links: each is proved once, or lifted once and joined again once."""
        for layer in self.layers:
            for loop in layer.loops:
                yield from loop.steps()
            yield from ((Deed.PROVE, (link,)) for link in layer.links)


def proving_order(wiring: Wiring, *, rank: Sequence[int] | Ints | None = None) -> ProvingOrder:
    """Say in which order to prove the links of a machine, and where to open its loops.

    `rank` (links,) settles what is equally good, the lowest first (the place of a link's code, say); without it the
    number of the link does. A link stands in the layer of what feeds it: after every link upstream of it, and after
    the closing of every loop upstream, except through the openings of its own loop. Valid for any wiring; takes time
    that grows as the number of links, past the bounds of `loop_opening`. Errors: ValueError where `rank` is not of
    one number for each link.

    >>> from restoration.engineering.wiring import build_wiring
    >>> ring = build_wiring(slot_count=3, terminal_slot=[0, 0, 1, 1, 2], source=[1, 3, 3], load=[2, 0, 4])
    >>> order = proving_order(ring)
    >>> [(str(deed), *links) for deed, links in order.steps()]
    [('open', 0), ('prove', 1), ('close', 0), ('prove', 2)]
    >>> order.loops[0].slots, order.loops[0].openings
    ((0, 1), (Opening(source=1, links=(0,), loads=(2,), frees=1),))
    """
    ranks = np.arange(wiring.link_count) if rank is None else np.asarray(rank, dtype=np.int64)
    refuse_unless(
        ranks.shape == (wiring.link_count,),
        f"rank must give one number for each of the {wiring.link_count} links; its shape is {ranks.shape}.",
    )
    flow, slot_of_node = flow_of(wiring, ranks)
    return _Order(wiring, flow, slot_of_node).order()


class _Order:
    """Puts loops and links into their layers."""

    def __init__(self, wiring: Wiring, flow: Flow, slot_of_node: Ints) -> None:
        self.wiring, self.flow, self.slot_of_node = wiring, flow, slot_of_node
        self.liftings = open_loops(flow)
        self.part = strong_labels(flow.node_count, flow.tail, flow.head)
        self.of_link = self.part[flow.link_tail]
        self.is_inside = self.of_link == self.part[flow.link_head]
        self.layer_of_part = self._layers_of_parts()

    def order(self) -> ProvingOrder:
        loops: dict[int, list[Loop]] = {}
        for part, loop in self._loops():
            loops.setdefault(int(self.layer_of_part[part]), []).append(loop)
        links = _groups(self._by_rank(~self.is_inside), self.layer_of_part[self.of_link])
        count = max((*loops, *links), default=-1) + 1
        layers = (Layer(tuple(loops.get(at, ())), links.get(at, ())) for at in range(count))
        return ProvingOrder(tuple(layer for layer in layers if layer.loops or layer.links))

    def _by_rank(self, wanted: Bools) -> Ints:
        links = np.flatnonzero(wanted)
        return links[np.argsort(self.flow.rank[links], kind="stable")]

    def _layers_of_parts(self) -> Ints:
        tail, head = self.part[self.flow.tail], self.part[self.flow.head]
        between = tail != head
        # what comes out of a loop along an inner edge is proved only when the loop is
        weight = (np.arange(tail.size) < self.flow.link_count) | np.isin(tail, self.of_link[self.is_inside])
        return layers(int(self.part.max(initial=-1)) + 1, tail[between], head[between], weight[between])

    def _loops(self) -> list[tuple[int, Loop]]:
        """Every loop with the number of its part, the first by rank first."""
        by_rank = self._by_rank(self.is_inside)
        within = self._layers_within()
        slots = self._slots_of_parts(np.unique(self.of_link[by_rank]))
        opened: dict[int, list[Opening]] = {}
        for lifting in self.liftings:
            opened.setdefault(int(self.of_link[lifting.links[0]]), []).append(self._opening(lifting))
        return [
            (part, _loop(slots[part], links, tuple(opened[part]), within))
            for part, links in _groups(by_rank, self.of_link).items()
        ]

    def _opening(self, lifting: Lifting) -> Opening:
        loads = tuple(int(self.wiring.load[link]) for link in lifting.links)
        return Opening(int(self.wiring.source[lifting.links[0]]), lifting.links, loads, lifting.frees)

    def _layers_within(self) -> list[int]:
        """For each link in a loop, its round once the loops are open."""
        tail, head = self.flow.tail, self.flow.head
        left = self.part[tail] == self.part[head]
        left[[link for lifting in self.liftings for link in lifting.links]] = False
        weight = np.arange(tail.size) < self.flow.link_count
        of_node = layers(self.flow.node_count, tail[left], head[left], weight[left])
        rounds: list[int] = of_node[self.flow.link_tail].tolist()
        return rounds

    def _slots_of_parts(self, parts: Ints) -> dict[int, tuple[int, ...]]:
        nodes = np.flatnonzero(np.isin(self.part, parts))
        pairs = np.unique(np.stack((self.part[nodes], self.slot_of_node[nodes])), axis=1)
        return _groups(pairs[1], pairs[0], is_of_items=False)


def _loop(slots: tuple[int, ...], links: tuple[int, ...], openings: tuple[Opening, ...], within: list[int]) -> Loop:
    lifted = {link for opening in openings for link in opening.links}
    rounds: dict[int, list[int]] = {}
    for link in links:
        if link not in lifted:
            rounds.setdefault(within[link], []).append(link)
    return Loop(slots, len(links), openings, tuple(tuple(rounds[at]) for at in sorted(rounds)))


def _groups(items: Ints, key: Ints, *, is_of_items: bool = True) -> dict[int, tuple[int, ...]]:
    """Gather items under their key (of the item itself, or of its place), in the order in which they come."""
    found: dict[int, list[int]] = {}
    keys = key[items] if is_of_items else key
    for item, under in zip(items.tolist(), keys.tolist(), strict=True):
        found.setdefault(under, []).append(item)
    return {under: tuple(gathered) for under, gathered in found.items()}


def layers(node_count: int, tail: Ints, head: Ints, weight: Bools) -> Ints:
    """Number the nodes of a graph without loops by the longest way to them, an edge of weight False counting nothing.

    Formula: layer(v) = max over edges u → v of layer(u) + weight, 0 where none comes in; one pass in topological
    order (A. B. Kahn, "Topological sorting of large networks", Communications of the ACM 5 (1962) 558-562). Shapes:
    tail, head and weight (edges,); the answer (nodes,). Errors: ValueError where the edges run in a circle.

    >>> layers(3, np.array([0, 1, 0]), np.array([1, 2, 2]), np.array([True, True, True])).tolist()
    [0, 1, 2]
    """
    ins = np.bincount(head, minlength=node_count).tolist()
    order = np.argsort(tail, kind="stable")
    start = np.searchsorted(tail[order], np.arange(node_count + 1)).tolist()
    ends, weights = head[order].tolist(), weight[order].tolist()
    found = [0] * node_count
    ready = [node for node in range(node_count) if not ins[node]]
    for node in ready:
        for place in range(start[node], start[node + 1]):
            end = ends[place]
            found[end] = max(found[end], found[node] + weights[place])
            ins[end] -= 1
            if not ins[end]:
                ready.append(end)
    refuse_unless(len(ready) == node_count, "The edges run in a circle, so their nodes have no layers.")
    return np.array(found, dtype=np.int64)
