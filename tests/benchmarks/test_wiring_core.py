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
    graph = nx.MultiDiGraph()
    graph.add_nodes_from(range(rows.slots))
    graph.add_edges_from(zip(*(end.tolist() for end in rows.ends), range(rows.source.size), strict=True))
    return graph


def widest(wiring):
    """Of twenty slots spread over the machine, the one whose cone is the largest."""
    tried = np.linspace(0, wiring.slot_count - 1, 20).astype(int).tolist()
    return max(tried, key=lambda slot: cone(wiring, wiring.at_slot(slot), down=True).slots.size)


@pytest.mark.parametrize("links", SIZES)
def test_a_whole_cone_beside_networkx(links):
    """Both give every slot reached with its hop; networkx's graph and our arrays stand loaded."""
    rows = FAMILIES["sequential"](links)
    wiring, graph = rows.wiring(), networkx_graph(rows)
    slot = widest(wiring)
    runs = 5 if links < 1_000_000 else 3

    def hops():
        found = cone(wiring, wiring.at_slot(slot), down=True)
        return found.slots, found.slot_hop

    ours, (slots, hop) = seconds(hops, 7)
    whole, _ = seconds(lambda: cone(wiring, wiring.at_slot(slot), down=True).terminals, runs)
    theirs, far = seconds(lambda: nx.single_source_shortest_path_length(graph, slot), runs)
    plain, _ = seconds(lambda: by_hand(graph, slot), runs)
    print(
        f"{links} links, cone of {slots.size} slots: ours {1e3 * ours:.2f} ms, with links and terminals "
        f"{1e3 * whole:.2f} ms; networkx {1e3 * theirs:.1f} ms, {theirs / ours:.0f} times; "
        f"a plain loop over its rows {1e3 * plain:.1f} ms, {plain / ours:.0f} times"
    )
    assert slots.size > rows.slots // 2
    del far[slot]
    assert dict(zip(slots.tolist(), hop.tolist(), strict=True)) == far
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


def designed(rows):
    """The wiring as designed: terminals and stages as nodes, wires and ways through stages as edges."""
    terminals = rows.terminal_slot.size
    inputs, outputs = np.unique(rows.load), np.unique(rows.source)
    begin = np.concatenate((rows.source, inputs, terminals + rows.terminal_slot[outputs]))
    end = np.concatenate((rows.load, terminals + rows.terminal_slot[inputs], outputs))
    count = terminals + rows.slots
    return rows_by(begin, end, count, count).matrix


@pytest.mark.parametrize("links", SIZES)
@pytest.mark.parametrize(
    ("family", "depth"),
    [*((family, depth) for family in ("combinational", "sequential") for depth in (30, 100, 1000)), ("bus-like", 12)],
)
def test_components_and_layers_beside_scipys_component_call(family, depth, links):
    """A graph of a thousand thin layers and 100,000 links is printed, not held to the bound: it does not keep it."""
    if links < 20 * depth:
        pytest.skip("The layers would be empty.")
    rows = FAMILIES[family](links, depth=depth)
    wiring, whole = rows.wiring(), designed(rows)
    small = wiring.down.matrix
    runs = 9 if links < 1_000_000 else 3
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
