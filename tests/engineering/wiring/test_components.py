"""Loops and layers, against networkx on any machine, and by hand on small ones."""

import networkx as nx
import numpy as np
from hypothesis import given, settings

from restoration.engineering.wiring import build_wiring, components, loops, self_links
from tests.engineering.wiring.machines import machines
from tests.engineering.wiring.reference import Machine, contracted, graph_of, layers_of


@settings(max_examples=400, deadline=None)
@given(machines())
def test_components_and_layers_are_those_of_networkx(machine):
    found = components(machine.wiring())
    small = contracted(machine, graph_of(machine))
    expected = layers_of(small)
    assert found.count == len({members for members, _ in expected.values()})
    assert found.layer_count == 1 + max((layer for _, layer in expected.values()), default=-1)
    for stage in range(found.wiring.stage_count):
        members, layer = expected["S", stage]
        assert {("S", int(k)) for k in np.flatnonzero(found.of_stage == found.of_stage[stage])} == {
            node for node in members if node[0] == "S"
        }
        assert found.layer_of_stage[stage] == layer
        slots = {graph_of(machine).nodes[node]["slot"] for node in members}
        assert set(found.slots_of(found.of_stage[stage]).tolist()) == slots


@settings(max_examples=200, deadline=None)
@given(machines())
def test_stages_share_a_component_where_a_signal_can_go_round_them(machine):
    """Said of the graph of terminals and stages as it stands, not of the contracted one."""
    found = components(machine.wiring())
    parts = list(nx.strongly_connected_components(graph_of(machine)))
    expected = {frozenset(node[1] for node in part if node[0] == "S") for part in parts} - {frozenset()}
    groups = [np.flatnonzero(found.of_stage == number) for number in np.unique(found.of_stage)]
    assert {frozenset(group.tolist()) for group in groups} == expected


@settings(max_examples=200, deadline=None)
@given(machines())
def test_components_are_numbered_along_the_signal(machine):
    found = components(machine.wiring())
    wiring = found.wiring
    tail, head = found.of_node[wiring.edge_tail], found.of_node[wiring.edge_head]
    assert (tail <= head).all()
    assert (found.layer_of[tail] < found.layer_of[head])[tail != head].all()


@settings(max_examples=300, deadline=None)
@given(machines())
def test_loops_are_the_components_of_two_or_more_slots_the_largest_first(machine):
    found = loops(components(machine.wiring()))
    graph = graph_of(machine)
    expected = {}
    for part in nx.strongly_connected_components(contracted(machine, graph)):
        slots = {graph.nodes[node]["slot"] for node in part}
        if len(slots) > 1:
            expected[tuple(sorted(slots)), frozenset(part)] = _links_within(machine, graph, part)
    assert sorted((tuple(loop.slots.tolist()), loop.links.tolist()) for loop in found) == sorted(
        (slots, links) for (slots, _), links in expected.items()
    )
    assert list(found) == sorted(found, key=lambda loop: (-loop.slots.size, loop.slots.tolist()))


def _links_within(machine, graph, part):
    """Links that lead from a node of the part to another of it, or back to the same."""
    inside = []
    for link, (source, load) in enumerate(zip(machine.source, machine.load, strict=True)):
        tails = {("T", source), *graph.predecessors(("T", source))} & part
        heads = {("T", load), *graph.successors(("T", load))} & part
        if tails and heads:
            inside.append(link)
    return inside


def test_two_loops_and_a_link_back_into_its_own_slot():
    """Slots 0 → 1 → 0 by one link each way, 2 → 3 → 4 → 2, a link 1 → 2 between, and 5 wired to itself."""
    source, load = [0, 1, 2, 3, 4, 1, 5], [1, 0, 3, 4, 2, 2, 5]
    wiring = build_wiring(slot_count=6, terminal_slot=range(6), source=source, load=load)
    found = components(wiring)
    assert (found.count, found.layer_count) == (3, 2)
    assert [loop.slots.tolist() for loop in loops(found)] == [[2, 3, 4], [0, 1]]
    assert [loop.links.tolist() for loop in loops(found)] == [[2, 3, 4], [0, 1]]
    assert self_links(wiring).tolist() == [6]


def test_parallel_links_neither_loop_nor_add_a_layer():
    wiring = build_wiring(slot_count=2, terminal_slot=[0, 1], source=[0] * 5, load=[1] * 5)
    found = components(wiring)
    assert (found.count, found.layer_count, loops(found)) == (2, 2, ())


def test_a_machine_without_slots_has_no_component():
    found = components(build_wiring(slot_count=0, terminal_slot=[], source=[], load=[]))
    assert (found.count, found.layer_count, loops(found)) == (0, 0, ())


def test_islands_are_components_of_their_own_in_the_first_layer():
    found = components(build_wiring(slot_count=3, terminal_slot=[], source=[], load=[]))
    assert (found.count, found.layer_count, found.layer_of_stage.tolist()) == (3, 1, [0, 0, 0])


def test_a_loop_through_a_daisy_chain_holds_the_slot_it_passes_by():
    """Slot 1 has a stage elsewhere; terminal 2 only hands the signal of slot 0 on, back to slot 0."""
    machine = Machine(2, [0, 0, 1, 1], [0, 2], [2, 1], [(1, False)], [(0, 3, False), (0, 2, False)])
    (loop,) = loops(components(machine.wiring()))
    assert (loop.slots.tolist(), loop.links.tolist()) == ([0, 1], [0, 1])
