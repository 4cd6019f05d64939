"""The wiring of a machine as arrays: terminals are nodes, every interconnect a keyed edge, none merged with another."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from restoration.engineering.wiring.given import (
    Bools,
    Ints,
    count_given,
    fixed,
    index_given,
    indices_given,
    marks_given,
    refuse_lengths_differ,
)
from restoration.engineering.wiring.nodes import Nodes, Ports, find_nodes, refuse_foreign_ports
from restoration.engineering.wiring.rows import Rows, crossed, rows_by


class Place(StrEnum):
    """What a walk can begin at."""

    SLOT = "slot"
    TERMINAL = "terminal"
    LINK = "link"
    STAGE = "stage"


@dataclass(frozen=True)
class Start:
    """Where a walk begins: made by `Wiring.at_slot`, `at_terminal`, `at_link` or `at_stage`."""

    place: Place
    index: int


@dataclass(frozen=True, eq=False)
class Wiring:
    """The wiring of a machine, made by `build_wiring`; nothing in it can be written to, so threads may share it.

    Shapes: terminal_slot (terminals,); source and load (links,) hold terminals; stage_slot and stage_barrier
    (stages,); edge_link, edge_tail and edge_head (edges,), in order of link, hold nodes. Stages are those given, in
    the order given, then one for each slot that has none, in order of slot.
    """

    slot_count: int
    terminal_slot: Ints
    source: Ints
    load: Ints
    nodes: Nodes
    edge_link: Ints
    edge_tail: Ints
    edge_head: Ints
    down: Rows
    up: Rows

    @property
    def terminal_count(self) -> int:
        """Number of terminals."""
        return int(self.terminal_slot.size)

    @property
    def link_count(self) -> int:
        """Number of links."""
        return int(self.source.size)

    @property
    def stage_count(self) -> int:
        """Number of stages, a slot without any counted as one."""
        return self.nodes.stages

    @property
    def stage_slot(self) -> Ints:
        """The slot of each stage."""
        return self.nodes.slot[: self.nodes.stages]

    @property
    def stage_barrier(self) -> Bools:
        """Whether each stage restores amplitude and timing."""
        return self.nodes.is_barrier[: self.nodes.stages]

    @cached_property
    def source_slot(self) -> Ints:
        """The slot at the source end of each link."""
        return self.terminal_slot[self.source]

    @cached_property
    def load_slot(self) -> Ints:
        """The slot at the load end of each link."""
        return self.terminal_slot[self.load]

    def at_slot(self, slot: int) -> Start:
        """Begin at everything in a slot. Errors: ValueError where there is no such slot."""
        return Start(Place.SLOT, index_given("slot", slot, self.slot_count))

    def at_terminal(self, terminal: int) -> Start:
        """Begin at a terminal. Errors: ValueError where there is no such terminal."""
        return Start(Place.TERMINAL, index_given("terminal", terminal, self.terminal_count))

    def at_link(self, link: int) -> Start:
        """Begin at a link: crossing it is the first hop. Errors: ValueError where there is no such link."""
        return Start(Place.LINK, index_given("link", link, self.link_count))

    def at_stage(self, stage: int) -> Start:
        """Begin at a stage. Errors: ValueError where there is no such stage."""
        return Start(Place.STAGE, index_given("stage", stage, self.stage_count))

    @cached_property
    def links_from(self) -> Rows:
        """Links by the terminal that is their source; `ends` holds their load."""
        return rows_by(self.source, self.load, self.terminal_count, self.terminal_count)

    @cached_property
    def links_to(self) -> Rows:
        """Links by the terminal that is their load; `ends` holds their source."""
        return rows_by(self.load, self.source, self.terminal_count, self.terminal_count)

    @cached_property
    def shut_down(self) -> Rows:
        """Edges by the node they leave, none leaving a barrier."""
        return self.down.without(self.nodes.is_barrier)

    @cached_property
    def shut_up(self) -> Rows:
        """Edges by the node they enter, none entering a barrier."""
        return self.up.without(self.nodes.is_barrier)

    @cached_property
    def joints_down(self) -> Rows:
        """Stages that hand the signal on inside their slot, without a link, by the stage they come from."""
        return rows_by(*self.nodes.joints, self.nodes.count, self.nodes.count)

    @cached_property
    def joints_up(self) -> Rows:
        """The same by the stage they lead to."""
        tail, head = self.nodes.joints
        return rows_by(head, tail, self.nodes.count, self.nodes.count)

    @cached_property
    def nodes_by_slot(self) -> Rows:
        """Stages and lone terminals of each slot, as `ends`."""
        every = np.arange(self.nodes.count, dtype=np.int32)
        return rows_by(self.nodes.slot, every, self.slot_count, self.nodes.count)


def build_wiring(
    *,
    slot_count: int,
    terminal_slot: ArrayLike,
    source: ArrayLike,
    load: ArrayLike,
    stage_slot: ArrayLike = (),
    stage_barrier: ArrayLike = (),
    port_stage: ArrayLike = (),
    port_terminal: ArrayLike = (),
    port_is_out: ArrayLike = (),
) -> Wiring:
    """Make the graph of a machine from rows of indices.

    Shapes: terminal_slot (terminals,) the slot of each terminal; source and load (links,) the terminals each link
    joins; stage_slot and stage_barrier (stages given,); port_stage, port_terminal and port_is_out (ports,). All
    indices from 0, at most 2^31 - 2 of anything; no units.

    A slot without stages is one stage: every input reaches every output. Else the inputs of a stage reach its
    outputs; a terminal that no stage of its slot names reaches, as an input, every output of the slot, through each
    stage, and is reached, as an output, from every input; an output of one stage that is an input of another joins
    the two without a link; a terminal that is load of one link and source of another hands the signal on by itself
    too. Parallel links, links back into their own slot, and several sources on one load are all kept. Meaning of a
    barrier: common practice, no source.

    Errors: ValueError with a whole sentence for an index out of range, numbers that are not whole, rows of different
    length, a port whose terminal is not in the slot of its stage.

    >>> wiring = build_wiring(slot_count=2, terminal_slot=[0, 1, 1], source=[0, 0], load=[1, 2])
    >>> wiring.link_count, wiring.stage_count, wiring.load_slot.tolist()
    (2, 2, [1, 1])
    >>> build_wiring(slot_count=1, terminal_slot=[0], source=[0], load=[float("nan")])
    Traceback (most recent call last):
    ValueError: load must hold whole numbers; nan was given at place 0.
    """
    slots = count_given("slot_count", slot_count)
    where = indices_given("terminal_slot", terminal_slot, "slot", slots)
    sources = indices_given("source", source, "terminal", where.size)
    loads = indices_given("load", load, "terminal", where.size)
    refuse_lengths_differ(source=sources, load=loads)
    given = indices_given("stage_slot", stage_slot, "slot", slots), marks_given("stage_barrier", stage_barrier)
    refuse_lengths_differ(stage_slot=given[0], stage_barrier=given[1])
    ports = _ports_given(port_stage, port_terminal, port_is_out, given[0], where)
    ends = _marked(sources, where.size), _marked(loads, where.size)
    nodes = find_nodes(slots, where, ends, given, ports)
    link, tail, head = (fixed(row) for row in crossed(nodes.out_of, nodes.into, sources, loads))
    down = rows_by(tail, head, nodes.count, nodes.count)
    up = rows_by(head, tail, nodes.count, nodes.count)
    return Wiring(slots, where, sources, loads, nodes, link, tail, head, down, up)


def _ports_given(stage: ArrayLike, terminal: ArrayLike, is_out: ArrayLike, slots: Ints, where: Ints) -> Ports:
    ports = Ports(
        indices_given("port_stage", stage, "stage", slots.size),
        indices_given("port_terminal", terminal, "terminal", where.size),
        marks_given("port_is_out", is_out),
    )
    refuse_lengths_differ(port_stage=ports.stage, port_terminal=ports.terminal, port_is_out=ports.is_out)
    refuse_foreign_ports(ports, slots, where)
    return ports


def _marked(terminals: Ints, count: int) -> Bools:
    marks = np.zeros(count, np.bool_)
    marks[terminals] = True
    return marks
