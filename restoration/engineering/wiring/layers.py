"""Layers of a graph without loops: the longest way to each node, counted in edges."""

from __future__ import annotations

import numpy as np

from restoration.engineering.wiring.given import Ints
from restoration.engineering.wiring.rows import Rows, each_once

THIN = 300
"""Below so many edges in a layer, a plain loop over edges is quicker than array operations (measured)."""


def longest_ways(rows: Rows, order: Ints) -> Ints:
    """For each node of a graph without loops, the number of edges of the longest way that ends there.

    `order` (shape (nodes,)) holds the nodes so that each edge leads forward. Thick layers are taken off the front one
    after another by array operations; what is left once layers are thin, by a plain loop. Shape (nodes,). Source: the
    longest path in a directed acyclic graph, any text on graphs. Valid without loops only, which is not checked.
    Never raises.

    >>> from restoration.engineering.wiring.rows import rows_by
    >>> rows = rows_by(np.array([0, 0, 1]), np.array([1, 2, 2]), 3, 3)
    >>> longest_ways(rows, np.array([0, 1, 2])).tolist()
    [0, 1, 2]
    """
    layer = np.zeros(rows.count, np.int32)
    waiting = np.bincount(rows.ends, minlength=rows.count).astype(np.int32)
    front = np.flatnonzero(waiting == 0).astype(np.int32)
    depth = 0
    while front.size:
        ends = rows.ends[rows.places(front)]
        if ends.size < THIN:
            break
        np.subtract.at(waiting, ends, 1)
        depth += 1
        front = each_once(ends[waiting[ends] == 0], layer)
        layer[front] = depth
    if front.size:
        _walk_thin(rows, order, waiting, layer, front, depth)
    return layer


def _walk_thin(rows: Rows, order: Ints, waiting: Ints, layer: Ints, front: Ints, depth: int) -> None:
    """Nodes that no layer held yet, in order; each but those of the front has one of them before it."""
    left = waiting > 0
    left[front] = True
    nodes = order[left[order]]
    layer[left] = depth
    size = rows.start[nodes + 1] - rows.start[nodes]
    tails, heads = np.repeat(nodes, size).tolist(), rows.ends[rows.places(nodes)].tolist()
    ways = layer.tolist()
    for tail, head in zip(tails, heads, strict=True):
        way = ways[tail]
        if ways[head] <= way:
            ways[head] = way + 1
    layer[:] = ways
