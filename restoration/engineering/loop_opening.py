"""Where to open the loops of a directed graph, so that what is left runs one way only.

Opening a loop is lifting all edges of one source that lie in it. The least number of openings (the least feedback arc
set, or vertex set) is hard to find (R. M. Karp, "Reducibility among combinatorial problems", 1972), so two ways are
offered. The greedy one opens a loop, again and again, at the source after whose lifting most edges lie in no loop any
more; it asks this of every source, which takes their number times that of the edges. The quick one takes linear time:
P. Eades, X. Lin, W. F. Smyth, "A fast and effective heuristic for the feedback arc set problem", Information
Processing Letters 47 (1993) 319-323. Neither is claimed to open the fewest.
"""

from collections import deque
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

GREEDY_PIECE = 1_000_000
"""A piece of a loop whose sources times edges are more than this is opened the quick way."""
GREEDY_ALL = 15_000_000
"""So many times, over all openings, an edge is looked at the greedy way: in the smaller pieces first."""
AT_ONCE = 1_000_000


@dataclass(frozen=True, eq=False)
class Flow:
    """A directed graph of links, which can be lifted, and of inner edges, which cannot.

    Shapes: link_tail, link_head, source and rank (links,); inner_tail and inner_head (inner edges,). Links of one
    source begin at one node, and are lifted together. Inner edges alone must not run in a circle. Of two sources that
    are equally good to open at, the one with the link of lowest rank is taken.
    """

    node_count: int
    link_tail: Ints
    link_head: Ints
    inner_tail: Ints
    inner_head: Ints
    source: Ints
    rank: Ints

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


@dataclass(frozen=True)
class Lifting:
    """Links of one source that are lifted together, by rank.

    `frees` counts the further links that lie in no loop any more; None where it was not counted: the quick way.
    """

    links: tuple[int, ...]
    frees: int | None


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


def open_loops(flow: Flow) -> tuple[Lifting, ...]:
    """Choose links to lift, in their order, until no loop is left.

    A loop is opened the greedy way, and what then is left of it is taken apart into its pieces (strongly connected
    components), the largest first. A piece beyond GREEDY_PIECE, and what is left once GREEDY_ALL is used up, is
    opened the quick way, after the others. A link from a node to itself lies in a loop. Deterministic. Never raises.

    >>> none = np.zeros(0, dtype=np.int64)
    >>> open_loops(Flow(3, np.array([0, 1, 2]), np.array([1, 2, 0]), none, none, np.arange(3), np.arange(3)))
    (Lifting(links=(0,), frees=2),)
    """
    liftings, late = _greedy(flow)
    return (*liftings, *(Lifting(links, None) for links in _quick(flow, late)))


def _by_source(flow: Flow, links: Ints) -> tuple[Ints, Ints, Ints]:
    """The links by rank; the bundle of each, bundles numbered by source; the place of the first link of a bundle."""
    links = links[np.argsort(flow.rank[links], kind="stable")]
    _, first, bundle = np.unique(flow.source[links], return_index=True, return_inverse=True)
    return links, bundle.astype(np.int64), first.astype(np.int64)


def _gathered(links: Ints, key: Ints) -> list[tuple[int, ...]]:
    """The links of each key together, keys ascending."""
    order = np.argsort(key, kind="stable")
    found = np.split(links[order], np.flatnonzero(np.diff(key[order])) + 1)
    return [tuple(part.tolist()) for part in found if part.size]


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


@dataclass(frozen=True, eq=False)
class _Bundles:
    """The links of pieces, gathered by source: for each edge its bundle (inner edges: -1), for each bundle the rest."""

    of_edge: Ints
    piece: Ints
    size: Ints
    rank: Ints


def _greedy(flow: Flow) -> tuple[list[Lifting], Bools]:
    """Open every piece at its best source, then take what is left apart, and so on; all pieces at once.

    The second answer says which edges are left to the quick way.
    """
    found: list[Lifting] = []
    left, late = np.ones(flow.tail.size, dtype=np.bool_), np.zeros(flow.tail.size, dtype=np.bool_)
    spent = 0
    while (pieces := _in_pieces(flow, left)).edges.size:
        bundles = _in_bundles(flow, pieces)
        work = np.bincount(bundles.piece, minlength=pieces.size.size) * pieces.size
        within = _within_bounds(work, spent)
        spent += int(work[within].sum())
        late[pieces.edges[~within[pieces.piece]]] = True
        liftings = _best_of_each(flow, pieces, bundles, np.flatnonzero(within[bundles.piece]))
        found += liftings
        left[:] = False
        left[pieces.edges[within[pieces.piece]]] = True
        left[[link for lifting in liftings for link in lifting.links]] = False
    return found, late


