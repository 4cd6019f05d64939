"""The same questions answered by networkx, on a graph of terminals and stages built by plain loops."""

from typing import NamedTuple

import networkx as nx

from restoration.engineering.wiring import Start, Wiring, build_wiring

ORIGIN = ("origin", 0)


class Machine(NamedTuple):
    """A machine as a test gives it: stages as (slot, is a barrier), ports as (stage, terminal, leads out)."""

    slots: int
    terminal_slot: list[int]
    source: list[int]
    load: list[int]
    stages: list[tuple[int, bool]] = []
    ports: list[tuple[int, int, bool]] = []

    def wiring(self) -> Wiring:
        return build_wiring(
            slot_count=self.slots,
            terminal_slot=self.terminal_slot,
            source=self.source,
            load=self.load,
            stage_slot=[slot for slot, _ in self.stages],
            stage_barrier=[barrier for _, barrier in self.stages],
            port_stage=[stage for stage, _, _ in self.ports],
            port_terminal=[terminal for _, terminal, _ in self.ports],
            port_is_out=[out for _, _, out in self.ports],
        )

    def all_stages(self) -> list[tuple[int, bool]]:
        staged = {slot for slot, _ in self.stages}
        return self.stages + [(slot, False) for slot in range(self.slots) if slot not in staged]


def graph_of(machine: Machine) -> nx.MultiDiGraph:
    """Terminals ("T", t) and stages ("S", k); links keyed by their number cost 1, ways inside a slot cost 0."""
    graph = nx.MultiDiGraph()
    named = {terminal for _, terminal, _ in machine.ports}
    for stage, (slot, barrier) in enumerate(machine.all_stages()):
        graph.add_node(("S", stage), slot=slot, barrier=barrier)
    for terminal, slot in enumerate(machine.terminal_slot):
        graph.add_node(("T", terminal), slot=slot, barrier=False)
    for terminal in range(len(machine.terminal_slot)):
        for stage in insides(machine, terminal, False):
            if terminal in named or terminal in machine.load:
                graph.add_edge(("T", terminal), ("S", stage), key="in", cost=0)
        for stage in insides(machine, terminal, True):
            if terminal in named or terminal in machine.source:
                graph.add_edge(("S", stage), ("T", terminal), key="out", cost=0)
    for link, (source, load) in enumerate(zip(machine.source, machine.load, strict=True)):
        graph.add_edge(("T", source), ("T", load), key=link, cost=1)
    return graph


def insides(machine: Machine, terminal: int, out: bool) -> list[int]:
    """The stages that a terminal drives, or that drive it."""
    if any(port[1] == terminal for port in machine.ports):
        return sorted({stage for stage, at, leads_out in machine.ports if at == terminal and leads_out == out})
    slot = machine.terminal_slot[terminal]
    return [stage for stage, (at, _) in enumerate(machine.all_stages()) if at == slot]


class Answer(NamedTuple):
    """Hop of each slot, of each link and of each stage reached."""

    slots: dict[int, int]
    links: dict[int, int]
    stages: dict[int, int]


def reached(machine: Machine, start: Start, *, down: bool, hops: int | None = None, stop: bool = False) -> Answer:
    """What a cone must hold: least costs from an origin put before the start."""
    graph = graph_of(machine) if down else graph_of(machine).reverse()
    own, first, stays_open = _begin(machine, graph, start, down)
    if stop:
        shut = [node for node, barrier in graph.nodes(data="barrier") if barrier and node not in stays_open]
        graph.remove_edges_from(list(graph.out_edges(shut, keys=True)))
    graph.add_node(ORIGIN, slot=None)
    graph.add_edges_from((ORIGIN, node, "origin", {"cost": cost}) for node, cost in first)
    far = nx.single_source_dijkstra_path_length(graph, ORIGIN, weight="cost")
    most = float("inf") if hops is None else hops
    links = {key: far[tail] + 1 for tail, _, key in graph.edges(keys=True) if isinstance(key, int) and tail in far}
    if start.place == "link":
        links[start.index] = 1
    slots: dict[int, int] = {}
    for node, hop in far.items():
        slot = graph.nodes[node]["slot"]
        if hop <= most and slot not in (own, None):
            slots[slot] = min(hop, slots.get(slot, hop))
    stages = {node[1]: hop for node, hop in far.items() if node[0] == "S" and hop <= most}
    return Answer(slots, {link: hop for link, hop in links.items() if hop <= most}, stages)


def _begin(machine, graph, start, down):
    """Own slot, nodes with what it costs to come to them, and barriers that the signal starts inside of."""
    if start.place == "slot":
        inside = [(node, 0) for node, slot in graph.nodes(data="slot") if slot == start.index and node[0] == "S"]
        ends = machine.source if down else machine.load
        outlets = [(("T", terminal), 0) for terminal in set(ends) if machine.terminal_slot[terminal] == start.index]
        return start.index, inside + outlets, {node for node, _ in inside}
    if start.place == "stage":
        node = ("S", start.index)
        return graph.nodes[node]["slot"], [(node, 0)], {node}
    if start.place == "link":
        near, far = machine.source[start.index], machine.load[start.index]
        near, far = (near, far) if down else (far, near)
        return machine.terminal_slot[near], [(("T", far), 1)], set()
    node = ("T", start.index)
    first = [(node, 0)]
    if start.index not in machine.source and start.index not in machine.load:
        first += [(("S", stage), 0) for stage in insides(machine, start.index, not down)]
    if stop_inside := [inner for inner, _ in first[1:] if graph.nodes[inner]["barrier"]]:
        first = [pair for pair in first if pair[0] not in stop_inside] + [(inner, 0) for inner in stop_inside]
    return machine.terminal_slot[start.index], first, set()


def contracted(machine: Machine, graph: nx.MultiDiGraph) -> nx.DiGraph:
    """Stages, and terminals that stand alone, with an edge for each link and each joint between them."""
    staged = {slot for slot, _ in machine.stages}
    small = nx.DiGraph()
    small.add_nodes_from(node for node in graph if node[0] == "S")
    drivers, driven = {}, {}
    for terminal, slot in enumerate(machine.terminal_slot):
        node = ("T", terminal)
        drivers[terminal] = [other for other in graph.predecessors(node) if other[0] == "S"]
        driven[terminal] = [other for other in graph.successors(node) if other[0] == "S"]
        small.add_edges_from((a, b) for a in drivers[terminal] for b in driven[terminal] if slot in staged and a != b)
        is_source, is_load = terminal in machine.source, terminal in machine.load
        misses = (is_load and not driven[terminal]) or (is_source and not drivers[terminal])
        if slot in staged and ((is_source and is_load) or misses):
            small.add_node(node)
            drivers[terminal].append(node)
            driven[terminal].append(node)
    for source, load in zip(machine.source, machine.load, strict=True):
        small.add_edges_from((a, b) for a in drivers[source] for b in driven[load])
    return small


def layers_of(small: nx.DiGraph) -> dict[tuple[str, int], tuple[frozenset, int]]:
    """For each node its component and the generation of that."""
    condensed = nx.condensation(small)
    found = {}
    for layer, generation in enumerate(nx.topological_generations(condensed)):
        for part in generation:
            members = frozenset(condensed.nodes[part]["members"])
            found.update(dict.fromkeys(members, (members, layer)))
    return found
