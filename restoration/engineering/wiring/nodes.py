"""What a signal goes through inside the slots: stages, and terminals that pass it on by themselves.

A node is a stage or a lone terminal. A link leads from each node that drives its source terminal to each node that its
load terminal drives; in a machine whose designs say nothing of their inside, that is from slot to slot.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from restoration.engineering.refusals import refuse_unless
from restoration.engineering.wiring.given import Bools, Ints, fixed, fixed_marks
from restoration.engineering.wiring.rows import Rows, crossed, rows_by


@dataclass(frozen=True, eq=False)
class Ports:
    """Pairs of a stage and a terminal of its slot, given by the design. Shapes: (ports,) each."""

    stage: Ints
    terminal: Ints
    is_out: Bools


@dataclass(frozen=True, eq=False)
class Nodes:
    """Stages first, then lone terminals; by terminal, the nodes it drives as a load and those that drive it.

    Shapes: slot and is_barrier (nodes,); named (terminals,), whether a stage names the terminal. `into` and `out_of`
    hold nodes as `ends`, terminals as rows. `joints` are pairs of stages, an output of the first being an input of
    the second.
    """

    slots: int
    stages: int
    slot: Ints
    is_barrier: Bools
    into: Rows
    out_of: Rows
    named: Bools
    joints: tuple[Ints, Ints]

    @cached_property
    def are_slots(self) -> bool:
        """Whether node n is simply slot n, as in a machine whose designs say nothing of their inside."""
        return bool(np.array_equal(self.slot, np.arange(self.slots)))

    @property
    def count(self) -> int:
        """Number of stages and lone terminals together."""
        return int(self.slot.size)


def all_stages(slot_count: int, stage_slot: Ints) -> Ints:
    """The slots of all stages: those given, then one for each slot that has none.

    Shapes: (given,) to (stages,). Formula and source: none. Never raises on indices within range.

    >>> all_stages(3, np.array([1, 1], np.int32)).tolist()
    [1, 1, 0, 2]
    """
    bare = np.ones(slot_count, np.bool_)
    bare[stage_slot] = False
    return np.concatenate((stage_slot, np.flatnonzero(bare))).astype(np.int32)


def refuse_foreign_ports(ports: Ports, stage_slot: Ints, terminal_slot: Ints) -> None:
    """Refuse a port whose terminal stands in another slot than its stage.

    Formula and source: none. Errors: ValueError with a whole sentence.

    >>> port = Ports(np.array([0]), np.array([0]), np.array([True]))
    >>> refuse_foreign_ports(port, np.array([0]), np.array([1]))
    Traceback (most recent call last):
    ValueError: A port must join a stage to a terminal of its own slot; at place 0, stage 0 stands in slot 0 and
    terminal 0 in slot 1.
    """
    bad = np.flatnonzero(stage_slot[ports.stage] != terminal_slot[ports.terminal])
    if bad.size:
        place = int(bad[0])
        stage, terminal = ports.stage[place], ports.terminal[place]
        refuse_unless(
            False,
            "A port must join a stage to a terminal of its own slot; "
            f"at place {place}, stage {stage} stands in slot {stage_slot[stage]} "
            f"and terminal {terminal} in slot {terminal_slot[terminal]}.",
        )


def find_nodes(
    slot_count: int,
    terminal_slot: Ints,
    ends: tuple[Bools, Bools],
    given: tuple[Ints, Bools],
    ports: Ports,
) -> Nodes:
    """Work out the nodes of a machine.

    `ends` marks the terminals that are a source of a link, and those that are a load; `given` holds slot and barrier
    mark of the stages that designs give. A terminal that no stage names is driven by, and drives, every stage of its
    slot. In a slot with stages, a terminal stands alone where it is load and source at once, or drives no stage, or
    is driven by none. Formula and source: none. Never raises on indices within range.

    >>> none, no = np.array([], np.int32), np.array([], np.bool_)
    >>> ends = np.array([True, False]), np.array([False, True])
    >>> nodes = find_nodes(2, np.array([0, 1], np.int32), ends, (none, no), Ports(none, none, no))
    >>> nodes.count, nodes.slot.tolist(), nodes.into.ends.tolist()
    (2, [0, 1], [0, 1])
    """
    stage_slot = all_stages(slot_count, given[0])
    named = np.zeros(terminal_slot.size, np.bool_)
    named[ports.terminal] = True
    unnamed = _unnamed_pairs(slot_count, terminal_slot, named, stage_slot)
    pairs = [_pairs(ports, unnamed, is_out) for is_out in (False, True)]
    staged = np.zeros(slot_count, np.bool_)
    staged[given[0]] = True
    lone = np.flatnonzero(_lone(staged[terminal_slot], ends, pairs)).astype(np.int32)
    count = stage_slot.size + lone.size
    barrier = np.zeros(count, np.bool_)
    barrier[: given[1].size] = given[1]
    into, out_of = (_with_lone(pair, lone, stage_slot.size, terminal_slot.size) for pair in pairs)
    slot = np.concatenate((stage_slot, terminal_slot[lone]))
    both = np.flatnonzero(staged[terminal_slot] & (named | (ends[0] & ends[1]))).astype(np.int32)
    joints = _joints(into, out_of, both, stage_slot.size)
    return Nodes(slot_count, stage_slot.size, fixed(slot), fixed_marks(barrier), into, out_of, named, joints)


def _unnamed_pairs(slot_count: int, terminal_slot: Ints, named: Bools, stage_slot: Ints) -> tuple[Ints, Ints]:
    """Every unnamed terminal with every stage of its slot."""
    terminals = np.flatnonzero(~named).astype(np.int32)
    if stage_slot.size == slot_count and (stage_slot == np.arange(slot_count)).all():
        return terminals, terminal_slot[terminals]
    stages = np.arange(stage_slot.size, dtype=np.int32)
    by_slot = rows_by(stage_slot, stages, slot_count, stages.size)
    slots = terminal_slot[terminals]
    return np.repeat(terminals, np.diff(by_slot.start)[slots]), by_slot.ends[by_slot.places(slots)]


def _pairs(ports: Ports, unnamed: tuple[Ints, Ints], is_out: bool) -> tuple[Ints, Ints]:
    """Terminals and stages joined one way, each pair once."""
    chosen = ports.is_out == is_out
    if not chosen.any():
        return unnamed
    once = np.unique(np.stack((ports.terminal[chosen], ports.stage[chosen])), axis=1)
    return np.concatenate((unnamed[0], once[0])), np.concatenate((unnamed[1], once[1]))


def _lone(staged: Bools, ends: tuple[Bools, Bools], pairs: list[tuple[Ints, Ints]]) -> Bools:
    """Terminals of slots with stages that a signal may stand at without being in a stage."""
    is_source, is_load = ends
    drives, driven = np.zeros(staged.size, np.bool_), np.zeros(staged.size, np.bool_)
    drives[pairs[0][0]] = True
    driven[pairs[1][0]] = True
    alone: Bools = staged & ((is_source & is_load) | (is_load & ~drives) | (is_source & ~driven))
    return alone


def _with_lone(pair: tuple[Ints, Ints], lone: Ints, stages: int, terminals: int) -> Rows:
    nodes = np.concatenate((pair[1], stages + np.arange(lone.size, dtype=np.int32)))
    return rows_by(np.concatenate((pair[0], lone)), nodes, terminals, stages + lone.size)


def _joints(into: Rows, out_of: Rows, terminals: Ints, stages: int) -> tuple[Ints, Ints]:
    """Pairs of unlike stages that one of these terminals leads out of and into."""
    _, first, second = crossed(out_of, into, terminals, terminals)
    real = (first < stages) & (second < stages) & (first != second)
    once = np.unique(np.stack((first[real], second[real])), axis=1)
    return fixed(once[0]), fixed(once[1])
