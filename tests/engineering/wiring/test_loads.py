"""Sources with their whole load, against networkx on any machine, and by hand on a daisy chain."""

import networkx as nx
import pytest
from hypothesis import given, settings

from restoration.engineering.wiring import build_wiring, loads_of_source, same_source, sources_of_link
from tests.engineering.wiring.machines import machines


def wires(machine) -> nx.MultiDiGraph:
    graph = nx.MultiDiGraph()
    graph.add_nodes_from(range(len(machine.terminal_slot)))
    graph.add_edges_from(zip(machine.source, machine.load, range(len(machine.source)), strict=True))
    return graph


def loads(graph, terminals) -> list[int]:
    reached = set().union(*({terminal} | nx.descendants(graph, terminal) for terminal in terminals))
    return sorted(link for _, _, link in graph.out_edges(reached, keys=True))


@settings(max_examples=200, deadline=None)
@given(machines())
def test_loads_and_sources_are_what_wire_alone_reaches(machine):
    wiring, graph = machine.wiring(), wires(machine)
    for terminal in graph:
        assert loads_of_source(wiring, terminal).tolist() == loads(graph, [terminal])
    for link, source in enumerate(machine.source):
        before = {source} | nx.ancestors(graph, source)
        sources = sorted(terminal for terminal in before if graph.in_degree(terminal) == 0) or sorted(before)
        assert sources_of_link(wiring, link).tolist() == sources
        assert same_source(wiring, link).tolist() == loads(graph, sources)
        assert link in same_source(wiring, link)


def test_a_daisy_chain_is_one_load_and_a_second_source_is_another():
    """Terminal 0 → 1 → 2, and 3 → 2: links 0, 1 hang on terminal 0, link 2 on terminal 3."""
    wiring = build_wiring(slot_count=4, terminal_slot=[0, 1, 2, 3], source=[0, 1, 3], load=[1, 2, 2])
    assert loads_of_source(wiring, 0).tolist() == [0, 1]
    assert same_source(wiring, 1).tolist() == [0, 1]
    assert same_source(wiring, 2).tolist() == [2]
    assert loads_of_source(wiring, 2).tolist() == []


def test_nonsense_is_refused():
    wiring = build_wiring(slot_count=1, terminal_slot=[0], source=[], load=[])
    with pytest.raises(ValueError, match=r"^A terminal must be a whole number from 0 to 0; 1 was given\.$"):
        loads_of_source(wiring, 1)
    for ask in (sources_of_link, same_source):
        with pytest.raises(ValueError, match=r"^There is no link at all; 0 was given\.$"):
            ask(wiring, 0)
