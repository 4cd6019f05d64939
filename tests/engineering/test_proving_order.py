"""The order of proving, against networkx and against loops opened by hand."""

from collections import Counter

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering import loop_opening
from restoration.engineering.loop_opening import row_of_nodes
from restoration.engineering.proving_order import Deed, Method, Opening, layers, proving_order
from restoration.engineering.wiring import build_wiring, components, loops

PORTS_PER_SLOT = 3


def plain(slots, *wires):
    """A machine of slots without stages; wires join slots, each by terminals of its own."""
    ends = [end for wire in wires for end in wire]
    count = range(len(wires))
    return build_wiring(
        slot_count=slots, terminal_slot=ends, source=[2 * at for at in count], load=[2 * at + 1 for at in count]
    )


@st.composite
def machines(draw, most_slots=5, most_links=14):
    """Slots with up to three terminals each, some with stages; links between any two terminals, twice or back too."""
    slots = draw(st.integers(1, most_slots))
    terminals = slots * PORTS_PER_SLOT
    terminal = st.integers(0, terminals - 1)
    wires = draw(st.lists(st.tuples(terminal, terminal), max_size=most_links))
    stages = draw(st.lists(st.integers(0, slots - 1), max_size=4))
    ports = [
        (stage, slot * PORTS_PER_SLOT + draw(st.integers(0, PORTS_PER_SLOT - 1)), draw(st.booleans()))
        for stage, slot in enumerate(stages)
        for _ in range(draw(st.integers(0, 3)))
    ]
    return {
        "slot_count": slots,
        "terminal_slot": [at // PORTS_PER_SLOT for at in range(terminals)],
        "source": [wire[0] for wire in wires],
        "load": [wire[1] for wire in wires],
        "stage_slot": stages,
        "stage_barrier": [False] * len(stages),
        "port_stage": [port[0] for port in ports],
        "port_terminal": [port[1] for port in ports],
        "port_is_out": [port[2] for port in ports],
    }


def drawn(rows):
    """The same machine for networkx: each link an edge by its number, inner ways edges without one."""
    graph = nx.MultiDiGraph()
    named = set(rows["port_terminal"])
    for stage, terminal, is_out in zip(rows["port_stage"], rows["port_terminal"], rows["port_is_out"], strict=True):
        ends = (("stage", stage), ("leaves", terminal)) if is_out else (("arrives", terminal), ("stage", stage))
        graph.add_edge(*ends)
    for terminal, slot in enumerate(rows["terminal_slot"]):
        own = [("stage", at) for at, of in enumerate(rows["stage_slot"]) if of == slot] or [("slot", slot)]
        graph.add_edge(("arrives", terminal), ("leaves", terminal))
        if terminal in named or (terminal in rows["source"] and terminal in rows["load"]):
            graph.add_edge(("leaves", terminal), ("arrives", terminal))
        for stage in own if terminal not in named else []:
            graph.add_edge(("arrives", terminal), stage)
            graph.add_edge(stage, ("leaves", terminal))
    for link, (source, load) in enumerate(zip(rows["source"], rows["load"], strict=True)):
        graph.add_edge(("leaves", source), ("arrives", load), key=("link", link), link=link)
    return graph


def links_in_loops(graph):
    """The links with both ends in one strongly connected component."""
    part = {node: at for at, nodes in enumerate(nx.strongly_connected_components(graph)) for node in nodes}
    return {link for tail, head, link in graph.edges(data="link") if link is not None and part[tail] == part[head]}


def without(graph, links):
    left = graph.copy()
    left.remove_edges_from([(t, h, k) for t, h, k, link in graph.edges(keys=True, data="link") if link in links])
    return left


def fed_by(graph, rows):
    """For each link the links that arrive where it begins, with no other link between."""
    inner = without(graph, set(range(len(rows["source"]))))
    for before, load in enumerate(rows["load"]):
        reached = nx.descendants(inner, ("arrives", load))
        for after, source in enumerate(rows["source"]):
            if ("leaves", source) in reached:
                yield before, after


def links_of(loop):
    """Every link of a loop: those lifted, and those proved while it is open."""
    lifted = [link for opening in loop.openings for link in opening.links]
    return [*lifted, *(link for links in loop.rounds for link in links)]


def refuse_wrong_order(rows, order):
    """Assert what every order must hold."""
    graph, links = drawn(rows), range(len(rows["source"]))
    steps = [(deed, link) for deed, together in order.steps() for link in together]
    at = {(deed, link): place for place, (deed, together) in enumerate(order.steps()) for link in together}
    opened = {link for loop in order.loops for opening in loop.openings for link in opening.links}
    assert len(at) == len(steps)
    assert {link for deed, link in steps if deed is Deed.OPEN} == opened
    assert {link for deed, link in steps if deed is Deed.CLOSE} == opened
    proved = Counter(link for deed, link in steps if deed is not Deed.CLOSE)
    assert proved == Counter(links)
    assert not links_in_loops(without(graph, opened))
    loop_of = {link: number for number, loop in enumerate(order.loops) for link in links_of(loop)}
    assert set(loop_of) == links_in_loops(graph)
    for before, after in fed_by(graph, rows):
        if before in loop_of and loop_of[before] == loop_of.get(after):
            if before not in opened and after not in opened:
                assert at[Deed.PROVE, before] < at[Deed.PROVE, after]
            elif before not in opened:
                assert at[Deed.PROVE, before] < at[Deed.CLOSE, after]
        else:
            done = at[Deed.CLOSE if before in opened else Deed.PROVE, before]
            assert done < at[Deed.OPEN if after in opened else Deed.PROVE, after]
    for loop in order.loops:
        ends = [at[Deed.CLOSE, link] for opening in loop.closings for link in opening.links]
        assert all(at[Deed.PROVE, link] < min(ends) for links in loop.rounds for link in links)
        for opening in loop.openings:
            assert {rows["source"][link] for link in opening.links} == {opening.source}
            assert opening.loads == tuple(rows["load"][link] for link in opening.links)
        assert len({opening.source for opening in loop.openings}) == len(loop.openings)
        assert loop.closings[::-1] == loop.openings


@given(machines())
def test_an_order_holds_every_link_once_after_what_is_upstream_of_it(rows):
    refuse_wrong_order(rows, proving_order(build_wiring(**rows)))


@given(machines())
def test_the_quick_way_holds_the_same(rows):
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(loop_opening, "GREEDY_PIECE", 0)
        order = proving_order(build_wiring(**rows))
    refuse_wrong_order(rows, order)
    assert all(loop.method is Method.QUICK for loop in order.loops)


@given(machines(), st.integers(0, 400))
def test_a_loop_begun_the_greedy_way_and_ended_the_quick_way_holds_the_same(rows, most):
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(loop_opening, "GREEDY_ALL", most)
        refuse_wrong_order(rows, proving_order(build_wiring(**rows)))


def freed_by(graph, rows, held, source):
    """Lift the links of a source that lie in a loop: those, and the links that then lie in no loop any more."""
    lifted = {link for link in held if rows["source"][link] == source}
    return lifted, held - links_in_loops(without(graph, lifted))


@settings(deadline=None)
@given(machines())
def test_the_first_opening_of_a_loop_frees_at_least_as_many_as_any_other_source(rows):
    """Counted with the lifted links; of equal ones the first lifts the fewest, so frees most without them."""
    graph = drawn(rows)
    for loop in proving_order(build_wiring(**rows)).loops:
        links = set(links_of(loop))
        assert loop.link_count == len(links)
        found = {rows["source"][link]: freed_by(graph, rows, links, rows["source"][link]) for link in links}
        best = min((-len(freed), len(lifted), min(lifted)) for lifted, freed in found.values())
        first = loop.openings[0]
        lifted, freed = found[first.source]
        assert set(first.links) == lifted
        assert (-len(freed), len(lifted), min(lifted)) == best
        assert first.frees == len(freed - lifted)


@settings(deadline=None)
@given(machines())
def test_every_opening_frees_what_it_says_once_those_before_it_are_made(rows):
    for loop in proving_order(build_wiring(**rows)).loops:
        graph = drawn(rows)
        held = links_in_loops(graph) & set(links_of(loop))
        for opening in loop.openings:
            lifted, freed = freed_by(graph, rows, held, opening.source)
            assert (set(opening.links), opening.frees) == (lifted, len(freed - lifted))
            graph, held = without(graph, lifted), held - freed
        assert not held


@given(machines())
def test_loops_through_several_slots_are_those_of_the_wiring(rows):
    wiring = build_wiring(**rows)
    mine = sorted(loop.slots for loop in proving_order(wiring).loops if len(loop.slots) > 1)
    assert mine == sorted(tuple(sorted(int(slot) for slot in loop.slots)) for loop in loops(components(wiring)))


@given(machines(), st.randoms())
def test_the_same_wiring_gives_the_same_order_and_rank_settles_what_is_equal(rows, random):
    wiring = build_wiring(**rows)
    rank = list(range(wiring.link_count))
    assert proving_order(wiring) == proving_order(wiring, rank=rank)
    random.shuffle(rank)
    refuse_wrong_order(rows, proving_order(wiring, rank=rank))
    assert proving_order(wiring, rank=rank) == proving_order(wiring, rank=np.array(rank))


def test_a_machine_without_loops_is_proved_layer_by_layer():
    order = proving_order(plain(4, (0, 1), (0, 2), (1, 2), (2, 3)))
    assert [layer.links for layer in order.layers] == [(0, 1), (2,), (3,)]
    assert order.loops == ()


def test_a_ring_is_opened_once_and_closed_before_what_it_feeds():
    order = proving_order(plain(4, (2, 3), (0, 1), (1, 2), (2, 0)))
    assert list(order.steps()) == [
        (Deed.OPEN, (1,)),
        (Deed.PROVE, (2,)),
        (Deed.PROVE, (3,)),
        (Deed.CLOSE, (1,)),
        (Deed.PROVE, (0,)),
    ]
    assert order.loops[0].openings == (Opening(2, (1,), (3,), 2),)
    assert (order.loops[0].slots, order.loops[0].method) == ((0, 1, 2), Method.GREEDY)


def test_the_link_that_all_ways_round_go_through_is_lifted():
    """Two ways from slot 0 to slot 1, and one wire back: lifting that one frees all four others."""
    order = proving_order(plain(4, (0, 2), (2, 1), (0, 3), (3, 1), (1, 0)))
    assert [(opening.links, opening.frees) for opening in order.loops[0].openings] == [((4,), 4)]
    assert order.loops[0].rounds == ((0, 2), (1, 3))


def test_parallel_wires_of_several_sources_back_are_all_lifted():
    order = proving_order(plain(2, (0, 1), (1, 0), (1, 0)))
    assert [(opening.links, opening.frees) for opening in order.loops[0].openings] == [((0,), 2)]
    order = proving_order(plain(2, (0, 1), (0, 1), (1, 0), (1, 0)))
    assert [(opening.links, opening.frees) for opening in order.loops[0].openings] == [((0,), 0), ((1,), 2)]


def test_a_source_with_many_loads_is_one_opening():
    """A clock drives three slots, each of which drives it back: lifting its three wires together frees all three."""
    wiring = build_wiring(
        slot_count=4, terminal_slot=[0, 1, 2, 3, 1, 2, 3, 0], source=[0, 0, 0, 4, 5, 6], load=[1, 2, 3, 7, 7, 7]
    )
    order = proving_order(wiring)
    assert order.loops[0].openings == (Opening(0, (0, 1, 2), (1, 2, 3), 3),)
    assert list(order.steps())[::4] == [(Deed.OPEN, (0, 1, 2)), (Deed.CLOSE, (0, 1, 2))]


def test_a_wire_of_the_source_that_leads_out_of_the_loop_is_left_joined():
    wiring = build_wiring(slot_count=3, terminal_slot=[0, 1, 2, 1, 0], source=[0, 0, 3], load=[2, 1, 4])
    assert proving_order(wiring).loops[0].openings == (Opening(0, (1,), (1,), 1),)


def test_what_an_opening_leaves_is_opened_piece_by_piece_the_largest_first():
    """A clock drives every slot of a ring of two and of a ring of three, and both rings drive it back."""
    wires = [*((0, at) for at in range(1, 6)), (1, 2), (2, 1), (3, 4), (4, 5), (5, 3), (2, 0), (5, 0)]
    ends = [end for wire in wires for end in wire]
    wiring = build_wiring(
        slot_count=6, terminal_slot=ends, source=[0] * 5 + [*range(10, 24, 2)], load=[*range(1, 24, 2)]
    )
    found = [(opening.links, opening.frees) for opening in proving_order(wiring).loops[0].openings]
    assert found == [((0, 1, 2, 3, 4), 2), ((7,), 2), ((5,), 1)]


def test_a_wire_back_into_its_own_slot_is_a_loop_of_its_own():
    order = proving_order(plain(2, (0, 0), (0, 1)))
    assert order.loops[0].slots == (0,)
    assert list(order.steps()) == [(Deed.OPEN, (0,)), (Deed.CLOSE, (0,)), (Deed.PROVE, (1,))]
    assert order.loops[0].openings == (Opening(0, (0,), (1,), 0),)


def test_a_wire_between_two_stages_of_a_slot_need_close_no_loop():
    stages = {"stage_slot": [0, 0], "stage_barrier": [False, True]}
    ports = {"port_stage": [0, 0, 1, 1], "port_terminal": [0, 1, 2, 3], "port_is_out": [False, True, False, True]}
    wiring = build_wiring(slot_count=1, terminal_slot=[0] * 4, source=[1], load=[2], **stages, **ports)
    assert proving_order(wiring).loops == ()


def test_of_two_equally_good_openings_the_first_by_rank_is_taken():
    ring = plain(3, (0, 1), (1, 2), (2, 0))
    assert proving_order(ring, rank=[2, 0, 1]).loops[0].openings[0].links == (1,)


def test_a_rank_that_does_not_fit_the_links_is_refused():
    with pytest.raises(ValueError, match=r"^rank must give one number for each of the 1 links; its shape is \(2,\)\.$"):
        proving_order(plain(2, (0, 1)), rank=[0, 1])


def test_edges_in_a_circle_have_no_layers():
    with pytest.raises(ValueError, match=r"^The edges run in a circle, so their nodes have no layers\.$"):
        layers(2, np.array([0, 1]), np.array([1, 0]), np.array([True, True]))


def test_a_machine_without_links_has_nothing_to_prove():
    assert proving_order(plain(2)).layers == ()
    assert proving_order(build_wiring(slot_count=0, terminal_slot=[], source=[], load=[])).layers == ()


def ring_of(count):
    return plain(count, *((at, (at + 1) % count) for at in range(count)))


def test_the_bound_between_the_two_ways_is_kept(monkeypatch):
    """A ring of as many links as sources is looked at the square of their number of times."""
    monkeypatch.setattr(loop_opening, "GREEDY_PIECE", 20**2)
    small, large = proving_order(ring_of(20)).loops[0], proving_order(ring_of(21)).loops[0]
    assert (small.method, small.openings[0].frees) == (Method.GREEDY, 19)
    assert (large.method, len(large.openings), large.openings[0].frees) == (Method.QUICK, 1, None)


def test_many_loops_are_opened_the_greedy_way_only_up_to_the_bound(monkeypatch):
    monkeypatch.setattr(loop_opening, "GREEDY_ALL", 4 + 9)
    order = proving_order(plain(9, (0, 1), (1, 2), (2, 0), (3, 4), (4, 3), (5, 6), (6, 7), (7, 8), (8, 5)))
    assert [(len(loop.slots), loop.method) for loop in order.loops] == [
        (3, Method.GREEDY),
        (2, Method.GREEDY),
        (4, Method.QUICK),
    ]


def test_the_quick_way_gathers_what_runs_back_by_source(monkeypatch):
    """Three slots drive a fourth, which drives each of them by a wire on one terminal."""
    monkeypatch.setattr(loop_opening, "GREEDY_PIECE", 0)
    wiring = build_wiring(
        slot_count=4, terminal_slot=[0, 1, 2, 1, 2, 3, 3, 3, 0, 0], source=[0, 0, 3, 4, 6], load=[1, 2, 5, 7, 8]
    )
    openings = proving_order(wiring).loops[0].openings
    assert [(opening.links, opening.frees) for opening in openings] == [((4,), None)]
    wiring = build_wiring(slot_count=2, terminal_slot=[0, 0, 0, 1], source=[0, 0, 0], load=[1, 2, 3])
    assert proving_order(wiring).loops[0].openings == (Opening(0, (0, 1), (1, 2), None),)


@settings(deadline=None)
@given(st.integers(2, 40), st.randoms())
def test_the_row_of_nodes_lets_few_edges_run_back(count, random):
    """Eades, Lin and Smyth 1993, theorem 2: at most m/2 - n/6 edges run back in a graph without two-edge loops."""
    pairs = [(a, b) if random.random() < 0.5 else (b, a) for a in range(count) for b in range(a)]
    edges = [pair for pair in pairs if random.random() < 0.6]
    joined = {node for edge in edges for node in edge}
    place = row_of_nodes(count, [a for a, _ in edges], [b for _, b in edges])
    assert sorted(place) == list(range(count))
    assert sum(place[a] > place[b] for a, b in edges) <= len(edges) / 2 - len(joined) / 6


def test_a_large_machine_keeps_the_laws():
    """Twenty thousand links among four thousand slots, which are one large loop and many small things about it."""
    random = np.random.default_rng(7)
    wires = random.integers(0, 4000, size=(20_000, 2))
    order = proving_order(plain(4000, *wires.tolist()))
    opened = {link for loop in order.loops for opening in loop.openings for link in opening.links}
    left = [wire for link, wire in enumerate(wires.tolist()) if link not in opened]
    assert nx.is_directed_acyclic_graph(nx.DiGraph(left))
    proved = Counter(link for deed, together in order.steps() if deed is not Deed.CLOSE for link in together)
    assert proved == Counter(range(20_000))
    assert max(order.loops, key=lambda loop: loop.link_count).method is Method.QUICK
    assert len(opened) < 20_000 / 2


def test_many_small_loops_are_all_opened_the_greedy_way():
    """Ten thousand rings of three slots: each is opened once, at the first of its links."""
    corners = np.arange(30_000).reshape(-1, 3)
    order = proving_order(plain(30_000, *np.stack((corners, np.roll(corners, -1, axis=1)), axis=2).reshape(-1, 2)))
    assert [opening for loop in order.loops for opening in loop.openings] == [
        Opening(2 * link, (link,), (2 * link + 1,), 2) for link in range(0, 30_000, 3)
    ]
