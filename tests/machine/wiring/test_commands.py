"""`follow_signal` and `find_loops`: the answers of networkx, for people and for programs; refusals in sentences."""

import json
import random
from collections import Counter
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import networkx as nx
import pytest

from restoration.machine import services
from restoration.machine.models import Interconnect, Terminal
from tests.factories import make_link, make_slot
from tests.machine.wire_lists import wire, wires

Ends = tuple[str, str]


def follow(run_command: Any, *words: str) -> tuple[int, Any]:
    status, out, err = run_command("follow_signal", *words, "--json")
    assert err == ""
    return status, json.loads(out)


def generated(chance: random.Random, slots: int, links: int) -> list[Ends]:
    """A machine with loops, parallel wires, wires within a slot, daisy chains, and slots apart from the rest."""
    names = [f"{'ABCD'[n % 4]}-{n:02}" for n in range(slots)]

    def end(name: str, least: int) -> str:
        return f"{name}:{chance.randint(least, least + 3)}"

    made = []
    for _ in range(links):
        at = chance.randrange(slots // 2)
        ahead = at if chance.random() < 0.04 else min(slots // 2 - 1, max(0, at + chance.choice([-2, 1, 1, 2, 3])))
        made.append((end(names[at], 5), end(names[ahead], 1 if chance.random() < 0.8 else 5)))
    made += [(end(names[-3], 5), end(names[-2], 1)), (end(names[-2], 5), end(names[-1], 1))]
    return made + made[:3]


def bring_in(ends: list[Ends]) -> None:
    data = wires(*[wire(source, load, link=f"W{number}") for number, (source, load) in enumerate(ends)])
    assert services.import_wire_list(data=data, name="machine.csv", by=None, create_missing=True).is_saved


def slot_of(terminal: str) -> str:
    return terminal.rpartition(":")[0]


class Reference:
    """The same wiring as networkx sees it: who drives whom, by slot, every wire an edge."""

    def __init__(self, ends: list[Ends], *, down: bool) -> None:
        self.ends = ends if down else [(load, source) for source, load in ends]
        self.graph = nx.MultiDiGraph([(slot_of(source), slot_of(load)) for source, load in self.ends])

    def told(self, start: str, hops: int | None, *, down: bool) -> dict[str, Any]:
        """What the command should say of a whole slot."""
        lengths = nx.single_source_shortest_path_length(self.graph, start, cutoff=hops)
        within = {slot for slot, length in lengths.items() if hops is None or length < hops}
        followed = [ends for ends in self.ends if slot_of(ends[0]) in within]
        reached = {slot: length for slot, length in lengths.items() if slot != start}
        return {
            "start": start,
            "direction": "down" if down else "up",
            "slots": sorted(reached),
            "count": len(reached),
            "per_hop": {str(hop): count for hop, count in sorted(Counter(reached.values()).items())},
            "terminals": len({end for ends in followed for end in ends}),
            "links": len(followed),
        }


@pytest.mark.parametrize("seed", range(2))
def test_every_slot_is_followed_as_networkx_does(seed: int, db: None, run_command: Any) -> None:
    ends = generated(random.Random(seed), slots=40, links=60)
    bring_in(ends)
    for down in (True, False):
        reference = Reference(ends, down=down)
        for start in sorted(reference.graph.nodes):
            for hops in (None, 1, 3):
                words = ["--down" if down else "--up", *(["--hops", str(hops)] if hops else [])]
                status, told = follow(run_command, start, *words)
                assert told == reference.told(start, hops, down=down), (start, words)
                assert status == (0 if told["slots"] else 1)


@pytest.mark.parametrize("seed", range(2))
def test_every_terminal_is_followed_as_networkx_does(seed: int, db: None, run_command: Any) -> None:
    """From a terminal only its own wires go out; an input reaches all that leaves its slot."""
    ends = generated(random.Random(seed), slots=30, links=40)
    bring_in(ends)
    graph = nx.MultiDiGraph()
    sources, loads = {source for source, _ in ends}, {load for _, load in ends}
    for source, load in ends:
        graph.add_edge(source, load, weight=1)
    for into in loads:
        for out in sources:
            if slot_of(into) == slot_of(out) and into != out:
                graph.add_edge(into, out, weight=0)
    for terminal in sorted(sources | loads):
        lengths = nx.single_source_dijkstra_path_length(graph, terminal)
        reached: dict[str, float] = {}
        for other, length in lengths.items():
            if slot_of(other) != slot_of(terminal) and length < reached.get(slot_of(other), float("inf")):
                reached[slot_of(other)] = length
        _, told = follow(run_command, terminal, "--down")
        assert told["slots"] == sorted(reached), terminal
        assert told["per_hop"] == {str(hop): n for hop, n in sorted(Counter(reached.values()).items())}
        assert told["links"] == sum(source in lengths for source, _ in ends)


@pytest.mark.parametrize("seed", range(4))
def test_loops_are_those_of_networkx(seed: int, db: None, run_command: Any) -> None:
    ends = generated(random.Random(seed), slots=40, links=60)
    bring_in(ends)
    make_slot("Z-99")
    graph = Reference(ends, down=True).graph
    graph.add_node("Z-99")
    parts = [sorted(part) for part in nx.strongly_connected_components(graph)]
    whole = nx.condensation(nx.DiGraph(graph))
    status, out, _ = run_command("find_loops", "--json")
    told = json.loads(out)
    assert told["loops"] == sorted((part for part in parts if len(part) > 1), key=lambda part: (-len(part), part))
    assert told["components"] == len(parts)
    assert told["self_links"] == sum(slot_of(source) == slot_of(load) for source, load in ends)
    assert told["layers"] == len(list(nx.topological_generations(whole)))
    assert status == (0 if told["loops"] or told["self_links"] else 1)


def test_for_people_it_is_told_hop_by_hop(piece: SimpleNamespace, run_command: Any) -> None:
    make_link("C-04:8", "E-01:1", code="217")
    status, out, err = run_command("follow_signal", "B-05", "--down")
    assert (status, err) == (0, "")
    assert out.splitlines() == [
        "Downstream of B-05: 4 slots in 2 hops, over 4 links and 6 terminals.",
        "Hop 1, 3 slots: C-04 by link 214, C-06 by link 215, D-02 by link 216.",
        "Hop 2, 1 slot: E-01 by link 217.",
    ]
    status, out, _ = run_command("follow_signal", "E-01:1", "--up", "--hops", "1")
    assert (status, out.splitlines()) == (
        0,
        [
            "Upstream of E-01:1: 1 slot in 1 hop, over 1 link and 2 terminals.",
            "Hop 1, 1 slot: C-04 by link 217.",
        ],
    )


def test_what_reaches_nothing_says_so(piece: SimpleNamespace, run_command: Any) -> None:
    status, out, err = run_command("follow_signal", "D-02", "--down")
    assert (status, out, err) == (1, "Nothing lies downstream of D-02.\n", "")
    status, told = follow(run_command, "D-02", "--down")
    assert (status, told["slots"], told["count"], told["per_hop"], told["links"]) == (1, [], 0, {}, 0)
    make_link("D-02:7", "D-02:4", code="own")
    _, out, _ = run_command("follow_signal", "D-02", "--down")
    assert out == "Nothing lies downstream of D-02; 1 link of it led back to its own slot.\n"


def test_many_at_one_hop_are_told_in_part(db: None, run_command: Any) -> None:
    bring_in([("A-01:1", f"B-{n:03}:1") for n in range(75)])
    lines = run_command("follow_signal", "A-01", "--down")[1].splitlines()
    assert lines[1].startswith("Hop 1, 75 slots: B-")
    assert lines[1].endswith(" and 15 more.")
    assert follow(run_command, "A-01", "--down")[1]["count"] == 75


def test_loops_are_told_to_people(piece: SimpleNamespace, run_command: Any) -> None:
    status, out, _ = run_command("find_loops")
    told = ["The wiring has no loop of several slots.", "Each loop taken as one: 4 parts in 2 layers."]
    assert (status, out.splitlines()) == (1, told)
    make_link("C-04:8", "B-05:1", code="back")
    make_link("D-02:8", "D-02:4", code="own")
    status, out, _ = run_command("find_loops")
    assert status == 0
    assert out.splitlines() == [
        "The wiring has 1 loop; the largest holds 2 slots.",
        "Loop 1, 2 slots: B-05, C-04.",
        "1 link from a slot to itself: own.",
        "Each loop taken as one: 3 parts in 2 layers.",
    ]


def test_a_machine_without_wires_has_no_loop(db: None, run_command: Any) -> None:
    status, out, _ = run_command("find_loops", "--json")
    assert status == 1
    assert json.loads(out) == {"components": 0, "loops": [], "self_links": 0, "layers": 0}


WAY = "Say exactly one of --up and --down; {} given."
HOPS = "--hops must be a whole number from 1 up; “{}” was given."
WRONG = [
    (["B-05"], WAY.format("neither was")),
    (["B-05", "--up", "--down"], WAY.format("both were")),
    (["B-05", "--down", "--hops", "0"], HOPS.format("0")),
    (["B-05", "--down", "--hops", "-1"], HOPS.format("-1")),
    (["B-05", "--down", "--hops", "2.5"], HOPS.format("2.5")),
    (["B-05", "--down", "--hops", "two"], HOPS.format("two")),
    (["B-05", "--down", "--hops", "²"], HOPS.format("²")),
    (["B-05", "--down", "--hops", ""], HOPS.format("")),
    (["X-99", "--down"], "There is no slot “X-99”; give a slot by its code, or a terminal as slot:terminal."),
    (["\udcff", "--up"], "There is no slot “\\udcff”; give a slot by its code, or a terminal as slot:terminal."),
    (["B-05:9", "--up"], "Slot B-05 has no terminal “9”; it has 7."),
]


@pytest.mark.parametrize(("words", "sentence"), WRONG)
def test_nonsense_is_refused_in_a_sentence(
    words: list[str], sentence: str, piece: SimpleNamespace, run_command: Any
) -> None:
    assert run_command("follow_signal", *words) == (2, "", sentence + "\n")
    status, out, err = run_command("follow_signal", *words, "--json")
    assert (status, json.loads(out), err) == (2, {"refused": [sentence]}, sentence + "\n")


@pytest.mark.parametrize("hops", ["1", "007", "999999999999999999999999"])
def test_any_whole_number_of_hops_is_taken(hops: str, piece: SimpleNamespace, run_command: Any) -> None:
    assert follow(run_command, "B-05", "--down", "--hops", hops)[0] == 0


def test_what_is_printed_for_a_program_is_one_object(piece: SimpleNamespace, run_command: Any, tmp_path: Path) -> None:
    for words in (["follow_signal", "B-05", "--down", "--json"], ["find_loops", "--json"]):
        out = run_command(*words)[1]
        assert out.count("\n") == 1
        assert isinstance(json.loads(out), dict)
    assert (Interconnect.objects.count(), Terminal.objects.count()) == (3, 4)
