"""Loops of the wiring: parts whose every stage comes back to itself, and the layers between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse.csgraph import connected_components

from restoration.engineering.wiring.given import Bools, Ints, index_given
from restoration.engineering.wiring.graph import Wiring
from restoration.engineering.wiring.layers import longest_ways
from restoration.engineering.wiring.rows import Rows, rows_by


@dataclass(frozen=True, eq=False)
class Components:
    """Strongly connected components, numbered so that each comes before all it leads to, and their layers.

    A component holds stages, and terminals that pass a signal on by themselves; two are in one where each reaches the
    other. A layer is the longest way from a component that nothing leads to, counted in links
    (or joints of stages) between components.
    Shapes: of_node (nodes,), stages first; layer_of (count,).
    """

    wiring: Wiring
    count: int
    layer_count: int
    of_node: Ints
    layer_of: Ints

    @property
    def of_stage(self) -> Ints:
        """Shape (stages,): the component of each stage; in a machine without given stages, of each slot."""
        return self.of_node[: self.wiring.stage_count]

    @property
    def layer_of_stage(self) -> Ints:
        """Shape (stages,): the layer of each stage."""
        return self.layer_of[self.of_stage]

    def slots_of(self, component: int) -> Ints:
        """The slots of a component, ascending. Errors: ValueError where there is no such component."""
        number = index_given("component", component, self.count)
        return np.unique(self.wiring.nodes.slot[self.of_node == number])


@dataclass(frozen=True, eq=False)
class Loop:
    """A component of two or more slots: signals go round in it. Slots and links (both ends in it) ascend."""

    component: int
    slots: Ints
    links: Ints


def components(wiring: Wiring) -> Components:
    """Find the strongly connected components of the wiring, and the layers of what they leave.

    Method: scipy's strong components (Pearce, "An improved algorithm for finding the strongly connected components of
    a directed graph", 2005, as its documentation names it), then longest ways over the graph of components. Linear in
    links. Units: none. Never raises.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 1, 2, 1], source=[0, 2, 3], load=[1, 3, 4])
    >>> found = components(wiring)
    >>> found.count, found.layer_count, found.of_stage.tolist(), found.slots_of(1).tolist()
    (2, 2, [0, 1, 1], [1, 2])
    """
    if wiring.nodes.count == 0:
        return Components(wiring, 0, 0, np.empty(0, np.int32), np.empty(0, np.int32))
    rows = _with_joints(wiring)
    count, label = connected_components(rows.matrix, directed=True, connection="strong")
    layer = longest_ways(*_between(rows, label), int(count))
    of_node = (count - 1 - label).astype(np.int32)
    return Components(wiring, int(count), int(layer.max()) + 1, of_node, layer[::-1])


def _with_joints(wiring: Wiring) -> Rows:
    """Ways between nodes by link, and by a joint of two stages."""
    tail, head = wiring.nodes.joints
    if not tail.size:
        return wiring.down
    count = wiring.nodes.count
    ends = np.concatenate((wiring.edge_head, head))
    return rows_by(np.concatenate((wiring.edge_tail, tail)), ends, count, count)


def _between(rows: Rows, label: Ints) -> tuple[Ints, Ints]:
    """Both ends of every way from one component to another, each leading to a lower label."""
    matrix = rows.matrix
    tail, head = np.repeat(label, np.diff(matrix.indptr)), label[matrix.indices]
    crosses = tail != head
    tail, head = tail[crosses], head[crosses]
    if not (tail > head).all():  # pragma: no cover - scipy has always numbered them so, and does not promise it
        raise RuntimeError("The components were not numbered against the direction of the links.")
    return tail, head


def loops(found: Components) -> tuple[Loop, ...]:
    """The components of two or more slots: the largest first, then by their slots.

    Parallel links and links back into their own slot make no loop. Formula and source: none. Never raises.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 1, 2, 1], source=[0, 2, 3], load=[1, 3, 4])
    >>> [(loop.slots.tolist(), loop.links.tolist()) for loop in loops(components(wiring))]
    [([1, 2], [1, 2])]
    """
    wiring = found.wiring
    pairs = np.unique(found.of_node.astype(np.int64) * wiring.slot_count + wiring.nodes.slot)
    part, slot = np.divmod(pairs, wiring.slot_count) if pairs.size else (pairs, pairs)
    is_loop = np.bincount(part, minlength=found.count) > 1
    slots = _split(part[is_loop[part]], slot[is_loop[part]])
    links = _links_inside(found, is_loop)
    every = [Loop(number, members.astype(np.int32), links[number]) for number, members in slots.items()]
    return tuple(sorted(every, key=lambda loop: (-loop.slots.size, loop.slots.tolist())))


def _links_inside(found: Components, is_loop: Bools) -> dict[int, Ints]:
    wiring = found.wiring
    tail, head = found.of_node[wiring.edge_tail], found.of_node[wiring.edge_head]
    inside = np.flatnonzero((tail == head) & is_loop[tail])
    both = np.stack((tail[inside], wiring.edge_link[inside]))
    once = np.unique(both, axis=1)
    return {number: links.astype(np.int32) for number, links in _split(once[0], once[1]).items()}


def _split(keys: Ints, values: Ints) -> dict[int, Ints]:
    """Values by key, the keys ascending already."""
    numbers, first = np.unique(keys, return_index=True)
    return dict(zip(numbers.tolist(), np.split(values, first[1:]), strict=True)) if keys.size else {}


def self_links(wiring: Wiring) -> Ints:
    """Links with both ends in one slot, ascending. Formula and source: none. Never raises.

    >>> from restoration.engineering.wiring import build_wiring
    >>> self_links(build_wiring(slot_count=1, terminal_slot=[0, 0], source=[0], load=[1])).tolist()
    [0]
    """
    return np.flatnonzero(wiring.source_slot == wiring.load_slot).astype(np.int32)
