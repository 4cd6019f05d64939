"""Layers of a graph without loops: the longest way to each node, counted in edges."""

from __future__ import annotations

from array import array

import numpy as np

from restoration.engineering.wiring.given import Bools, Ints
from restoration.engineering.wiring.rows import Rows, gathered

THIN, PATIENCE = 150, 12
"""After so many layers in a row with fewer edges, a plain loop is quicker than array operations (measured)."""
ONE = np.int32(1)
"""Of the same kind as what it is taken from: numpy is then twenty times quicker."""


def longest_ways(begin: Ints, end: Ints, count: int) -> Ints:
    """For each node, the number of edges of the longest way that ends there, in a graph whose edges all lead down.

    Shapes: begin and end (edges,), nodes below count, each begin above its end; (count,) comes back. Thick layers are
    taken off the front one after another by array operations, and what is left once layers are thin goes through a
    plain loop. Source: the longest path in a directed acyclic graph, any text on graphs. Valid only where edges lead
    down, which is not checked. Never raises.

    >>> longest_ways(np.array([2, 2, 1], np.int32), np.array([1, 0, 0], np.int32), 3).tolist()
    [2, 1, 0]
    """
    rows = gathered(begin, end, count)
    waiting = np.bincount(end, minlength=count).astype(np.int32)
    layer = np.zeros(count, np.int32)
    front, depth = _take_thick(rows, waiting, layer, np.flatnonzero(waiting == 0).astype(np.int32))
    if front.size:
        left = waiting > 0
        left[front] = True
        _walk_thin(rows, left, layer, depth)
    return layer


def _take_thick(rows: Rows, waiting: Ints, layer: Ints, front: Ints) -> tuple[Ints, int]:
    """Layer after layer off the front, until so many in a row are thin; the layer that comes next, and its number.

    Indices of the machine's own width, and `take` and `compress`, halve the time that a layer of a few hundred takes.
    """
    start, ends = rows.start.astype(np.intp), rows.ends.astype(np.intp)
    size, every, seat = np.diff(start), np.arange(ends.size), np.empty(layer.size, np.intp)
    depth = thin = 0
    while front.size and thin < PATIENCE:
        sizes = size.take(front)
        passed = sizes.cumsum()
        places = (start.take(front) - passed + sizes).repeat(sizes)
        places += every[: places.size]
        reached = ends.take(places)
        np.subtract.at(waiting, reached, ONE)
        free = reached.compress(waiting.take(reached) == 0)
        seats = every[: free.size]
        seat[free] = seats
        front = free.compress(seat.take(free) == seats)
        depth += 1
        layer[front] = depth
        thin = thin + 1 if reached.size < THIN else 0
    return front, depth


def _walk_thin(rows: Rows, left: Bools, layer: Ints, depth: int) -> None:
    """Nodes that no layer held yet, downwards; each but those of the front has one of them before it.

    What leads nowhere is left to the end. The ends go through the loop as machine numbers: a list of so many whole
    numbers takes longer to make than to use.
    """
    layer[left] = depth
    nodes = np.flatnonzero(left)[::-1].astype(np.int32)
    size = np.diff(rows.start)
    tails, heads = np.repeat(nodes, size[nodes]), rows.ends_of_all(nodes)
    leads_on = size[heads] > 0
    ways = layer.tolist()
    for tail, head in zip(_numbers(tails[leads_on]), _numbers(heads[leads_on]), strict=True):
        way = ways[tail]
        if ways[head] <= way:
            ways[head] = way + 1
    layer[:] = ways
    np.maximum.at(layer, heads[~leads_on], layer[tails[~leads_on]] + ONE)


def _numbers(nodes: Ints) -> array[int]:
    return array("i", nodes.astype(np.intc).tobytes())
