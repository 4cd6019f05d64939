"""Walking the wiring from a start: how many links must be crossed to come to each node."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import breadth_first_order

from restoration.engineering.wiring.given import Ints
from restoration.engineering.wiring.graph import Place, Start, Wiring
from restoration.engineering.wiring.rows import Rows, each_once

NEAR = 32
"""Up to so many hops are walked level by level; beyond, the whole cone is found at once and cut."""

SEARCHED = 200
"""Up to so many levels, the end of each is searched for; beyond, all are found in one pass."""


@dataclass(frozen=True, eq=False)
class Seeds:
    """Where a walk begins: nodes from which no link is crossed yet, and edges that are the first hop.

    `slot` is the slot of the start itself. Shapes: nodes (n,), edges (m,): every edge leaving the nodes, and more.
    """

    nodes: Ints
    edges: Ints
    slot: int
    is_lone_node: bool


def find_seeds(wiring: Wiring, start: Start, *, down: bool, stop_at_barriers: bool) -> Seeds:
    """Work out where a walk begins.

    A start inside a barrier goes out of it; one at a terminal before it does not go through it. A terminal without a
    link counts as an input on the way down, as an output on the way up. Formula and source: none. Never raises.

    >>> from restoration.engineering.wiring.graph import build_wiring
    >>> wiring = build_wiring(slot_count=2, terminal_slot=[0, 1], source=[0], load=[1])
    >>> find_seeds(wiring, wiring.at_link(0), down=True, stop_at_barriers=False).edges.tolist()
    [0]
    """
    rows = wiring.down if down else wiring.up
    nodes, links, slot = _BEGIN[start.place](wiring, start.index, down)
    goes_on = nodes
    if stop_at_barriers and start.place is Place.TERMINAL:
        goes_on = nodes[~wiring.nodes.is_barrier[nodes]]
    if wiring.nodes.joints[0].size:
        nodes, goes_on = _joined(wiring, nodes, goes_on, down, stop_at_barriers)
    edges = rows.edges[rows.places(goes_on)]
    if links.size:
        edges = np.union1d(edges, _edges_of(wiring, links, down)).astype(np.int32)
    return Seeds(nodes, edges, slot, nodes.size == 1 and not links.size)


def _joined(wiring: Wiring, nodes: Ints, goes_on: Ints, down: bool, stop: bool) -> tuple[Ints, Ints]:
    """The nodes with those that joints add to them, and which of them the signal leaves."""
    joints = wiring.joints_down if down else wiring.joints_up
    front = goes_on
    while front.size:
        new = np.setdiff1d(joints.ends_of_all(front), nodes).astype(np.int32)
        nodes = np.concatenate((nodes, new))
        front = new[~wiring.nodes.is_barrier[new]] if stop else new
        goes_on = np.concatenate((goes_on, front))
    return nodes, goes_on


def _none() -> Ints:
    return np.empty(0, np.int32)


def _at_slot(wiring: Wiring, slot: int, down: bool) -> tuple[Ints, Ints, int]:
    if wiring.nodes.are_slots:
        return np.array([slot], np.int32), _none(), slot
    return wiring.nodes_by_slot.ends_of(slot), _none(), slot


def _at_stage(wiring: Wiring, stage: int, down: bool) -> tuple[Ints, Ints, int]:
    return np.array([stage], np.int32), _none(), int(wiring.nodes.slot[stage])


def _at_link(wiring: Wiring, link: int, down: bool) -> tuple[Ints, Ints, int]:
    near = wiring.source if down else wiring.load
    return _none(), np.array([link], np.int32), int(wiring.terminal_slot[near[link]])


def _at_terminal(wiring: Wiring, terminal: int, down: bool) -> tuple[Ints, Ints, int]:
    """Its own links onward, and what it drives (or what drives it) where it is an input (or an output)."""
    onward, back = (wiring.links_from, wiring.links_to) if down else (wiring.links_to, wiring.links_from)
    inner = wiring.nodes.into if down else wiring.nodes.out_of
    links = onward.of(terminal)
    enters = wiring.nodes.named[terminal] or back.of(terminal).size or not links.size
    nodes = inner.ends_of(terminal) if enters else _none()
    return nodes, links, int(wiring.terminal_slot[terminal])


_BEGIN = {Place.SLOT: _at_slot, Place.STAGE: _at_stage, Place.LINK: _at_link, Place.TERMINAL: _at_terminal}


def _edges_of(wiring: Wiring, links: Ints, down: bool) -> Ints:
    """The edges that stand for these links: edges are in order of link."""
    first = np.searchsorted(wiring.edge_link, links)
    last = np.searchsorted(wiring.edge_link, links, side="right")
    return np.concatenate([np.arange(a, b, dtype=np.int32) for a, b in zip(first, last, strict=True)])


def find_levels(wiring: Wiring, seeds: Seeds, *, down: bool, hops: int | None, stop_at_barriers: bool) -> Ints:
    """For each node the least number of links crossed to come to it, -1 where it is not reached.

    Shape (nodes,). Breadth-first search. Source: any text on graphs. Never raises.

    >>> from restoration.engineering.wiring.graph import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 1, 2], source=[0, 2], load=[1, 3])
    >>> seeds = find_seeds(wiring, wiring.at_slot(0), down=True, stop_at_barriers=False)
    >>> find_levels(wiring, seeds, down=True, hops=None, stop_at_barriers=False).tolist()
    [0, 1, 2]
    """
    plain = wiring.down if down else wiring.up
    rows = (wiring.shut_down if down else wiring.shut_up) if stop_at_barriers else plain
    level = np.full(wiring.nodes.count, -1, np.int32)
    first = _first_ends(wiring, seeds, down)
    joints = None
    if wiring.nodes.joints[0].size:
        joints = wiring.joints_down if down else wiring.joints_up
        joints = joints.without(wiring.nodes.is_barrier) if stop_at_barriers else joints
    if joints is not None or (hops is not None and hops <= NEAR):
        level[seeds.nodes] = 0
        _walk_near(rows, joints, level, first, wiring.nodes.count if hops is None else hops)
        return level
    lone = seeds.is_lone_node and not (stop_at_barriers and wiring.nodes.is_barrier[seeds.nodes[0]])
    if lone:
        _put_levels(level, *breadth_first_order(rows.matrix, seeds.nodes[0]))
    elif first.size:
        _walk_rooted(rows, level, first)
    level[seeds.nodes] = 0
    if hops is not None:
        level[level > hops] = -1
    return level


def _first_ends(wiring: Wiring, seeds: Seeds, down: bool) -> Ints:
    """Nodes that one hop comes to, each once, without those of the start."""
    ends = (wiring.edge_head if down else wiring.edge_tail)[seeds.edges]
    return np.setdiff1d(ends, seeds.nodes).astype(np.int32)


def _walk_near(rows: Rows, joints: Rows | None, level: Ints, first: Ints, hops: int) -> None:
    """Level by level, each in a few array operations."""
    front = first
    for hop in range(1, hops + 1):
        level[front] = hop
        front = front if joints is None else _over_joints(joints, level, front, hop)
        if hop == hops or not front.size:
            return
        ends = rows.ends_of_all(front)
        front = each_once(ends[level[ends] < 0], level)


def _over_joints(joints: Rows, level: Ints, front: Ints, hop: int) -> Ints:
    """The nodes of a hop with those that joints add to them at the same hop."""
    parts = [front]
    while front.size:
        ends = joints.ends_of_all(front)
        front = each_once(ends[level[ends] < 0], level)
        level[front] = hop
        parts.append(front)
    return np.concatenate(parts)


def _walk_rooted(rows: Rows, level: Ints, first: Ints) -> None:
    """All at once, from a root put before the nodes that the first hop comes to."""
    count, matrix = rows.count, rows.matrix
    start = np.append(matrix.indptr, np.int32(matrix.indptr[-1] + first.size))
    ends = np.concatenate((matrix.indices, first))
    rooted = csr_array((np.ones(ends.size), ends, start), shape=(count + 1, count + 1))
    whole = np.full(count + 1, -1, np.int32)
    _put_levels(whole, *breadth_first_order(rooted, count))
    level[:] = whole[:count]


def _put_levels(level: Ints, order: Ints, before: Ints) -> None:
    """Levels of nodes in breadth-first order, from the node each was come to from.

    A level ends at the first node that was come to from that level itself: with few levels, each end is searched for.
    """
    level[order[0]] = 0
    edge, depth = 1, 1
    while edge < order.size:
        if depth > SEARCHED:
            level[order] = _depths(order, before)
            return
        past = _end_of_level(level, order, before, edge)
        level[order[edge:past]] = depth
        edge, depth = past, depth + 1


def _end_of_level(level: Ints, order: Ints, before: Ints, edge: int) -> int:
    """Where the level that begins at a place ends: the nodes that are come to from no level yet known begin there."""
    low, high = edge + 1, order.size
    while low < high:
        middle = (low + high) // 2
        if level[before[order[middle]]] < 0:
            high = middle
        else:
            low = middle + 1
    return low


def _depths(order: Ints, before: Ints) -> Ints:
    """The same in one pass, however many levels there are: where a level ends, the children of the one before end."""
    place = np.empty(before.size, np.int32)
    place[order] = np.arange(order.size, dtype=np.int32)
    children = np.bincount(place[before[order[1:]]], minlength=order.size)
    past = 1 + np.cumsum(children)
    edges, edge = [0], 1
    while edge < order.size:
        edges.append(edge)
        edge = int(past[edge - 1])
    edges.append(order.size)
    return np.repeat(np.arange(len(edges) - 1, dtype=np.int32), np.diff(edges))
