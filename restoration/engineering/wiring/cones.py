"""Cones: everything that a signal comes to on its way down, or that it can have come from on its way up."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from restoration.engineering.refusals import refuse_unless
from restoration.engineering.wiring.given import Ints, count_given, index_given
from restoration.engineering.wiring.graph import Start, Wiring
from restoration.engineering.wiring.walks import Seeds, find_levels, find_seeds


@dataclass(frozen=True, eq=False)
class Cone:
    """What is reached from a start, down or up, with the number of links crossed to come there (its hop).

    The slot of the start is never among `slots`. What a person seldom asks is worked out when it is first asked for.
    """

    wiring: Wiring
    start: Start
    down: bool
    hops: int | None
    stop_at_barriers: bool
    seeds: Seeds
    node_level: Ints

    @property
    def start_slot(self) -> int:
        """The slot of the start itself: for a link, that of the end where the walk begins."""
        return self.seeds.slot

    @cached_property
    def hop_of_slot(self) -> Ints:
        """Shape (slots,): the hop of every slot of the machine, -1 where it is not reached, and for the start's own."""
        nodes = self.wiring.nodes
        if nodes.are_slots:
            hops = self.node_level.copy()
        else:
            reached = np.flatnonzero(self.node_level >= 0)
            far = np.full(self.wiring.slot_count, nodes.count + 1, np.int32)
            np.minimum.at(far, nodes.slot[reached], self.node_level[reached])
            hops = np.where(far > nodes.count, -1, far).astype(np.int32)
        hops[self.seeds.slot] = -1
        return hops

    @cached_property
    def slots(self) -> Ints:
        """Slots reached, ascending."""
        return np.flatnonzero(self.hop_of_slot >= 0).astype(np.int32)

    @cached_property
    def slot_hop(self) -> Ints:
        """The hop of each of `slots`."""
        return self.hop_of_slot[self.slots]

    @cached_property
    def per_hop(self) -> tuple[int, ...]:
        """How many slots are first reached at hop 1, at hop 2, and so on; a hop that reaches none new counts 0."""
        return tuple(np.bincount(self.slot_hop, minlength=1)[1:].tolist())

    @cached_property
    def _edges(self) -> tuple[Ints, Ints]:
        """Edges followed, and the hop at which each was."""
        wiring, level = self.wiring, self.node_level
        rows = wiring.down if self.down else wiring.up
        goes_on = level >= 0 if self.hops is None else (level >= 0) & (level < self.hops)
        if self.stop_at_barriers:
            goes_on &= ~wiring.nodes.is_barrier
        goes_on[self.seeds.nodes] = False
        nodes = np.flatnonzero(goes_on).astype(np.int32)
        size = rows.start[nodes + 1] - rows.start[nodes]
        first = self.seeds.edges if self.hops != 0 else self.seeds.edges[:0]
        edges = np.concatenate((first, rows.edges[rows.places(nodes)]))
        hop = np.concatenate((np.ones(first.size, np.int32), np.repeat(level[nodes] + 1, size)))
        return edges, hop.astype(np.int32)

    @cached_property
    def hop_of_link(self) -> Ints:
        """Shape (links,): the hop at which each link of the machine is crossed, -1 where it is not."""
        edges, hop = self._edges
        far = np.full(self.wiring.link_count, np.iinfo(np.int32).max, np.int32)
        np.minimum.at(far, self.wiring.edge_link[edges], hop)
        far[far == np.iinfo(np.int32).max] = -1
        return far

    @cached_property
    def links(self) -> Ints:
        """Links crossed, ascending, those that close a loop or come to a slot again among them."""
        return np.flatnonzero(self.hop_of_link >= 0).astype(np.int32)

    @cached_property
    def link_hop(self) -> Ints:
        """The hop of each of `links`."""
        return self.hop_of_link[self.links]

    @cached_property
    def terminals(self) -> Ints:
        """Terminals at both ends of the links crossed, ascending."""
        seen = np.zeros(self.wiring.terminal_count, np.bool_)
        seen[self.wiring.source[self.links]] = True
        seen[self.wiring.load[self.links]] = True
        return np.flatnonzero(seen).astype(np.int32)

    @cached_property
    def edge_into(self) -> Ints:
        """Shape (nodes,): the edge of the lowest link by which each node is first reached, -1 where there is none."""
        edges, hop = self._edges
        far = self.wiring.edge_head if self.down else self.wiring.edge_tail
        first = self.node_level[far[edges]] == hop
        into = np.full(self.wiring.nodes.count, self.wiring.edge_link.size, np.int32)
        np.minimum.at(into, far[edges[first]], edges[first])
        into[into == self.wiring.edge_link.size] = -1
        return self._handed_on(into)

    def _handed_on(self, into: Ints) -> Ints:
        """A stage come to over joints alone was reached by the edge that the stage before it was reached by."""
        tail, head = self.wiring.nodes.joints
        near, far = (tail, head) if self.down else (head, tail)
        level = self.node_level
        same = (level[near] == level[far]) & (level[far] > 0)
        if self.stop_at_barriers:
            same &= ~self.wiring.nodes.is_barrier[near]
        near, far = near[same], far[same]
        while (new := (into[far] < 0) & (into[near] >= 0)).any():
            into[far[new]] = into[near[new]]
        return into

    @cached_property
    def node_of_slot(self) -> Ints:
        """Shape (slots,): the node by which each slot is first reached, -1 where it is not."""
        wiring = self.wiring
        if wiring.nodes.are_slots:
            return np.where(self.hop_of_slot >= 0, np.arange(wiring.slot_count), -1).astype(np.int32)
        first = np.flatnonzero(self.node_level == self.hop_of_slot[wiring.nodes.slot])
        first = first[self.hop_of_slot[wiring.nodes.slot[first]] >= 0]
        node = np.full(wiring.slot_count, -1, np.int32)
        node[wiring.nodes.slot[first[::-1]]] = first[::-1]
        return node

    @cached_property
    def through(self) -> Ints:
        """The link by which each of `slots` is first reached: of several, the lowest."""
        return self.wiring.edge_link[self.edge_into[self.node_of_slot[self.slots]]]


