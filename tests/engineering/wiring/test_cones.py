"""Cones, hops and ways, against networkx on any machine, and by hand on small ones."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings

from restoration.engineering.wiring import beyond, build_wiring, cone, path_to
from tests.engineering.wiring.machines import walks
from tests.engineering.wiring.reference import Machine, reached


def chain(length: int, **more) -> Machine:
    """Slot 0 → slot 1 → … by link 0, 1, …: slot n has an input terminal 2n and an output terminal 2n + 1."""
    return Machine(
        length,
        [n // 2 for n in range(2 * length)],
        [2 * n + 1 for n in range(length - 1)],
        [2 * n + 2 for n in range(length - 1)],
        **more,
    )


@settings(max_examples=400, deadline=None)
@given(walks())
def test_a_cone_is_what_networkx_reaches(walk):
    machine, start, down, hops, stop = walk
    found = cone(machine.wiring(), start, down=down, hops=hops, stop_at_barriers=stop)
    expected = reached(machine, start, down=down, hops=hops, stop=stop)
    assert dict(zip(found.slots.tolist(), found.slot_hop.tolist(), strict=True)) == expected.slots
    assert dict(zip(found.links.tolist(), found.link_hop.tolist(), strict=True)) == expected.links
    stages = found.node_level[: found.wiring.stage_count]
    assert {int(stage): int(stages[stage]) for stage in np.flatnonzero(stages >= 0)} == expected.stages
    ends = {machine.source[link] for link in expected.links} | {machine.load[link] for link in expected.links}
    assert found.terminals.tolist() == sorted(ends)
    counts = [list(expected.slots.values()).count(hop) for hop in range(1, max(expected.slots.values(), default=0) + 1)]
    assert found.per_hop == tuple(counts)


@settings(max_examples=200, deadline=None)
@given(walks())
def test_a_way_to_each_slot_is_as_long_as_its_hop_and_each_link_of_it_is_crossed_in_turn(walk):
    machine, start, down, hops, stop = walk
    found = cone(machine.wiring(), start, down=down, hops=hops, stop_at_barriers=stop)
    for slot, hop, last in zip(found.slots.tolist(), found.slot_hop, found.through, strict=True):
        way = path_to(found, slot)
        assert found.hop_of_link[way].tolist() == list(range(1, hop + 1))
        assert way[-1] == last
        far, near = (machine.load, machine.source) if down else (machine.source, machine.load)
        assert machine.terminal_slot[far[way[-1]]] == slot
        assert machine.terminal_slot[near[way[0]]] == found.start_slot
        for one, other in pairwise(way):
            assert machine.terminal_slot[far[one]] == machine.terminal_slot[near[other]]


@settings(max_examples=200, deadline=None)
@given(walks())
def test_every_folded_slot_counts_once_for_the_last_slot_shown_on_its_way(walk):
    machine, start, down, hops, stop = walk
    found = cone(machine.wiring(), start, down=down, hops=hops, stop_at_barriers=stop)
    ends = machine.load if down else machine.source
    for limit in range(4):
        expected = [0] * machine.slots
        for slot in found.slots[found.slot_hop > limit].tolist():
            on_way = [found.start_slot] + [machine.terminal_slot[ends[link]] for link in path_to(found, slot)]
            shown = [place for place in on_way if found.hop_of_slot[place] <= limit]
            expected[shown[-1]] += 1
        assert beyond(found, limit).tolist() == expected


@settings(max_examples=200, deadline=None)
@given(walks())
def test_who_is_reached_down_reaches_back_up(walk):
    machine, _, _, hops, _ = walk
    wiring = machine.wiring()
    for stage in range(wiring.stage_count):
        level = cone(wiring, wiring.at_stage(stage), down=True, hops=hops).node_level[: wiring.stage_count]
        for other in np.flatnonzero(level >= 0):
            back = cone(wiring, wiring.at_stage(int(other)), down=False, hops=hops)
            assert back.node_level[stage] == level[other]


def test_a_long_chain_is_walked_whole_or_near():
    wiring = chain(3000).wiring()
    assert cone(wiring, wiring.at_slot(0), down=True).slot_hop.tolist() == list(range(1, 3000))
    assert cone(wiring, wiring.at_slot(0), down=True, hops=40).slots.tolist() == list(range(1, 41))
    assert cone(wiring, wiring.at_slot(2999), down=False, hops=2).slots.tolist() == [2997, 2998]
    assert beyond(cone(wiring, wiring.at_slot(0), down=True), 2)[2] == 2997


def test_a_link_into_a_barrier_is_crossed_and_nothing_beyond_it():
    wiring = chain(5, stages=[(2, True)]).wiring()
    found = cone(wiring, wiring.at_slot(0), down=True, stop_at_barriers=True)
    assert (found.slots.tolist(), found.links.tolist()) == ([1, 2], [0, 1])
    out_of_it = cone(wiring, wiring.at_slot(2), down=True, stop_at_barriers=True)
    assert out_of_it.slots.tolist() == [3, 4]
    assert cone(wiring, wiring.at_slot(4), down=False, stop_at_barriers=True).slots.tolist() == [2, 3]
    assert cone(wiring, wiring.at_terminal(4), down=True, stop_at_barriers=True).slots.tolist() == []
    assert cone(wiring, wiring.at_link(2), down=True, stop_at_barriers=True).slots.tolist() == [3, 4]


def test_stages_keep_signals_apart_and_a_shared_terminal_joins_them():
    """Slot 1: stage 0 from terminal 1 to 3, stage 1 from terminal 2 to 4; slot 2 and 3 hang on 3 and 4."""
    terminals, source, load = [0, 1, 1, 1, 1, 2, 3], [0, 3, 4], [1, 5, 6]
    stages, ports = [(1, False), (1, False)], [(0, 1, False), (0, 3, True), (1, 2, False), (1, 4, True)]
    apart = Machine(4, terminals, source, load, stages, ports).wiring()
    assert cone(apart, apart.at_slot(0), down=True).slots.tolist() == [1, 2]
    joined = Machine(4, terminals, source, load, stages, [*ports, (0, 2, True)]).wiring()
    found = cone(joined, joined.at_slot(0), down=True)
    assert (found.slots.tolist(), found.slot_hop.tolist()) == ([1, 2, 3], [1, 2, 2])
    assert path_to(found, 3).tolist() == [0, 2]


def test_a_link_is_its_own_first_hop_and_the_way_to_the_start_is_empty():
    wiring = chain(4).wiring()
    found = cone(wiring, wiring.at_link(1), down=True)
    assert (found.start_slot, found.links.tolist(), found.slot_hop.tolist()) == (1, [1, 2], [1, 2])
    assert path_to(found, 1).tolist() == []
    assert cone(wiring, wiring.at_link(1), down=False).slots.tolist() == [0, 1]


def test_nothing_is_reached_where_no_link_is_crossed():
    wiring = chain(3).wiring()
    found = cone(wiring, wiring.at_slot(0), down=True, hops=0)
    assert (found.slots.size, found.links.size, found.terminals.size, found.per_hop) == (0, 0, 0, ())


def test_nonsense_is_refused():
    wiring = chain(3).wiring()
    start = wiring.at_slot(0)
    with pytest.raises(ValueError, match=r"^hops must be a whole number from 0 to 2147483646; -1 was given\.$"):
        cone(wiring, start, down=True, hops=-1)
    with pytest.raises(ValueError, match=r"^A slot must be a whole number from 0 to 0; 2 was given\.$"):
        cone(build_wiring(slot_count=1, terminal_slot=[], source=[], load=[]), wiring.at_slot(2), down=True)
    found = cone(wiring, start, down=True, hops=1)
    with pytest.raises(ValueError, match=r"^Slot 2 is not reached from the start\.$"):
        path_to(found, 2)
    with pytest.raises(ValueError, match=r"^A slot must be a whole number from 0 to 2; 3 was given\.$"):
        path_to(found, 3)
    with pytest.raises(ValueError, match=r"^hop must be a whole number from 0 to 2147483646; 0\.5 was given\.$"):
        beyond(found, 0.5)
