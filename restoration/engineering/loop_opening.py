"""Where to open the loops of a directed graph, so that what is left runs one way only.

Opening a loop is lifting one edge of it. The least number of edges to lift (the least feedback arc set) is hard to
find (R. M. Karp, "Reducibility among combinatorial problems", 1972), so two ways are offered. The greedy one lifts,
again and again, the edge after whose lifting most others lie in no loop any more; it asks this of every edge, which
takes the square of their number, and hands what no single edge helps to the quick one. The quick one takes linear
time: P. Eades, X. Lin, W. F. Smyth, "A fast and effective heuristic for the feedback arc set problem", Information
Processing Letters 47 (1993) 319-323. Neither is claimed to lift the fewest.
"""

from collections import deque
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

GREEDY_LINKS = 400
"""A loop with more edges to lift than this is opened the quick way."""
GREEDY_PAIRS = 4_000_000
"""So many pairs of links, over all loops, are looked at the greedy way: the smaller loops first."""
AT_ONCE = 1_000_000


class Method(StrEnum):
    """How the openings of a loop were chosen."""

    GREEDY = "greedy"
    QUICK = "quick"


@dataclass(frozen=True, eq=False)
class Flow:
    """A directed graph of links, which can be lifted, and of inner edges, which cannot.

    Shapes: link_tail, link_head, rank and weight (links,); inner_tail and inner_head (inner edges,). Inner edges alone
    must not run in a circle. Of two links that are equally good to lift, the one of lower rank is lifted; `weight`
    says for how many a link counts where it is told how many are freed.
    """

    node_count: int
    link_tail: Ints
    link_head: Ints
    inner_tail: Ints
    inner_head: Ints
    rank: Ints
    weight: Ints

    @property
    def link_count(self) -> int:
        """Number of links."""
        return self.link_tail.size

    @property
    def tail(self) -> Ints:
        """Where each edge begins, the links first."""
        return np.concatenate((self.link_tail, self.inner_tail))

    @property
    def head(self) -> Ints:
        """Where each edge ends, the links first."""
        return np.concatenate((self.link_head, self.inner_head))


@dataclass(frozen=True, eq=False)
class Openings:
    """Which links to lift, in this order; shapes (openings,).

    `frees` counts the links that lie in no loop any more after this lifting, the lifted one left out; -1 where it
    was not counted. `quick` says of each node whether its loop was opened the quick way, shape (nodes,).
    """

    link: Ints
    frees: Ints
    quick: Bools


def strong_labels(node_count: int, tail: Ints, head: Ints) -> Ints:
    """Number the strongly connected components: two nodes have one number if each can be reached from the other.

    Source: scipy's connected_components (Pearce's algorithm). Valid for any indices below node_count; parallel
    edges and edges from a node to itself are allowed. Never raises on such indices.

    >>> labels = strong_labels(3, np.array([0, 1, 1]), np.array([1, 0, 2]))
    >>> bool(labels[0] == labels[1]), bool(labels[0] == labels[2])
    (True, False)
    """
    if node_count == 0:
        return np.zeros(0, dtype=np.int64)
    # made from pairs, so parallel edges are added up: scipy 1.17 goes wrong where an entry stands twice
    graph = csr_array((np.ones(tail.size), (tail, head)), shape=(node_count, node_count))
    labels: Ints = connected_components(graph, directed=True, connection="strong")[1].astype(np.int64)
    return labels


def open_loops(flow: Flow) -> Openings:
    """Choose links to lift, until no loop is left.

    Loops of up to GREEDY_LINKS links are opened the greedy way, the smaller ones first, as long as the squares of
    their numbers of links add up to no more than GREEDY_PAIRS; the others, and parts of a loop in which no link alone
    frees another, the quick way. A link from a node to itself is a loop of its own: it is lifted
    after the others and frees nothing. Deterministic. Never raises.

    >>> none = np.zeros(0, dtype=np.int64)
    >>> ones = np.ones(3, dtype=np.int64)
    >>> found = open_loops(Flow(3, np.array([0, 1, 2]), np.array([1, 2, 0]), none, none, np.arange(3), ones))
    >>> found.link.tolist(), found.frees.tolist()
    ([0], [2])
    """
    own = np.flatnonzero(flow.link_tail == flow.link_head)
    left = flow.tail != flow.head
    labels = strong_labels(flow.node_count, flow.tail[left], flow.head[left])
    left &= labels[flow.tail] == labels[flow.head]
    quick = _is_quick(flow, left, labels)
    slow = left & ~quick[flow.tail]
    chosen, frees = _greedy(flow, slow)
    swift = _quick(flow, left & quick[flow.tail])
    own = own[np.argsort(flow.rank[own], kind="stable")]
    nothing = np.zeros(own.size, dtype=np.int64)
    return Openings(
        np.concatenate((chosen, swift, own)), np.concatenate((frees, np.full(swift.size, -1), nothing)), quick
    )