def cone(wiring: Wiring, start: Start, *, down: bool, hops: int | None = None, stop_at_barriers: bool = False) -> Cone:
    """Follow the signal from a start, down to where it goes or up to where it comes from.

    One hop is one link crossed; `hops` is the most that are, None for all. With `stop_at_barriers` a link into a
    barrier (on the way up: out of one) is crossed and nothing beyond it is; a start inside a barrier still goes on.
    Breadth-first search. Source: any text on graphs; barriers: common practice, no source. Errors: ValueError with a
    whole sentence for a start of another machine, or hops that are not a whole number from 0 up.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 1, 2, 2, 0], source=[0, 2, 4], load=[1, 3, 5])
    >>> whole = cone(wiring, wiring.at_slot(0), down=True)
    >>> whole.slots.tolist(), whole.slot_hop.tolist(), whole.per_hop, whole.links.tolist()
    ([1, 2], [1, 2], (1, 1), [0, 1, 2])
    >>> cone(wiring, wiring.at_slot(0), down=False, hops=1).slots.tolist()
    [2]
    """
    begin = getattr(wiring, f"at_{start.place}")(start.index)
    most = None if hops is None else count_given("hops", hops)
    seeds = find_seeds(wiring, begin, down=down, stop_at_barriers=stop_at_barriers)
    levels = find_levels(wiring, seeds, down=down, hops=most, stop_at_barriers=stop_at_barriers)
    return Cone(wiring, begin, down, most, stop_at_barriers, seeds, levels)


def path_to(cone: Cone, slot: int) -> Ints:
    """The links of a shortest way from the start to a slot of the cone, in the order they are crossed.

    Shape (hops,); empty for the slot of the start. Of several ways, the one that is found back over the lowest links.
    Errors: ValueError with a whole sentence for a slot out of range or not reached. Formula and source: none.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 1, 2], source=[0, 2], load=[1, 3])
    >>> path_to(cone(wiring, wiring.at_slot(0), down=True), 2).tolist()
    [0, 1]
    """
    place = index_given("slot", slot, cone.wiring.slot_count)
    if place == cone.start_slot:
        return np.empty(0, np.int32)
    hop = int(cone.hop_of_slot[place])
    refuse_unless(hop >= 0, f"Slot {place} is not reached from the start.")
    near = cone.wiring.edge_tail if cone.down else cone.wiring.edge_head
    node, links = cone.node_of_slot[place], np.empty(hop, np.int32)
    for left in range(hop - 1, -1, -1):
        edge = cone.edge_into[node]
        links[left] = cone.wiring.edge_link[edge]
        node = near[edge]
    return links


def beyond(cone: Cone, hop: int) -> Ints:
    """How many slots lie beyond each slot that is shown, where those up to a hop are shown and the rest folded.

    A slot further away than `hop` counts for the last slot on its way (`path_to`) that is not. Shape (slots,), 0 for
    slots with nothing folded beyond them; the slot of the start counts what no other shown slot leads to. The sum is
    the number of slots reached after more than `hop` hops. Pointer jumping. Errors: ValueError with a whole sentence
    where hop is not a whole number from 0 up.

    >>> from restoration.engineering.wiring import build_wiring
    >>> wiring = build_wiring(slot_count=4, terminal_slot=[0, 1, 1, 2, 2, 3], source=[0, 2, 4], load=[1, 3, 5])
    >>> beyond(cone(wiring, wiring.at_slot(0), down=True), 1).tolist()
    [0, 2, 0, 0]
    """
    limit = count_given("hop", hop)
    wiring = cone.wiring
    before = _node_before(cone)
    far = np.append(cone.hop_of_slot[wiring.nodes.slot] > limit, False)
    while far[before].any():
        before = np.where(far[before], before[before], before)
    folded = cone.slots[cone.slot_hop > limit]
    shown = before[cone.node_of_slot[folded]]
    slots = np.append(wiring.nodes.slot, np.int32(cone.start_slot))[shown]
    return np.bincount(slots, minlength=wiring.slot_count).astype(np.int32)


def _node_before(cone: Cone) -> Ints:
    """The node each was first come to from; the start counts as one more node, and as its own forerunner."""
    near = cone.wiring.edge_tail if cone.down else cone.wiring.edge_head
    root = cone.wiring.nodes.count
    into = cone.edge_into
    before = np.full(root + 1, root, np.int32)
    known = np.flatnonzero(into >= 0)
    before[known] = near[into[known]]
    before[known[cone.node_level[known] == 1]] = root
    return before
