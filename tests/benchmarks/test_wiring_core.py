"""The wiring graph beside networkx and beside scipy's own component call, in one run."""

import time
from collections import deque

import networkx as nx
import numpy as np
import pytest
from scipy.sparse.csgraph import connected_components

from restoration.engineering.wiring import components, cone
from restoration.engineering.wiring.rows import rows_by
from tests.engineering.wiring.families import FAMILIES

SIZES = (1_000, 10_000, 100_000, 1_000_000)
TIMES_NETWORKX = 50
MOST_OF_SCIPY = 2.0

pytestmark = pytest.mark.benchmark


def seconds(act, runs=5):
    """The shortest of several runs, and what the last gave."""
    taken = []
    for _ in range(runs):
        began = time.perf_counter()
        made = act()
        taken.append(time.perf_counter() - began)
    return min(taken), made


def networkx_graph(rows):
    """Slots alone, a key for each link: what ours is contracted to, given to networkx ready made."""
    graph = nx.MultiDiGraph()
    graph.add_nodes_from(range(rows.slots))
    graph.add_edges_from(zip(*(end.tolist() for end in rows.ends), range(rows.source.size), strict=True))
    return graph


def designed_graph(rows):
    """Terminals and stages as nodes, wires and ways through stages as edges: three edges are one hop."""
    begin, end, _ = designed_ends(rows)
    return nx.DiGraph(zip(begin.tolist(), end.tolist(), strict=True))


def widest(wiring):
    """Of twenty slots spread over the machine, the one whose cone is the largest."""
    tried = np.linspace(0, wiring.slot_count - 1, 20).astype(int).tolist()
    return max(tried, key=lambda slot: cone(wiring, wiring.at_slot(slot), down=True).slots.size)


def slots_and_hops(wiring, slot):
    found = cone(wiring, wiring.at_slot(slot), down=True)
    return found.slots, found.slot_hop


@pytest.mark.parametrize("links", SIZES)
def test_a_whole_cone_beside_networkx(links):
    """All give every slot reached with its hop, from what stands loaded; the bound is for the wiring as designed."""
    rows = FAMILIES["sequential"](links)
    wiring = rows.wiring()
    slot = widest(wiring)
    ours, found = seconds(lambda: slots_and_hops(wiring, slot), 9)
    whole, _ = seconds(lambda: cone(wiring, wiring.at_slot(slot), down=True).terminals)
    runs = 5 if links < 1_000_000 else 3
    graph = networkx_graph(rows)
    short, far = seconds(lambda: nx.single_source_shortest_path_length(graph, slot), runs)
    plain, _ = seconds(lambda: by_hand(graph, slot), runs)
    del graph
    graph, node = designed_graph(rows), rows.terminal_slot.size + slot
    theirs, steps = seconds(lambda: nx.single_source_shortest_path_length(graph, node), runs)
    print(
        f"{links} links, cone of {found[0].size} slots: ours {1e3 * ours:.2f} ms, with links and terminals "
        f"{1e3 * whole:.2f} ms; networkx on terminals and stages {1e3 * theirs:.1f} ms, {theirs / ours:.0f} times; "
        f"on slots alone {1e3 * short:.1f} ms, {short / ours:.0f} times; a plain loop over its rows "
        f"{1e3 * plain:.1f} ms, {plain / ours:.0f} times"
    )
    del far[slot]
    assert len(far) > rows.slots // 2
    assert dict(zip(*(part.tolist() for part in found), strict=True)) == far
    inner = rows.terminal_slot.size
    assert {place - inner: step // 3 for place, step in steps.items() if place >= inner and place != node} == far
    if links >= 1_000_000:
        assert theirs >= TIMES_NETWORKX * ours


def by_hand(graph, start):
    """The quickest plain Python that walks networkx's own rows."""
    far, waiting, rows = {start: 0}, deque([start]), graph._adj
    while waiting:
        node = waiting.popleft()
        for other in rows[node]:
            if other not in far:
                far[other] = far[node] + 1
                waiting.append(other)
    return far


def designed_ends(rows):
    """Both ends of each wire and each way through a stage, and the number of nodes; terminals come before stages."""
    terminals = rows.terminal_slot.size
    inputs, outputs = np.unique(rows.load), np.unique(rows.source)
    begin = np.concatenate((rows.source, inputs, terminals + rows.terminal_slot[outputs]))
    end = np.concatenate((rows.load, terminals + rows.terminal_slot[inputs], outputs))
    return begin, end, terminals + rows.slots


def designed(rows):
    """The same as a compressed matrix."""
    begin, end, count = designed_ends(rows)
    return rows_by(begin, end, count, count).matrix


SHAPES = [
    *((family, depth) for family in ("combinational", "sequential") for depth in (30, 100, 1000)),
    ("bus-like", 12),
]
FILLED = [(family, depth, links) for family, depth in SHAPES for links in SIZES if links >= 20 * depth]
"""Graphs with something in every layer."""


@pytest.mark.parametrize(("family", "depth", "links"), FILLED)
def test_components_and_layers_beside_scipys_component_call(family, depth, links):
    """A graph of a thousand thin layers and 100,000 links is printed, not held to the bound: it does not keep it."""
    rows = FAMILIES[family](links, depth=depth)
    wiring, whole = rows.wiring(), designed(rows)
    small = wiring.down.matrix
    runs = 9
    ours, found = seconds(lambda: components(wiring), runs)
    theirs, _ = seconds(lambda: connected_components(whole, directed=True, connection="strong"), runs)
    bare, (count, _) = seconds(lambda: connected_components(small, directed=True, connection="strong"), runs)
    print(
        f"{links} links, {family} {depth}: {found.count} components in {found.layer_count} layers {1e3 * ours:.2f} ms; "
        f"scipy on the wiring as designed {1e3 * theirs:.2f} ms, {ours / theirs:.2f} times; "
        f"on stages alone {1e3 * bare:.2f} ms, {ours / bare:.1f} times"
    )
    assert found.count == count
    is_thin = links / found.layer_count < 200
    if links >= 100_000 and not is_thin:
        assert ours <= MOST_OF_SCIPY * theirs