def _is_quick(flow: Flow, left: Bools, labels: Ints) -> Bools:
    """Which nodes lie in loops that are too large, or of which there are too many, for the greedy way."""
    links = np.flatnonzero(left[: flow.link_count])
    count = np.bincount(labels[flow.link_tail[links]], minlength=int(labels.max(initial=-1)) + 1)
    by_size = np.argsort(count, kind="stable")
    pairs = np.zeros(count.size, dtype=np.int64)
    pairs[by_size] = np.cumsum(count[by_size].astype(np.int64) ** 2)
    return ((count > GREEDY_LINKS) | ((pairs > GREEDY_PAIRS) & (count > 0)))[labels] if count.size else labels > 0


# the greedy way


@dataclass(frozen=True, eq=False)
class _Pieces:
    """The edges that lie in loops, sorted by piece (strongly connected component), nodes numbered within each."""

    edges: Ints
    piece: Ints
    first: Ints
    size: Ints
    tail: Ints
    head: Ints
    nodes: Ints


def _greedy(flow: Flow, left: Bools) -> tuple[Ints, Ints]:
    """Lift from every piece its best link, then take what is left apart, and so on; all pieces at once.

    A piece in which no link alone frees another is left to the quick way.
    """
    chosen, frees = [np.zeros(0, dtype=np.int64)], [np.zeros(0, dtype=np.int64)]
    left, stuck = left.copy(), np.zeros(left.size, dtype=np.bool_)
    while (pieces := _in_pieces(flow, left)).edges.size:
        best, count = _best_of_each(flow, pieces)
        order = np.lexsort((flow.rank[best], -count))[: np.count_nonzero(count)]
        chosen.append(best[order])
        frees.append(count[order])
        is_stuck = (count == 0)[pieces.piece]
        stuck[pieces.edges[is_stuck]] = True
        left[:] = False
        left[pieces.edges[~is_stuck]] = True
        left[best] = False
    swift = _quick(flow, stuck)
    return np.concatenate((*chosen, swift)), np.concatenate((*frees, np.full(swift.size, -1)))


def _in_pieces(flow: Flow, left: Bools) -> _Pieces:
    edges = np.flatnonzero(left)
    nodes, ends = np.unique(np.concatenate((flow.tail[edges], flow.head[edges])), return_inverse=True)
    tail, head = ends[: edges.size], ends[edges.size :]
    labels = strong_labels(nodes.size, tail, head)
    kept = labels[tail] == labels[head]
    edges, tail, head = edges[kept], tail[kept], head[kept]
    order = np.argsort(labels[tail], kind="stable")
    edges, tail, head = edges[order], tail[order], head[order]
    _, piece, size = np.unique(labels[tail], return_inverse=True, return_counts=True)
    first = np.cumsum(size) - size
    # every node of a piece begins an edge of it, so the nodes can be numbered by the ends where edges begin
    held, at = np.unique(tail, return_inverse=True)
    of_node = np.zeros(held.size, dtype=np.int64)
    of_node[at] = piece
    in_order = np.argsort(of_node, kind="stable")
    node_count = np.bincount(of_node, minlength=size.size)
    within = np.empty(held.size, dtype=np.int64)
    within[in_order] = np.arange(held.size) - np.repeat(np.cumsum(node_count) - node_count, node_count)
    number = np.zeros(nodes.size, dtype=np.int64)
    number[held] = within
    return _Pieces(edges, piece, first, size, number[tail], number[head], node_count)


def _best_of_each(flow: Flow, pieces: _Pieces) -> tuple[Ints, Ints]:
    """The link of each piece that frees most, and how many it frees."""
    places = np.flatnonzero(pieces.edges < flow.link_count)
    piece = pieces.piece[places]
    weight = flow.weight[pieces.edges[places]]
    total = np.bincount(piece, weight, minlength=pieces.size.size).astype(np.int64)
    frees = np.zeros(places.size, dtype=np.int64)
    asked = np.flatnonzero(~_has_detour(pieces)[places])
    ends = np.cumsum(pieces.size[piece[asked]])
    bounds = np.arange(AT_ONCE, ends[-1] + 1, AT_ONCE) if ends.size else ends
    for part in np.split(asked, np.searchsorted(ends, bounds)):
        frees[part] = total[piece[part]] - weight[part] - _still_in_loops(flow, pieces, places[part])
    links = pieces.edges[places]
    order = np.lexsort((flow.rank[links], -frees, piece))
    best = order[np.flatnonzero(np.diff(piece[order], prepend=-1))]
    return links[best], frees[best]


def _has_detour(pieces: _Pieces) -> Bools:
    """Whether beside an edge there is another like it, or a way over one node more: lifting it frees nothing."""
    count = int(pieces.nodes.sum())
    shift = (np.cumsum(pieces.nodes) - pieces.nodes)[pieces.piece]
    tail, head = shift + pieces.tail, shift + pieces.head
    ways = csr_array((np.ones(tail.size), (tail, head)), shape=(count, count))
    round_about = (ways * (ways @ ways + ways) > ways).tocoo()
    return np.isin(tail * count + head, round_about.row.astype(np.int64) * count + round_about.col)


