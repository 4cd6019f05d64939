"""Edges gathered by the end they leave from: a compressed row for each node, no edge merged with another."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import coo_array, csr_array

from restoration.engineering.wiring.given import Bools, Ints

FEW = 2_000
"""Edges up to which sorting them costs less than making a sparse matrix of them does."""


@dataclass(frozen=True, eq=False)
class Rows:
    """For node n the edges `edges[start[n]:start[n + 1]]`, each going on to the same place of `ends`.

    Within a row the ends ascend, and the edges to one end ascend. Shapes: start (nodes + 1,), edges and ends (edges,).
    """

    start: Ints
    edges: Ints
    ends: Ints

    @property
    def count(self) -> int:
        """Number of nodes."""
        return int(self.start.size) - 1

    @cached_property
    def matrix(self) -> csr_array:
        """The same as a square sparse matrix of ones, parallel edges merged.

        scipy 1.17's strongly connected components hang, or come out wrong, where an entry stands twice.
        """
        first = np.ones(self.ends.size, np.bool_)
        first[1:] = self.ends[1:] != self.ends[:-1]
        first[self.start[:-1][np.diff(self.start) > 0]] = True
        start, ends = self.start, self.ends
        if not first.all():
            kept = np.concatenate(([0], np.cumsum(first)))
            start, ends = kept[self.start].astype(np.int32), self.ends[first]
        return csr_array((np.ones(ends.size), ends, start), shape=(self.count, self.count))

    def places(self, nodes: Ints) -> Ints:
        """Where the edges of these nodes stand in `edges` and `ends`, node after node."""
        begin = self.start[nodes]
        size = self.start[nodes + 1] - begin
        passed = np.cumsum(size, dtype=np.int32)
        total = int(passed[-1]) if passed.size else 0
        places: Ints = np.repeat(begin - passed + size, size) + np.arange(total, dtype=np.int32)
        return places

    def of(self, node: int) -> Ints:
        """The edges of one node."""
        return self.edges[self.start[node] : self.start[node + 1]]

    def ends_of(self, node: int) -> Ints:
        """Where the edges of one node go on to."""
        return self.ends[self.start[node] : self.start[node + 1]]

    def ends_of_all(self, nodes: Ints) -> Ints:
        """Where the edges of these nodes go on to, node after node."""
        return self.ends[self.places(nodes)]

    def without(self, shut: Bools) -> Rows:
        """The same nodes, the shut ones (shape (nodes,)) with no edge leaving them."""
        size = np.diff(self.start)
        keep = np.repeat(~shut, size)
        start = np.concatenate(([0], np.cumsum(np.where(shut, 0, size)))).astype(np.int32)
        return Rows(start, self.edges[keep], self.ends[keep])


def rows_by(begin: Ints, end: Ints, begins: int, ends: int) -> Rows:
    """Gather edges begin[e] → end[e] by where they begin, in two linear passes (bucket sorts).

    Shapes: begin and end (edges,), indices below `begins` and `ends`. Formula and source: none. Never raises on such
    indices.

    >>> rows = rows_by(np.array([1, 0, 1]), np.array([1, 1, 0]), 2, 2)
    >>> rows.start.tolist(), rows.edges.tolist(), rows.ends.tolist()
    ([0, 1, 3], [1, 2, 0], [1, 0, 1])
    """
    _, by_end = _bucket(end, ends)
    start, seats = _bucket(begin[by_end], begins)
    edges = by_end[seats]
    rows = Rows(start, edges, end[edges].astype(np.int32, copy=False))
    for array in (rows.start, rows.edges, rows.ends):
        array.setflags(write=False)
    return rows


def _bucket(keys: Ints, count: int) -> tuple[Ints, Ints]:
    """Where each key's places begin, and the places in order of key; places of one key keep their order."""
    if keys.size <= FEW:
        start = np.cumsum(np.bincount(keys, minlength=count), dtype=np.int32)
        return np.concatenate(([0], start)).astype(np.int32), np.argsort(keys, kind="stable").astype(np.int32)
    every = np.arange(keys.size, dtype=np.int32)
    seats = coo_array((every, (keys, every)), shape=(max(count, 1), max(keys.size, 1))).tocsr()
    return seats.indptr[: count + 1].astype(np.int32), seats.indices.astype(np.int32)


def gathered(begin: Ints, end: Ints, count: int) -> Rows:
    """Gather edges as `rows_by` does, in one pass: within a row the edges ascend, and the ends stand as they come.

    Shapes: begin and end (edges,), indices below count. Formula and source: none. Never raises on such indices.

    >>> gathered(np.array([1, 1]), np.array([1, 0]), 2).ends.tolist()
    [1, 0]
    """
    start, edges = _bucket(begin, count)
    return Rows(start, edges, end[edges])


def each_once(nodes: Ints, scratch: Ints) -> Ints:
    """The nodes without repeats, in no certain order, without sorting.

    `scratch` has a place for every node; what is left in it at these nodes is for the caller to write over. Shape
    (n,). Formula and source: none. Never raises.

    >>> sorted(each_once(np.array([3, 1, 3]), np.zeros(4, np.int32)).tolist())
    [1, 3]
    """
    places = np.arange(nodes.size, dtype=np.int32)
    scratch[nodes] = places
    once: Ints = nodes[scratch[nodes] == places]
    return once


def crossed(first: Rows, second: Rows, one: Ints, other: Ints) -> tuple[Ints, Ints, Ints]:
    """For each pair of nodes every end of the one in `first` with every end of the other in `second`.

    Shapes: one and other (pairs,). Three arrays come back: the pair's number, ascending, and the two ends. Formula and
    source: none. Never raises on such indices.

    >>> rows = rows_by(np.array([0, 0]), np.array([0, 1]), 1, 2)
    >>> [part.tolist() for part in crossed(rows, rows, np.array([0]), np.array([0]))]
    [[0, 0, 0, 0], [0, 0, 1, 1], [0, 1, 0, 1]]
    """
    wide = np.diff(second.start)[other]
    each = np.diff(first.start)[one] * wide
    every = np.arange(one.size, dtype=np.int32)
    if (each == 1).all():
        return every, first.ends[first.start[one]], second.ends[second.start[other]]
    pair = np.repeat(every, each)
    within = np.arange(pair.size, dtype=np.int64) - np.repeat(np.cumsum(each) - each, each)
    begin = first.ends[first.start[one[pair]] + within // wide[pair]]
    return pair, begin, second.ends[second.start[other[pair]] + within % wide[pair]]
