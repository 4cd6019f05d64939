"""Cones, loops and layers on large machines of three families, against networkx."""

import networkx as nx
import numpy as np
import pytest

from restoration.engineering.wiring import components, cone, loops
from tests.engineering.wiring.families import FAMILIES

SIZES = (1_000, 10_000, 100_000)


@pytest.fixture(scope="module", params=[(family, links) for family in FAMILIES for links in SIZES], ids=str)
def machine(request):
    """Rows, the wiring, and networkx's graph from slot to slot with a key for each link."""
    family, links = request.param
    rows = FAMILIES[family](links)
    graph = nx.MultiDiGraph()
    graph.add_nodes_from(range(rows.slots))
    graph.add_edges_from(zip(*(end.tolist() for end in rows.ends), range(links), strict=True))
    return rows, rows.wiring(), graph


def test_the_spread_is_that_of_gate_level_sets(machine):
    rows, _, _ = machine
    tail, head = rows.ends
    assert tail.size == head.size == rows.source.size
    loads, inputs = np.bincount(tail), np.bincount(head)
    assert 1.5 <= inputs[inputs > 0].mean() <= 9
    assert np.median(loads[loads > 0]) <= 4
    assert loads.max() >= 20


@pytest.mark.parametrize("down", [True, False])
def test_cones(machine, down):
    rows, wiring, graph = machine
    way = graph if down else graph.reverse(copy=False)
    for slot in (0, rows.slots // 2, rows.slots - 1):
        found = cone(wiring, wiring.at_slot(slot), down=down)
        far = nx.single_source_shortest_path_length(way, slot)
        links = {key: far[tail] + 1 for tail, _, key in way.out_edges(far, keys=True)}
        assert dict(zip(found.links.tolist(), found.link_hop.tolist(), strict=True)) == links
        del far[slot]
        assert dict(zip(found.slots.tolist(), found.slot_hop.tolist(), strict=True)) == far
        near = cone(wiring, wiring.at_slot(slot), down=down, hops=3)
        assert set(near.slots.tolist()) == {place for place, hop in far.items() if hop <= 3}


def test_components_and_layers(machine):
    rows, wiring, graph = machine
    found = components(wiring)
    condensed = nx.condensation(nx.DiGraph(graph))
    layers = list(nx.topological_generations(condensed))
    assert (found.count, found.layer_count) == (len(condensed), len(layers))
    layer_of = np.empty(rows.slots, int)
    part_of = np.empty(rows.slots, int)
    for layer, parts in enumerate(layers):
        for part in parts:
            members = list(condensed.nodes[part]["members"])
            layer_of[members], part_of[members] = layer, part
    assert (found.layer_of_stage == layer_of).all()
    pairs = np.unique(np.stack((part_of, found.of_stage)), axis=1)
    assert pairs.shape[1] == found.count
    several = [
        sorted(condensed.nodes[part]["members"]) for part in condensed if len(condensed.nodes[part]["members"]) > 1
    ]
    assert [loop.slots.tolist() for loop in loops(found)] == sorted(several, key=lambda slots: (-len(slots), slots))