def _still_in_loops(flow: Flow, pieces: _Pieces, places: Ints) -> Ints:
    """How many links of its piece lie in loops after each of these alone is lifted: one copy of the piece for each."""
    piece = pieces.piece[places]
    size = pieces.size[piece]
    copy = np.repeat(np.arange(places.size), size)
    at = np.arange(copy.size) - np.repeat(np.cumsum(size) - size - pieces.first[piece], size)
    kept = at != places[copy]
    copy, at = copy[kept], at[kept]
    nodes = pieces.nodes[piece]
    shift = (np.cumsum(nodes) - nodes)[copy]
    tail, head = shift + pieces.tail[at], shift + pieces.head[at]
    labels = strong_labels(int(nodes.sum()), tail, head)
    held = (labels[tail] == labels[head]) & (pieces.edges[at] < flow.link_count)
    return np.bincount(copy[held], flow.weight[pieces.edges[at[held]]], minlength=places.size).astype(np.int64)


# the quick way


def _quick(flow: Flow, left: Bools) -> Ints:
    """Put the nodes in a row and lift what runs back; where an inner edge runs back, lift what feeds it."""
    edges = np.flatnonzero(left)
    tail, head = flow.tail[edges], flow.head[edges]
    place = np.array(row_of_nodes(flow.node_count, tail.tolist(), head.tolist()), dtype=np.int64)
    back = place[tail] > place[head]
    is_link = edges < flow.link_count
    fed = _feeding(flow.node_count, tail[~is_link], head[~is_link], tail[back & ~is_link])
    lifted = edges[is_link & (back | fed[head])]
    return lifted[np.argsort(flow.rank[lifted], kind="stable")]


def _feeding(node_count: int, tail: Ints, head: Ints, start: Ints) -> Bools:
    """The nodes from which one of these is reached along inner edges, these included."""
    found = np.zeros(node_count, dtype=np.bool_)
    found[start] = True
    while True:
        new = tail[found[head] & ~found[tail]]
        if not new.size:
            return found
        found[new] = True


def row_of_nodes(node_count: int, tail: list[int], head: list[int]) -> list[int]:
    """Give each node a place in a row, so that few edges run back (Eades, Lin and Smyth 1993).

    Sinks go to the end, sources to the start, and where there is neither, the node with the largest surplus of
    edges out over edges in goes to the start. Linear in nodes and edges. No edge from a node to itself.

    >>> row_of_nodes(3, [0, 1, 2, 0], [1, 2, 0, 2])
    [0, 1, 2]
    """
    row = _Row(node_count, tail, head)
    row.run()
    place = [0] * node_count
    for position, node in enumerate((*row.front, *reversed(row.back))):
        place[node] = position
    return place


class _Row:
    """The nodes not yet in the row, with their edges in and out, in buckets by surplus."""

    def __init__(self, node_count: int, tail: list[int], head: list[int]) -> None:
        self.out_of: list[list[int]] = [[] for _ in range(node_count)]
        self.into: list[list[int]] = [[] for _ in range(node_count)]
        for start, end in zip(tail, head, strict=True):
            self.out_of[start].append(end)
            self.into[end].append(start)
        self.outs = [len(ends) for ends in self.out_of]
        self.ins = [len(starts) for starts in self.into]
        self.is_placed = [False] * node_count
        self.front: list[int] = []
        self.back: list[int] = []
        self.ends: deque[int] = deque(node for node in range(node_count) if not (self.outs[node] and self.ins[node]))
        self.most = max(self.outs, default=0)
        self.buckets: list[list[int]] = [[] for _ in range(self.most + 1)]
        for node in reversed(range(node_count)):
            self._keep(node)

    def _keep(self, node: int) -> None:
        """A node of negative surplus is never the largest while edges are left: the surpluses add up to nothing."""
        surplus = self.outs[node] - self.ins[node]
        if surplus >= 0:
            self.buckets[surplus].append(node)
            self.most = max(self.most, surplus)

    def run(self) -> None:
        while len(self.front) + len(self.back) < len(self.is_placed):
            while self.ends:
                node = self.ends.popleft()
                if not self.is_placed[node]:
                    self._place(node, self.front if self.outs[node] else self.back)
            if (node := self._largest()) >= 0:
                self._place(node, self.front)

    def _largest(self) -> int:
        while self.most >= 0:
            bucket = self.buckets[self.most]
            while bucket:
                node = bucket.pop()
                if not self.is_placed[node] and self.outs[node] - self.ins[node] == self.most:
                    return node
            self.most -= 1
        self.most = 0
        return -1

    def _place(self, node: int, row: list[int]) -> None:
        self.is_placed[node] = True
        row.append(node)
        for counts, others in ((self.ins, self.out_of[node]), (self.outs, self.into[node])):
            for other in others:
                if not self.is_placed[other]:
                    counts[other] -= 1
                    self._keep(other)
                    if not counts[other]:
                        self.ends.append(other)
