"""Longest ways, whether layers are thick or thin, against networkx."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.wiring import layers
from restoration.engineering.wiring.layers import longest_ways


def by_networkx(begin, end, count):
    graph = nx.DiGraph(zip(begin, end, strict=True))
    graph.add_nodes_from(range(count))
    found = {node: layer for layer, nodes in enumerate(nx.topological_generations(graph)) for node in nodes}
    return [found[node] for node in range(count)]


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)).filter(lambda edge: edge[0] > edge[1])))
def test_layers_are_the_generations_of_networkx(edges):
    begin, end = np.array(edges, np.int32).reshape(-1, 2).T
    expected = by_networkx(begin.tolist(), end.tolist(), 13)
    assert longest_ways(begin, end, 13).tolist() == expected
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(layers, "PATIENCE", 0)
        assert longest_ways(begin, end, 13).tolist() == expected


@pytest.mark.parametrize(("thin", "patience"), [(0, 1), (1, 1), (40, 3), (150, 12), (10_000, 2), (10_000, 0)])
@pytest.mark.parametrize("reach", [2, 30, 1500])
def test_layers_taken_off_the_front_and_walked_give_the_same(monkeypatch, thin, patience, reach):
    monkeypatch.setattr(layers, "THIN", thin)
    monkeypatch.setattr(layers, "PATIENCE", patience)
    chance = np.random.default_rng(reach)
    begin = chance.integers(1, 1500, 4000)
    end = np.maximum(begin - chance.integers(1, reach + 1, 4000), 0)
    expected = by_networkx(begin.tolist(), end.tolist(), 1500)
    assert longest_ways(begin.astype(np.int32), end.astype(np.int32), 1500).tolist() == expected