def _within_bounds(work: Ints, spent: int) -> Bools:
    """Which pieces are looked at the greedy way, the smallest first."""
    order = np.argsort(work, kind="stable")
    within = np.empty(work.size, dtype=np.bool_)
    within[order] = np.cumsum(work[order]) + spent <= GREEDY_ALL
    return within & (work <= GREEDY_PIECE)


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


def _in_bundles(flow: Flow, pieces: _Pieces) -> _Bundles:
    places = np.flatnonzero(pieces.edges < flow.link_count)
    links, bundle, first = _by_source(flow, pieces.edges[places])
    place_of = np.zeros(flow.link_count, dtype=np.int64)
    place_of[pieces.edges[places]] = places
    of_edge = np.full(pieces.edges.size, -1)
    of_edge[place_of[links]] = bundle
    leading = links[first]
    return _Bundles(of_edge, pieces.piece[place_of[leading]], np.bincount(bundle), flow.rank[leading])


def _best_of_each(flow: Flow, pieces: _Pieces, bundles: _Bundles, asked: Ints) -> list[Lifting]:
    """Open each piece of the bundles asked about at the source that frees most; the largest piece comes first."""
    piece = bundles.piece[asked]
    total = np.bincount(bundles.piece, weights=bundles.size).astype(np.int64)
    still = np.zeros(asked.size, dtype=np.int64)
    ends = np.cumsum(pieces.size[piece])
    bounds = np.arange(AT_ONCE, ends[-1] + 1, AT_ONCE) if ends.size else ends
    for part in np.split(np.arange(asked.size), np.searchsorted(ends, bounds)):
        still[part] = _still_in_loops(pieces, bundles, asked[part])
    size = bundles.size[asked]
    order = np.lexsort((bundles.rank[asked], size, still, piece))
    best = order[np.flatnonzero(np.diff(piece[order], prepend=-1))]
    best = best[np.lexsort((bundles.rank[asked[best]], -total[piece[best]]))]
    frees = total[piece] - still - size
    lifted = _links_of(flow, pieces, bundles, asked[best])
    return [Lifting(links, count) for links, count in zip(lifted, frees[best].tolist(), strict=True)]


def _links_of(flow: Flow, pieces: _Pieces, bundles: _Bundles, chosen: Ints) -> list[tuple[int, ...]]:
    """The links of each chosen bundle, by rank."""
    turn = np.full(bundles.piece.size + 1, -1)
    turn[chosen] = np.arange(chosen.size)
    places = np.flatnonzero(turn[bundles.of_edge] >= 0)
    places = places[np.argsort(flow.rank[pieces.edges[places]], kind="stable")]
    return _gathered(pieces.edges[places], turn[bundles.of_edge[places]])


def _still_in_loops(pieces: _Pieces, bundles: _Bundles, asked: Ints) -> Ints:
    """How many links of its piece lie in loops after each bundle alone is lifted: one copy of the piece for each."""
    piece = bundles.piece[asked]
    size = pieces.size[piece]
    copy = np.repeat(np.arange(asked.size), size)
    at = np.arange(copy.size) - np.repeat(np.cumsum(size) - size - pieces.first[piece], size)
    kept = bundles.of_edge[at] != asked[copy]
    copy, at = copy[kept], at[kept]
    nodes = pieces.nodes[piece]
    shift = (np.cumsum(nodes) - nodes)[copy]
    tail, head = shift + pieces.tail[at], shift + pieces.head[at]
    labels = strong_labels(int(nodes.sum()), tail, head)
    held = (labels[tail] == labels[head]) & (bundles.of_edge[at] >= 0)
    return np.bincount(copy[held], minlength=asked.size)


# the quick way


def _quick(flow: Flow, left: Bools) -> list[tuple[int, ...]]:
    """Put the nodes in a row and lift what does not run on; where an inner edge runs back, lift what feeds it."""
    edges = np.flatnonzero(left)
    tail, head = flow.tail[edges], flow.head[edges]
    apart = tail != head
    place = np.array(row_of_nodes(flow.node_count, tail[apart].tolist(), head[apart].tolist()), dtype=np.int64)
    back = place[tail] >= place[head]
    is_link = edges < flow.link_count
    fed = _feeding(flow.node_count, tail[~is_link], head[~is_link], tail[back & ~is_link])
    links, bundle, first = _by_source(flow, edges[is_link & (back | fed[head])])
    return _gathered(links, first[bundle])


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
